"""Cells to days: one format for a whole file, and the line that proves it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.date_cells import DateCell, clock_of, date_cell
from gddcast.readers.reading import DateOrder, Days, Integers, said

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
        Time of day. [min]
    zone : numpy.ndarray of int, optional
        Distance from UTC the stamps themselves state. [min]
    how : str
        What was understood, one line.
    """

    days: Days
    minutes: Integers | None = None
    zone: Integers | None = None
    how: str = ""


def stamps_of(
    cells: Sequence[str], lines: Sequence[int], name: str, told: DateOrder | None = None
) -> Stamps:
    """Days (and times) of a column of dates, all read in one format.

    Parameters
    ----------
    cells : sequence of str
    lines : sequence of int
    name : str
        File, for people.
    told : {"day-first", "month-first", "year-first"}, optional
        What the person said.

    Raises
    ------
    Refusal
        If two formats are mixed, or day and month cannot be told apart.
    """
    uniform = _uniform(cells) if told in (None, "year-first") else None
    if uniform is not None:
        return uniform
    parts = [date_cell(cell.strip()) for cell in cells]
    kinds = [part.kind if part else "" for part in parts]
    present = list(dict.fromkeys(kind for kind in kinds if kind))
    if not present:
        return Stamps(np.full(len(cells), "NaT", "datetime64[D]"), how="")
    if len(present) > 1:
        _refuse_mixture(kinds, present, cells, lines, name)
    whole = _assembled(present[0], parts, cells, lines, name, told)
    return _with_times(whole, parts, present[0])


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
    how = "Dates year first"
    if size == 10:
        return Stamps(days, how=how)
    hour, minute = digit[:, 11] * 10 + digit[:, 12], digit[:, 14] * 10 + digit[:, 15]
    if (hour > 23).any() or (minute > 59).any():
        return None
    zone = np.zeros(len(letters), np.int64) if size in (17, 20) else None
    return Stamps(days, hour * 60 + minute, zone, how)


def calendar_days(year: Integers, month: Integers, day: Integers) -> Days:
    """Days of year, month and day; NaT where there is no such day.

    Examples
    --------
    >>> calendar_days(np.array([2024, 2023]), np.array([2, 2]), np.array([29, 29]))
    array(['2024-02-29',        'NaT'], dtype='datetime64[D]')
    """
    sound = (month >= 1) & (month <= 12) & (day >= 1) & (day <= 31) & (year >= 1) & (year <= 9999)
    months = (np.where(sound, year, 2000) - 1970) * 12 + np.where(sound, month, 1) - 1
    begins = months.astype("datetime64[M]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, day, 1) - 1)
    days[~sound | (days.astype("datetime64[M]") != begins)] = np.datetime64("NaT")
    return days


def numbered_days(year: Integers, number: Integers) -> Days:
    """Days of a year and the number of the day in it; NaT where there is no such day.

    Examples
    --------
    >>> numbered_days(np.array([2024, 2023]), np.array([366, 366]))
    array(['2024-12-31',        'NaT'], dtype='datetime64[D]')
    """
    sound = (number >= 1) & (number <= 366) & (year >= 1) & (year <= 9999)
    begins = (np.where(sound, year, 2000) - 1970).astype("datetime64[Y]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, number, 1) - 1)
    days[~sound | (days.astype("datetime64[Y]") != begins)] = np.datetime64("NaT")
    return days


def _assembled(
    kind: str,
    parts: Sequence[DateCell | None],
    cells: Sequence[str],
    lines: Sequence[int],
    name: str,
    told: DateOrder | None,
) -> Stamps:
    """Days of a column in one format."""
    table = np.array([part[1:4] if part else (0, 0, 0) for part in parts], np.int64)
    first, second, third = table.T
    there = np.array([part is not None for part in parts])
    if kind == "serial":
        days = SERIAL_ZERO + np.where(there, first, 0)
        days[~there] = np.datetime64("NaT")
        row = int(np.flatnonzero(there)[0])
        how = f"Dates are spreadsheet day numbers: {cells[row].strip()} is {said(days[row])}"
        timed = bool(third.any())
        return Stamps(days, second if timed else None, None, how)
    if kind == "epoch":
        moment = first.astype("datetime64[s]")
        days = moment.astype("datetime64[D]")
        minutes = (moment - days).astype(np.int64) // 60
        days[~there] = np.datetime64("NaT")
        return Stamps(days, minutes, np.zeros_like(minutes), "Dates count seconds since 1970, UTC")
    if not kind.startswith("numbers"):
        how = {"named": "Dates name the month", "compact": "Dates written yyyymmdd"}.get(
            kind, "Dates year first"
        )
        return Stamps(calendar_days(first, second, third), how=how)
    return _ordered(first, second, third, int(kind[-1]), there, cells, lines, name, told)


def _ordered(
    first: Integers,
    second: Integers,
    third: Integers,
    digits: int,
    there: NDArray[np.bool_],
    cells: Sequence[str],
    lines: Sequence[int],
    name: str,
    told: DateOrder | None,
) -> Stamps:
    """Days of dates like 03/05/2026: the whole file is day first or month first."""
    if told == "year-first" and digits == 2:
        years = np.where(first >= 69, 1900, 2000) + first
        return Stamps(calendar_days(years, second, third), how="Dates year first, as you said")
    year = np.where(third >= 69, 1900, 2000) + third if digits == 2 else third
    above_first = np.flatnonzero(there & (first > 12) & (first <= 31) & (second <= 12))
    above_second = np.flatnonzero(there & (second > 12) & (second <= 31) & (first <= 12))
    day_first = calendar_days(year, second, first)
    month_first = calendar_days(year, first, second)
    if above_first.size and above_second.size:
        _refuse_two_orders(int(above_first[0]), int(above_second[0]), cells, lines, name)
    if told in ("day-first", "month-first"):
        days = day_first if told == "day-first" else month_first
        words = f"Dates {told.replace('-', ' ')}, as you said"
        return Stamps(days, how=words)
    if above_first.size or above_second.size:
        row, where, days = (
            (int(above_first[0]), "in front", day_first)
            if above_first.size
            else (int(above_second[0]), "in the middle", month_first)
        )
        number = int(first[row] if above_first.size else second[row])
        order = "day" if above_first.size else "month"
        how = f"Dates {order} first: line {lines[row]} has {number} {where}"
        return Stamps(days, how=how)
    # Dates that exist in one order only, such as 05/00/2026, settle nothing.
    there = there & ~(np.isnat(day_first) | np.isnat(month_first))
    if (day_first[there] == month_first[there]).all():
        return Stamps(day_first, how="Dates the same day first and month first")
    raise _undecided(day_first, month_first, there, cells, lines, name)


def _with_times(whole: Stamps, parts: Sequence[DateCell | None], kind: str) -> Stamps:
    """Add the times of day the cells have; a time that makes no sense unsays the date."""
    if kind in ("serial", "epoch") or not any(part and part.time for part in parts):
        return whole
    clocks = [clock_of(part.time) if part and part.time else (0, None) for part in parts]
    days = whole.days.copy()
    days[[clock is None for clock in clocks]] = np.datetime64("NaT")
    minutes = np.array([clock[0] if clock else 0 for clock in clocks], np.int64)
    late = minutes >= 1440  # 24:00 is the beginning of the next day
    days[late] += 1
    minutes[late] -= 1440
    zones = [clock[1] if clock else None for clock in clocks]
    zone = None
    if any(offset is not None for offset in zones):
        zone = np.array([offset or 0 for offset in zones], np.int64)
    return replace(whole, days=days, minutes=minutes, zone=zone)


def minutes_of(cells: Sequence[str]) -> Integers | None:
    """Minutes of the day of a column of times, -1 where there is none; None if it holds no times.

    Examples
    --------
    >>> minutes_of(["13:30", "1:30 PM", "1330", "13"])
    array([810, 810, 810, 780])
    """
    clocks = [clock_of(cell) for cell in cells]
    if sum(clock is None for clock in clocks) * 2 > len(cells):
        return None
    return np.array([clock[0] if clock else -1 for clock in clocks], np.int64)


# --- refusals -----------------------------------------------------------------------------------


def _refuse_mixture(
    kinds: list[str], present: list[str], cells: Sequence[str], lines: Sequence[int], name: str
) -> None:
    one, other = (kinds.index(kind) for kind in present[:2])
    raise Refusal(
        name,
        f"its dates are written in {len(present)} ways",
        f"Line {lines[one]} has '{cells[one].strip()[:30]}', line {lines[other]} has "
        f"'{cells[other].strip()[:30]}'.",
        "Write all dates the same way, best as 2026-05-31. A spreadsheet that turned some of the "
        "dates into its own may have swapped day and month in them: compare with the original.",
        slug="dates-mixed",
    )


def _refuse_two_orders(
    one: int, other: int, cells: Sequence[str], lines: Sequence[int], name: str
) -> None:
    raise Refusal(
        name,
        "some of its dates are day first and some month first",
        f"Line {lines[one]} has '{cells[one].strip()[:30]}', line {lines[other]} has "
        f"'{cells[other].strip()[:30]}'.",
        "Write all dates the same way, best as 2026-05-31.",
        slug="dates-mixed",
    )


def _undecided(
    day_first: Days,
    month_first: Days,
    there: NDArray[np.bool_],
    cells: Sequence[str],
    lines: Sequence[int],
    name: str,
) -> Refusal:
    runs = {
        "day-first": _unbroken(day_first[there]),
        "month-first": _unbroken(month_first[there]),
    }
    best = max(runs, key=lambda order: runs[order])
    row = int(np.flatnonzero(there & (day_first != month_first))[0])
    evidence = (
        f"'{cells[row].strip()[:30]}' on line {lines[row]} is {said(day_first[row])} or "
        f"{said(month_first[row])}, and no line has a number above 12 to settle it."
    )
    if runs[best] > min(runs.values()):
        evidence += f" Read {best.replace('-', ' ')}, the days run on one after another."
    return Refusal(
        name,
        "its dates can be read day first or month first",
        evidence,
        "Say which:",
        flag=f"--dates {best}",
        slug="dates-ambiguous",
    )


def _unbroken(days: Days) -> int:
    """How many rows are the same day as the row before, or the next one."""
    steps = np.diff(days).astype(np.int64)
    return int(np.count_nonzero((steps == 1) | (steps == 0) | (steps == -1)))


def refuse_swapped_months(days: Days, lines: Sequence[int], name: str) -> None:
    """Refuse a file whose days up to the 12th had day and month swapped before it was written.

    The order of the rows tells: they run backwards at the 2nd and leap at the 13th of months, and
    with day and month put back they run on.
    """
    known = ~np.isnat(days)
    steps = np.diff(days[known]).astype(np.int64)
    if (steps >= 0).all() or (steps <= 0).all():
        return
    month = days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    year = days.astype("datetime64[Y]").astype(np.int64) + 1970
    day = (days - days.astype("datetime64[M]")).astype(np.int64) + 1
    low = day <= 12
    back = calendar_days(year, np.where(low, day, month), np.where(low, month, day))
    mended = np.diff(back[known]).astype(np.int64)
    if not ((mended >= 0).all() or (mended <= 0).all()):
        return
    rows = np.flatnonzero(known)[1:][np.abs(steps) > 1][:2]
    shown = " and ".join(
        f"from {said(days[row - 1])} to {said(days[row])} on line {lines[row]}" for row in rows
    )
    raise Refusal(
        name,
        "day and month are swapped in its dates up to the 12th of each month",
        f"The days leap {shown}; with day and month put back they run on without a break.",
        "A spreadsheet probably took the original dates for month first. Export the file once "
        "more from its source, with dates written 2026-05-31.",
        slug="dates-swapped",
    )
