"""What SQLite and the disk say, in words with their cure: each code has one."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
from pathlib import Path
from types import SimpleNamespace

import pytest

from gddcast.book import faults
from gddcast.errors import Refusal

FILE = Path("garden/book.sqlite")


def of_sqlite(code: int, says: str = "x") -> sqlite3.Error:
    """An error as SQLite raises it."""
    error = sqlite3.OperationalError(says)
    error.sqlite_errorcode = code
    return error


def slug_of(error: Exception) -> str:
    with pytest.raises(Refusal, match="garden") as caught, faults.explained(FILE, 5.0):
        raise error
    assert caught.value.__cause__ is error
    return caught.value.slug


@pytest.mark.parametrize(
    ("code", "slug"),
    [
        (sqlite3.SQLITE_BUSY, "book-busy"),
        (sqlite3.SQLITE_BUSY_SNAPSHOT, "book-busy"),
        (sqlite3.SQLITE_LOCKED, "book-busy"),
        (sqlite3.SQLITE_FULL, "disk-full"),
        (sqlite3.SQLITE_CORRUPT, "book-damaged"),
        (sqlite3.SQLITE_CORRUPT_INDEX, "book-damaged"),
        (sqlite3.SQLITE_NOTADB, "book-damaged"),
        (sqlite3.SQLITE_READONLY, "book-unwritable"),
        (sqlite3.SQLITE_READONLY_DIRECTORY, "book-unwritable"),
        (sqlite3.SQLITE_CANTOPEN, "book-unwritable"),
        (sqlite3.SQLITE_PERM, "book-unwritable"),
        (sqlite3.SQLITE_IOERR_WRITE, "book-unwritable"),
    ],
)
def test_each_code_of_sqlite_has_its_words(code: int, slug: str) -> None:
    assert slug_of(of_sqlite(code)) == slug


def test_text_that_is_no_text_is_damage() -> None:
    assert slug_of(of_sqlite(sqlite3.SQLITE_ERROR, "Could not decode to UTF-8")) == "book-damaged"


@pytest.mark.parametrize(
    ("number", "slug"), [(errno.ENOSPC, "disk-full"), (errno.EROFS, "book-unwritable")]
)
def test_each_error_of_the_disk_has_its_words(number: int, slug: str) -> None:
    assert slug_of(OSError(number, os.strerror(number))) == slug


@pytest.mark.parametrize(
    ("room", "slug"),
    [(0, "disk-full"), (131_071, "disk-full"), (131_072, "book-unwritable")],
)
def test_a_record_that_cannot_be_opened_for_want_of_room_says_so(
    monkeypatch: pytest.MonkeyPatch, room: int, slug: str
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=room))
    assert slug_of(of_sqlite(sqlite3.SQLITE_CANTOPEN)) == slug


def test_a_slip_of_our_own_is_not_blamed_on_the_disk() -> None:
    with pytest.raises(sqlite3.OperationalError, match="no such table"), faults.explained(FILE, 1):
        raise of_sqlite(sqlite3.SQLITE_ERROR, "no such table: x")


def test_tables_of_odd_names_are_damage_and_other_errors_are_passed_on() -> None:
    with pytest.raises(Refusal, match="it is damaged") as caught, faults.legible(FILE):
        raise of_sqlite(sqlite3.SQLITE_ERROR, "no such table: entr9")
    assert caught.value.slug == "book-damaged"
    with pytest.raises(sqlite3.OperationalError, match="locked"), faults.legible(FILE):
        raise of_sqlite(sqlite3.SQLITE_BUSY, "database is locked")
