"""A checksum of every row: a bit that a disk or a copy changed is noticed before it is counted.

SQLite notices a page that is no page any more; 24.1 °C that became 16.1 °C is as good a number to
it. So each row has its CRC-32 (as zlib and RFC 1952 have it), taken from what was written; those
of an entry stand on one line. A withdrawal takes one of its entry as well, as that stood then:
whoever withdraws a damaged entry has the rest of the book back.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from zlib import crc32

import numpy as np

from gddcast.book import faults

#: What a line of checksums is of, and the column that numbers it.
_PARTS = {"entry": "number", "announcement": "number", "withdrawal": "entry"}
#: Tables with a row a day, and what tells the rows of an entry apart.
DAYS = {
    "weather_day": ("day", "origin"),
    "forecast_day": ("issued_on || day", "0"),
}
_DAY = np.dtype([("day", "S20"), ("tmin", ">f8"), ("tmax", ">f8"), ("origin", ">i8")])
WIDTH = 4  # of a CRC-32 [bytes]


def seal(connection: sqlite3.Connection) -> None:
    """Take the checksums of every row that has none yet, as the last thing in a transaction."""
    for part, key in _PARTS.items():
        bare = f"SELECT {key} FROM {part} EXCEPT SELECT number FROM checksum WHERE part = '{part}'"
        sums = _sums(connection, part, bare)
        if part == "withdrawal":
            for number, entry in _sums(connection, "entry", bare).items():
                sums[number] += _crc(entry)
        connection.executemany(
            "INSERT INTO checksum VALUES (?, ?, ?)",
            [(part, number, each) for number, each in sums.items()],
        )


def check(file: Path, connection: sqlite3.Connection) -> None:
    """Compare every row with its checksum.

    Raises
    ------
    Refusal
        If one differs: with its entry, and with the day where that has many.
    """
    then = promised(connection)
    now = {part: _sums(connection, part, f"SELECT {key} FROM {part}")
           for part, key in _PARTS.items()}  # fmt: skip
    withdrawn = then["withdrawal"]
    for number, sums in then["entry"].items():
        entry = now["entry"].get(number, b"")
        if entry != sums and (number not in withdrawn or _crc(entry) != withdrawn[number][WIDTH:]):
            raise faults.altered(file, *_differing(connection, number, entry, sums))
    for number, sums in withdrawn.items():
        if now["withdrawal"].get(number) != sums[:WIDTH]:
            raise faults.altered(file, f"the withdrawal of entry {_name(connection, number)}")
    for number, sums in then["announcement"].items():
        if now["announcement"].get(number) != sums:
            raise faults.altered(file, f"row {number} of the dates it told")


def promised(connection: sqlite3.Connection) -> dict[str, dict[int, bytes]]:
    """The checksums taken when rows were written, by part and number."""
    found: dict[str, dict[int, bytes]] = {part: {} for part in _PARTS}
    for part, number, sums in connection.execute("SELECT part, number, sums FROM checksum"):
        if part in found and isinstance(sums, bytes):
            found[part][number] = sums
    return found


def row_sums(connection: sqlite3.Connection) -> dict[str, dict[int, list[tuple[str, bytes]]]]:
    """The checksum of every row as it now reads, by part and number; of weather with its day."""
    found: dict[str, dict[int, list[tuple[str, bytes]]]] = {}
    for part, key in _PARTS.items():
        of_part = found.setdefault(part, {})
        for number, days, sums in _rows(connection, part, f"SELECT {key} FROM {part}"):
            of_part.setdefault(number, []).extend(
                (day.decode(errors="replace"), sums[at * WIDTH : (at + 1) * WIDTH])
                for at, day in enumerate(days)
            )
    return found


def is_as_written(connection: sqlite3.Connection, name: str) -> bool:
    """Whether the rows of one entry are as they were written, whatever was withdrawn since."""
    number, then = connection.execute(
        "SELECT entry.number, sums FROM entry JOIN checksum ON checksum.number = entry.number "
        "WHERE name = ? AND part = 'entry'", (name,),
    ).fetchone()  # fmt: skip
    return bool(_sums(connection, "entry", str(number)).get(number) == then)


def _sums(connection: sqlite3.Connection, part: str, which: str) -> dict[int, bytes]:
    """Checksums of the rows of each entry, announcement or withdrawal, one behind another."""
    found: dict[int, bytearray] = {}
    for number, _, sums in _rows(connection, part, which):
        found.setdefault(number, bytearray()).extend(sums)
    return {number: bytes(sums) for number, sums in found.items()}


def _rows(
    connection: sqlite3.Connection, part: str, which: str
) -> Iterator[tuple[int, Sequence[bytes], bytes]]:
    """Rows of a part: their number, the day of each where they are of days, their checksums."""
    tables = [part]
    if part == "entry":
        tables += [name for (name,) in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT IN "
            "('entry', 'announcement', 'withdrawal', 'checksum') ORDER BY rowid"
        )]  # fmt: skip
    # As bytes: what a flipped bit left of a word need not be UTF-8.
    words, connection.text_factory = connection.text_factory, bytes
    try:
        for table in tables:
            if table in DAYS:
                yield from _day_rows(connection, table, which)
                continue
            key = _PARTS.get(table, "entry")
            rows = connection.execute(
                f"SELECT {key}, * FROM {table} WHERE {key} IN ({which}) ORDER BY {key}"
            )
            for number, *values in rows:
                while values[-1] is None:  # a column that came later is empty in older rows
                    values.pop()
                yield number, (b"",), _crc(repr(values).encode())
    finally:
        connection.text_factory = words


def _day_rows(
    connection: sqlite3.Connection, table: str, which: str
) -> Iterator[tuple[int, Sequence[bytes], bytes]]:
    """All days of an entry at once: there may be thousands."""
    day, origin = DAYS[table]
    rows = connection.execute(
        f"SELECT entry, {day} AS told, tmin, tmax, {origin} FROM {table} WHERE entry IN ({which}) "
        "ORDER BY entry, told"
    ).fetchall()
    if not rows:
        return
    numbers, days, *values = zip(*rows, strict=True)
    packed = np.empty(len(rows), _DAY)
    for name, each in zip(_DAY.names or (), (days, *values), strict=True):
        packed[name] = np.array(each, _DAY[name])  # a reading that is not known is NaN
    whole, width = packed.tobytes(), _DAY.itemsize
    sums = np.array([crc32(whole[at : at + width]) for at in range(0, len(whole), width)], ">u4")
    ends = [*(np.flatnonzero(np.diff(numbers)) + 1).tolist(), len(rows)]
    for begin, end in zip([0, *ends], ends, strict=False):
        yield numbers[begin], days[begin:end], sums[begin:end].tobytes()


def _crc(sums: bytes) -> bytes:
    return crc32(sums).to_bytes(WIDTH, "big")


def _differing(
    connection: sqlite3.Connection, number: int, now: bytes, then: bytes
) -> tuple[str, str]:
    """What of an entry is no longer as it was, and the entry's name."""
    name = _name(connection, number)
    if len(now) != len(then):
        return f"entry {name}", name
    at = next(at for at, (one, other) in enumerate(zip(now, then, strict=True)) if one != other)
    days = [day for _, days, _ in _rows(connection, "entry", str(number)) for day in days]
    day = days[at // WIDTH][-10:].decode(errors="replace")
    return f"entry {name}" + (f", its row of {day}," if day else ""), name


def _name(connection: sqlite3.Connection, number: int) -> str:
    found = connection.execute(
        "SELECT CAST(name AS BLOB) FROM entry WHERE number = ?", (number,)
    ).fetchone()
    return found[0].decode(errors="replace") if found else f"number {number}"
