"""A record that ends in February tells nobody in June that nothing is due."""

from __future__ import annotations

import json
from html import unescape
from pathlib import Path

import jsonschema
import pytest

from gddcast.readers.opening import data_folder
from tests.acceptance.terminal import BORER, TO_JUNE, flat, programs, run, setting, stage_of

BEETLE = "striped-cucumber-beetle"
ON = ("--on", "2026-06-11")
SAID = "No all-clear: the last 102 days are not on record; past years’ weather stands in for them"
ALL_CLEAR = ("nothing on your list is due", "Nothing on your list is due", "nothing missing")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file and a book of Larkhollow through 28 February 2026."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    rows = TO_JUNE.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [row for row in rows if row < "2026-03-01" or not row[0].isdigit()]
    Path("old.csv").write_text("".join(kept), encoding="utf-8")
    run("setup", "--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
        "--show", "F", "--book", "patch", "--no-input")  # fmt: skip
    run("weather", "add", "old.csv", "--book", "patch", "--on", "2026-03-01")
    watch(BORER, BEETLE)
    return tmp_path


def watch(*names: str) -> None:
    """The book's watch list."""
    (line,) = (
        line for line in Path("patch/book.toml").read_text(encoding="utf-8").splitlines()
        if line.lstrip("# ").startswith("watch = ")
    )  # fmt: skip
    setting(Path("patch"), line, f"watch = [{', '.join(repr(name) for name in names)}]")


SURFACES = [
    ("walk", "--book", "patch"), ("ahead", "--book", "patch"),
    ("ahead", "old.csv", "--watch", f"{BORER},{BEETLE}"), ("why", "old.csv", BORER),
    ("sheet", "--book", "patch", "-o", "out"), ("report", "--book", "patch", "-o", "out"),
    ("calendar", "--book", "patch", "-o", "out"), ("seasons", "--book", "patch"),
    ("sow", "plan", "old.csv", "--crop", "cucumber", "--sown", "2026-05-20"),
    ("saw", BORER, "eggs", "--book", "patch"),
    ("chart", "season", "old.csv", "--lower", "50F", "-o", "out.svg"),
]  # fmt: skip


@pytest.mark.parametrize("words", SURFACES, ids=lambda each: " ".join(each[:2]))
def test_every_surface_says_so_in_one_sentence_and_gives_no_all_clear(
    here: Path, words: tuple[str, ...]
) -> None:
    shown = run(*words, *ON).stdout
    for out in (Path("out"), Path("out.svg")):
        if out.exists():
            shown = unescape(out.read_text(encoding="utf-8")).replace("\n ", "").replace("\\", "")
    said = flat(shown)
    assert SAID in said
    assert not [clear for clear in ALL_CLEAR if clear in said]


@pytest.mark.parametrize(
    ("words", "schema"),
    [
        (("walk", "--book", "patch"), "walk"), (("ahead", "old.csv"), "ahead"),
        (("why", "old.csv", BORER), "why"), (("seasons", "old.csv"), "seasons"),
        (("sow", "plan", "old.csv", "--crop", "cucumber", "--sown", "2026-05-20"), "sow-plan"),
    ],
)  # fmt: skip
def test_programs_read_it_in_one_field(here: Path, words: tuple[str, ...], schema: str) -> None:
    answer = programs(*words, *ON)
    weather = answer.get("weather", answer)
    assert weather["days_behind"] == 102
    file = data_folder() / "schemas" / f"{schema}.json"
    known = json.loads(file.read_text(encoding="utf-8"))
    jsonschema.validate(answer, known)
    weather["days_behind"] = -1
    with pytest.raises(jsonschema.ValidationError, match="less than the minimum"):
        jsonschema.validate(answer, known)
    if "weather" in answer:
        assert [note["text"] for note in answer["notes"] if note["slug"] == "days-behind"] == [
            f"{SAID}."
        ]


def test_a_cue_by_warmth_cannot_be_said_and_eggs_are_timed_by_the_week_named(here: Path) -> None:
    """Beetles by the air of the last week; the borer's eggs need 245 °F-days."""
    assert "Can’t say: " in run("walk", "--book", "patch", *ON).stdout
    walk = flat(run("walk", "--full", "--book", "patch", *ON).stdout)
    cue = "Can’t say: the weather of 4–10 June is not on record. The cue: beetles leave"
    assert cue in walk.split("CAN’T SAY")[1]
    item = stage_of(programs("ahead", "old.csv", "--watch", BORER, *ON), "moths")
    why = item["look"]["because"]
    assert why.endswith("days in past years’ weather of 4–10 June: 3 chances at each")
    assert 10 <= int(why.split("about ")[1].split()[0]) <= 16
    assert "this week" not in walk


def test_three_days_late_is_late_and_four_is_too_late(here: Path) -> None:
    """Exit 4 where a program asked for it; the same file is no fault a day earlier."""
    for words in (("ahead", "old.csv", "--watch", BEETLE), ("walk", "--full", "--book", "patch")):
        watch(BEETLE)
        shown = flat(run(*words, "--strict", "--on", "2026-03-04").stdout)
        assert "weather through Sat 28 February, 3 days behind" in shown
        assert "nothing on your list is due" in shown.lower()
        assert "nothing missing" not in shown
        shown = flat(run(*words, "--strict", "--on", "2026-03-05", code=4).stdout)
        assert "weather through Sat 28 February, 4 days behind" in shown
        assert "No all-clear: the last 4 days are not on record" in shown
