"""Rows of the record to the types of the journal, and back.

A column is named as the attribute it holds; days stand as ISO text, yes and no as 1 and 0.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from gddcast.errors import Refusal, shell
from gddcast.journal.entries import Closing, Job, Journal, OwnGoal, Sighting, Sowing

#: What one entry can be about.
Item = Sighting | Sowing | Job | OwnGoal | Closing
One = TypeVar("One", Sighting, Sowing, Job, OwnGoal, Closing)

#: Table of each type, and its columns after ``entry``.
TABLES: dict[type[Item], tuple[str, tuple[str, ...]]] = {
    Sighting: (
        "sighting",
        (
            "kind", "organism", "event", "seen_on", "clean_on", "sure", "where",
            "plants_looked", "plants_with", "count", "note", "trap", "nights", "by",
        ),
    ),
    Sowing: (
        "sowing",
        ("name", "crop", "sown_on", "planted_out", "bed", "variety", "note"),
    ),
    Job: ("job", ("job", "done_on", "sowing", "bed", "note")),
    OwnGoal: (
        "own_goal",
        (
            "organism", "event", "goal", "low", "high", "kept_on", "spread", "seasons", "lower",
            "upper", "shape", "cutoff", "starts", "note",
        ),
    ),
    Closing: ("closing", ("organism", "event", "closed_on", "note")),
}  # fmt: skip
_DAYS = {"seen_on", "clean_on", "sown_on", "done_on", "kept_on", "closed_on"}
_YES_NO = {"sure", "planted_out", "trap"}
#: Entries that still stand; the rest were withdrawn.
STANDING = "entry NOT IN (SELECT entry FROM withdrawal)"


def standing_at(moment: dt.datetime | None) -> str:
    """Condition for rows of entries that stood at a moment; now, where none is given."""
    if moment is None:
        return STANDING
    then = f"julianday('{moment.isoformat()}')"
    return (
        f"entry IN (SELECT number FROM entry WHERE julianday(entered_at) <= {then}) AND entry "
        f"NOT IN (SELECT entry FROM withdrawal WHERE julianday(withdrawn_at) <= {then})"
    )


@dataclass(frozen=True, slots=True)
class Entry:
    """One command that wrote something: its name, when, and what about."""

    name: str
    entered_at: dt.datetime
    item: Item | None  # None where it brought weather
    source: str | None = None  # where that weather came from
    withdrawn_at: dt.datetime | None = None
    note: str | None = None  # why it was withdrawn


def journal(connection: sqlite3.Connection) -> Journal:
    """Everything recorded that still stands, in the order of writing."""
    return Journal(
        tuple(_standing(connection, Sighting)),
        tuple(_standing(connection, Sowing)),
        tuple(_standing(connection, Job)),
        tuple(_standing(connection, OwnGoal)),
        tuple(_standing(connection, Closing)),
    )


def _standing(connection: sqlite3.Connection, kind: type[One]) -> Iterator[One]:
    table, columns = TABLES[kind]
    rows = connection.execute(
        f"SELECT entry.name, {_listed(table, columns)} FROM {table} JOIN entry ON entry = number "
        f"WHERE {STANDING} ORDER BY number"
    )
    for name, *values in rows:
        yield kind(**_fields(columns, values), entry=name)


def add(connection: sqlite3.Connection, item: Item, entered_at: dt.datetime, year: int) -> str:
    """Write one entry about one thing; its name is returned."""
    table, columns = TABLES[type(item)]
    number, name = add_entry(connection, entered_at, year)
    values = [_value(item, column) for column in columns]
    marks = ", ".join("?" * len(columns))
    connection.execute(
        f"INSERT INTO {table} (entry, {_quoted(columns)}) VALUES (?, {marks})", (number, *values)
    )
    return name


def add_entry(
    connection: sqlite3.Connection, entered_at: dt.datetime, year: int
) -> tuple[int, str]:
    """Begin an entry: its number, and the name people see."""
    (before,) = connection.execute(
        "SELECT count(*) FROM entry WHERE name GLOB ?", (f"{year:04d}-*",)
    ).fetchone()
    name = f"{year:04d}-{before + 1:03d}"
    number = connection.execute(
        "INSERT INTO entry (name, entered_at) VALUES (?, ?)", (name, entered_at.isoformat())
    ).lastrowid
    assert number is not None
    return number, name


def entries(connection: sqlite3.Connection) -> list[Entry]:
    """Every entry in the order of writing, those withdrawn among them."""
    items: dict[str, Item] = {}
    for kind, (table, columns) in TABLES.items():
        listed = _listed(table, columns)
        for name, *values in connection.execute(
            f"SELECT entry.name, {listed} FROM {table} JOIN entry ON entry = number"
        ):
            items[name] = kind(**_fields(columns, values), entry=name)
    rows = connection.execute(
        "SELECT name, entered_at, source, withdrawn_at, note FROM entry "
        "LEFT JOIN withdrawal ON withdrawal.entry = number "
        "LEFT JOIN weather_source ON weather_source.entry = number ORDER BY number"
    )
    return [
        Entry(name, _moment(at), items.get(name), source, gone and _moment(gone), note)
        for name, at, source, gone, note in rows
    ]


def withdraw(
    connection: sqlite3.Connection, name: str | None, at: dt.datetime, note: str | None
) -> Entry:
    """Withdraw an entry, the last one that stands by default; it stays readable."""
    standing = [entry for entry in entries(connection) if entry.withdrawn_at is None]
    chosen = [entry for entry in standing if name in (None, entry.name)]
    if not chosen:
        raise _nothing_to_withdraw(name, standing)
    last = chosen[-1]
    if isinstance(last.item, Sowing):
        _refuse_if_followed(last.item, standing)
    connection.execute(
        "INSERT INTO withdrawal (entry, withdrawn_at, note) "
        "SELECT number, ?, ? FROM entry WHERE name = ?",
        (at.isoformat(), note, last.name),
    )
    return last


def _refuse_if_followed(sowing: Sowing, standing: list[Entry]) -> None:
    after = [
        entry.name
        for entry in standing
        if isinstance(entry.item, Job) and entry.item.sowing == sowing.name
    ]
    if after:
        raise Refusal(
            f"entry {sowing.entry}",
            f"later entries are about that sowing: {', '.join(after)}",
            "They would speak of a sowing that is not there.",
            f"Withdraw them first, the latest first:  {shell('gddcast', 'undo', after[-1])}",
            slug="entry-followed",
        )


def _nothing_to_withdraw(name: str | None, standing: list[Entry]) -> Refusal:
    if name is None:
        return Refusal(
            "this book",
            "it has no entry to withdraw",
            "Every entry is withdrawn already, or there never was one.",
            "Nothing needs doing.",
            slug="nothing-to-undo",
        )
    last = f"The last one is {standing[-1].name}." if standing else "None stands."
    return Refusal(
        f"the entry '{name}'",
        "no entry of that name stands",
        last,
        "Without a name the last one is withdrawn:  gddcast undo",
        slug="no-such-entry",
    )


def _fields(columns: tuple[str, ...], values: list[Any]) -> dict[str, Any]:
    """What a row knows; a column that came later than it is left at what the type begins with."""
    told = zip(columns, values, strict=True)
    return {column: _as_read(column, value) for column, value in told if value is not None}


def _as_read(column: str, value: Any) -> Any:
    if column in _DAYS:
        return dt.date.fromisoformat(value)
    if column == "starts":
        return value if is_day_of_any_year(value) else None  # a sheet of old let 19-39 pass
    return bool(value) if column in _YES_NO else value


def is_day_of_any_year(text: str) -> bool:
    """Whether a text is a month and a day, such as 03-01.

    Examples
    --------
    >>> is_day_of_any_year("02-29"), is_day_of_any_year("19-39"), is_day_of_any_year("3-1")
    (True, False, False)
    """
    try:
        return f"{dt.date.fromisoformat(f'2024-{text}'):%m-%d}" == text
    except ValueError:
        return False


def _value(item: Item, column: str) -> Any:
    value = getattr(item, column)
    if isinstance(value, dt.date):
        return value.isoformat()
    return int(value) if isinstance(value, bool) else value


def _quoted(columns: tuple[str, ...]) -> str:
    return ", ".join(f'"{column}"' for column in columns)


def _listed(table: str, columns: tuple[str, ...]) -> str:
    return ", ".join(f'{table}."{column}"' for column in columns)


def _moment(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)
