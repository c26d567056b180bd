"""Copies beside a record: when one is made, which are kept, and going back to one."""

from __future__ import annotations

import datetime as dt
import shutil
import sqlite3
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


def test_nobody_writes_between_setting_aside_and_going_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An entry of that moment would stand neither in the copy nor in what was set aside."""
    monkeypatch.setattr(store, "WAIT", 0.05)
    book = new_book(tmp_path)
    for week in range(2):
        found(book, week)
    (copy,) = copies.copies(book.records)
    copied, refused = store.copy_of, []

    def meanwhile(source: sqlite3.Connection, to: Path, **how: str) -> None:
        copied(source, to, **how)
        with (
            pytest.raises(Refusal, match="somebody else is writing"),
            store.writing(book.records, 0.05),
        ):
            pass
        refused.append(to)

    monkeypatch.setattr(store, "copy_of", meanwhile)
    aside = copies.restore(book.records, copy, TODAY)
    assert refused == [aside]
    assert len(open_book(tmp_path).entries()) == 1


def test_a_page_that_reads_meanwhile_is_waited_for_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "WAIT", 0.05)
    book = new_book(tmp_path)
    for week in range(2):
        found(book, week)
    (copy,) = copies.copies(book.records)
    with store.reading(book.records), pytest.raises(Refusal, match="somebody else"):
        copies.restore(book.records, copy, TODAY)
    assert len(open_book(tmp_path).entries()) == 2
    assert copies.restore(book.records, copy, TODAY)


@pytest.mark.parametrize("is_damaged", [False, True])
def test_cut_off_on_the_way_the_record_is_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, is_damaged: bool
) -> None:
    book = new_book(tmp_path)
    for week in range(3):
        found(book, week)
    copy = copies.copies(book.records)[0]
    if is_damaged:
        book.records.write_bytes(b"no record any more" * 999)
        book.records.with_name("book.sqlite-wal").write_bytes(b"what was not in it yet")
        # SQLite itself would throw such a log away; one that it can't open stays.
        monkeypatch.setattr(copies, "_turned_back", lambda *_: False)
    before = book.records.read_bytes()
    whole, begun = shutil.copy2, []

    def cut_off(file: Path, to: Path) -> None:
        begun.append(to)
        whole(file, to)
        to.write_bytes(to.read_bytes()[:10])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shutil, "copy2", cut_off)
    if is_damaged:
        with pytest.raises(Refusal, match="the disk is full"):
            copies.restore(book.records, copy, TODAY)
        assert book.records.read_bytes() == before
        assert not list(tmp_path.glob("book-replaced-*"))
        monkeypatch.setattr(shutil, "copy2", whole)
    aside = copies.restore(book.records, copy, TODAY)
    assert bool(begun) is is_damaged  # a sound one goes through SQLite
    assert aside is not None
    if is_damaged:
        assert aside.read_bytes() == before
        assert aside.with_name(f"{aside.name}-wal").read_bytes() == b"what was not in it yet"
    assert len(open_book(tmp_path).entries()) == copy.entries


def test_the_log_of_a_record_that_is_gone_is_not_written_into_its_copy(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for week in range(2):
        found(book, week)
    (copy,) = copies.copies(book.records)
    with store.writing(book.records) as pen:
        pen.execute("INSERT INTO entry VALUES (99, '2026-099', '2026-06-25T19:30:00-05:00')")
        pen.execute("INSERT INTO job VALUES (99, 'mulched', '2026-06-25', NULL, NULL, NULL)")
        pen.execute("COMMIT")
        log = book.records.with_name("book.sqlite-wal").read_bytes()
        pen.execute("BEGIN")
    assert log
    book.records.unlink()
    book.records.with_name("book.sqlite-wal").write_bytes(log)
    assert copies.restore(book.records, copy, TODAY) is None
    assert [each.name for each in open_book(tmp_path).entries()] == ["2026-001"]
