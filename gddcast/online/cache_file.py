"""The file of the cache: opened, begun anew where it is broken, and what keeps us from it."""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from gddcast.errors import Refusal

if TYPE_CHECKING:
    import requests_cache

_BUSY = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


@contextmanager
def explained(folder: Path) -> Iterator[None]:
    """Turn what SQLite says of the cache into a refusal with its cure.

    Raises
    ------
    Refusal
        If another run keeps it to itself, the disk is full, or the folder takes no writing.
    """
    try:
        yield
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if code in _BUSY:
            found = "another run of gddcast is using it"
            cure = "Run the same command again in a moment."
        elif code == sqlite3.SQLITE_FULL:
            found, cure = "the disk is full", "Make some room, then run the same command again."
        else:
            found = f"it can’t be used ({error})"
            cure = "Allow writing there, or name another folder in GDDCAST_CACHE."
        raise Refusal(
            f"the weather cache {folder}", found,
            "What came from a service is kept there; nothing of it is lost.", cure,
            slug="cache-unusable",
        ) from error  # fmt: skip


def opened(path: Path) -> requests_cache.CachedSession:
    """A session whose answers are kept in this file."""
    import requests_cache

    # SQLite, because its writes are whole or not at all; JSON, because pickle runs code.
    return requests_cache.CachedSession(
        str(path),
        backend="sqlite",
        serializer="json",
        expire_after=dt.timedelta(hours=6),
        allowable_codes=(200, 404),
        stale_if_error=True,
    )


def drop_if_damaged(cache: Path, wait: float = 5.0) -> None:
    """Remove a broken cache: it holds nothing that can't be fetched again."""
    if not cache.exists():
        return
    try:
        with closing(sqlite3.connect(cache, timeout=wait)) as connection:
            sound = connection.execute("PRAGMA integrity_check(1)").fetchone() == ("ok",)
            columns = {row[1] for row in connection.execute("PRAGMA table_info(responses)")}
            sound = sound and (not columns or {"key", "value", "expires"} <= columns)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        sound = getattr(error, "sqlite_errorcode", 0) & 0xFF in _BUSY  # another run is at it
    if not sound:
        for each in ("", "-journal", "-wal", "-shm"):
            cache.with_name(cache.name + each).unlink(missing_ok=True)
