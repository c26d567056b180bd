"""A new season book: its two files, made so that a kill in between loses nothing."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from gddcast.book import faults, store
from gddcast.book.leftovers import sweep
from gddcast.book.opening import RECORDS, SETTINGS, Book, open_book
from gddcast.book.setting_text import settings_text, write_settings
from gddcast.book.settings import Settings


def create_book(folder: str | Path, settings: Settings) -> Book:
    """Make a season book in a folder, which is made if need be.

    The record comes first and ``book.toml`` last: a folder with settings always has its record.

    Raises
    ------
    Refusal
        If a book is there, or the folder takes no writing.
    """
    folder = Path(folder)
    text = settings_text(settings)
    if store.holds_a_book(folder):
        raise faults.book_exists(folder)
    with folder_for(folder):
        _with_record(folder)
        settle(folder, text)
    return open_book(folder)


def settle(folder: Path, text: str) -> None:
    """Give a record its ``book.toml``, which makes the two a book; of two at once one is first."""
    with store.writing(folder / RECORDS):
        if store.holds_a_book(folder):
            raise faults.book_exists(folder)
        write_settings(folder / SETTINGS, text)


@contextmanager
def folder_for(folder: Path) -> Iterator[None]:
    """A folder, made if need be; where what follows fails, one that was made is gone again."""
    with faults.explained(folder / SETTINGS, store.WAIT):
        try:
            folder.mkdir(parents=True)
            is_ours = True
        except FileExistsError:
            folder.mkdir(exist_ok=True)  # refused where it is a file
            is_ours = False
    sweep(folder)
    try:
        yield
    except BaseException:
        if is_ours and not store.holds_a_book(folder):
            shutil.rmtree(folder, ignore_errors=True)
        raise


def with_new_record(folder: str | Path) -> Book:
    """Give a book whose record is missing an empty one."""
    _with_record(Path(folder))
    return open_book(folder)


def _with_record(folder: Path) -> None:
    file = folder / RECORDS
    if not file.exists():
        store.create(file)
        return
    # Left by a setup that was cut off: fine if it is sound and holds nothing.
    with store.reading(file) as connection:
        (held,) = connection.execute("SELECT count(*) FROM entry").fetchone()
    if held:
        raise faults.book_exists(folder)
