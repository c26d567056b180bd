"""Every row has a checksum: one flipped bit is noticed, named, and has a cure."""

from __future__ import annotations

import random
import shutil
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.book import schema
from gddcast.book.exchange import export_book, import_book
from gddcast.book.opening import Book, open_book
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from gddcast.outlook.forecast_archive import ForecastArchive
from tests.book.places import FILE, NOW, TODAY, days
from tests.book.test_exchange import full_book

FLIPS = 120


def whole_book(folder: Path) -> Book:
    """Something in every table, and half a year of weather."""
    book = full_book(folder)
    chance = np.random.default_rng(1)
    low = chance.normal(10.0, 5.0, 180).round(1)
    with book.writing(NOW, TODAY) as pen:
        pen.weather(days("2025-01-01", list(low), list(low + 9.3)), FILE)
        issued = [("2026-06-20", f"2026-06-{day}", 11.7, 24.2 + day / 10) for day in range(20, 28)]
        pen.forecasts(ForecastArchive.of(issued), FILE)
    with closing(sqlite3.connect(book.records)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return book


TABLES = ("entry", "withdrawal", "sighting", "sowing", "job", "weather_source", "weather_day",
          "own_goal", "announcement", "closing", "forecast_day", "restoration",
          "checksum")  # fmt: skip


def values(file: Path) -> object:
    """Every value of every table as SQLite gives it, or that it gives none."""
    try:
        with closing(sqlite3.connect(file)) as connection:
            connection.text_factory = bytes
            return [connection.execute(f"SELECT * FROM {table} NOT INDEXED").fetchall()
                    for table in TABLES]  # fmt: skip
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        return str(error)


def encoded(rows: list[list[tuple[object, ...]]]) -> Iterator[bytes]:
    """The bytes that SQLite writes for the values: file format, "Record Format", section 2.1."""
    for value in {value for table in rows for row in table for value in row}:
        if isinstance(value, bytes):
            yield value
        if isinstance(value, float) and value != int(value):  # whole ones are kept as integers
            yield struct.pack(">d", value)


def places_of_values(whole: bytes, rows: list[list[tuple[object, ...]]]) -> list[int]:
    """Every byte of the file that a word or a reading stands in."""
    found: set[int] = set()
    for value in encoded(rows):
        at = whole.find(value)
        while len(value) > 3 and at >= 0:
            found.update(range(at, at + len(value)))
            at = whole.find(value, at + 1)
    return sorted(found)


def flip(whole: bytes, place: int, bit: int, file: Path) -> None:
    changed = bytearray(whole)
    changed[place] ^= 1 << bit
    file.write_bytes(changed)


def test_every_flipped_bit_of_a_value_is_noticed(tmp_path: Path) -> None:
    """Known truth: SQLite itself gives other values than it gave before."""
    file = whole_book(tmp_path).records
    whole, truth = file.read_bytes(), values(file)
    assert isinstance(truth, list)
    places, chance = places_of_values(whole, truth), random.Random(23)
    assert len(places) > 5_000
    by_us = tried = 0
    while tried < FLIPS:
        flip(whole, chance.choice(places), chance.randrange(8), file)
        if values(file) == truth:
            continue  # the same bytes by chance, in an index or in free space
        tried += 1
        with pytest.raises(Refusal, match=r"is damaged|is not as it was written") as caught:
            open_book(tmp_path)
        assert caught.value.slug == "book-damaged"
        by_us += "not as it was written" in caught.value.problem
    assert by_us > 60  # SQLite alone lets these pass


def test_a_bit_flipped_anywhere_is_a_refusal_or_does_no_harm(tmp_path: Path) -> None:
    """Names of tables, rules and pages too: three parts, never a traceback."""
    file = whole_book(tmp_path).records
    whole, truth, chance = file.read_bytes(), values(file), random.Random(7)
    refused = 0
    for _ in range(60):
        flip(whole, chance.randrange(len(whole)), chance.randrange(8), file)
        harmed = values(file) != truth
        try:
            open_book(tmp_path)
            assert not harmed
        except Refusal as refusal:
            refused += len(str(refusal).splitlines()) == 3
    assert refused > 5


def _changed(book: Book, statement: str) -> None:
    """Change a row as a disk does: past every rule of the record."""
    with closing(sqlite3.connect(book.records)) as connection, connection:
        for (name,) in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement)


@pytest.mark.parametrize(
    ("statement", "what"),
    [
        ("UPDATE weather_day SET tmax = tmax + 8 WHERE day = '2025-02-03'",
         "entry 2026-008, its row of 2025-02-03,"),
        ("DELETE FROM weather_day WHERE day = '2025-02-03'", "entry 2026-008"),
        ("UPDATE forecast_day SET tmin = tmin - 1 WHERE day = '2026-06-22'",
         "entry 2026-009, its row of 2026-06-22,"),
        ("UPDATE job SET bed = 'Bob''s bed'", "entry 2026-002"),
        ("UPDATE entry SET entered_at = '2025-06-25T19:30:00-05:00' WHERE number = 4",
         "entry 2026-004"),
        ("UPDATE withdrawal SET note = 'it was Ada''s fog'", "the withdrawal of entry 2026-003"),
        ("DELETE FROM withdrawal", "the withdrawal of entry 2026-003"),
        ("UPDATE announcement SET latest = '2026-06-25' WHERE number = 2",
         "row 2 of the dates it told"),
        ("UPDATE sighting SET note = 'fox' WHERE entry = 3", "entry 2026-003"),  # withdrawn before
    ],
)  # fmt: skip
def test_it_says_what_changed(tmp_path: Path, statement: str, what: str) -> None:
    book = whole_book(tmp_path)
    _changed(book, statement)
    with pytest.raises(Refusal, match="is not as it was written") as caught:
        open_book(tmp_path)
    assert caught.value.problem == f"{what} is not as it was written"
    undone = f"gddcast undo {what.split()[1].rstrip(',')} --book" in caught.value.cure
    assert undone == what.startswith("entry")


def test_a_damaged_entry_is_withdrawn_and_the_rest_is_there(tmp_path: Path) -> None:
    """The cure it prints, done: and what was withdrawn so is guarded as it then was."""
    book = whole_book(tmp_path / "garden")
    _changed(book, "UPDATE weather_day SET tmax = 40 WHERE day = '2025-02-03'")
    with pytest.raises(Refusal, match="its row of 2025-02-03"):
        open_book(book.folder)
    with open_book(book.folder, even_damaged=True).writing(NOW, TODAY) as pen:
        pen.withdraw("2026-008")
    again = open_book(book.folder)
    assert len(again.journal().sowings) == 1
    assert again.series().last.year == 2026  # the other weather stands
    _changed(book, "UPDATE weather_day SET tmax = 41 WHERE day = '2025-02-03'")
    with pytest.raises(Refusal, match="its row of 2025-02-03"):
        open_book(book.folder)


def test_what_can_still_be_read_can_be_saved(tmp_path: Path) -> None:
    """The other cure: as text, looked through, and made a book again."""
    book = whole_book(tmp_path / "garden")
    _changed(book, "UPDATE announcement SET clock = '1 Januarx' WHERE number = 2")
    opened = open_book(book.folder, even_damaged=True)
    export_book(opened, tmp_path / "copy", NOW)
    assert not (tmp_path / "copy" / "checksum.csv").exists()
    assert import_book(tmp_path / "copy", tmp_path / "again").entries() == opened.entries()


def test_rows_that_another_program_adds_are_sealed_with_the_next_entry(tmp_path: Path) -> None:
    book = whole_book(tmp_path)
    with closing(sqlite3.connect(book.records)) as other, other:
        other.execute("INSERT INTO entry VALUES (99, '2026-099', '2026-06-25T20:00:00-05:00')")
        other.execute("INSERT INTO job VALUES (99, 'rained', '2026-06-25', NULL, NULL, NULL)")
    with open_book(tmp_path).writing(NOW, TODAY, trust_clock=True):
        pass
    _changed(book, "UPDATE job SET done_on = '2026-06-24' WHERE entry = 99")
    with pytest.raises(Refusal, match="entry 2026-099 is not as it was written"):
        open_book(tmp_path)


#: Books as landed versions left them: made by the program of that version, and never touched since.
KEPT = Path(__file__).parent / "kept"


@pytest.mark.parametrize("version", [4, 5])
def test_a_book_of_an_older_version_opens_whole_and_is_guarded(
    version: int, tmp_path: Path
) -> None:
    """Its rows have columns more, and the checksums they always had, or new ones."""
    shutil.copytree(KEPT / f"version-{version}", tmp_path / "book")
    book = open_book(tmp_path / "book")
    journal = book.journal()
    assert [each.name for each in book.entries()][:2] == ["2026-001", "2026-002"]
    assert sum(each.withdrawn_at is not None for each in book.entries()) == 1
    assert not any(each.trap or each.nights or each.by for each in journal.sightings)
    catch = Sighting("leek-moth", "moths", TODAY, count=3, trap=True, nights=4, by="Bo")
    with book.writing(NOW, TODAY) as pen:
        name = pen.add(catch)
    assert open_book(book.folder).journal().sightings[-1] == replace(catch, entry=name)
    _changed(book, "UPDATE sighting SET nights = 5 WHERE nights = 4")
    with pytest.raises(Refusal, match=f"entry {name} is not as it was written"):
        open_book(book.folder)


def test_a_book_of_the_version_before_gets_its_checksums(tmp_path: Path) -> None:
    """Opened as ever, a copy kept, and guarded from then on."""
    shutil.copytree(KEPT / "version-4", tmp_path, dirs_exist_ok=True)
    book = open_book(tmp_path)
    assert (tmp_path / f"book-before-version-{schema.SEALED}.sqlite").exists()
    _changed(book, "UPDATE weather_day SET tmin = tmin - 1 WHERE day = '2026-06-01'")
    with pytest.raises(Refusal, match="its row of 2026-06-01"):
        open_book(tmp_path)
