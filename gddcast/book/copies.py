"""Dated copies of the record beside it: one a week, one before each migration, and the way back.

A copy is SQLite's own backup of a sound record, one file, whole before it has its name. The last
four weeks are kept, and one a month of a year; those before a migration and those that a copy
took the place of are nobody's to prune.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import re
import shutil
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from gddcast.book import checksums, faults, store
from gddcast.commits import commit
from gddcast.errors import Refusal, shell

WEEK = dt.timedelta(days=7)
#: What is kept of the weekly ones: the newest, and the newest of each month.
WEEKS, MONTHS = 4, 12
_WEEKLY = re.compile(r"-copy-(\d{4}-\d\d-\d\d)$")
_COPIES = ("copy", "before-version", "replaced")
#: What SQLite says where the record may well be sound.
_NO_DAMAGE = (
    sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy of a record: its file, the entries in it, and when the last of them was written."""

    file: Path
    entries: int
    last: dt.datetime | None


def keep_weekly(records: Path, today: dt.date) -> None:
    """Copy a record that has entries of a week ago and no copy of this week.

    A copy that can't be made, on a full disk say, never keeps anybody from writing an entry.
    """
    weekly = _weekly(records)
    if any(dt.timedelta() <= today - day < WEEK for day in weekly):
        return
    with contextlib.suppress(Refusal, OSError, sqlite3.Error, ValueError):
        with store.reading(records) as connection:
            (first,) = connection.execute("SELECT min(entered_at) FROM entry").fetchone()
        if first is None or today - dt.datetime.fromisoformat(first).date() < WEEK:
            return
        store.copy(records, records.with_stem(f"{records.stem}-copy-{today}"))
        for day in set(weekly) - days_to_keep([*weekly, today]):
            weekly[day].unlink()


def days_to_keep(days: Sequence[dt.date]) -> set[dt.date]:
    """Which of the days of weekly copies stay.

    Examples
    --------
    >>> weeks = [dt.date(2026, 1, 5) + WEEK * n for n in range(12)]
    >>> [f"{day:%d %b}" for day in sorted(days_to_keep(weeks))]
    ['26 Jan', '23 Feb', '02 Mar', '09 Mar', '16 Mar', '23 Mar']
    """
    newest = sorted(set(days), reverse=True)
    months = {(day.year, day.month): day for day in reversed(newest)}
    return {*newest[:WEEKS], *sorted(months.values(), reverse=True)[:MONTHS]}


def copies(records: Path) -> list[Copy]:
    """Every sound copy beside a record, the one with the latest entry first."""
    copies = []
    for file in sorted(records.parent.glob(f"{records.stem}-*{records.suffix}")):
        if any(file.stem.startswith(f"{records.stem}-{each}-") for each in _COPIES):
            with contextlib.suppress(Refusal, sqlite3.Error, OSError):
                copies.append(_looked_into(file))
    # A later copy of the same entries is no worse; the one set aside last comes last among these.
    return sorted(copies, key=lambda each: (each.last is not None, each.last), reverse=True)


def restore(records: Path, copy: Copy, today: dt.date) -> Path | None:
    """Put a copy in the place of the record; the record as it was is kept beside it.

    Returns
    -------
    Path or None
        Where the record as it was now stands; None where there was none.

    Raises
    ------
    Refusal
        If somebody is writing into the record, or the folder takes no writing.
    """
    with faults.explained(records, store.WAIT):
        aside = _aside(records, today) if records.exists() else None
        if aside is None or not _turned_back(records, copy.file, aside):
            _in_its_place(records, copy.file, aside)
    commit(records)
    return aside


def _aside(records: Path, today: dt.date) -> Path:
    names = (f"{records.stem}-replaced-{today}{'' if n == 1 else f'-{n}'}" for n in range(1, 1000))
    return next(file for name in names if not (file := records.with_stem(name)).exists())


def _turned_back(records: Path, copy: Path, aside: Path) -> bool:
    """Set a sound record aside and fill it from a copy in one transaction; False if it is damaged.

    One lock is held over both, so that no entry falls between them.
    """
    try:
        with store.alone(records) as record:
            if record.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",):
                return False
            store.copy_of(record, aside)
            with closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro", uri=True)) as source:
                source.backup(record)
    except UnicodeDecodeError:  # in the words of SQLite itself
        return False
    except sqlite3.DatabaseError as error:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in _NO_DAMAGE:
            raise
        return False
    return True


def _in_its_place(records: Path, copy: Path, aside: Path | None) -> None:
    """Give a copy the name of a record that is damaged or gone; each byte of that is kept first.

    Its log goes before the copy comes, for SQLite would write it into whatever has the name: a kill
    in between leaves a damaged record damaged, and the whole of it aside.
    """
    log = records.with_name(f"{records.name}-wal")
    if aside is not None:
        if log.exists():
            _byte_for_byte(log, aside.with_name(f"{aside.name}-wal"))
        _byte_for_byte(records, aside)
    for ending in ("-wal", "-shm"):
        records.with_name(records.name + ending).unlink(missing_ok=True)
    store.copy(copy, records, journal="WAL")


def _byte_for_byte(file: Path, to: Path) -> None:
    half = to.with_name(f".{to.name}.half")
    shutil.copy2(file, half)
    half.replace(to)


def _weekly(records: Path) -> dict[dt.date, Path]:
    found = {}
    for file in records.parent.glob(f"{records.stem}-copy-*{records.suffix}"):
        if named := _WEEKLY.search(file.stem):
            with contextlib.suppress(ValueError):
                found[dt.date.fromisoformat(named[1])] = file
    return found


def _looked_into(file: Path) -> Copy:
    """What a copy holds, its checksums compared; it is opened as it is and never migrated."""
    with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as connection:
        with faults.legible(file):
            (sound,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
            if sound != "ok":
                raise faults.damaged(file, str(sound))
            if connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'checksum'").fetchone():
                checksums.check(file, connection)
        count, last = connection.execute("SELECT count(*), max(entered_at) FROM entry").fetchone()
    return Copy(file, count, dt.datetime.fromisoformat(last) if last else None)


def no_copy(records: Path) -> Refusal:
    """There is no copy to go back to."""
    return Refusal(
        f"the folder {records.parent}", "no sound copy of the record stands in it",
        "Copies are made once a week, from a week after the first entry on.",
        "Save what can be read:  "
        f"{shell('gddcast', 'book', 'rescue', 'NEWDIR', '--book', records.parent)}"
        "     or import your last export:  gddcast import DIR --book NEWDIR",
        slug="no-copy",
    )  # fmt: skip
