"""Rows of the record to the types of the journal, and back.

A column is named as the attribute it holds; days stand as ISO text, yes and no as 1 and 0.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from gddcast.book import checksums
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


def _standing_among(entries: str, withdrawals: str) -> str:
    """Condition for rows of entries that stand, by the entries and withdrawals that count."""
    gone = f"(SELECT entry FROM withdrawal{withdrawals})"
    again = (
        "SELECT number FROM entry WHERE name IN (SELECT target FROM restoration WHERE entry NOT IN "
        f"{gone} AND entry IN (SELECT number FROM entry{entries}))"
    )
    return f"(entry NOT IN {gone} OR entry IN ({again}))"


#: Entries that still stand; the rest were withdrawn, and not brought back.
STANDING = _standing_among("", "")


def standing_at(moment: dt.datetime | None) -> str:
    """Condition for rows of entries that stood at a moment; now, where none is given."""
    if moment is None:
        return STANDING
    then = f"julianday('{moment.isoformat()}')"
    known = f" WHERE julianday(entered_at) <= {then}"
    standing = _standing_among(known, f" WHERE julianday(withdrawn_at) <= {then}")
    return f"entry IN (SELECT number FROM entry{known}) AND {standing}"


@dataclass(frozen=True, slots=True)
class Entry:
    """One command that wrote something: its name, when, and what about."""

    name: str
    entered_at: dt.datetime
    item: Item | None  # None where it brought weather, or an entry back
    source: str | None = None  # where that weather came from
    withdrawn_at: dt.datetime | None = None
    note: str | None = None  # why it was withdrawn
    restores: str | None = None  # name of the entry that stands again by it


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
        "SELECT name, entered_at, source, withdrawn_at, note, target FROM entry "
        "LEFT JOIN withdrawal ON withdrawal.entry = number "
        "LEFT JOIN restoration ON restoration.entry = number "
        "LEFT JOIN weather_source ON weather_source.entry = number ORDER BY number"
    )
    every = [
        Entry(name, _moment(at), items.get(name), source, gone and _moment(gone), note, target)
        for name, at, source, gone, note, target in rows
    ]
    # Of one brought back the last word counts: that it stands, or when that was withdrawn.
    last = {each.restores: each for each in every if each.restores}
    return [
        replace(each, withdrawn_at=last[each.name].withdrawn_at, note=last[each.name].note)
        if each.name in last
        else each
        for each in every
    ]


@dataclass(frozen=True, slots=True)
class DaysBrought:
    """Days of weather that one entry brought, those of a forecast among them."""

    count: int
    first: dt.date
    last: dt.date


def days_brought(connection: sqlite3.Connection, name: str) -> DaysBrought | None:
    """The weather of an entry; None where it brought none."""
    count, first, last = connection.execute(
        "SELECT count(*), min(day), max(day) FROM (SELECT entry, day FROM weather_day UNION ALL "
        "SELECT entry, day FROM forecast_day) JOIN entry ON entry = number WHERE name = ?",
        (name,),
    ).fetchone()
    if not count:
        return None
    return DaysBrought(count, dt.date.fromisoformat(first), dt.date.fromisoformat(last))


def meant_to_withdraw(every: Sequence[Entry], name: str | None) -> Entry:
    """The standing entry of a name, the last one by default; of a restoration what stands by it.

    Raises
    ------
    Refusal
        If none stands, or one that does is about it.
    """
    standing = [entry for entry in every if entry.withdrawn_at is None]
    chosen = [entry for entry in standing if name in (None, entry.name)]
    if not chosen:
        raise _nothing_to_withdraw(name, standing)
    last = chosen[-1]
    last = next((entry for entry in standing if entry.name == last.restores), last)
    if isinstance(last.item, Sowing):
        _refuse_if_followed(last.item, standing)
    return last


def withdraw(
    connection: sqlite3.Connection, name: str | None, at: dt.datetime, note: str | None
) -> Entry:
    """Withdraw an entry, the last one that stands by default; it stays readable."""
    every = entries(connection)
    meant = meant_to_withdraw(every, name)
    by = [entry.name for entry in every if entry.restores == meant.name]
    connection.execute(
        "INSERT INTO withdrawal (entry, withdrawn_at, note) "
        "SELECT number, ?, ? FROM entry WHERE name = ?",
        (at.isoformat(), note, by[-1] if by else meant.name),
    )
    return meant


def meant_to_restore(every: Sequence[Entry], name: str | None) -> Entry:
    """The withdrawn entry of a name, the one withdrawn last by default.

    Raises
    ------
    Refusal
        If none is withdrawn, or what it speaks of is no longer there.
    """
    gone = [entry for entry in every if entry.withdrawn_at is not None and not entry.restores]
    chosen = [entry for entry in gone if name in (None, entry.name)]
    if not chosen:
        raise _nothing_to_restore(name, gone)
    # Of those withdrawn at one moment the earliest written went last.
    last = max(chosen, key=lambda entry: entry.withdrawn_at or entry.entered_at)
    standing = [entry.item for entry in every if entry.withdrawn_at is None]
    names = {item.name: item.entry for item in standing if isinstance(item, Sowing)}
    item = last.item
    if isinstance(item, Job) and item.sowing is not None and item.sowing not in names:
        raise Refusal(
            f"entry {last.name}", f"its sowing {item.sowing} is withdrawn",
            "It would speak of a sowing that is not there.",
            "Bring that back first:  gddcast redo ENTRY", slug="entry-followed",
        )  # fmt: skip
    if isinstance(item, Sowing) and item.name in names:
        raise Refusal(
            f"entry {last.name}", f"another sowing is called {item.name} by now",
            f"It is entry {names[item.name]}.",
            f"Withdraw that one first:  {shell('gddcast', 'undo', names[item.name])}",
            slug="name-taken",
        )  # fmt: skip
    return last


def restore(
    connection: sqlite3.Connection, name: str | None, entered_at: dt.datetime, year: int
) -> Entry:
    """Let a withdrawn entry stand again, the one withdrawn last by default."""
    meant = meant_to_restore(entries(connection), name)
    if not checksums.is_as_written(connection, meant.name):
        raise Refusal(
            f"entry {meant.name}", "it is not as it was written",
            "A disk or a copy changed it before it was withdrawn.",
            "Record it again.", slug="entry-damaged",
        )  # fmt: skip
    number, _ = add_entry(connection, entered_at, year)
    connection.execute("INSERT INTO restoration VALUES (?, ?)", (number, meant.name))
    return meant


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


def _nothing_to_restore(name: str | None, gone: list[Entry]) -> Refusal:
    names = ", ".join(entry.name for entry in gone[-5:])
    return Refusal(
        f"the entry '{name}'" if name else "this book",
        "no entry of that name is withdrawn" if name else "no entry is withdrawn",
        f"Withdrawn are {names}." if names else "Every entry stands.",
        "Without a name the one withdrawn last is brought back:  gddcast redo" if names
        else "Nothing needs doing.",
        slug="nothing-to-redo",
    )  # fmt: skip


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
