"""Copies beside a record: when one is made, which are kept, and going back to one."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from gddcast.book import copies, store
from gddcast.book.opening import Book, open_book
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from tests.book.places import NOW, TODAY, new_book

WEEK = dt.timedelta(days=7)


def found(book: Book, weeks: int, days: int = 0) -> None:
    """An entry so long after the first."""
    later = dt.timedelta(weeks=weeks, days=days)
    with book.writing(NOW + later, TODAY + later) as pen:
        pen.add(Sighting("squash-bug", "eggs", TODAY + later))


def weekly(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.glob("book-copy-*"))


def test_a_copy_is_made_once_a_week_from_a_week_after_the_first_entry(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    found(book, 0)
    found(book, 0, 6)
    assert weekly(tmp_path) == []
    found(book, 1)
    found(book, 1, 6)
    assert weekly(tmp_path) == ["book-copy-2026-07-02.sqlite"]
    found(book, 2)
    assert weekly(tmp_path) == ["book-copy-2026-07-02.sqlite", "book-copy-2026-07-09.sqlite"]
    held = {each.file.name: each.entries for each in copies.copies(book.records)}
    assert held == {"book-copy-2026-07-02.sqlite": 2, "book-copy-2026-07-09.sqlite": 4}


def test_a_copy_of_a_clock_that_ran_ahead_keeps_no_copy_from_being_made(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    found(book, 0)
    store.copy(book.records, tmp_path / "book-copy-2027-07-01.sqlite")
    found(book, 1)
    assert "book-copy-2026-07-02.sqlite" in weekly(tmp_path)


def test_the_last_weeks_and_a_month_each_are_kept() -> None:
    weeks = [dt.date(2025, 1, 1) + WEEK * n for n in range(100)]
    stay = sorted(copies.days_to_keep(weeks))
    assert stay[-4:] == weeks[-4:]
    assert len({(day.year, day.month) for day in stay}) == 12
    assert len(stay) == 15
    assert copies.days_to_keep(weeks[:1]) == {weeks[0]}


def test_older_copies_go(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    found(book, 0)
    for week in range(1, 9):
        found(book, week)
    # Four weeks, and the last of July.
    assert weekly(tmp_path) == [
        f"book-copy-2026-{day}.sqlite" for day in ("07-30", "08-06", "08-13", "08-20")
    ]


def test_no_copy_keeps_nobody_from_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = new_book(tmp_path)
    found(book, 0)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(store, "copy", full)
    found(book, 1)
    assert len(book.entries()) == 2
    assert weekly(tmp_path) == []


def test_going_back_and_forth_loses_nothing(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for week in range(3):
        found(book, week)
    first = copies.copies(book.records)[-1]
    aside = copies.restore(book.records, first, TODAY)
    assert aside == tmp_path / "book-replaced-2026-06-25.sqlite"
    assert len(open_book(tmp_path).entries()) == 1
    again = next(each for each in copies.copies(book.records) if each.file == aside)
    assert again.entries == 3
    other = copies.restore(book.records, again, TODAY)
    assert other == tmp_path / "book-replaced-2026-06-25-2.sqlite"
    assert len(open_book(tmp_path).entries()) == 3


def test_a_damaged_record_is_kept_byte_for_byte_when_a_copy_takes_its_place(
    tmp_path: Path,
) -> None:
    book = new_book(tmp_path)
    for week in range(3):
        found(book, week)
    whole = book.records.read_bytes()
    book.records.write_bytes(whole[: len(whole) // 2])
    aside = copies.restore(book.records, copies.copies(book.records)[0], TODAY)
    assert aside is not None
    assert aside.read_bytes() == whole[: len(whole) // 2]
    assert len(open_book(tmp_path).entries()) == 2
    assert aside not in [each.file for each in copies.copies(book.records)]


def test_a_damaged_copy_is_not_offered(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for week in range(2):
        found(book, week)
    (copy,) = copies.copies(book.records)
    raw = copy.file.read_bytes()
    copy.file.write_bytes(raw.replace(b"squash-bug", b"squash-bog"))
    assert copies.copies(book.records) == []
    assert "no sound copy" in str(copies.no_copy(book.records))


def test_nobody_goes_back_while_somebody_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "WAIT", 0.05)
    book = new_book(tmp_path)
    for week in range(2):
        found(book, week)
    (copy,) = copies.copies(book.records)
    with store.writing(book.records), pytest.raises(Refusal, match="somebody else is writing"):
        copies.restore(book.records, copy, TODAY)
    assert len(open_book(tmp_path).entries()) == 2
