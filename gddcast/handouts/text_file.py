"""A file: whole or not at all, and never over another file unasked."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
from pathlib import Path

from gddcast.errors import Refusal


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
        If the file is there and ``force`` is not given, or the folder cannot be written to.
    """
    write_bytes(path, text.encode("utf-8"), force=force)


def write_bytes(path: Path, content: bytes, *, force: bool = False) -> None:
    """Write any file in the same way; see `write_text`."""
    refuse_taken(path, force=force)
    half = path.with_name(f".{secrets.token_hex(8)}.half")
    try:
        _replace(path, half, content)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise _unwritable(path, why, error.errno) from error
    finally:
        with contextlib.suppress(OSError):  # a disk for reading alone says so even of nothing
            half.unlink(missing_ok=True)


def _replace(path: Path, half: Path, content: bytes) -> None:
    """By way of ``half``; on the disk before it has its name, and the name before we say so.

    A new file is as private as this person's files are; one that is replaced stays as it was.
    """
    with half.open("xb") as file:
        if path.exists():
            shutil.copymode(path, half)
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    half.replace(path)
    if hasattr(os, "O_DIRECTORY"):  # Windows opens no folder
        folder = os.open(path.parent, os.O_DIRECTORY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def refuse_taken(path: Path, *, force: bool = False) -> None:
    """Say at once, before long work, that a file can't be written.

    Raises
    ------
    Refusal
        As for `write_text`.
    """
    if path.exists() and not force:
        raise Refusal(
            str(path),
            "there is a file of that name",
            "It would be lost.",
            "Choose another name, or say  --force  to write over it.",
            slug="file-exists",
        )
    if not path.parent.is_dir():
        raise _unwritable(path, "no such file or directory")


def _unwritable(path: Path, why: str, number: int | None = None) -> Refusal:
    if number == errno.ENOSPC:
        return Refusal(
            str(path),
            "the disk is full",
            "Nothing was written.",
            "Make some room, then run the same command again.",
            slug="disk-full",
        )
    return Refusal(
        str(path),
        why,
        f"It would stand in the folder {path.parent}.",
        "Choose a folder that is there and that you may write to.",
        slug="unwritable",
    )
