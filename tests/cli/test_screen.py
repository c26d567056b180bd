"""One gate for every printed character: nothing hidden gets out, and no encoding ends a command."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from gddcast.cli import main
from gddcast.cli.screen import Gate
from gddcast.text.hidden_characters import visible
from tests.acceptance.terminal import at_a_terminal

GARDEN = Path(__file__).parents[1] / "samples" / "larkhollow_2014_2026_f.csv"
ON = ("--on", "2026-06-11")
#: Colour, the clipboard written (OSC 52), a C1 control, text turned round, an unseen letter.
HOSTILE = "a\x1b[31m\x1b]52;c;cm0gLXJmIH4=\x07\x9b2J\u202egnp.\u2066\u200b\ufeff\r\U000e0041z"
ENCODINGS = ("utf-8", "cp1252", "latin-1", "cp437", "ascii", "koi8-r", "cp932", "utf-16")

anything = st.text(st.characters(exclude_categories=()))


def printed(text: str, encoding: str, lacking: str) -> bytes:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, newline="")
    gate = Gate(stream, lacking)
    assert gate.write(text) == len(text)
    gate.flush()
    return raw.getvalue()


def test_of_all_characters_those_that_hide_or_turn_are_shown() -> None:
    r"""By Unicode's own categories and directions, which the gate does not ask."""
    turns = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    hidden = [
        each
        for each in map(chr, range(0x110000))
        if unicodedata.category(each) in ("Cc", "Cs", "Zl", "Zp")
        or unicodedata.bidirectional(each) in turns
        or (unicodedata.category(each), unicodedata.bidirectional(each)) == ("Cf", "BN")
    ]
    notes = {chr(code) for first in (0x1BCA0, 0x1D173) for code in range(first, first + 8)}
    passed = [each for each in hidden if visible(each) == each]
    assert set(passed) <= {"\n", "\t"} | notes, [ascii(each) for each in passed]
    assert len(hidden) > 2000
    for each in (*hidden, HOSTILE):
        assert visible(visible(each)) == visible(each)


def test_ordinary_words_pass_as_they_are() -> None:
    words = "Zürich\t−3,5 °C ± 2 · 1,000 °F·d ●◑ 北園 “bed”\n"
    assert visible(words) == words


@given(anything, st.sampled_from(ENCODINGS), st.sampled_from(["gddcast-marks", "gddcast-escapes"]))
def test_no_encoding_ends_an_answer(text: str, encoding: str, lacking: str) -> None:
    shown = printed(text, encoding, lacking).decode(encoding)
    assert shown.count("\n") >= text.count("\n")


# Codecs that read back what they wrote; cp932 has two signs for one.
@given(anything, st.sampled_from([each for each in ENCODINGS if each != "cp932"]))
def test_an_answer_for_programs_stays_json_and_loses_nothing(text: str, encoding: str) -> None:
    answer = json.dumps({"where": text}, ensure_ascii=False)
    shown = printed(answer, encoding, "gddcast-escapes").decode(encoding)
    back = json.loads(shown)["where"]
    # Two halves that stand side by side are one character in JSON.
    whole = text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")
    assert back == whole


def test_our_own_signs_have_marks_that_are_read() -> None:
    said = "20–22 °F ± 3 · “moths” → ½ … é ● 北"
    assert printed(said, "ascii", "gddcast-marks") == (
        b'20-22 degF +- 3 . "moths" -> 1/2 ... e * ?'
    )
    assert printed("20–22 °F", "cp437", "gddcast-marks") == "20-22 °F".encode("cp437")


@pytest.fixture
def hostile(made: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """That folder, and we are in it."""
    monkeypatch.chdir(made)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return made


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a book whose every free word is hostile, and files whose every cell is."""
    tmp_path = tmp_path_factory.mktemp("hostile")
    book = str(tmp_path / "patch")
    shutil.copy(GARDEN, tmp_path / "garden.csv")
    rows = GARDEN.read_text(encoding="utf-8").splitlines()[1:]
    two = [f"{row},{site}" for row in rows[:60] for site in (HOSTILE.replace("\r", ""), "b")]
    (tmp_path / "sites.csv").write_text("\n".join(["date,max_f,min_f,site", *two]) + "\n")
    name = HOSTILE.replace("\r", "").replace("\ufeff", "")
    (tmp_path / "columns.csv").write_text(f"date,{name} max,min_f\n2026-05-01,x{name},50\n")
    shutil.copy(GARDEN, tmp_path / f"{name[:30]}.csv")
    for words in (
        ("setup", "--book", book, "--name", "Patch", "--at", "41.2,-89.4", "--timezone",
         "America/Chicago", "--show", "F", "--no-input"),
        ("weather", "add", str(GARDEN), "--book", book, *ON),
        ("did", "sown", "cucumber", "--done", "2026-05-21", "--bed", HOSTILE, "--variety", HOSTILE,
         "--name", HOSTILE, "--note", HOSTILE, "--book", book, *ON),
        ("saw", "squash-bug", "eggs", "--seen", "2026-06-10", "--clean", "2026-06-08", "--where",
         HOSTILE, "--note", HOSTILE, "--no-input", "--book", book, *ON),
    ):  # fmt: skip
        answer = CliRunner().invoke(main, words)
        assert answer.exit_code == 0, answer.output
        unseen(answer.output)
    return tmp_path


def unseen(said: str) -> None:
    bad = [ascii(each) for each in said if each != "\n" and not each.isprintable()]
    assert not bad, (bad, ascii(said))


@pytest.mark.parametrize(
    "words",
    [
        ("walk", "--book", "patch"), ("walk", "--book", "patch", "--json"),
        ("ahead", "--book", "patch"), ("why", "squash-bug", "eggs", "--book", "patch"),
        ("undo", "--book", "patch"), ("did", "up", HOSTILE, "--book", "patch"),
        ("did", "up", f"other {HOSTILE}", "--book", "patch"), ("weather", "check", "sites.csv"),
        ("weather", "check", "columns.csv"), ("weather", "check", "columns.csv", "--json"),
        ("heat", "columns.csv", "--lower", "50F"), ("pests", HOSTILE), ("saw", HOSTILE),
        ("saw", "squash-bug", HOSTILE, "--book", "patch"), ("ahead", HOSTILE), (HOSTILE,),
        ("walk", "--book", HOSTILE), ("walk", "--on", HOSTILE), ("report", "-o", HOSTILE + "/a"),
        ("setup", "--name", HOSTILE, "--book", "new", "--timezone", "UTC", "--show", "F"),
        ("ahead", "garden.csv", "--watch", HOSTILE), ("walk", f"--{HOSTILE}"),
    ],
    ids=lambda words: ascii(" ".join(words))[:40],
)  # fmt: skip
def test_nothing_hostile_gets_out_of_any_answer(hostile: Path, words: tuple[str, ...]) -> None:
    answer = CliRunner().invoke(main, [*words, *(() if "--on" in words else ON)])
    assert answer.output
    unseen(answer.stdout)
    unseen(answer.stderr)
    assert "a fault of gddcast" not in answer.stderr
    if "--json" in words:
        json.loads(answer.stdout)


def test_the_gate_keeps_what_a_refusal_is_about(hostile: Path) -> None:
    answer = CliRunner().invoke(main, ["weather", "check", "sites.csv", "--unit", "F", *ON])
    assert answer.exit_code == 3
    # click takes codes of colour out where no terminal is.
    assert r"a\u001b]52;c;cm0gLXJmIH4=\u0007\u009b2J\u202egnp." in answer.stderr


def own_process(words: list[str], **env: str) -> subprocess.CompletedProcess[bytes]:
    import os

    return subprocess.run(
        [sys.executable, "-m", "gddcast", *words], env={**os.environ, **env},
        capture_output=True, check=False, timeout=60, stdin=subprocess.DEVNULL,
    )  # fmt: skip


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii"])
def test_an_entry_is_written_and_said_on_any_terminal(hostile: Path, encoding: str) -> None:
    """Each of these ended a command after its entry was in the book."""
    note = ["weather", "note", "--high", "80", "--low", "60", "--book", "patch", *ON]
    for words in (
        note, ["walk", "--full", "--watch", "squash-vine-borer", "--book", "patch", *ON],
        ["walk", "--book", "patch", "--json", *ON],
    ):  # fmt: skip
        answer = own_process(words, PYTHONIOENCODING=encoding)
        assert answer.returncode == 0, answer.stderr
        shown = answer.stdout.decode(encoding)
        assert shown
        assert b"fault" not in answer.stderr
        if "--json" in words:
            json.loads(shown)
        elif words is not note:
            assert ("degF" if encoding == "ascii" else "°F") in shown


BOLD = "\x1b[1m"
AHEAD = ("ahead", "garden.csv", "--watch", "squash-vine-borer", *ON)


@pytest.mark.parametrize(
    ("words", "styled"),
    [
        (AHEAD, False), (("--color", "always", *AHEAD), True),
        ((*AHEAD, "--color", "always"), True),
        ((*AHEAD, "--color", "auto"), False), ((*AHEAD, "--color", "never"), False),
        (("--color", "always", *AHEAD, "--color", "never"), False),
        (("pests", "squash-bug", "--color", "always"), True),
        (("why", "garden.csv", "squash-vine-borer", "moths", *ON, "--color", "always"), True),
        (("walk", "--book", "patch", *ON, "--color", "always"), True),
        (("ahead", "garden.csv", "--json", *ON, "--color", "always"), False),
    ],
    ids=lambda each: " ".join(each)[-60:] if isinstance(each, tuple) else str(each),
)  # fmt: skip
def test_bold_and_dim_are_written_where_they_are_wanted(
    hostile: Path, words: tuple[str, ...], styled: bool
) -> None:
    """Down a pipe only when it is asked for; and never another sequence."""
    shown = CliRunner().invoke(main, words, color=True).stdout
    assert (BOLD in shown) is styled
    for ours in (BOLD, "\x1b[2m", "\x1b[0m"):
        shown = shown.replace(ours, "")
    unseen(shown)


@pytest.mark.parametrize(
    ("env", "styled"),
    [({}, True), ({"NO_COLOR": "1"}, False), ({"NO_COLOR": ""}, True), ({"TERM": "dumb"}, False)],
    ids=str,
)
def test_a_terminal_gets_emphasis_unless_no_color_asks_for_none(
    hostile: Path, env: dict[str, str], styled: bool
) -> None:
    """no-color.org: set and not empty, whatever its value (read 2026; an open convention)."""
    words = ["ahead", "garden.csv", "--watch", "squash-vine-borer", *ON]
    code, shown, _ = at_a_terminal(words, [], hostile, **({"NO_COLOR": ""} | env))
    assert code == 0
    assert (BOLD in shown) is styled
    if not styled:
        assert "\x1b" not in shown
        asked = at_a_terminal([*words, "--color", "always"], [], hostile, **env)[1]
        assert BOLD in asked


@pytest.mark.parametrize("columns", ["60", "80", "200"])
def test_lines_keep_to_the_terminal(hostile: Path, columns: str) -> None:
    for words in (AHEAD, (*AHEAD, "--full"), ("pests",), ("pests", "squash-bug"), ("crops",)):
        shown = CliRunner(env={"COLUMNS": columns}).invoke(main, words).stdout
        assert max(map(len, shown.splitlines())) <= min(int(columns), 92), words


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_an_axis_is_read_in_any_encoding(hostile: Path, encoding: str) -> None:
    """Marks and their legend fall back together, each by one letter."""
    shown = own_process(list(AHEAD), PYTHONIOENCODING=encoding).stdout.decode(encoding)
    plain = CliRunner(env={"COLUMNS": None}).invoke(main, AHEAD).stdout
    (row,) = (each for each in shown.splitlines() if each.startswith("Squash vine borer"))
    (drawn,) = (each for each in plain.splitlines() if each.startswith("Squash vine borer"))
    dot = "." if encoding == "ascii" else "·"
    assert row.rstrip() == drawn.replace("│", "|").replace("▲", "^").replace("·", dot)
    mark = "'" if encoding == "ascii" else "’"
    assert f"{dot} one past year{mark}s weather" in shown
    assert "^ start looking; | today" in shown


@given(anything)
def test_the_door_for_emphasis_lets_three_sequences_through_and_nothing_else(text: str) -> None:
    stream = io.StringIO()
    Gate(stream, "gddcast-marks").write_laid_out(f"\x1b[1m{text}\x1b[0m\x1b[2m{HOSTILE}\x1b[0m")
    shown = stream.getvalue()
    for ours in ("\x1b[1m", "\x1b[2m", "\x1b[0m"):
        shown = shown.replace(ours, "")
    assert visible(shown) == shown
