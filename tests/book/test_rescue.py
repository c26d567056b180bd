"""What is saved of a damaged record: all that is as it was written, and nothing else."""

from __future__ import annotations

import random
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from gddcast.book import schema, store
from gddcast.book.exchange import export_book
from gddcast.book.opening import Book, open_book
from gddcast.book.rescue import rescue
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from tests.book.places import NOW, TODAY, new_book
from tests.book.test_checksums import whole_book

PAGE = 4096


def everything(book: Book) -> tuple[dict[str, object], dict[object, object]]:
    """Entries by name, and readings by day."""
    entries = {each.name: (each.item, each.source, each.withdrawn_at) for each in book.entries()}
    return entries, readings(book)


def readings(book: Book) -> dict[object, object]:
    """Minimum and maximum of every day with both. [°C]"""
    series = book.weather()
    if series is None:
        return {}
    both = zip(series.tmin.tolist(), series.tmax.tolist(), strict=True)
    days = zip(series.dates.tolist(), both, strict=True)
    return {day: (low, high) for day, (low, high) in days if low == low and high == high}


def nothing_made_up(saved: Book, true: tuple[dict[str, object], dict[object, object]]) -> None:
    """An entry or a day that was saved is the true one."""
    entries, days = everything(saved)
    assert {name: each[:2] for name, each in entries.items()}.items() <= {
        name: each[:2] for name, each in true[0].items()
    }.items()
    assert days.items() <= true[1].items()


def test_a_sound_book_is_saved_whole(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    before = book.records.read_bytes()
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW)
    assert everything(copy) == everything(book)
    assert (saved.lost, saved.unchecked, saved.from_copies, saved.days_lost) == ([], [], [], {})
    assert saved.entries == len(book.entries())
    assert book.records.read_bytes() == before


@pytest.mark.parametrize("seed", range(15))
def test_of_damaged_pages_all_else_is_saved_and_nothing_is_made_up(
    tmp_path: Path, seed: int
) -> None:
    """A page overwritten, the end cut off, or bytes flipped: what is saved is true."""
    book = whole_book(tmp_path / "garden")
    true, chance = everything(book), random.Random(seed)
    raw = bytearray(book.records.read_bytes())
    if seed % 3 == 0:
        at = chance.randrange(len(raw) // PAGE) * PAGE
        raw[at : at + PAGE] = chance.randbytes(PAGE)
    elif seed % 3 == 1:
        del raw[chance.randrange(PAGE * 4, len(raw)) :]
    else:
        for _ in range(40):
            raw[chance.randrange(100, len(raw))] ^= 1 << chance.randrange(8)
    book.records.write_bytes(raw)
    damaged = book.records.read_bytes()
    try:
        copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW)
    except Refusal as refusal:
        if refusal.slug != "nothing-saved" or (tmp_path / "saved").exists():
            raise
    else:
        nothing_made_up(copy, true)
        assert saved.entries == len(copy.entries())
    assert book.records.read_bytes() == damaged


def test_one_altered_row_is_lost_alone_and_a_copy_has_it(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    true = everything(book)
    copy = tmp_path / "garden" / "book-copy-2026-06-25.sqlite"
    store.copy(book.records, copy)
    raw = book.records.read_bytes()
    word = b"squash-bug"
    assert word in raw
    book.records.write_bytes(raw.replace(word, b"squash-bog", 1))
    with pytest.raises(Refusal, match="not as it was written"):
        open_book(book.folder)
    alone, saved = rescue(book.folder, tmp_path / "alone", [], NOW)
    assert len(saved.lost) == 1
    assert len(alone.entries()) == len(true[0]) - 1
    nothing_made_up(alone, true)
    together, saved = rescue(book.folder, tmp_path / "together", [copy], NOW)
    assert (saved.lost, len(saved.from_copies)) == ([], 1)
    assert everything(together) == true


def test_of_weather_the_days_that_are_as_written_are_saved(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    true = everything(book)
    with closing(sqlite3.connect(book.records)) as record, record:
        record.executescript(
            "DROP TRIGGER weather_day_UPDATE;"
            "UPDATE weather_day SET tmin = tmin - 8 WHERE day = '2025-03-03'"
        )
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW)
    assert list(saved.days_lost.values()) == [1]
    nothing_made_up(copy, true)
    lost = {str(day) for day in true[1].keys() - readings(copy).keys()}
    assert lost == {"2025-03-03"}


def test_what_was_withdrawn_does_not_come_back(tmp_path: Path) -> None:
    """A withdrawal that is lost would let a wrong find stand again."""
    book = whole_book(tmp_path / "garden")
    withdrawn = {each.name for each in book.entries() if each.withdrawn_at}
    assert withdrawn
    with closing(sqlite3.connect(book.records)) as record, record:
        record.executescript("DROP TRIGGER withdrawal_DELETE; DELETE FROM withdrawal")
    copy, _ = rescue(book.folder, tmp_path / "saved", [], NOW)
    assert {each.name for each in copy.entries() if each.withdrawn_at} == withdrawn


def test_a_copy_from_another_life_of_the_book_gives_no_entry(tmp_path: Path) -> None:
    """After going back to a copy, numbers are given twice: the checksum tells whose it is."""
    book = whole_book(tmp_path / "garden")
    other = tmp_path / "other.sqlite"
    store.copy(book.records, other)
    with closing(sqlite3.connect(other)) as record, record:
        record.executescript("DROP TRIGGER job_UPDATE; UPDATE job SET job = 'covered';")
    with closing(sqlite3.connect(book.records)) as record, record:
        record.executescript("DROP TRIGGER job_UPDATE; UPDATE job SET job = 'mulched'")
    copy, saved = rescue(book.folder, tmp_path / "saved", [other], NOW)
    assert len(saved.lost) >= 1
    assert not copy.journal().jobs


def test_where_nothing_can_be_read_no_book_is_made(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    book.records.write_bytes(random.Random(1).randbytes(PAGE * 3))
    with pytest.raises(Refusal, match="nothing in it can be read any more"):
        rescue(book.folder, tmp_path / "saved", [], NOW)
    assert not (tmp_path / "saved").exists()


def test_a_record_that_is_gone_is_saved_from_its_copy(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    true, copy = everything(book), tmp_path / "copy.sqlite"
    shutil.move(book.records, copy)
    saved, _ = rescue(book.folder, tmp_path / "saved", [copy], NOW)
    assert everything(saved) == true


def test_a_record_of_before_the_checksums_is_saved_and_named_as_unchecked(
    tmp_path: Path,
) -> None:
    book = whole_book(tmp_path / "garden")
    true = readings(book)
    with closing(sqlite3.connect(book.records)) as record, record:
        record.executescript(
            "DROP TRIGGER checksum_DELETE; DELETE FROM checksum;"
            f"PRAGMA user_version = {schema.SEALED - 1}"
        )
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW)
    assert sorted(saved.unchecked) == sorted(each.name for each in copy.entries())
    assert readings(copy) == true


def test_without_its_own_checksum_an_entry_is_not_believed(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    with closing(sqlite3.connect(book.records)) as record, record:
        record.executescript(
            "DROP TRIGGER checksum_DELETE; DELETE FROM checksum WHERE part = 'entry' AND number = 2"
        )
    _, saved = rescue(book.folder, tmp_path / "saved", [], NOW)
    assert len(saved.lost) >= 1
    assert saved.unchecked == []


def exported(book: Book, folder: Path, *, shareable: bool = False) -> Path:
    """Its last export."""
    export_book(book, folder, NOW, shareable=shareable)
    return folder


def test_what_the_record_has_lost_an_export_has_as_it_was_written(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    true, export = everything(book), exported(book, tmp_path / "export")
    raw = book.records.read_bytes()
    book.records.write_bytes(raw.replace(b"squash-bug", b"squash-bog", 1))
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW, export)
    assert (saved.lost, saved.unchecked, len(saved.from_copies)) == ([], [], 1)
    assert everything(copy) == true


@pytest.mark.parametrize("seed", range(3))
def test_of_damaged_pages_and_an_export_the_book_comes_back_whole(
    tmp_path: Path, seed: int
) -> None:
    book = whole_book(tmp_path / "garden")
    true, export = everything(book), exported(book, tmp_path / "export")
    raw, at = bytearray(book.records.read_bytes()), (seed + 2) * PAGE
    raw[at : at + 2 * PAGE] = random.Random(seed).randbytes(2 * PAGE)
    book.records.write_bytes(raw)
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW, export)
    nothing_made_up(copy, true)
    assert saved.lost == []
    assert everything(copy)[1] == true[1]


def test_an_entry_changed_in_the_export_is_not_believed(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    true, export = everything(book), exported(book, tmp_path / "export")
    for file in (book.records, export / "sighting.csv"):
        raw = file.read_bytes()
        assert b"squash-bug" in raw
        file.write_bytes(raw.replace(b"squash-bug", b"squash-bog"))
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW, export)
    assert saved.lost
    nothing_made_up(copy, true)


def test_of_a_record_that_is_gone_the_export_is_named_as_unchecked(tmp_path: Path) -> None:
    """Its checksums were taken from its own text: they promise nothing of what was written."""
    book = whole_book(tmp_path / "garden")
    true, export = everything(book), exported(book, tmp_path / "export")
    book.records.unlink()
    copy, saved = rescue(book.folder, tmp_path / "saved", [], NOW, export)
    assert everything(copy) == true
    assert sorted(saved.unchecked) == sorted(true[0])


@pytest.mark.parametrize("is_gone", [False, True])
def test_an_export_of_another_book_is_refused(tmp_path: Path, *, is_gone: bool) -> None:
    """Also where only a copy beside the record can tell."""
    book, other = whole_book(tmp_path / "garden"), new_book(tmp_path / "other")
    with other.writing(NOW, TODAY) as pen:
        pen.add(Sighting("squash-bug", "eggs", TODAY, note="elsewhere"))
    copy, export = tmp_path / "copy.sqlite", exported(other, tmp_path / "export")
    store.copy(book.records, copy)
    if is_gone:
        book.records.unlink()
    with pytest.raises(Refusal, match="of another book"):
        rescue(book.folder, tmp_path / "saved", [copy], NOW, export)
    assert not (tmp_path / "saved").exists()


def test_an_export_to_share_is_refused(tmp_path: Path) -> None:
    book = whole_book(tmp_path / "garden")
    export = exported(book, tmp_path / "export", shareable=True)
    with pytest.raises(Refusal, match="without names and notes"):
        rescue(book.folder, tmp_path / "saved", [], NOW, export)
    assert not (tmp_path / "saved").exists()
