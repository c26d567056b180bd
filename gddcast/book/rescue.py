"""What can be saved of a damaged record: every entry that is still as it was written.

Each row that can be read is read, and its checksum says whether it is what was written. What is
not, is taken from a copy beside the record, or from an export, where that has it as promised. The
rest is named, never guessed. The damaged record is only read.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from gddcast.book import checksums, faults, schema, store
from gddcast.book.exchange import record_of
from gddcast.book.founding import create_book, folder_for, settle
from gddcast.book.opening import RECORDS, SETTINGS, Book, open_book
from gddcast.book.settings import read_settings
from gddcast.errors import Refusal

_MAGIC = b"SQLite format 3\0"
#: Beyond the last row that could be read, so many more are asked for one by one.
_BEYOND = 10_000
_OWN_TABLES = ("entry", "withdrawal", "announcement", "checksum")
#: What SQLite says of damage; the second where its own words are no text any more.
_UNREADABLE = (sqlite3.DatabaseError, UnicodeDecodeError)
_LOST_WITHDRAWAL = "withdrawn before the record was damaged; when and why is lost"


@dataclass(slots=True)
class Saved:
    """What a rescue brought: entries as they were written, and what is not."""

    entries: int = 0
    from_copies: list[str] = field(default_factory=list)
    unchecked: list[str] = field(default_factory=list)
    days_lost: dict[str, int] = field(default_factory=dict)
    lost: list[str] = field(default_factory=list)


def rescue(
    folder: Path,
    target: Path,
    copies: Sequence[Path],
    now: dt.datetime,
    export: Path | None = None,
) -> tuple[Book, Saved]:
    """Make a new book of what can be saved.

    Parameters
    ----------
    folder : Path
        Of the damaged book; nothing in it is changed.
    target : Path
        Folder of the new one.
    copies : sequence of Path
        Copies of its record, the best first.
    now : datetime.datetime
        Written where the moment of a withdrawal is lost.
    export : Path, optional
        Folder of an export of this book; what only it promises is named as unchecked.

    Raises
    ------
    Refusal
        If its settings cannot be read, no entry can be saved, a book stands in the target, or the
        export is of another book.
    """
    settings = read_settings(folder / SETTINGS)
    if store.holds_a_book(target):
        raise faults.book_exists(target)
    with folder_for(target), faults.explained(target / RECORDS, store.WAIT), \
            tempfile.TemporaryDirectory(dir=target, prefix=".import-") as half:  # fmt: skip
        book = create_book(Path(half) / "book", settings)
        files = [folder / RECORDS, *copies]
        if export is not None:
            files.append(record_of(export, Path(half) / "export.sqlite"))
        with contextlib.ExitStack() as opened:
            sources = [
                opened.enter_context(_read(file, Path(half) / f"book.sqlite-{number}"))
                for number, file in enumerate(files)
            ]
            if export is not None:
                sources[-1].is_export = True
                _refuse_another_book(export, sources)
            saved = _filled(book.records, sources, now)
        if not saved.entries:
            raise _nothing(folder)
        store.put_beside(book.records, target / RECORDS)
        settle(target, (folder / SETTINGS).read_text(encoding="utf-8-sig"))
    return open_book(target), saved


@dataclass(slots=True)
class _Source:
    """Everything readable of one file, in a record of today's form that checks nothing."""

    unsealed: bool  # written before rows had checksums
    rows: sqlite3.Connection
    promised: dict[str, dict[int, bytes]]
    sums: dict[str, dict[int, list[tuple[str, bytes]]]]
    is_export: bool = False  # its checksums were taken of text, when it was read


@contextlib.contextmanager
def _read(file: Path, scratch: Path) -> Iterator[_Source]:
    damaged = scratch.with_name(scratch.name + ".damaged")
    with closing(sqlite3.connect(scratch, isolation_level=None)) as rows:
        rows.execute("PRAGMA synchronous = OFF")  # nobody misses it after a loss of power
        for step in schema.STEPS:
            rows.executescript(step)
        rows.execute("PRAGMA ignore_check_constraints = ON")
        rows.execute("BEGIN")
        version = schema.VERSION
        with contextlib.suppress(OSError):
            _beside(file, damaged)
            with closing(sqlite3.connect(damaged)) as found:
                found.text_factory = lambda raw: raw.decode("utf-8", errors="replace")
                with contextlib.suppress(*_UNREADABLE):
                    found.execute(
                        "PRAGMA writable_schema = ON"
                    )  # a table it can't name costs no other
                    (version,) = found.execute("PRAGMA user_version").fetchone()
                for table in _tables(rows):
                    _copied(found, rows, table)
        rows.execute("COMMIT")
        unsealed = version < schema.SEALED
        yield _Source(unsealed, rows, checksums.promised(rows), checksums.row_sums(rows))


def _beside(file: Path, damaged: Path) -> None:
    """A copy to work on, with what still stands in its log and a beginning that SQLite takes."""
    raw = file.read_bytes()
    damaged.write_bytes(_MAGIC + raw[len(_MAGIC) :])
    log = file.with_name(file.name + "-wal")
    if log.exists():
        shutil.copy(log, damaged.with_name(damaged.name + "-wal"))


def _tables(rows: sqlite3.Connection) -> list[str]:
    return [name for (name,) in rows.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY rowid"
    )]  # fmt: skip


def _columns(connection: sqlite3.Connection, table: str) -> list[tuple[str, bool]]:
    """Columns of a table, and whether each is of its key."""
    try:
        found = connection.execute(f"PRAGMA table_info({table})").fetchall()
    except _UNREADABLE:
        return []
    return [(name, bool(key)) for _, name, _, _, _, key in found]


def _copied(source: sqlite3.Connection, rows: sqlite3.Connection, table: str) -> None:
    known = {name for name, _ in _columns(source, table)}
    columns = [(name, key) for name, key in _columns(rows, table) if name in known]
    if not columns:
        return
    names = ", ".join(f'"{name}"' for name, _ in columns)
    into = f"INSERT OR IGNORE INTO {table} ({names}) VALUES ({', '.join('?' * len(columns))})"
    for row in _readable(source, table, names, [name for name, key in columns if key]):
        with contextlib.suppress(sqlite3.IntegrityError):  # a word where a number stood
            rows.execute(into, row)


def _readable(
    source: sqlite3.Connection, table: str, names: str, keys: list[str]
) -> Iterator[tuple[Any, ...]]:
    """Rows from the front up to damage, from the back down to it, and one by one between."""
    order = [", ".join(f'"{key}" {way}' for key in keys) for way in ("ASC", "DESC")]
    number = len(keys) == 1 and keys[0] in ("number", "entry")
    last = 0
    for way in order:
        try:
            for row in source.execute(f"SELECT {names} FROM {table} NOT INDEXED ORDER BY {way}"):
                last = max(last, row[0]) if number and isinstance(row[0], int) else last
                yield row
            return
        except _UNREADABLE:
            continue
    if number:
        for each in range(1, last + _BEYOND):
            with contextlib.suppress(*_UNREADABLE):
                yield from source.execute(
                    f'SELECT {names} FROM {table} WHERE "{keys[0]}" = ?', (each,)
                )


def _filled(records: Path, sources: list[_Source], now: dt.datetime) -> Saved:
    saved = Saved()
    numbers = sorted(
        {n for each in sources for n in (*each.promised["entry"], *each.sums["entry"])}
    )
    with store.writing(records) as fresh:
        for number in numbers:
            _save_entry(fresh, number, sources, saved)
        for number in {n for each in sources for n in each.promised["withdrawal"]}:
            _save_withdrawal(fresh, number, sources, now)
        for number in sources[0].sums["announcement"]:
            if _is_whole(sources[0], "announcement", number):
                _insert(fresh, sources[0], "announcement", "number", number)
    return saved


def _save_entry(
    fresh: sqlite3.Connection, number: int, sources: list[_Source], saved: Saved
) -> None:
    """One entry from the first source that has it as promised; else the sound days of weather."""
    promise = next((each for each in sources if number in each.promised["entry"]), None)
    promised = promise and promise.promised["entry"][number]
    there = [each for each in sources if number in each.sums["entry"]]
    # A record of before the checksums: read, and named as unchecked.
    bare = promised is None and sources[0].unsealed
    whole = [
        each
        for each in there
        if (len(each.sums["entry"][number]) > 1 if bare
            else _joined(each.sums["entry"][number]) == promised)
    ]  # fmt: skip
    best, sound = (whole[0], None) if whole else _most_days(there, number, promised or b"")
    name = _name(there, number)
    if best is None:
        saved.lost.append(name)
        return
    fresh.execute("SAVEPOINT one")
    try:
        for table in _tables(fresh):
            key = "number" if table == "entry" else "entry"
            if table not in _OWN_TABLES or table == "entry":
                _insert(fresh, best, table, key, number, sound)
    except sqlite3.IntegrityError:
        fresh.execute("ROLLBACK TO one")
        saved.lost.append(name)
        return
    saved.entries += 1
    if best is not sources[0]:
        saved.from_copies.append(name)
    if bare or (promise and promise.is_export):
        saved.unchecked.append(name)
    if sound is not None:
        saved.days_lost[name] = len(promised or b"") // checksums.WIDTH - 2 - len(sound)


def _refuse_another_book(export: Path, sources: list[_Source]) -> None:
    """An export whose entries are none of those that the record and its copies promise."""
    exported = sources[-1].sums["entry"]
    promised = [
        rows and _joined(rows) == each.promised["entry"][number]
        for each in sources[:-1]
        for number in each.promised["entry"]
        if (rows := exported.get(number))
    ]
    if promised and not any(promised):
        raise Refusal(
            f"the folder {export}", "it is an export of another book",
            "None of its entries is one of those in the damaged book.",
            "Name an export of this book, or leave  --export  out.", slug="another-book",
        )  # fmt: skip


def _most_days(
    sources: list[_Source], number: int, promised: bytes
) -> tuple[_Source | None, set[str] | None]:
    """The source with the most days of weather as they were written, its heading being so too."""
    wide = checksums.WIDTH
    then = {promised[at : at + wide] for at in range(0, len(promised), wide)}
    best: tuple[_Source | None, set[str] | None] = None, None
    for source in sources:
        rows = source.sums["entry"][number]
        heading = b"".join(each for day, each in rows if not day)
        days = {day for day, each in rows if day and each in then}
        if days and heading == promised[: 2 * wide] and len(days) > len(best[1] or ()):
            best = source, days
    return best


def _save_withdrawal(
    fresh: sqlite3.Connection, number: int, sources: list[_Source], now: dt.datetime
) -> None:
    """What was withdrawn stays so, though nobody can read any more when and why."""
    if not fresh.execute("SELECT 1 FROM entry WHERE number = ?", (number,)).fetchone():
        return
    for source in sources:
        if _is_whole(source, "withdrawal", number):
            _insert(fresh, source, "withdrawal", "entry", number)
            return
    fresh.execute(
        "INSERT INTO withdrawal VALUES (?, ?, ?)", (number, now.isoformat(), _LOST_WITHDRAWAL)
    )


def _is_whole(source: _Source, part: str, number: int) -> bool:
    rows = source.sums[part].get(number)
    if rows is None:
        return False
    promised = source.promised[part].get(number)
    return promised is not None and promised.startswith(_joined(rows))


def _joined(rows: list[tuple[str, bytes]]) -> bytes:
    return b"".join(each for _, each in rows)


def _insert(
    fresh: sqlite3.Connection,
    source: _Source,
    table: str,
    key: str,
    number: int,
    sound: set[str] | None = None,
) -> None:
    names = [name for name, _ in _columns(fresh, table)]
    listed, marks = ", ".join(f'"{name}"' for name in names), ", ".join("?" * len(names))
    of_days = checksums.DAYS.get(table)
    day = of_days[0] if of_days else "''"
    found = source.rows.execute(
        f"SELECT {day}, {listed} FROM {table} WHERE {key} = ?", (number,)
    ).fetchall()
    for each, *values in found:
        if sound is None or not of_days or each in sound:
            fresh.execute(f"INSERT INTO {table} ({listed}) VALUES ({marks})", values)


def _name(sources: list[_Source], number: int) -> str:
    for each in sources:
        found = each.rows.execute("SELECT name FROM entry WHERE number = ?", (number,)).fetchone()
        if found:
            return str(found[0])
    return f"number {number}"


def _nothing(folder: Path) -> Refusal:
    return Refusal(
        f"the book in {folder}", "nothing in it can be read any more",
        "Neither its record nor a copy beside it has an entry as it was written.",
        "Import your last export:  gddcast import DIR --book NEWDIR", slug="nothing-saved",
    )  # fmt: skip
