"""When each row was: cells to days in one format for a whole file, or columns of whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.date_cells import (
    DateCell,
    DateTexts,
    calendar_days,
    clock_of,
    date_cell,
    months_in,
    numbered_days,
    whole_numbers,
)
from gddcast.readers.date_orders import ordered, refuse_swapped_months
from gddcast.readers.reading import DateOrder, Days, Integers, Note, in_words, named_lines
from gddcast.readers.roles import Roles
from gddcast.readers.tables import Table

#: Lengths of year-first stamps: a day, a minute or a second, with and without a Z.
UNIFORM_SIZES = (10, 16, 17, 19, 20)

#: Excel's day 0, as its 1900 calendar counts from March 1900 on.
SERIAL_ZERO = np.datetime64("1899-12-30", "D")


@dataclass(frozen=True, slots=True)
class Stamps:
    """Days, and times where the file has them, of every row.

    Parameters
    ----------
    days : numpy.ndarray of datetime64[D]
        NaT on a row without a date.
    minutes : numpy.ndarray of int, optional
        Time of day; 1440 at the end of a day that is written 24:00. [min]
    zone : numpy.ndarray of int, optional
        Distance from UTC the stamps themselves state. [min]
    understood : str
        What was understood, one line.
    """

    days: Days
    minutes: Integers | None = None
    zone: Integers | None = None
    understood: str = ""


def stamps_of(
    cells: Sequence[str], lines: Sequence[int], name: str, given: DateOrder | None = None
) -> Stamps:
    """Days (and times) of a column of dates, all read in one format.

    Parameters
    ----------
    cells : sequence of str
    lines : sequence of int
    name : str
        File, for people.
    given : {"day-first", "month-first", "year-first"}, optional
        What the person said.

    Raises
    ------
    Refusal
        If two formats are mixed, or day and month cannot be told apart.
    """
    uniform = _uniform(cells) if given in (None, "year-first") else None
    if uniform is not None:
        return uniform
    parts = [date_cell(cell.strip()) for cell in cells]
    kinds = [part.kind if part else "" for part in parts]
    present = list(dict.fromkeys(kind for kind in kinds if kind))
    if not present:
        return Stamps(np.full(len(cells), "NaT", "datetime64[D]"), understood="")
    texts = DateTexts(cells, lines, name)
    if len(present) > 1:
        _refuse_mixture(kinds, present, texts)
    whole = _assembled(present[0], parts, texts, given)
    return _with_times(whole, parts, texts)


# --- the whole column ---------------------------------------------------------------------------


def _uniform(cells: Sequence[str]) -> Stamps | None:
    """Fast way for year-first stamps all written with the same number of signs."""
    size = len(cells[0])
    if size not in UNIFORM_SIZES:
        return None
    table = np.array(cells)
    if table.dtype.itemsize != 4 * size:
        return None
    return uniform_stamps(table.view(np.uint32).reshape(len(cells), size))


def uniform_stamps(letters: NDArray[np.unsignedinteger[Any]]) -> Stamps | None:
    """Year-first stamps from their letters, shape (rows, letters); None if they are others."""
    size = letters.shape[1]
    marks = letters[0]
    fixed = [4, 7, *((10, 13) if size > 10 else ()), *((16,) if size > 16 else ())]
    fixed += [19] if size == 20 else []
    spots = [chr(marks[at]) for at in fixed]
    if (
        spots[0] != spots[1]
        or spots[0] not in "-/."
        or spots[2:4] not in ([], ["T", ":"], [" ", ":"])
    ):
        return None
    if (size in (17, 20) and spots[-1] not in "Zz") or (size == 19 and spots[-1] != ":"):
        return None
    if not (letters[:, fixed] == marks[fixed]).all():
        return None
    digit = letters.astype(np.int32) - 48
    free = [at for at in range(size) if at not in fixed]
    if ((digit[:, free] < 0) | (digit[:, free] > 9)).any():
        return None
    year = digit[:, 0] * 1000 + digit[:, 1] * 100 + digit[:, 2] * 10 + digit[:, 3]
    days = calendar_days(year, digit[:, 5] * 10 + digit[:, 6], digit[:, 8] * 10 + digit[:, 9])
    if np.isnat(days).any():
        return None
    understood = "Dates year first"
    if size == 10:
        return Stamps(days, understood=understood)
    hour, minute = digit[:, 11] * 10 + digit[:, 12], digit[:, 14] * 10 + digit[:, 15]
    if (hour > 23).any() or (minute > 59).any():
        return None
    zone = np.zeros(len(letters), np.int64) if size in (17, 20) else None
    return Stamps(days, hour * 60 + minute, zone, understood)


def _assembled(
    kind: str, parts: Sequence[DateCell | None], texts: DateTexts, given: DateOrder | None
) -> Stamps:
    """Days of a column in one format."""
    table = np.array([part[1:4] if part else (0, 0, 0) for part in parts], np.int64)
    first, second, third = table.T
    has_date = np.array([part is not None for part in parts])
    if kind == "serial":
        days = SERIAL_ZERO + np.where(has_date, first, 0)
        days[~has_date] = np.datetime64("NaT")
        row = int(np.flatnonzero(has_date)[0])
        example = f"{texts.cells[row].strip()} is {in_words(days[row])}"
        understood = f"Dates are spreadsheet day numbers: {example}"
        timed = bool(third.any())
        return Stamps(days, second if timed else None, None, understood)
    if kind == "epoch":
        moment = first.astype("datetime64[s]")
        days = moment.astype("datetime64[D]")
        minutes = (moment - days).astype(np.int64) // 60
        days[~has_date] = np.datetime64("NaT")
        return Stamps(days, minutes, np.zeros_like(minutes), "Dates count seconds since 1970, UTC")
    if kind in ("named", "compact", "year-first"):
        understood = {"named": "Dates name the month", "compact": "Dates written yyyymmdd"}.get(
            kind, "Dates year first"
        )
        return Stamps(calendar_days(first, second, third), understood=understood)
    days, understood = ordered(table, kind, has_date, texts, given)
    return Stamps(days, understood=understood)


def _with_times(whole: Stamps, parts: Sequence[DateCell | None], texts: DateTexts) -> Stamps:
    """Add the times of day the cells have; a time that makes no sense unsays the date."""
    if not any(part and part.time for part in parts):
        return whole
    clocks = [clock_of(part.time) if part and part.time else (0, None) for part in parts]
    days = whole.days.copy()
    days[[clock is None for clock in clocks]] = np.datetime64("NaT")
    minutes = np.array([clock[0] if clock else 0 for clock in clocks], np.int64)
    zones = [clock[1] if clock else None for clock in clocks]
    zone = None
    if any(offset is not None for offset in zones):
        _refuse_mixed_zones(zones, ~np.isnat(days), texts)
        zone = np.array([offset or 0 for offset in zones], np.int64)
    return replace(whole, days=days, minutes=minutes, zone=zone)


def minutes_of(cells: Sequence[str]) -> Integers | None:
    """Minutes of the day of a column of times, -1 where there is none; None if it holds no times.

    Examples
    --------
    >>> minutes_of(["13:30", "1:30 PM", "1330", "13"])
    array([810, 810, 810, 780])
    >>> minutes_of(["0", "15", "30", "100"])
    array([ 0, 15, 30, 60])
    """
    digits = [cell.strip() for cell in cells]
    if any(len(cell) > 2 for cell in digits) and all(map(str.isdecimal, filter(None, digits))):
        cells = [cell and cell.zfill(4) for cell in digits]  # 0030 lost its zeros in a spreadsheet
    clocks = [clock_of(cell) for cell in cells]
    if sum(clock is None for clock in clocks) * 2 > len(cells):
        return None
    return np.array([clock[0] if clock else -1 for clock in clocks], np.int64)


# --- refusals -----------------------------------------------------------------------------------


def _refuse_mixture(kinds: list[str], present: list[str], texts: DateTexts) -> None:
    one, other = (kinds.index(kind) for kind in present[:2])
    raise Refusal(
        texts.name,
        f"its dates are written in {len(present)} ways",
        texts.both(one, other),
        "Write all dates the same way, best as 2026-05-31. A spreadsheet that turned some of the "
        "dates into its own may have swapped day and month in them: compare with the original.",
        slug="dates-mixed",
    )


def _refuse_mixed_zones(
    zones: Sequence[int | None], has_date: NDArray[np.bool_], texts: DateTexts
) -> None:
    rows = {zones[row] is None: int(row) for row in np.flatnonzero(has_date)[::-1]}
    if len(rows) < 2:
        return
    raise Refusal(
        texts.name,
        "some of its stamps name their distance from UTC and some do not",
        texts.both(*rows.values()),
        "Write all stamps the same way.",
        slug="dates-mixed",
    )


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
    year = whole_numbers(table.column(roles.year))
    if roles.day_number is not None:
        days = numbered_days(year, whole_numbers(table.column(roles.day_number)))
        return Stamps(days, understood="Dates are a year and the number of the day in it")
    assert roles.month is not None
    assert roles.day is not None
    month, day = months_in(table.column(roles.month)), whole_numbers(table.column(roles.day))
    days = calendar_days(year, month, day)
    return Stamps(days, understood="Dates are year, month and day columns")


def _with_clock(table: Table, roles: Roles, stamps: Stamps) -> Stamps:
    """Add the times of a column of their own."""
    if roles.clock is None or stamps.minutes is not None:
        return stamps
    minutes = minutes_of(table.column(roles.clock))
    if minutes is None:
        return stamps
    if roles.minute is not None:
        beyond = whole_numbers(table.column(roles.minute))
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
    return table, _rows_of(stamps, kept), notes


def _rows_of(stamps: Stamps, rows: NDArray[np.intp]) -> Stamps:
    return replace(
        stamps,
        days=stamps.days[rows],
        minutes=None if stamps.minutes is None else stamps.minutes[rows],
        zone=None if stamps.zone is None else stamps.zone[rows],
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
