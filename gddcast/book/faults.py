"""Everything that can be wrong with a season book, each with its cure."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import textwrap
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from gddcast.errors import Refusal, shell

_FULL, _READONLY, _CANTOPEN = sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN
_WAITING = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
#: Less room than the smallest entry takes, with the two files SQLite keeps beside a book. [bytes]
_LEAST_ROOM = 131_072


def no_book(folder: Path) -> Refusal:
    """There is no book in the folder."""
    return Refusal(
        f"the folder {folder}",
        "there is no season book in it",
        "A season book is a folder with book.toml and book.sqlite.",
        "Make one:  gddcast setup     or say where it is:  --book DIR",
        slug="no-book",
    )


def book_exists(folder: Path) -> Refusal:
    """A new book would take the place of one that is there."""
    return Refusal(
        f"the folder {folder}",
        "there is a season book in it",
        "A book is never written over.",
        "Name another folder:  --book DIR",
        slug="book-exists",
    )


def records_missing(file: Path) -> Refusal:
    """Settings without records: starting anew unasked would look like a loss."""
    return Refusal(
        str(file),
        "it is missing, while book.toml is there",
        "It holds everything recorded: weather, sowings, finds.",
        f"Bring it back from a copy:  {shell('gddcast', 'book', 'restore', '--book', file.parent)}"
        "     If there never was one:  "
        f"{shell('gddcast', 'setup', '--book', file.parent)}  starts an empty one.",
        slug="records-missing",
    )


def not_a_book(file: Path, problem: str) -> Refusal:
    """The file is something else; it is left alone."""
    return Refusal(
        str(file),
        problem,
        "It is not the record of a season book; nothing in it was changed.",
        "Move it elsewhere, then bring back a copy of book.sqlite or import an export:  "
        "gddcast import DIR --book NEWDIR",
        slug="not-a-book",
    )


def damaged(file: Path, problem: str) -> Refusal:
    """The file was a book once; it is left alone, for somebody may rescue it."""
    problem = textwrap.shorten(problem, 100, placeholder=" …")  # SQLite quotes whole tables
    return Refusal(
        str(file),
        f"it is damaged ({problem})",
        "Nothing in it was changed, so that nothing more is lost.",
        "Save every entry that can still be read:  "
        f"{_rescued(file)}     Or import your latest export:  gddcast import DIR --book NEWDIR",
        slug="book-damaged",
    )


def _rescued(file: Path) -> str:
    return shell("gddcast", "book", "rescue", "NEWDIR", "--book", file.parent)


def altered(file: Path, what: str, entry: str | None = None) -> Refusal:
    """A row is not as it was written. An entry can be withdrawn; the rest can be saved as text."""
    folder = file.parent
    undone = (
        f"take that entry out and record it again:  gddcast undo {shell(entry)} --book "
        f"{shell(folder)}     Or "
        if entry
        else ""
    )
    return Refusal(
        str(file),
        f"{what} is not as it was written",
        "A disk or a copy changed it. No date was worked out with it; nothing was changed.",
        f"Save everything else, and this from a copy that has it:  {_rescued(file)}     Or "
        f"{undone}write down what can still be read, look it through and import it:  "
        f"gddcast export NEWDIR --book {shell(folder)}",
        slug="book-damaged",
    )


def too_new(file: Path, version: int, ours: int) -> Refusal:
    """A later gddcast wrote it."""
    return Refusal(
        str(file),
        f"a later gddcast wrote it (version {version} of its tables)",
        f"This one knows version {ours} and earlier.",
        "Update gddcast:  pip install --upgrade gddcast",
        slug="book-too-new",
    )


def unwritable(file: Path, why: str) -> Refusal:
    """The folder takes no writing."""
    return Refusal(
        str(file),
        f"it can’t be written ({why})",
        "Nothing was recorded.",
        f"Allow writing in the folder {file.parent}, or copy the book to one of your own.",
        slug="book-unwritable",
    )


def someone_else_writes(file: Path, seconds: float) -> Refusal:
    """Another program keeps the book to itself."""
    return Refusal(
        str(file),
        "somebody else is writing into it",
        f"Waited {seconds:g} seconds; nothing was recorded.",
        "Run the same command again in a moment.",
        slug="book-busy",
    )


def replaced(file: Path) -> Refusal:
    """Another file has the record's name since it was opened, as a synced folder does it."""
    return Refusal(
        str(file),
        "another file took its place while this was being written",
        "Nothing of it was recorded there. A folder that is kept alike on two machines does so.",
        "Let the folder come to rest, and run the same command again; write on one machine at a "
        "time.",
        slug="book-replaced",
    )


def disk_full(file: Path) -> Refusal:
    """No room left."""
    return Refusal(
        str(file),
        "the disk is full",
        "Nothing was recorded; what was there before is whole.",
        "Make some room, then run the same command again.",
        slug="disk-full",
    )


@contextmanager
def explained(file: Path, waited: float) -> Iterator[None]:
    """Turn what SQLite and the disk say into a refusal with its cure."""
    try:
        yield
    except sqlite3.Error as error:
        # Only the low byte of an extended code names its kind.
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if is_waiting(error):
            raise someone_else_writes(file, waited) from error
        if code == _FULL:
            raise disk_full(file) from error
        if code in _DAMAGED or "Could not decode to UTF-8" in str(error):
            raise damaged(file, str(error)) from error
        if code in (_READONLY, _CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_IOERR):
            # With no room for the file shared by its readers, a book looks like one for reading.
            raise (disk_full(file) if _no_room(file) else unwritable(file, str(error))) from error
        raise
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise disk_full(file) from error
        raise unwritable(file, (error.strerror or str(error)).lower()) from error


def is_waiting(error: sqlite3.Error) -> bool:
    """Whether somebody else keeps the record to himself, so that it may be had in a moment."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF in _WAITING


@contextmanager
def legible(file: Path) -> Iterator[None]:
    """Turn tables that are not ours any more into a refusal: a bit of their own text is damaged."""
    try:
        yield
    except UnicodeDecodeError as error:  # in the words of SQLite itself
        raise damaged(file, "its tables have names that are no text") from error
    except sqlite3.OperationalError as error:
        if getattr(error, "sqlite_errorcode", 0) == sqlite3.SQLITE_ERROR:
            raise damaged(file, str(error)) from error
        raise


def _no_room(file: Path) -> bool:
    with suppress(OSError):
        return shutil.disk_usage(file.parent).free < _LEAST_ROOM
    return False
