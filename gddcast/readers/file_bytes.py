"""Bytes of a file that somebody named: no more than fit, and no longer than anybody waits."""

from __future__ import annotations

import errno
import os
import select
import stat
import time
from pathlib import Path

#: Larger files are not a thermometer's; reading them would fill the memory. [bytes]
LARGEST = 50_000_000
#: A pipe that has not ended by then may never end. [s]
PATIENCE = 4.0
#: Codes of what can be opened and is no file of readings: too large, a device, a pipe without end.
NO_FILE_OF_READINGS = (errno.EFBIG, errno.ENODEV, errno.ETIMEDOUT)
_PIECE = 1 << 20


def bytes_of(path: Path, most: int = LARGEST) -> bytes:
    """All bytes of a file, or of a pipe such as /dev/stdin.

    Parameters
    ----------
    path : Path
    most : int
        Size of the largest that is read.

    Raises
    ------
    OSError
        Its ``strerror`` says what it is: missing, a folder, too large, a device, without end.
    """
    # A pipe that nobody writes into would keep us in the very opening of it.
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with open(path, "rb", buffering=0, opener=lambda name, _: os.open(name, flags)) as file:
        state = os.fstat(file.fileno())
        if stat.S_ISDIR(state.st_mode):
            raise IsADirectoryError(errno.EISDIR, "it is a folder")
        if stat.S_ISFIFO(state.st_mode):
            return _piped(file.fileno(), most)
        if not stat.S_ISREG(state.st_mode):
            raise OSError(errno.ENODEV, "it is a device, not a file")
        if state.st_size > most:
            raise OSError(errno.EFBIG, f"it is {_size(state.st_size)} large; {_size(most)} is most")
        found = file.read(most + 1)
    if len(found) > most:
        raise _endless(most)
    return found


def _piped(handle: int, most: int) -> bytes:
    """What comes through a pipe until it ends."""
    until, size = time.monotonic() + PATIENCE, 0
    pieces: list[bytes] = []
    while size <= most:
        left = until - time.monotonic()
        if left <= 0 or not select.select([handle], [], [], left)[0]:
            raise OSError(errno.ETIMEDOUT, f"it is a pipe that did not end in {PATIENCE:g} seconds")
        piece = os.read(handle, _PIECE)
        if not piece:
            return b"".join(pieces)
        pieces.append(piece)
        size += len(piece)
    raise _endless(most)


def _endless(most: int) -> OSError:
    return OSError(errno.EFBIG, f"it does not end before {_size(most)}")


def _size(count: int) -> str:
    large = count >= 1_000_000
    return f"{count / 1e6:,.0f} megabytes" if large else f"{count / 1e3:,.0f} kilobytes"
