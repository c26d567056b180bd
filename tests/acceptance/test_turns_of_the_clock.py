"""Midnight, new year, leap day, summer time, a travelling laptop: the day is the garden's."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import subprocess
import sys
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from gddcast.book.opening import open_book
from gddcast.cli import clock
from gddcast.journal.entries import Job
from gddcast.names import file_word
from gddcast.weather.series import Place, season_of
from tests.acceptance.terminal import BORER, SAMPLES, WHOLE, in_own_process, programs, run
from tests.book.places import new_book


@pytest.mark.parametrize(
    ("moment", "zone", "day"),
    [
        ("2026-01-01T05:59:59", "America/Chicago", "2025-12-31"),
        ("2026-01-01T06:00:00", "America/Chicago", "2026-01-01"),
        ("2028-02-29T05:59:00", "America/Chicago", "2028-02-28"),
        ("2028-03-01T05:59:00", "America/Chicago", "2028-02-29"),
        ("2026-03-08T05:30:00", "America/Chicago", "2026-03-07"),  # the day that has 23 hours
        ("2026-03-09T04:30:00", "America/Chicago", "2026-03-08"),
        ("2026-03-09T05:00:00", "America/Chicago", "2026-03-09"),
        ("2026-11-02T05:30:00", "America/Chicago", "2026-11-01"),  # the day that has 25
        ("2026-06-30T12:00:00", "Pacific/Auckland", "2026-07-01"),
        ("2026-06-10T18:29:00", "Asia/Kolkata", "2026-06-10"),
        ("2026-06-10T18:30:00", "Asia/Kolkata", "2026-06-11"),
    ],
)
def test_the_day_is_the_gardens_wherever_the_laptop_is(
    monkeypatch: pytest.MonkeyPatch, moment: str, zone: str, day: str
) -> None:
    now = dt.datetime.fromisoformat(moment).replace(tzinfo=dt.UTC)

    class Clock(dt.datetime):
        @classmethod
        def now(cls, tz: dt.tzinfo | None = None) -> dt.datetime:  # type: ignore[override]
            return now.astimezone(tz or ZoneInfo("Pacific/Honolulu"))

    monkeypatch.setattr(clock.dt, "datetime", Clock)
    assert clock.today_at(Place("x", timezone=zone)) == dt.date.fromisoformat(day)


def test_an_hour_that_comes_twice_is_no_clock_set_back(tmp_path: Path) -> None:
    """1 November 2026: 1:50 in summer time, then 1:10 in winter time, 20 minutes later."""
    book, zone, day = (
        new_book(tmp_path / "patch"),
        ZoneInfo("America/Chicago"),
        dt.date(2026, 11, 1),
    )
    before = dt.datetime(2026, 11, 1, 1, 50, fold=0, tzinfo=zone)
    after = dt.datetime(2026, 11, 1, 1, 10, fold=1, tzinfo=zone)
    for moment in (before, after):
        with book.writing(moment, day) as pen:
            pen.add(Job("watered", day))
    first, second = (each.entered_at for each in open_book(book.folder).entries())
    assert second - first == dt.timedelta(minutes=20)


@pytest.mark.parametrize(
    "day", ["2024-02-28", "2024-02-29", "2024-03-01", "2024-12-31", "2025-01-01", "2026-03-08"]
)
def test_no_day_of_the_calendar_is_odd(day: str) -> None:
    file = str(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv")
    answer = programs("ahead", file, "--watch", BORER, "--at", "41.2,-89.4", "--on", day)
    assert answer["items"]
    dots = [dot["day"] for item in answer["items"] if item["sum_reached"]
            for dot in item["sum_reached"]["high_end"]["year_dots"] if dot["day"]]  # fmt: skip
    assert all(each >= day[:4] for each in dots if each > day)
    assert run("walk", file, "--watch", BORER, "--on", day).stdout


@pytest.mark.parametrize("begins", [(2, 29), (12, 31), (1, 1), (7, 1)])
def test_every_day_lies_in_one_season_whenever_it_begins(begins: tuple[int, int]) -> None:
    day, last = dt.date(2023, 1, 1), None
    while day < dt.date(2029, 1, 1):
        season = season_of(day, begins)
        assert season.first <= day <= season.last
        if last is not None and season != last:
            assert season.first == day == last.last + dt.timedelta(days=1)
        last, day = season, day + dt.timedelta(days=1)


LOCALES = [
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "LC_NUMERIC": "de_DE.UTF-8"},
    {"TZ": "Pacific/Kiritimati"},
]


def test_the_answer_is_the_same_in_every_language_and_zone_of_the_machine(tmp_path: Path) -> None:
    """Commas, capitals and days are those of the file and the place, never of the machine."""
    shutil.copy(WHOLE, tmp_path / "garden.csv")
    words = ("ahead", "garden.csv", "--watch", "SQUASH-VINE-BORER", "--at", "41.2,-89.4",
             "--on", "2026-06-11", "--json")  # fmt: skip
    answers = []
    for env in ({}, *LOCALES):
        done = in_own_process(words, tmp_path, env)
        assert done.returncode == 0, done.stderr
        answers.append(json.loads(done.stdout)["items"])
    assert all(each == answers[0] for each in answers[1:])


def test_bytes_that_are_no_text_here_are_refused_in_words(tmp_path: Path) -> None:
    """Typed in a terminal of another encoding than the machine's."""
    book = new_book(tmp_path / "patch")
    done = subprocess.run(
        [sys.executable, "-m", "gddcast", "saw", "none", "--on", "2026-06-11", "--book", "patch",
         "--where", b"\xd6stra"],
        cwd=tmp_path, capture_output=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode == 3, done.stderr
    assert (
        "Can’t use a word of this command: it holds bytes that are no text here".encode()
        in done.stderr
    )
    assert not book.entries()


@pytest.mark.parametrize("name", ["CON", "nul", "Aux.", "COM1", "lpt9", "..", "/", "a:b", "a\\b"])
def test_a_place_of_any_name_gets_a_folder_that_every_system_takes(name: str) -> None:
    word = file_word(name)
    assert word.strip(". ") == word
    assert not set(word) & set('<>:"/\\|?*')
    assert word.upper() not in {"CON", "PRN", "AUX", "NUL", "COM1", "LPT9"}
    assert word


def test_a_book_edited_on_windows_is_the_same_book(tmp_path: Path) -> None:
    book = new_book(tmp_path / "patch", watch=("squash-bug",))
    file = book.folder / "book.toml"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n"))
    assert open_book(book.folder).settings == book.settings
