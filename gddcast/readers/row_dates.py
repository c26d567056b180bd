"""When each row was: a column of stamps, or year with month and day, or year with day number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.calendar_days import calendar_days, numbered_days
from gddcast.readers.date_cells import date_cell, month_of
from gddcast.readers.date_orders import refuse_swapped_months
from gddcast.readers.dates import Stamps, minutes_of, stamps_of
from gddcast.readers.reading import DateOrder, Integers, Note, named_lines
from gddcast.readers.roles import Roles
from gddcast.readers.tables import Table

#: A footer longer than this is no footer. [rows]
LONGEST_FOOTER = 40


def dated(
    table: Table, roles: Roles, name: str, given: DateOrder | None
) -> tuple[Table, Stamps, tuple[Note, ...]]:
    """Rows that have a date, and their dates.

    Returns
    -------
    table, stamps, notes : Table, Stamps, tuple of Note
        Rows without a date are dropped where they are empty or stand at the end, and noted.

    Raises
    ------
    Refusal
        If a row in the middle has no date.
    """
    stamps = _with_clock(table, roles, _stamps(table, roles, name, given))
    absent = np.isnat(stamps.days)
    notes: list[Note] = []
    if absent.any():
        table, stamps, notes = _without_undated(table, roles, stamps, absent, name)
    if given is None and (roles.stamp is not None or not table.header_line):
        refuse_swapped_months(stamps.days, table.lines, name)
    return table, stamps, tuple(notes)


def _stamps(table: Table, roles: Roles, name: str, given: DateOrder | None) -> Stamps:
    if roles.stamp is not None:
        return stamps_of(table.column(roles.stamp), table.lines, name, given)
    assert roles.year is not None
    year = _whole_numbers(table.column(roles.year))
    if roles.day_number is not None:
        days = numbered_days(year, _whole_numbers(table.column(roles.day_number)))
        return Stamps(days, how="Dates are a year and the number of the day in it")
    assert roles.month is not None
    assert roles.day is not None
    month, day = (_whole_numbers(table.column(at)) for at in (roles.month, roles.day))
    if (month < 0).all():  # months by name
        month = np.array([month_of(cell.strip(" .")) or -1 for cell in table.column(roles.month)])
    return Stamps(calendar_days(year, month, day), how="Dates are year, month and day columns")


def _whole_numbers(cells: Sequence[str]) -> Integers:
    """Whole numbers of a column, -1 where a cell holds none."""
    meaning = {text: _whole_number(text) for text in set(cells)}
    return np.fromiter(map(meaning.__getitem__, cells), np.int64, len(cells))


def _whole_number(text: str) -> int:
    plain = text.strip().removesuffix(".0")
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) <= 6 else -1


def _with_clock(table: Table, roles: Roles, stamps: Stamps) -> Stamps:
    """Add the times of a column of their own."""
    if roles.clock is None or stamps.minutes is not None:
        return stamps
    minutes = minutes_of(table.column(roles.clock))
    if minutes is None:
        return stamps
    if roles.minute is not None:
        beyond = _whole_numbers(table.column(roles.minute))
        minutes = np.where((minutes < 0) | (beyond < 0), -1, minutes + beyond)
    days = stamps.days.copy()
    days[minutes < 0] = np.datetime64("NaT")
    return replace(stamps, days=days, minutes=minutes)


def _without_undated(
    table: Table, roles: Roles, stamps: Stamps, absent: NDArray[np.bool_], name: str
) -> tuple[Table, Stamps, list[Note]]:
    last = int(np.flatnonzero(~absent)[-1]) if not absent.all() else -1
    rows = np.flatnonzero(absent)
    footer = [int(row) for row in rows if row > last]
    filled = [
        int(row)
        for row in rows
        if (row < last or _is_a_date(table.rows[row], roles))
        and any(table.rows[row][at].strip() for at in roles.temperatures)
    ]
    if filled or last < 0 or len(footer) > LONGEST_FOOTER:
        raise _undated(table, roles, filled or rows.tolist(), name)
    notes = []
    if footer:
        heads = ", ".join(f"'{_head(table.rows[row])}'" for row in footer[:4])
        numbers = tuple(table.lines[row] for row in footer)
        verbs = ("is", "was") if len(footer) == 1 else ("are", "were")
        text = (
            f"{named_lines(numbers).capitalize()} at the end {verbs[0]} no day and {verbs[1]} "
            f"left out: {heads}."
        )
        notes.append(Note("footer", text, numbers))
    kept = np.flatnonzero(~absent)
    rows_left = [table.rows[row] for row in kept]
    table = replace(table, rows=rows_left, lines=[table.lines[int(row)] for row in kept])
    return table, _taken(stamps, kept), notes


def _taken(stamps: Stamps, kept: NDArray[np.intp]) -> Stamps:
    return replace(
        stamps,
        days=stamps.days[kept],
        minutes=None if stamps.minutes is None else stamps.minutes[kept],
        zone=None if stamps.zone is None else stamps.zone[kept],
    )


def _is_a_date(row: list[str], roles: Roles) -> bool:
    """Whether a row that is no day is written like one: no footer is."""
    if roles.stamp is not None:
        return date_cell(row[roles.stamp].strip()) is not None
    parts = (roles.year, roles.month, roles.day, roles.day_number)
    return all(row[at].strip().isdecimal() for at in parts if at is not None)


def _head(row: list[str]) -> str:
    return next((cell.strip() for cell in row if cell.strip()), "")[:20]


def _undated(table: Table, roles: Roles, rows: list[int], name: str) -> Refusal:
    numbers = [table.lines[row] for row in rows]
    at = roles.stamp if roles.stamp is not None else roles.year or 0
    cell = table.rows[rows[0]][at].strip()
    return Refusal(
        name,
        f"{named_lines(numbers, 3)} {'has' if len(numbers) == 1 else 'have'} no date I can read",
        f"Line {numbers[0]} has '{cell[:30]}' in column '{table.names[at]}'.",
        "Mend the date, best as 2026-05-31, or delete the line.",
        slug="dates-unreadable",
    )
