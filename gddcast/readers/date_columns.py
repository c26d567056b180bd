"""Which columns say when: a column of whole dates, or year with month and day, or a day number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers.columns import LATER_THAN_OBSERVED, OBSERVED, Kind, Meaning, words_of
from gddcast.readers.date_cells import (
    calendar_days,
    date_cell,
    looks_like_a_date,
    months_in,
    names_its_zone,
    whole_numbers,
)
from gddcast.readers.date_orders import usual_step
from gddcast.readers.reading import Note
from gddcast.readers.tables import Table


class DateColumns(NamedTuple):
    """Positions of the columns that say when; None where a file has none."""

    stamp: int | None = None
    clock: int | None = None
    year: int | None = None
    month: int | None = None
    day: int | None = None
    day_number: int | None = None
    notes: tuple[Note, ...] = ()


def date_columns(
    table: Table, meanings: Sequence[Meaning], name: str, temperatures: frozenset[int] = frozenset()
) -> DateColumns:
    """Find the columns that say when.

    Parameters
    ----------
    table : Table
    meanings : sequence of Meaning
        What each column's name says.
    name : str
        File, for people.
    temperatures : frozenset of int
        Columns the person named as temperatures.

    Raises
    ------
    Refusal
        If no column holds dates, or two do and it is unclear which one counts.
    """
    samples = [[] if at in temperatures else _first_cells(table, at) for at in range(len(meanings))]
    if not table.header_line:
        return _headerless(samples, name, table)

    def first(kind: Kind, but: int | None = None) -> int | None:
        return next((at for at, m in enumerate(meanings) if m.kind == kind and at != but), None)

    candidates = [
        at for kind in ("stamp", "clock", "day") for at, m in enumerate(meanings) if m.kind == kind
    ]
    whole = [at for at in candidates if any(looks_like_a_date(cell) for cell in samples[at])]
    if whole:
        stamp, notes = _one_of(whole, table, meanings, samples, name)
        zoned = any(names_its_zone(cell) for cell in samples[stamp])
        return DateColumns(stamp, None if zoned else first("clock", but=stamp), notes=notes)
    year = first("year")
    if year is not None and first("month") is not None and first("day") is not None:
        return DateColumns(
            year=year, month=first("month"), day=first("day"), clock=first("clock")
        )  # fmt: skip
    number = first("day-number")
    month = first("month")
    if year is not None and number is not None:
        if month is not None and whole_numbers(table.column(number)).max(initial=0) <= 31:
            return DateColumns(year=year, month=month, day=number, clock=first("clock"))
        return DateColumns(year=year, day_number=number, clock=first("clock"))
    day = first("day")
    if year is not None and day is not None:
        return _month_unnamed(table, meanings, year, day, name)._replace(clock=first("clock"))
    shown = next((samples[at][0] for at in candidates if samples[at]), "nothing")
    raise Refusal(
        name,
        "no column holds dates I can read",
        f"Its columns are {', '.join(table.names)[:150]}; the first date cell has '{shown[:40]}'.",
        "Write the dates as 2026-05-31.",
        slug="dates-unreadable",
    )


def _first_cells(table: Table, at: int, size: int = 20) -> list[str]:
    cells = (row[at].strip() for row in table.rows[: 5 * size])
    return [cell for cell in cells if cell][:size]


# --- two columns of dates -----------------------------------------------------------------------


def _one_of(
    whole: list[int], table: Table, meanings: Sequence[Meaning], samples: list[list[str]], name: str
) -> tuple[int, tuple[Note, ...]]:
    """The column whose dates are the days of the readings, and what to say of the others."""
    words = {at: set(words_of(meaning.name)) for at, meaning in enumerate(meanings)}
    spoken = [at for at, m in enumerate(meanings) if m.kind == "other" and words[at] & OBSERVED]
    dated = [*whole, *(at for at in spoken if samples[at] and _is_dated(samples[at]))]
    if any(words[at] & LATER_THAN_OBSERVED for at in whole) and len(whole) == 1:
        # The only column named as a date says when somebody typed: any other dates are likelier.
        others = [at for at, m in enumerate(meanings) if m.kind == "other" and at not in dated]
        dated += [at for at in others if samples[at] and _is_dated(samples[at])]
    days = {at: [_day_in(row[at]) for row in table.rows] for at in dated} if len(dated) > 1 else {}
    dated = [at for at in dated if len(days) < 2 or len(set(days[at])) > 1 or len(table.rows) < 2]
    if len(dated) < 2:
        return (dated or whole)[0], ()
    best = [at for at in dated if words[at] & OBSERVED and not words[at] & LATER_THAN_OBSERVED]
    best = best or [at for at in dated if not words[at] & LATER_THAN_OBSERVED] or dated
    best = sorted(_as_the_rows_need(best, dated, table, samples))
    if any(_differ(days[at], days[best[0]]) for at in best):
        raise _two_date_columns(best, table, name)
    chosen = best[0]
    aside = [at for at in dated if at not in best and _differ(days[at], days[chosen])]
    if not aside:
        return chosen, ()
    left = ", ".join(f"'{table.names[at]}'" for at in aside)
    text = f"Column '{table.names[chosen]}' gives the days; {left} has other dates."
    return chosen, (Note("two-date-columns", text),)


def _is_dated(cells: list[str]) -> bool:
    """Whether all cells are dates beyond doubt: numbers of days and of seconds are not."""
    found = [date_cell(cell) for cell in cells]
    return all(cell is not None and cell.kind not in ("serial", "epoch") for cell in found)


def _day_in(cell: str) -> tuple[int, ...] | None:
    """The numbers of a date, however they are parted and in whatever order they stand."""
    found = date_cell(cell.strip())
    return tuple(sorted(found[1:4])) if found is not None else None


def _differ(one: list[tuple[int, ...] | None], other: list[tuple[int, ...] | None]) -> bool:
    return any(a != b for a, b in zip(one, other, strict=True) if a is not None and b is not None)


def _as_the_rows_need(
    best: list[int], dated: list[int], table: Table, samples: list[list[str]]
) -> list[int]:
    """Columns with times for a log, in which dates without one stand again on row after row."""
    timed = [
        at for at in dated if any((cell := date_cell(text)) and cell.time for text in samples[at])
    ]
    plain = [at for at in dated if at not in timed]
    if not timed or not plain:
        return best
    dates = [row[plain[0]].strip() for row in table.rows]
    if 1.5 * len(set(dates)) < len(dates):
        return [at for at in best if at in timed] or timed
    return best


def _two_date_columns(columns: list[int], table: Table, name: str) -> Refusal:
    names = [table.names[at] for at in columns]
    shown = next(
        (row, line)
        for row, line in zip(table.rows, table.lines, strict=True)
        if len({_day_in(row[at]) for at in columns}) > 1
    )
    cells = " and ".join(f"'{shown[0][at].strip()[:20]}'" for at in columns[:2])
    return Refusal(
        name,
        f"{len(columns)} of its columns hold dates, and they differ",
        f"They are {', '.join(names)[:120]}; line {shown[1]} has {cells}.",
        "Keep the one that gives the day of the readings and delete the other, or call it "
        "'observed date'.",
        slug="dates-ambiguous-column",
    )


# --- year and day without a name for the month --------------------------------------------------


def _month_unnamed(
    table: Table, meanings: Sequence[Meaning], year: int, day: int, name: str
) -> DateColumns:
    """Year, day and perhaps a month whose heading nobody knows.

    A day above 31 is a number in the year. A month shows itself where its numbers, with year and
    day, make days that run on over the end of a month.
    """
    days = whole_numbers(table.column(day))
    if days.max(initial=0) > 31:
        return DateColumns(year=year, day_number=day)
    years = whole_numbers(table.column(year))
    others = (at for at, meaning in enumerate(meanings) if meaning.kind == "other")
    months = {at: months_in(table.column(at)) for at in others}
    likely = [at for at, each in months.items() if ((each >= 1) & (each <= 12)).all()]
    for at in likely:
        dates = calendar_days(years, months[at], days)
        if np.unique(months[at]).size > 1 and not np.isnat(dates).any() and usual_step(dates) == 1:
            return DateColumns(year=year, month=at, day=day)
    perhaps = f" (is it '{table.names[likely[0]]}'?)" if likely else ""
    raise Refusal(
        name,
        f"column '{table.names[day]}' may be a day of the month or a number of the day in the year",
        f"No value in it passes 31, and no column is called month; its columns are "
        f"{', '.join(table.names)[:150]}.",
        f"Call the column of months 'month'{perhaps}, or, if there is none, "
        f"call '{table.names[day]}' 'day of year'.",
        slug="dates-unreadable",
    )


# --- no names at all ----------------------------------------------------------------------------


def _headerless(samples: list[list[str]], name: str, table: Table) -> DateColumns:
    """Date columns of a file without names: told from what stands in them."""
    for at, cells in enumerate(samples):
        if cells and all(looks_like_a_date(cell) for cell in cells):
            return DateColumns(stamp=at)
    years = [at for at, cells in enumerate(samples[:3]) if all_between(cells, 1800, 2200)]
    if years:
        year = years[0]
        rest = [at for at in range(min(4, len(samples))) if at != year and samples[at]]
        columns = {at: table.column(at) for at in rest}
        if len(rest) > 1 and all(all_between(columns[at], 1, 31) for at in rest[:2]):
            one, other = rest[:2]
            month, day = (one, other) if all_between(columns[one], 1, 12) else (other, one)
            if all_between(columns[month], 1, 12):
                return DateColumns(year=year, month=month, day=day)
        if rest and all_between(columns[rest[0]], 1, 366):
            return DateColumns(year=year, day_number=rest[0])
    raise Refusal(
        name,
        "it has no header and no column I can take for dates",
        f"Its first line is '{' '.join(table.rows[0])[:60]}'.",
        "Write a line such as 'date, max °C, min °C' above the numbers.",
        slug="header-missing",
    )


def all_between(cells: Sequence[str], low: int, high: int) -> bool:
    """Whether all cells that hold anything are whole numbers between two."""
    kept = [cell.strip() for cell in cells if cell.strip()]
    return bool(kept) and all(
        cell.isascii() and cell.isdigit() and low <= int(cell[:9]) <= high for cell in kept
    )
