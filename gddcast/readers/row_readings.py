"""The numbers of each row, and what their cells gave cause to say or to ask."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast.errors import Refusal, shell
from gddcast.readers.columns import speaks_of_tenths
from gddcast.readers.flags import failed_quality, flagged_note
from gddcast.readers.reading import Array, FileUnit, Note, named_lines
from gddcast.readers.roles import Roles
from gddcast.readers.tables import Table
from gddcast.readers.values import Values, from_celsius, in_celsius, in_one_scale, values_of

_WHOLE = re.compile(r"^[-+−]?\d{1,3}$")
_DIGIT = re.compile(r"^\d$")

#: Where only one reading stands on a row: so many rows, so many different digits. From experience
#: with invented files, no source.
_ROWS, _DIGITS = 20, 8


def may_hide_decimals(table: Table, roles: Roles, numbers: Sequence[Array]) -> bool:
    """Whether `refuse_split_decimals` could have a say: cheap, for a sweep.

    Parameters
    ----------
    table, roles : Table, Roles
    numbers : sequence of numpy.ndarray
        The columns of ``roles.temperatures``.
    """
    first, last = min(roles.temperatures), max(roles.temperatures)
    if table.delimiter != "," or last + 1 == len(table.names):
        return False
    if any((column % 1 != 0).any() for column in numbers):
        return False
    digits = numbers[int(roles.temperatures[0] == first)] if last == first + 1 else np.zeros(1)
    return bool(((digits >= 0) & (digits < 10)).all())


def refuse_split_decimals(table: Table, roles: Roles, name: str) -> None:
    """Refuse a table whose readings fill two cells each.

    Raises
    ------
    Refusal
        With the columns to name where the numbers are whole degrees after all.
    """
    if table.delimiter != "," or not roles.temperatures:
        return
    begin = min(roles.temperatures)
    if not _pairs(_filled(table.rows[:20], begin)):
        return
    filled = _filled(table.rows, begin)
    pairs = _pairs(filled)
    if not pairs or not (pairs > 1 or _many_digits(filled[1])):
        return
    if pairs == 1 and {roles.high, roles.low} == {begin, begin + 1}:
        return  # a maximum and a minimum in whole degrees: one reading alone would leave no other
    if pairs > 1 and not _first_above_second(filled):
        return
    shown = ",".join(cells[0] for cells in filled[: 2 * min(pairs, 2)])
    read = " and ".join(
        f"{filled[2 * at][0]}.{filled[2 * at + 1][0]}" for at in range(min(pairs, 2))
    )
    high, low = (table.names[at] for at in (roles.temperatures[0], roles.temperatures[-1]))
    raise Refusal(
        name,
        "its numbers may be written with a decimal comma between commas",
        f"Line {table.lines[0]} has {shown}, which may be {read}: every second cell is one digit, "
        "on all lines.",
        "If so, export it with semicolons between the cells. If they are whole degrees, name their "
        "columns:",
        flag=f"--max-column {shell(high)}" + (f" --min-column {shell(low)}" if low != high else ""),
        slug="decimal-comma",
    )


def _filled(rows: list[list[str]], begin: int) -> list[list[str]]:
    """Cells of the columns from the first reading on, without empty columns at the end."""
    columns = [[cell.strip() for cell in column] for column in zip(*rows, strict=True)][begin:]
    while columns and not any(columns[-1]):
        columns.pop()
    return columns


def _pairs(filled: list[list[str]]) -> int:
    """Pairs of a whole number and one digit that fill the rows from the first reading on."""
    pairs = 0
    for whole, digit in zip(filled[::2], filled[1::2], strict=False):
        rows = [(w, d) for w, d in zip(whole, digit, strict=True) if w or d]
        if not rows or not all(_WHOLE.match(w) and _DIGIT.match(d) for w, d in rows):
            break
        pairs += 1
    return pairs


def _many_digits(digits: list[str]) -> bool:
    return len(digits) >= _ROWS and len(set(digits) - {""}) >= _DIGITS


def _first_above_second(filled: list[list[str]]) -> bool:
    """Whether the first number is never below the second, as extremes are, either way round."""
    both = [
        (int(a.replace("−", "-")), int(b.replace("−", "-")))
        for a, b in zip(filled[0], filled[2], strict=True)
        if a and b
    ]
    return all(a >= b for a, b in both) or all(a <= b for a, b in both)


@dataclass(frozen=True, slots=True)
class RowReadings:
    """Numbers of every row in the file's scale, and the scale the file names."""

    high: Array
    low: Array
    stated: FileUnit | None
    stated_by: str
    decimal_comma: bool
    notes: tuple[Note, ...]


def readings_in(
    table: Table, roles: Roles, name: str, given: FileUnit | None = None
) -> RowReadings:
    """Read the temperature columns of a table.

    A cell that names its scale is in that scale, whatever its column is in.

    Parameters
    ----------
    table : Table
    roles : Roles
    name : str
        File, for people.
    given : str, optional
        Scale the person gave.

    Raises
    ------
    Refusal
        If too many cells are unclear, or cells name two scales and others none.
    """
    at = roles.temperatures
    columns = [
        values_of(table.column(index), table.lines, table.names[index], name) for index in at
    ]
    stated, stated_by = _stated(table, roles)
    headed = header_units(table, roles)
    _refuse_contradiction(table, roles, columns, given, name)
    bases = headed if len(set(headed)) > 1 and None not in headed else [given or stated] * len(at)
    numbers, by_cells, unit_notes = in_one_scale(columns, bases, table.lines, name)
    numbers, failed = _without_flagged(table, at, numbers)
    if by_cells is not None and stated is None:
        stated, stated_by = by_cells, "cells"
    if stated_by == "header":
        each = zip(numbers, bases, strict=True)
        numbers = [_rescaled(column, unit, given or stated) for column, unit in each]
    notes = [
        *unit_notes,
        *_missing_notes(columns, table.lines),
        *_event_notes(table, roles, columns),
        *_cell_notes(columns, table),
        *([flagged_note(failed)] if failed else []),
    ]
    return RowReadings(
        numbers[0],
        numbers[-1],
        stated,
        stated_by,
        any(column.decimal_comma for column in columns),
        tuple(notes),
    )


def _without_flagged(
    table: Table, at: Sequence[int], numbers: list[Array]
) -> tuple[list[Array], int]:
    """Numbers without those that an NCEI table's attributes column flags; how many these were."""
    names = [name.casefold() for name in table.names]
    failed = 0
    for position, index in enumerate(at):
        attributes = f"{names[index]}_attributes"
        if attributes in names:
            cells = table.column(names.index(attributes))
            bad = np.array([failed_quality(cell) for cell in cells]) & ~np.isnan(numbers[position])
            failed += int(np.count_nonzero(bad))
            numbers[position] = np.where(bad, np.nan, numbers[position])
    return numbers, failed


def header_units(table: Table, roles: Roles) -> list[FileUnit | None]:
    """Scale the header names for each column of temperatures."""
    meanings = table.meanings()
    return [meanings[at].unit for at in roles.temperatures]


def _stated(table: Table, roles: Roles) -> tuple[FileUnit | None, str]:
    """Scale the file names, and in which part of it."""
    units = [unit for unit in header_units(table, roles) if unit]
    if units:
        return units[0], "header"
    commented = _commented(table)
    return commented, "comment" if commented else "header"


def _commented(table: Table) -> FileUnit | None:
    """Scale that the lines above the header name."""
    known: dict[str, FileUnit] = {
        "f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "k": "K", "kelvin": "K",
        "tenths-c": "tenths-C",
    }  # fmt: skip
    said = {value.strip(" °").casefold() for key, value in table.provenance if key == "unit"}
    if len(said) == 1 and said <= set(known):
        return known[said.pop()]
    return "tenths-C" if speaks_of_tenths(table.title) else None


def _refuse_contradiction(
    table: Table, roles: Roles, columns: Sequence[Values], given: FileUnit | None, name: str
) -> None:
    """Refuse a header of two scales beside a told one, and cells most of which contradict it."""
    headed = {unit for unit in header_units(table, roles) if unit}
    listed = ", ".join(table.names[at] for at in roles.temperatures)
    if given is not None and len(headed) > 1:
        raise Refusal(
            name,
            f"you said it is in {given}, and its header names two scales",
            f"Its columns are {listed}.",
            "Leave --unit out: each column is then read as it says.",
            slug="units-contradicted",
        )
    if given is not None or not headed:
        return
    others = {"cells": _most_cells_say(columns), "comments": _commented(table)}
    for where, unit in others.items():
        if unit is not None and unit not in headed:
            raise Refusal(
                name,
                f"its {where} name another scale than its header",
                f"Columns {listed} are in {' and '.join(sorted(headed))} by their header, in "
                f"{unit} by the {where}.",
                "Say which holds:",
                flag=f"--unit {unit}",
                slug="units-contradicted",
            )


def _most_cells_say(columns: Sequence[Values]) -> FileUnit | None:
    """Scale that more than half of the readings of a column name themselves."""
    known: dict[str, FileUnit] = {"F": "F", "C": "C", "K": "K"}
    for column in columns:
        if column.units is not None:
            named, times = np.unique(column.units[~np.isnan(column.numbers)], return_counts=True)
            if times.size and named[times.argmax()] and 2 * times.max() > times.sum():
                return known[str(named[times.argmax()])]
    return None


def _rescaled(numbers: Array, unit: FileUnit | None, wanted: FileUnit | None) -> Array:
    """Numbers of one scale in another."""
    if unit is None or wanted is None or unit == wanted:
        return numbers
    return from_celsius(in_celsius(numbers, unit), wanted)


def _missing_notes(columns: Sequence[Values], lines: Sequence[int]) -> list[Note]:
    """Which marks were taken for missing readings (blank cells need no mention of a mark)."""
    met: dict[str, int] = {}
    for column in {id(column): column for column in columns}.values():
        for mark, times in column.missing.items():
            met[mark] = met.get(mark, 0) + times
    if not met:
        return []
    rows = {row for column in columns for row in column.missing_rows}
    numbers = tuple(lines[row] for row in sorted(rows))
    listed = ", ".join(
        f"{'empty' if not mark else repr(mark)} ×{times}" for mark, times in list(met.items())[:10]
    )
    total = sum(met.values())
    verb = "reading is" if total == 1 else "readings are"
    text = f"{total:,} {verb} missing ({named_lines(numbers)}): {listed}."
    return [Note("missing-marks", text, numbers)]


def _event_notes(table: Table, roles: Roles, columns: Sequence[Values]) -> list[Note]:
    """Words beside readings that are absent: a logger's own events, such as "Logged"."""
    rows = set.intersection(*(set(column.missing_rows) for column in columns))
    known = {*roles.temperatures, roles.stamp, roles.clock, roles.site, roles.origin}
    beside = [at for at in range(len(table.names)) if at not in known]
    notes = []
    for row in sorted(rows)[:50]:
        words = [table.rows[row][at].strip() for at in beside]
        said = [word for word in words if any(letter.isalpha() for letter in word)]
        if said:
            line = table.lines[row]
            text = f"Line {line} holds no reading but '{said[0][:30]}'."
            notes.append(Note("event-row", text, (line,)))
    return notes[:5]


def _cell_notes(columns: Sequence[Values], table: Table) -> list[Note]:
    notes = []
    for rule, kinds, text in (
        ("readings-unclear", [c.unclear for c in columns], "no clear number and taken as missing"),
        (
            "accumulated",
            [c.accumulated for c in columns],
            "marked as standing for several days and taken as missing: extremes can’t be added up",
        ),
        ("starred", [c.starred for c in columns], "marked with a star or E (estimated) and kept"),
    ):
        rows = {row for kind in kinds for row in kind}
        if rows:
            numbers = tuple(table.lines[row] for row in sorted(rows))
            verb = "is" if len(numbers) == 1 else "are"
            notes.append(
                Note(rule, f"{named_lines(numbers).capitalize()}: {verb} {text}.", numbers)
            )
    return notes
