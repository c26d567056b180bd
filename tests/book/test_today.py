"""What a book remembers of its weather, to the second."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from gddcast.book.fingerprints import fingerprint
from gddcast.book.opening import Book
from gddcast.book.today import BookMemory
from gddcast.today.announcements import Announcement
from gddcast.weather.series import DailySeries
from tests.book.places import FILE, NOW, TODAY, days, new_book

FIRST, MENDED = days("2026-06-23", [10, 11], [20, 21]), days("2026-06-23", [10, 15], [20, 25])


def bring(book: Book, series: DailySeries, now: dt.datetime) -> None:
    with book.writing(now, TODAY, trust_clock=True) as pen:
        pen.weather(series, FILE)


def told_from(series: DailySeries) -> Announcement:
    return Announcement(
        "walk", NOW, TODAY, "2026", "squash-bug", "eggs", "", TODAY, None, None, fingerprint(series)
    )


@pytest.mark.parametrize("told", [FIRST, MENDED], ids=["before it was mended", "after"])
def test_what_was_written_in_the_second_of_telling_is_told_apart(
    tmp_path: Path, told: DailySeries
) -> None:
    """The record the dates came from is found again, whichever of two it was."""
    book = new_book(tmp_path)
    bring(book, FIRST, NOW - dt.timedelta(hours=1))
    kept_first = book.weather(as_of=NOW)
    bring(book, MENDED, NOW)
    kept = kept_first if told is FIRST else book.weather(as_of=NOW)
    assert kept is not None
    then, _ = BookMemory(book).weather(TODAY, told_from(kept))
    assert then is not None
    assert then.tmin.tolist() == told.tmin.tolist()


def test_of_a_record_that_is_gone_what_was_kept_at_that_moment_is_given(tmp_path: Path) -> None:
    """Even where the book held nothing a second before."""
    book = new_book(tmp_path)
    assert BookMemory(book).weather(TODAY, told_from(FIRST))[0] is None
    bring(book, MENDED, NOW)
    then, _ = BookMemory(book).weather(TODAY, told_from(FIRST))
    assert then is not None
    assert then.tmin.tolist() == MENDED.tmin.tolist()
