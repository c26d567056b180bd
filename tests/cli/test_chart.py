"""``gddcast chart``: every kind in every form, the same twice, or refused with nothing written."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("matplotlib", reason="charts need the extra [charts]")

from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.readers.card_files import load_cards
from tests.draw.looks import named

SAMPLES = Path(__file__).parents[1] / "samples"
LARK = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")
ON = ("--on", "2026-06-11")
DAY = ("--high", "72", "--low", "46", "--next-low", "52", "--lower", "50", "--unit", "F")
KINDS = {
    "season": ("season", LARK, *ON),
    "season of a card": ("season", LARK, *ON, "--pest", "squash-vine-borer"),
    "compare": ("compare", LARK, *ON),
    "compare a card": ("compare", LARK, *ON, "--pest", "squash-vine-borer"),
    "day-curve": ("day-curve", *DAY),
    "methods": ("methods", *DAY),
    "emergence": ("emergence", LARK, *ON, "--pest", "apple-maggot"),
    "calibration": ("calibration", LARK, *ON, "--pests", "squash-vine-borer"),
}
STARTS = {"svg": b"<?xml", "png": b"\x89PNG\r\n\x1a\n", "pdf": b"%PDF-"}


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["chart", *words])


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_says_what_it_shows(kind: str, tmp_path: Path) -> None:
    """Its takeaway stands in the file, on the terminal, and where the numbers are is said."""
    target = tmp_path / "picture.svg"
    answer = run(*KINDS[kind], "-o", str(target))
    assert answer.exit_code == 0, answer.output
    assert answer.stdout == ""
    wrote, numbers = answer.stderr.splitlines()
    takeaway = wrote.removeprefix(f"Wrote {target}: ")
    assert takeaway != wrote
    assert numbers.startswith("The same in numbers:  gddcast ")
    role, name, description = named(target.read_bytes())
    assert role == "img"
    assert name
    assert description.startswith(takeaway)


@pytest.mark.parametrize("form", STARTS)
def test_every_form_is_what_its_ending_says(form: str, tmp_path: Path) -> None:
    target = tmp_path / f"day.{form}"
    assert run("day-curve", *DAY, "-o", str(target)).exit_code == 0
    assert target.read_bytes().startswith(STARTS[form])
    assert target.stat().st_mode & 0o777 == 0o644


_TWICE = """
import hashlib, sys
from pathlib import Path
from gddcast.cli import main
from gddcast.readers.card_files import load_cards
words = sys.argv[2:]
for form in ("svg", "png", "pdf"):
    target = Path(sys.argv[1]) / f"picture.{form}"
    main([*words, "-o", str(target)], standalone_mode=False)
    print(hashlib.sha256(target.read_bytes()).hexdigest())
"""


@pytest.mark.parametrize("kind", ["season of a card", "compare", "methods", "emergence"])
def test_two_runs_give_the_same_bytes(kind: str, tmp_path: Path) -> None:
    """Apart in time, in the order of sets, and in what a person likes their pictures to be."""
    printed = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        (folder / "matplotlibrc").write_text("font.size: 31\nsvg.fonttype: path\n")
        likes = {"MATPLOTLIBRC": str(folder / "matplotlibrc")} if seed == "2" else {}
        done = subprocess.run(
            [sys.executable, "-c", _TWICE, str(folder), "chart", *KINDS[kind]],
            env={**os.environ, "PYTHONHASHSEED": seed, **likes},
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        printed.append(done.stdout.split())
    assert len(set(printed[0])) == 3
    assert printed[0] == printed[1]


def test_a_width_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "day.svg"
    assert run("day-curve", *DAY, "--width", "90", "-o", str(target)).exit_code == 0
    assert b'width="255.11811pt"' in target.read_bytes()  # 90 mm
    assert run("day-curve", *DAY, "--width", "20", "-o", str(target)).exit_code == 2


def test_a_day_of_a_file_is_the_day_typed(tmp_path: Path) -> None:
    """8 June 2026: 60 to 90 °F, and 67 the night after."""
    one, other = tmp_path / "one.svg", tmp_path / "other.svg"
    file = run("methods", LARK, "--day", "2026-06-08", "--lower", "50F", "-o", str(one))
    typed = run(
        "methods", "--high", "90", "--low", "60", "--next-low", "67", "--lower", "50F",
        "--unit", "F", "-o", str(other),
    )  # fmt: skip
    assert file.exit_code == typed.exit_code == 0, file.output
    said = [answer.stderr.split(": ", 1)[1] for answer in (file, typed)]
    assert said[0] == said[1]
    assert "--high 90 --low 60" in said[0]


@pytest.mark.parametrize(("today", "out"), [("2026-06-11", False), ("2026-07-30", True)])
def test_a_mark_that_is_not_drawn_is_not_explained(
    today: str, tmp_path: Path, *, out: bool
) -> None:
    """In June no fly is out: no share has its day yet."""
    target = tmp_path / "flies.svg"
    drawn = run("emergence", LARK, "--on", today, "--pest", "apple-maggot", "-o", str(target))
    assert drawn.exit_code == 0, drawn.output
    assert ("Diamond: the day it came" in named(target.read_bytes())[2]) is out


def test_a_find_starts_the_clock_of_an_emergence_curve(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rootworms are counted from the first adult seen: without one in a book, it says so."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    rootworms = ("emergence", "--pest", "corn-rootworms", "--stage", "western-females")
    bare = run(*rootworms, LARK, *ON, "-o", "flies.svg")
    assert bare.exit_code == 3
    assert "gddcast saw corn-rootworms adults" in bare.stderr
    for words in (
        ("setup", "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
         "--show", "F", "--no-input"),
        ("weather", "add", LARK, "--on", "2026-07-20"),
        ("saw", "corn-rootworms", "adults", "--seen", "2026-07-08", "--clean", "2026-07-05",
         "--on", "2026-07-20"),
    ):  # fmt: skip
        answer = CliRunner().invoke(main, list(words))
        assert answer.exit_code == 0, answer.output
    drawn = run(*rootworms, "--on", "2026-07-20", "-o", "flies.svg")
    assert drawn.exit_code == 0, drawn.output
    assert drawn.stderr.startswith("Wrote flies.svg: Corn rootworms (western females), half out.")
    text = Path("flies.svg").read_text(encoding="utf-8")
    assert "your find of 8 July" in " ".join(named(text.encode())[2].split())
    assert "from your last clean look on, it runs" in named(text.encode())[2]


@pytest.mark.parametrize(
    ("words", "says", "cure"),
    [
        (("season", LARK, *ON, "-o", "a.gif"), "no kind of picture", "a.svg"),
        (("season", LARK, *ON, "-o", "a"), "no ending", "a.svg"),
        (("season", LARK, *ON, "-o", "nowhere/a.svg"), "no such file", "folder that is there"),
        (("season", LARK, *ON, "-o", "there.svg"), "there is a file", "--force"),
        (("season", LARK, *ON, "--pest", "squash-vine-borer", "--stage", "egg-hatch",
          "-o", "a.svg"), "no heat sum that counts from a date", "gddcast pests"),
        (("emergence", LARK, *ON, "--pest", "squash-bug", "-o", "a.svg"),
         "no emergence curve", "chart season --pest squash-bug"),
        (("emergence", LARK, *ON, "--pest", "cabbage-maggot", "--stage", "eggs",
          "-o", "a.svg"), "no emergence curve", "chart season --pest cabbage-maggot"),
        (("emergence", str(SAMPLES / "11_gap_14_days.csv"), *ON, "--pest", "apple-maggot",
          "-o", "a.svg"), "missing", "gddcast weather patch"),
        (("calibration", str(SAMPLES / "01_clean_iso_f.csv"), "--on", "2026-07-01",
          "-o", "a.svg"), "too few whole seasons", "Add older years"),
        (("compare", str(SAMPLES / "11_gap_14_days.csv"), "--on", "2027-03-01", "-o", "a.svg"),
         "no season in it has all its days", "weather patch"),
        (("day-curve", LARK, "--day", "2031-01-01", "--lower", "50F", "-o", "a.svg"),
         "its low or its high is not known", "Name a day"),
        (("day-curve", "--high", "40", "--low", "50", "--lower", "50", "--unit", "F",
          "-o", "a.svg"), "above its high", "Swap"),
        (("day-curve", "--high", "72", "--low", "46", "--lower", "50", "-o", "a.svg"),
         "don’t say whether", "--unit F"),
    ],
)  # fmt: skip
def test_refusals_write_nothing(
    words: tuple[str, ...], says: str, cure: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where, what was found and expected, how to put it right; exit 3."""
    monkeypatch.chdir(tmp_path)
    Path("there.svg").write_text("mine")
    answer = run(*words)
    assert answer.exit_code == 3, answer.output
    told = answer.stderr[answer.stderr.index("Can’t use ") :]
    assert says in told
    assert cure in told
    assert len(told.splitlines()) == 3
    assert [path.name for path in tmp_path.iterdir()] == ["there.svg"]
    assert Path("there.svg").read_text() == "mine"


@pytest.mark.parametrize("command", ["chart season", "backtest"])
def test_without_matplotlib_nothing_is_tried(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    target = str(tmp_path / "a.svg")
    flag = "--picture" if command == "backtest" else "-o"
    answer = CliRunner().invoke(main, [*command.split(), LARK, *ON, flag, target])
    assert answer.exit_code == 3
    assert "pip install 'gddcast[charts]'" in answer.stderr
    assert answer.stdout == ""
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "words",
    [
        ("day-curve", "--lower", "50F", "-o", "a.svg"),
        ("day-curve", LARK, "--high", "72", "--lower", "50F", "-o", "a.svg"),
        ("day-curve", LARK, "--lower", "50F", "-o", "a.svg"),
        ("season", LARK, "--pest", "squash-bug", "--goal", "500F", "-o", "a.svg"),
        ("season", LARK),
        ("pie", LARK, "-o", "a.svg"),
    ],
)
def test_what_is_not_understood_exits_2(words: tuple[str, ...]) -> None:
    assert run(*words).exit_code == 2


def test_a_backtest_draws_what_the_chart_draws(tmp_path: Path) -> None:
    one, other = tmp_path / "one.svg", tmp_path / "other.svg"
    words = [LARK, *ON, "--pests", "squash-vine-borer"]
    told = CliRunner().invoke(main, ["backtest", *words, "--picture", str(one)])
    assert told.exit_code == 0, told.output
    assert told.stdout.startswith("8–14 days ahead, ")
    assert run("calibration", *words, "-o", str(other)).exit_code == 0
    assert hashlib.sha256(one.read_bytes()).digest() == hashlib.sha256(other.read_bytes()).digest()
    described = named(one.read_bytes())[2]
    assert described.startswith(told.stdout.splitlines()[0])


def test_own_words_in_a_place_s_name_come_out_as_words(tmp_path: Path) -> None:
    """A file's name stands in the picture; markup in it stays words."""
    file = tmp_path / "a <b> & $x_1$.csv"
    file.write_text(Path(LARK).read_text(encoding="utf-8"), encoding="utf-8")
    target = tmp_path / "a.svg"
    answer = run("calibration", str(file), *ON, "--pests", "squash-vine-borer", "-o", str(target))
    assert answer.exit_code == 0, answer.output
    assert "a <b> & $x_1$" in named(target.read_bytes())[2]
    drawn = target.read_text(encoding="utf-8").split("</desc>")[1]
    assert "a &lt;b&gt; &amp; $x_1$" in drawn


def test_the_help_names_every_card_with_a_curve() -> None:
    answer = CliRunner().invoke(main, ["chart", "emergence", "--help"])
    said = "".join(answer.output.split()).split("curve:")[1].split(",andyourown")[0]
    curved = [
        key
        for key, card in load_cards().items()
        if any(number.emergence for event in card.events for number in event.numbers)
    ]
    assert said.split(",") == sorted(curved)
