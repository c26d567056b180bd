"""Rows, as read and in any order, to consecutive days: sorted, twice, absent, still to come."""

from __future__ import annotations

import datetime as dt
from calendar import isleap
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, Days, Integers, Note, in_words, named_lines


@dataclass(frozen=True, slots=True)
class Rows:
    """Readings in the order of the file, in the file's own scale.

    Parameters
    ----------
    days : numpy.ndarray of datetime64[D], shape (rows,)
    high, low : numpy.ndarray, shape (rows,)
        The same array where a log has one column.
    lines : sequence of int
        Line of each row, counted from 1.
    stated_origin : numpy.ndarray of int8
        Origin the file itself gives each row, 0 where it says nothing.
    minutes : numpy.ndarray of int, optional
        Time of day. [min]
    zone : numpy.ndarray of int, optional
        Distance from UTC the stamps state. [min]
    """

    days: Days
    high: Array
    low: Array
    lines: Sequence[int]
    stated_origin: NDArray[np.int8]
    minutes: Integers | None = None
    zone: Integers | None = None

    @property
    def moments(self) -> Integers:
        """Minutes since 1970 by the file's own clock."""
        day = self.days.astype(np.int64)
        return day * 1440 + (self.minutes if self.minutes is not None else 0)

    @property
    def is_log(self) -> bool:
        """Whether the file holds several readings a day."""
        if self.minutes is None or np.unique(self.minutes).size < 2:
            return False  # the same hour every day is a daily table, even where days stand twice
        return bool(np.unique(self.days).size * 1.5 < self.days.size)

    def where(self, rows: NDArray[np.bool_ | np.intp]) -> Rows:
        """The rows that are kept, by a mask or by their positions."""
        line = np.asarray(self.lines, dtype=np.int64)
        return Rows(
            self.days[rows],
            self.high[rows],
            self.low[rows],
            line[rows].tolist(),
            self.stated_origin[rows],
            None if self.minutes is None else self.minutes[rows],
            None if self.zone is None else self.zone[rows],
        )

    def of(self, high: Array, low: Array) -> Rows:
        """The same rows with other numbers."""
        return replace(self, high=high, low=low)


#: More days than any thermometer has hung. [days]
LONGEST = 150_000


@dataclass(frozen=True, slots=True)
class ConsecutiveDays:
    """One value for each day from the first to the last; NaN where the file has none."""

    days: Days
    high: Array
    low: Array
    stated_origin: NDArray[np.int8]
    notes: tuple[Note, ...]


def consecutive(rows: Rows, name: str) -> ConsecutiveDays:
    """Bring rows, in any order, into the order of days, one a day.

    Parameters
    ----------
    rows : Rows
    name : str
        File, for people.

    Raises
    ------
    Refusal
        If one day stands twice with different readings (D10).
    """
    notes: list[Note] = []
    steps = np.diff(rows.days).astype(np.int64)
    if (steps <= 0).any():
        if (steps < 0).any():
            notes.append(_order_note(steps))
        rows = _one_a_day(rows.where(np.argsort(rows.days, kind="stable")), name, notes)
    days = rows.days
    length = int((days[-1] - days[0]).astype(np.int64)) + 1
    if length > LONGEST:
        raise _too_long(days, name)
    if length == days.size:
        return ConsecutiveDays(days, rows.high, rows.low, rows.stated_origin, tuple(notes))
    at = (days - days[0]).astype(np.int64)
    whole = days[0] + np.arange(length)
    high, low = np.full((2, length), np.nan)
    high[at], low[at] = rows.high, rows.low
    origin = np.zeros(length, np.int8)
    origin[at] = rows.stated_origin
    absent = np.ones(length, np.bool_)
    absent[at] = False
    notes.append(_absent_note(whole, absent))
    return ConsecutiveDays(whole, high, low, origin, tuple(notes))


def refuse_far_years(days: Days, lines: Sequence[int], name: str) -> None:
    """Refuse days before thermometers and after us: a sign of a date misread."""
    far = (days < np.datetime64("1650-01-01")) | (days > np.datetime64("2200-01-01"))
    if far.any():
        row = int(np.flatnonzero(far)[0])
        raise Refusal(
            name,
            f"line {lines[row]} would be {in_words(days[row])}",
            "No thermometer was read then.",
            "Write the year with its century, as in 2026-05-31.",
            slug="dates-unreadable",
        )


def _order_note(steps: NDArray[np.int64]) -> Note:
    if (steps <= 0).all():
        return Note("out-of-order", "The newest day stands first; the days were put in order.")
    return Note("out-of-order", "Its days stand out of order; they were put in order.")


def _one_a_day(rows: Rows, name: str, notes: list[Note]) -> Rows:
    """Keep one row a day; rows that agree, or fill each other's empty cells, become one."""
    days = rows.days
    first = np.concatenate(([True], days[1:] != days[:-1]))
    if first.all():
        return rows
    group = np.cumsum(first) - 1
    merged = []
    for values in (rows.high, rows.low):
        known = ~np.isnan(values)
        best = np.full(group[-1] + 1, np.nan)
        best[group[known][::-1]] = values[known][::-1]  # written backwards: the first one stays
        differs = np.flatnonzero(known & (values != best[group]))
        if differs.size:
            other = int(differs[0])
            one = int(np.flatnonzero(known & (group == group[other]))[0])
            raise _conflict(rows, (one, other), name)
        merged.append(best)
    twice = tuple(np.asarray(rows.lines)[~first].tolist())
    notes.append(
        Note(
            "duplicate-days",
            f"{len(twice)} {'day stands' if len(twice) == 1 else 'days stand'} twice with the same "
            f"readings ({named_lines(twice)}); counted once.",
            twice,
        )
    )
    return rows.where(first).of(*merged)


def _conflict(rows: Rows, pair: tuple[int, int], name: str) -> Refusal:
    day = rows.days[pair[0]]
    shown = [f"line {rows.lines[at]} has {rows.high[at]:g} and {rows.low[at]:g}" for at in pair]
    return Refusal(
        name,
        f"{in_words(day)} stands in it twice with different readings",
        f"Highest and lowest: {shown[0]}, {shown[1]}.".replace("nan", "nothing"),
        "Delete the wrong line.",
        slug="duplicate-days",
    )


def _absent_note(days: Days, absent: NDArray[np.bool_]) -> Note:
    missing = days[absent]
    edges = np.flatnonzero(np.diff(missing).astype(np.int64) > 1)
    begins = missing[np.concatenate(([0], edges + 1))]
    ends = missing[np.concatenate((edges, [missing.size - 1]))]
    runs = [
        in_words(begin) if begin == end else f"{in_words(begin)} to {in_words(end)}"
        for begin, end in zip(begins[:3], ends[:3], strict=True)
    ]
    more = f" and {begins.size - 3} more gaps" if begins.size > 3 else ""
    count = f"{missing.size:,} {'day is' if missing.size == 1 else 'days are'} absent"
    first, last = (day.item() for day in (missing[0], missing[-1]))
    if begins.size and _only_leap_year_ends(missing):
        return Note(
            "year-of-365-days",
            f"{count}: 31 Dec of leap years, as in a calendar of 365 days.",
            first=first,
            last=last,
        )
    return Note("days-absent", f"{count}: {', '.join(runs)}{more}.", first=first, last=last)


def _only_leap_year_ends(missing: Days) -> bool:
    return all((day.item().month, day.item().day) == (12, 31) for day in missing[:200]) and bool(
        (np.diff(missing).astype(np.int64) > 1000).all()
    )


def _too_long(days: Days, name: str) -> Refusal:
    return Refusal(
        name,
        f"its days run from {in_words(days[0])} to {in_words(days[-1])}",
        "No thermometer has hung that long.",
        "Look for the line with the odd date.",
        slug="dates-too-far-apart",
    )


def year_end_notes(days: Days) -> tuple[Note, ...]:
    """Say that a file that counts the days of the year stops a day before a leap year's end."""
    last = days.max().item()
    if (last.month, last.day) != (12, 30) or not isleap(last.year):
        return ()
    end = dt.date(last.year, 12, 31)
    text = f"31 Dec {last.year} is absent: a calendar of 365 days, and {last.year} has 366."
    return (Note("year-of-365-days", text, first=end, last=end),)


def after(days: Days, today: dt.date | None) -> NDArray[np.bool_]:
    """Whether each day is still to come."""
    if today is None:
        return np.zeros(days.size, np.bool_)
    return days > np.datetime64(today, "D")
