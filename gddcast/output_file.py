"""A file handed out: whole or not at all, never over another unasked, never onto a season book."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
import stat
from collections.abc import Callable
from pathlib import Path

from gddcast.commits import commit
from gddcast.errors import Refusal

#: Names of a season book's files begin so; no hand-out is ever called so.
_BOOKS = ("book.toml", "book.sqlite", "book-before-version-", "book-copy-", "book-replaced-")
_DATABASE = b"SQLite format 3\0"


def write_text(path: Path, text: str, *, force: bool = False) -> None:
    """Write a text file by way of a temporary one, so that nothing is ever half-written.

    Parameters
    ----------
    path : Path
        File to write, in a folder that is there.
    text : str
        What to write, as UTF-8.
    force : bool
        Whether a file that is there may be replaced.

    Raises
    ------
    Refusal
        If the file is there and ``force`` is not given, the folder cannot be written to, or no
        hand-out may stand there, whatever is forced; see `refuse_precious`.
    """
    write_bytes(path, text.encode("utf-8", errors="replace"), force=force)


def write_bytes(path: Path, content: bytes, *, force: bool = False) -> None:
    """Write any file in the same way; see `write_text`."""
    refuse_existing(path, force=force)
    try:
        put(path, content)
    except (OSError, ValueError) as error:
        raise _unwritable(path, error) from error
    commit(path)


def write_with(path: Path, fill: Callable[[Path], None], *, force: bool = False) -> None:
    """Write a file that a library fills by its name, in the same way; see `write_text`."""
    refuse_existing(path, force=force)
    try:
        _put(path, fill)
    except OSError as error:
        raise _unwritable(path, error) from error
    commit(path)


def write_folder_with(path: Path, fill: Callable[[Path], None]) -> None:
    """Write a folder that a library makes by its name: whole, and never in the place of anything.

    Raises
    ------
    Refusal
        If something of that name is there, or the folder cannot be written; see `write_text`.
    """
    refuse_taken(path)
    half = path.with_name(f".{secrets.token_hex(8)}.half{path.suffix}")
    try:
        fill(half)
        for each in half.rglob("*"):
            if each.is_file():
                with each.open("r+b") as file:
                    os.fsync(file.fileno())
        half.rename(path)
        _settle(path.parent)
    except OSError as error:
        raise _unwritable(path, error) from error
    finally:
        shutil.rmtree(half, ignore_errors=True)
    commit(path)


def put(path: Path, content: bytes) -> None:
    """Give a file its content, whole or not at all, by way of another one.

    Raises
    ------
    OSError, ValueError
    """

    def fill(half: Path) -> None:
        with half.open("r+b") as file:
            file.write(content)

    _put(path, fill)


def _put(path: Path, fill: Callable[[Path], None]) -> None:
    """Fill another file and give it the name.

    It is on the disk before it has its name, and the name before anybody relies on it. A new file
    is as private as this person's files are; one that is replaced stays as it was.
    """
    half = path.with_name(f".{secrets.token_hex(8)}.half")
    try:
        half.touch(exist_ok=False)
        replaced = path.exists()
        if replaced:
            shutil.copymode(path, half)
            half.chmod(half.stat().st_mode | stat.S_IWUSR)  # one for reading alone is filled too
        fill(half)
        with half.open("r+b") as file:
            os.fsync(file.fileno())
        if replaced:
            shutil.copymode(path, half)
        half.replace(path)
    finally:  # a disk for reading alone says so even of nothing
        with contextlib.suppress(OSError, ValueError):
            half.unlink(missing_ok=True)
    _settle(path.parent)


def _settle(folder: Path) -> None:
    """Put the names of a folder on the disk."""
    if hasattr(os, "O_DIRECTORY"):  # Windows opens no folder
        handle = os.open(folder, os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def refuse_existing(path: Path, *, force: bool = False) -> None:
    """Say at once, before long work, that a file can't be written.

    Raises
    ------
    Refusal
        As for `write_text`.
    """
    refuse_precious(path)
    if path.exists() and not force:
        raise Refusal(
            str(path),
            "there is a file of that name",
            "It would be lost.",
            "Choose another name, or say  --force  to write over it.",
            slug="file-exists",
        )
    _refuse_homeless(path)


def refuse_taken(path: Path) -> None:
    """Say at once, before long work, that a folder can't be written.

    Raises
    ------
    Refusal
        As for `write_folder_with`.
    """
    refuse_precious(path)
    if path.exists():
        raise Refusal(
            str(path),
            "there is a file of that name",
            "A folder is never written in the place of anything, not even with --force.",
            "Choose another name.",
            slug="file-exists",
        )
    _refuse_homeless(path)


def _refuse_homeless(path: Path) -> None:
    if not path.parent.is_dir():
        raise _unwritable(path, OSError(errno.ENOENT, os.strerror(errno.ENOENT)))


def refuse_precious(path: Path) -> None:
    """Refuse what no hand-out is ever written onto: a book's files, links, what is no plain file.

    Raises
    ------
    Refusal
    """
    if path.name.casefold().startswith(_BOOKS):
        raise _a_books(path, "a file of that name belongs to a season book")
    try:
        mode = path.lstat().st_mode
        if stat.S_ISLNK(mode):
            raise _a_link(path)
        if not stat.S_ISREG(mode):
            raise _no_plain_file(path, "a folder" if stat.S_ISDIR(mode) else "no plain file")
        with path.open("rb") as file:
            if file.read(len(_DATABASE)) == _DATABASE:
                raise _a_books(path, "it is a database, as the record of a season book is")
    except (FileNotFoundError, NotADirectoryError, PermissionError):
        return  # nothing to lose, or said by what writes
    except (OSError, ValueError) as error:
        raise _unwritable(path, error) from error


def _a_books(path: Path, problem: str) -> Refusal:
    return Refusal(
        str(path),
        problem,
        "No answer is written onto a season book, not even with --force.",
        "Choose another name.",
        slug="book-file",
    )


def _a_link(path: Path) -> Refusal:
    return Refusal(
        str(path),
        f"it is a link to {path.readlink()}",
        "Writing would put a file in the link’s place and leave what it leads to as it was.",
        "Name the file itself, or take the link away.",
        slug="link",
    )


def _no_plain_file(path: Path, kind: str) -> Refusal:
    return Refusal(
        str(path),
        f"it is {kind}",
        "An answer never takes its place, not even with --force.",
        "Choose a name that is not there yet.",
        slug="not-a-file",
    )


def _unwritable(path: Path, error: OSError | ValueError) -> Refusal:
    number = error.errno if isinstance(error, OSError) else None
    if number == errno.ENOSPC:
        return Refusal(
            str(path),
            "the disk is full",
            "Nothing of it was written.",
            "Make some room, then run the same command again.",
            slug="disk-full",
        )
    why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return Refusal(
        str(path),
        why.lower(),
        f"It would stand in the folder {path.parent}.",
        "Choose a folder that is there and that you may write to.",
        slug="unwritable",
    )
