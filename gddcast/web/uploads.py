"""Files that a browser or a station gave: kept for this run, under names of our own."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from threading import Lock
from typing import BinaryIO

from gddcast.errors import Refusal

#: Endings that tell readers how to open a file; any other is read as text.
_ENDINGS = (".csv", ".tsv", ".txt", ".xlsx", ".xls", ".html", ".htm", ".dly", ".gz", ".zip")
#: So many wait to be kept or left.
_MOST = 4
_PIECE = 1 << 20
#: Letters of its own name that are said and remembered.
_LONGEST = 120


@dataclass(frozen=True, slots=True)
class Upload:
    """One file: where it lies, and what its owner calls it, which is never a path."""

    key: str
    file: Path
    called: str
    is_fetched: bool = False  # of a station: once kept, it is brought up to date under its name


class Uploads:
    """Those of a run, in a folder that goes with it."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._kept: OrderedDict[str, Upload] = OrderedDict()
        self._lock = Lock()

    def take(self, name: str, content: BinaryIO) -> Upload:
        """Keep a file; the oldest makes room."""
        with self.room(name, is_fetched=False) as upload, upload.file.open("wb") as target:
            while piece := content.read(_PIECE):
                target.write(piece)
        return upload

    @contextmanager
    def room(self, name: str, *, is_fetched: bool = True) -> Iterator[Upload]:
        """A place to write a file to; once it is written the oldest makes room."""
        key = secrets.token_hex(8)
        called = _called(name)
        ending = PurePosixPath(called).suffix.lower()
        file = self._folder / f"{key}{ending if ending in _ENDINGS else '.csv'}"
        upload = Upload(key, file, called, is_fetched)
        yield upload
        with self._lock:
            self._kept[key] = upload
            old = [self._kept.popitem(last=False)[1] for _ in range(len(self._kept) - _MOST)]
        for each in old:
            each.file.unlink(missing_ok=True)

    def find(self, key: str) -> Upload:
        """One that is still there.

        Raises
        ------
        Refusal
        """
        with self._lock:
            upload = self._kept.get(key)
        if upload is None:
            raise Refusal(
                "this file", "it is no longer here", "Files wait until gddcast ends, four at most.",
                "Hand it over again.", slug="upload-gone",
            )  # fmt: skip
        return upload

    def drop(self, upload: Upload) -> None:
        """It was kept in the book, or left."""
        with self._lock:
            self._kept.pop(upload.key, None)
        upload.file.unlink(missing_ok=True)


def _called(name: str) -> str:
    """The last part of a name, as words.

    Examples
    --------
    >>> _called("../../logs/garden.csv"), _called("../")
    ('garden.csv', 'a file')
    """
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    seen = "".join(each if each.isprintable() else " " for each in last).strip(" .")
    return seen[-_LONGEST:] or "a file"
