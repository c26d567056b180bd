"""Calendar, terminal, pipe and Ctrl-C: what leaves the program arrives whole, or not at all."""

from __future__ import annotations

import datetime as dt
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import icalendar
import numpy as np
import pytest
import vobject

from gddcast.book import weather_rows
from tests import interrupts
from tests.acceptance.second_opinion import DAY
from tests.acceptance.terminal import (
    BORER,
    TO_JUNE,
    WHOLE,
    at_a_terminal,
    in_own_process,
    programs,
    run,
    stage_of,
)

posix = pytest.mark.skipif(os.name != "posix", reason="terminals and signals are those of POSIX")
Event = tuple[dt.date, dt.date, int, str]


def read_by_both(file: Path) -> dict[str, Event]:
    """First day, end, SEQUENCE and title by UID; two libraries must say the same."""
    first = {
        str(item["UID"]): (item["DTSTART"].dt, item["DTEND"].dt, int(item["SEQUENCE"]),
                           str(item["SUMMARY"]))
        for item in icalendar.Calendar.from_ical(file.read_bytes()).events
    }  # fmt: skip
    second = {
        item.uid.value: (item.dtstart.value, item.dtend.value, int(item.sequence.value),
                         item.summary.value)
        for item in vobject.readOne(file.read_text(encoding="utf-8")).vevent_list
    }  # fmt: skip
    assert first == second
    return first


def bring_in(calendar: dict[str, Event], file: Path) -> None:
    """What a calendar program does with a file it is given again: RFC 5545, 3.8.7.4.

    An item it holds already is replaced where the file's SEQUENCE is not lower.
    """
    for uid, event in read_by_both(file).items():
        if uid not in calendar or event[2] >= calendar[uid][2]:
            calendar[uid] = event


def test_a_calendar_has_the_right_day_and_is_updated_not_doubled(book: Path) -> None:
    calendar: dict[str, Event] = {}
    told, moved = dt.date.min, []
    for on in ("2026-06-11", "2026-06-17", "2026-06-17", "2026-06-19"):
        run("calendar", "-o", "reminders.ics", "--on", on)
        bring_in(calendar, Path("reminders.ics"))
        opens = dt.date.fromisoformat(
            stage_of(programs("walk", "--on", on), "moths")["look"]["from"]
        )
        # A reminder that nags is not read: it moves for three days or more (common practice).
        if abs((opens - told).days) >= 3:
            told = opens
            moved.append(on)
        ((first, end, _, title),) = calendar.values()
        # One day; its end is the day after, which RFC 5545, 3.6.1, leaves out.
        assert (first, end - first) == (told, DAY)
        assert title.startswith("Start looking: Squash vine borer: first moths")
    assert moved == ["2026-06-11", "2026-06-17"]
    assert len(calendar) == 1
    # A find: the moths' reminder is confirmed, the eggs' is new.
    run("saw", BORER, "moths", "--seen", "2026-06-24", "--clean", "2026-06-22", "--on",
        "2026-06-25")  # fmt: skip
    run("calendar", "-o", "reminders.ics", "--on", "2026-06-25")
    bring_in(calendar, Path("reminders.ics"))
    hatch = stage_of(programs("walk", "--on", "2026-06-25"), "egg-hatch")["look"]["from"]
    days = {title: str(first) for first, _, _, title in calendar.values()}
    assert {day for title, day in days.items() if "eggs hatching" in title} == {hatch}
    assert len(days) == len(calendar)


@posix
@pytest.mark.parametrize("env", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=str)
@pytest.mark.parametrize(
    "words",
    [("walk",), ("backtest", str(TO_JUNE), "--pests", BORER), ("pests", BORER), ("--help",)],
    ids=lambda words: words[0],
)
def test_a_terminal_that_wants_no_codes_gets_none(
    book: Path, env: dict[str, str], words: tuple[str, ...]
) -> None:
    on = () if words[0] in ("pests", "--help") else ("--on", "2026-06-11")
    code, screen, _ = at_a_terminal([*words, *on], [], book.parent, **env)
    assert code == 0, screen
    assert "\x1b" not in screen
    assert "\r" not in screen


@posix
def test_a_backtest_draws_its_bar_on_a_terminal_and_nowhere_else(here: Path) -> None:
    words = ["backtest", str(TO_JUNE), "--pests", BORER, "--on", "2026-06-11"]
    code, screen, _ = at_a_terminal(words, [], here, NO_COLOR="")
    assert code == 0, screen
    assert "Foretelling past seasons" in screen
    assert "100%" in screen
    piped = in_own_process(words, here)
    assert piped.returncode == 0
    assert piped.stderr == b""
    assert b"Foretelling" not in piped.stdout


@posix
def test_a_refusal_on_a_terminal_and_down_a_pipe_has_no_codes(book: Path) -> None:
    code, screen, _ = at_a_terminal(["ahead", "none.csv"], [], book.parent)
    assert code == 3
    assert "\x1b" not in screen
    piped = in_own_process(["ahead", "none.csv"], book.parent)
    assert piped.returncode == 3
    assert piped.stdout == b""
    assert b"\x1b" not in piped.stderr


def test_down_a_pipe_json_is_json_and_nothing_else(book: Path) -> None:
    """``gddcast walk --json | python -m json.tool``."""
    python = f'"{sys.executable}" -m'
    command = f"{python} gddcast walk --json --on 2026-06-11 | {python} json.tool"
    done = subprocess.run(
        command, shell=True, cwd=book.parent, capture_output=True, check=False, timeout=60
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == b""
    assert json.loads(done.stdout)["schema"] == "gddcast/walk/1"


def test_a_refusal_for_programs_is_json_too(here: Path) -> None:
    answer = run("walk", "--json", code=3)
    told = json.loads(answer.stdout)
    assert told["schema"] == "gddcast/refusal/1"
    assert all(told["refusal"][part] for part in ("where", "found", "expected", "cure", "slug"))
    assert answer.stderr.startswith("Can’t use ")


@posix
def test_who_has_read_enough_may_close_the_pipe(book: Path) -> None:
    """``gddcast walk | head -1`` ends without a word of complaint."""
    with subprocess.Popen(
        [sys.executable, "-m", "gddcast", "walk", "--on", "2026-06-11"],
        cwd=book.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        said = process.stderr.read()
        assert process.wait(timeout=60) == 0
    assert said == b""


@posix
def test_ctrl_c_while_a_file_is_read_leaves_the_book_as_it_was(book: Path) -> None:
    """The file is a pipe that never ends, so that the reading is interrupted for certain."""
    before = (book / "book.sqlite").read_bytes()
    file = book.parent / "garden.csv"
    os.mkfifo(file)
    with interrupts.heard():
        process = subprocess.Popen(
            [sys.executable, "-m", "gddcast", "weather", "add", "garden.csv", "--no-input"],
            cwd=book.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
    # Who opens a pipe waits for the other end, so inside it is being read.
    with file.open("w", encoding="utf-8") as pipe:
        pipe.write("date,max_f,min_f\n2026-09-01,80,60\n")
        pipe.flush()
        process.send_signal(signal.SIGINT)
        out, said = process.communicate(timeout=60)
    assert process.returncode == 130
    assert said == "Interrupted; nothing half-written.\n"
    assert out == ""
    assert (book / "book.sqlite").read_bytes() == before


def test_ctrl_c_in_the_middle_of_writing_leaves_the_book_as_it_was(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half of the days are in the transaction when it comes."""
    told = book_s_own_words()
    rows = WHOLE.read_text(encoding="utf-8").splitlines()
    later = [f"2026-09-{day:02d},80,60" for day in range(1, 21)]
    Path("longer.csv").write_text("\n".join([*rows, *later]) + "\n")
    write, came = weather_rows._write_days, []

    def half(connection, entry, coming, written):  # type: ignore[no-untyped-def]
        places = np.flatnonzero(written)
        assert places.size == len(later)
        written[places[len(later) // 2 :]] = False
        write(connection, entry, coming, written)
        came.append(entry)
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(weather_rows, "_write_days", half)
        answer = run("weather", "add", "longer.csv", "--on", "2026-10-01", code=130)
    assert came
    assert answer.stderr.endswith("Interrupted; nothing half-written.\n")
    assert book_s_own_words() == told
    run("weather", "add", "longer.csv", "--on", "2026-10-01")
    assert "2026-002" in book_s_own_words()["entry.csv"]


def book_s_own_words() -> dict[str, str]:
    """Everything a book hands over."""
    run("export", "out")
    words = {file.name: file.read_text(encoding="utf-8") for file in Path("out").glob("*.csv")}
    shutil.rmtree("out")
    return words
