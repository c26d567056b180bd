"""A file: whole or not at all, and never over another file unasked."""

from __future__ import annotations

import errno
import os
import tempfile
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
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError as error:
        raise _unwritable(
            path, (error.strerror or "it can't be written").lower(), error.errno
        ) from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except BaseException as error:
        Path(temporary).unlink(missing_ok=True)
        if isinstance(error, OSError):
            why = (error.strerror or str(error)).lower()
            raise _unwritable(path, why, error.errno) from error
        raise


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
