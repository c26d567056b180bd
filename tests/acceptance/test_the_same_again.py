"""``--on`` is today: with it the machine's clock has no say, and the same words answer the same."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from tests.acceptance.terminal import BORER, SAMPLES, WHOLE, refused, run

ON = ("--on", "2026-06-11")
FILE = str(WHOLE)
OF_A_FILE = [
    ("ahead", FILE, "--watch", BORER),
    ("why", "--file", FILE, BORER, "moths", "--days"),
    ("heat", FILE, "--lower", "50F", "--from", "2026-06-01"),
    ("seasons", FILE),
    ("sow", "last", FILE, "--crop", "cucumber", "--heat", "1003F"),
    ("sow", "first", FILE),
    ("sow", "plan", FILE, "--crop", "cucumber", "--sown", "2026-05-20"),
    ("weather", "check", FILE),
    ("weather", "compare", FILE, str(SAMPLES / "farm_two_ponds_f.csv")),
]
OF_A_BOOK = [
    ("walk",), ("ahead",), ("why", BORER, "moths"), ("seasons",), ("tune", BORER, "moths"),
    ("sow", "first"),
]  # fmt: skip


def at_no_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever asks what day it is on this machine, fails."""

    def asked(*_: object) -> dt.date:
        raise AssertionError("the machine's clock was asked")

    for room in ("opening", "book_here", "clock"):
        monkeypatch.setattr(f"gddcast.cli.{room}.today_at", asked)


@pytest.mark.parametrize("words", [*OF_A_FILE, *OF_A_BOOK], ids=" ".join)
def test_with_on_no_clock_is_asked_and_the_bytes_are_the_same(
    words: tuple[str, ...], book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_no_clock(monkeypatch)
    once = run(*words, *ON)
    assert run(*words, *ON).stdout_bytes == once.stdout_bytes
    assert "31 August" not in once.stdout  # what was measured after that day is not on record


def test_answers_for_programs_differ_in_the_moment_alone(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_no_clock(monkeypatch)
    for words in (("walk",), ("seasons",), *OF_A_FILE[2:4], ("weather", "check", FILE)):
        answers = [json.loads(run(*words, *ON, "--json").stdout) for _ in range(2)]
        for answer in answers:
            assert answer.pop("made")
        assert answers[0] == answers[1], words


@pytest.mark.parametrize(
    ("words", "name"), [(("report",), "season.html"), (("calendar",), "reminders.ics")]
)
def test_what_is_written_is_written_again_to_the_byte(
    words: tuple[str, ...], name: str, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_no_clock(monkeypatch)
    files = []
    for again in (1, 2):
        folder = book.parent / str(again)
        folder.mkdir()
        run(*words, FILE, "--watch", BORER, *ON, "-o", str(folder / name))
        files.append((folder / name).read_bytes())
    assert without_stamp(files[0]) == without_stamp(files[1])


def without_stamp(file: bytes) -> list[bytes]:
    """Lines of a calendar but for the moment it was made, which RFC 5545 wants in it."""
    return [line for line in file.splitlines() if not line.startswith(b"DTSTAMP")]


def test_a_day_before_the_record_is_refused(here: Path) -> None:
    said = refused("ahead", FILE, "--on", "2010-01-01")
    assert "the record had not begun then" in said
    assert "runs from 2014-01-01 to 2026-08-31" in said


def test_the_first_morning_of_a_record_is_answered_by_every_command(here: Path) -> None:
    """Nothing is known yet: a date nobody can say, or a refusal, never a fault of ours."""
    first = ("--on", "2014-01-01")
    assert "no past year on file" in run(*OF_A_FILE[1], *first).stdout
    assert "Can’t say" in run(*OF_A_FILE[0], *first).stdout
    assert "Wed 1 January" in run("heat", FILE, "--lower", "50F", *first).stdout
    assert run("seasons", FILE, *first).stdout.count("\n") <= 3
    assert "no whole past season" in refused("sow", "first", FILE, *first)
    assert "too few whole seasons" in refused("backtest", FILE, *first)
