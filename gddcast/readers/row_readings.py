"""The numbers of each row, and what their cells gave cause to say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers.columns import speaks_of_tenths
from gddcast.readers.ghcn_flags import failed_quality, flagged_note
from gddcast.readers.reading import Array, FileUnit, Note, named_lines
from gddcast.readers.roles import Roles
from gddcast.readers.scale import in_celsius
from gddcast.readers.tables import Table
from gddcast.readers.values import Values, values_of
from gddcast.units import fahrenheit


@dataclass(frozen=True, slots=True)
class RowReadings:
    """Numbers of every row in the file's scale, and the scale the file names."""

    high: Array
    low: Array
    stated: FileUnit | None
    stated_by: str
    decimal_comma: bool
    notes: tuple[Note, ...]


def readings_in(table: Table, roles: Roles, name: str, told: FileUnit | None = None) -> RowReadings:
    """Read the temperature columns of a table.

    Parameters
    ----------
    table : Table
    roles : Roles
    name : str
        File, for people.
    told : str, optional
        Scale the person gave.

    Raises
    ------
    Refusal
        If too many cells are unclear, or the columns name different scales in their cells.
    """
    at = roles.temperatures
    columns = [
        values_of(table.column(index), table.lines, table.names[index], name) for index in at
    ]
    cells = {column.unit for column in columns if column.unit}
    if len(cells) > 1:
        raise Refusal(
            name,
            "its cells name different scales in different columns",
            f"{', '.join(table.names[index] for index in at)} hold {' and '.join(sorted(cells))}.",
            "Write all of them in one scale.",
            slug="readings-unclear",
        )
    numbers, failed = _without_flagged(table, at, [column.numbers for column in columns])
    stated, stated_by = _stated(table, roles, cells)
    _refuse_contradiction(table, roles, cells, stated, told, name)
    scales = [told or unit or stated for unit in header_units(table, roles)]
    numbers, believed = _by_their_cells(numbers, columns, scales, table.lines)
    if stated_by == "header" and told is None:
        each = zip(numbers, scales, strict=True)
        numbers = [_rescaled(column, unit, stated) for column, unit in each]
    notes = [
        *believed,
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


def _stated(table: Table, roles: Roles, cells: set[FileUnit]) -> tuple[FileUnit | None, str]:
    """Scale the file names, and in which part of it."""
    units = [unit for unit in header_units(table, roles) if unit]
    if units:
        return units[0], "header"
    if cells:
        return next(iter(cells)), "cells"
    commented = _commented(table)
    return commented, "comment" if commented else "header"


def _commented(table: Table) -> FileUnit | None:
    """Scale that the lines above the header name."""
    said = dict(table.provenance).get("unit", "").strip(" °").casefold()
    known: dict[str, FileUnit] = {
        "f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "k": "K", "kelvin": "K",
        "tenths-c": "tenths-C",
    }  # fmt: skip
    return known.get(said, "tenths-C" if speaks_of_tenths(table.title) else None)


def _refuse_contradiction(
    table: Table,
    roles: Roles,
    cells: set[FileUnit],
    stated: FileUnit | None,
    told: FileUnit | None,
    name: str,
) -> None:
    """Refuse cells that name another scale than the header, where nobody said which holds."""
    headed = {unit for unit in header_units(table, roles) if unit}
    if told is not None and len(headed) > 1:
        raise Refusal(
            name,
            f"you said it is in {told}, and its header names two scales",
            f"Its columns are {', '.join(table.names[at] for at in roles.temperatures)}.",
            "Leave --unit out: each column is then read as it says.",
            slug="units-contradicted",
        )
    commented = _commented(table)
    others = {"cells": next(iter(cells - {stated}), None), "comments": commented}
    where = next((where for where, unit in others.items() if unit not in (None, stated)), None)
    if where is None or told is not None:
        return
    other = others[where]
    columns = ", ".join(table.names[at] for at in roles.temperatures)
    raise Refusal(
        name,
        f"its {where} name another scale than its header",
        f"Columns {columns} are in {stated} by their header, in {other} by the {where}.",
        "Say which holds:",
        flag=f"--unit {other}",
        slug="units-contradicted",
    )


def _by_their_cells(
    numbers: list[Array],
    columns: Sequence[Values],
    scales: Sequence[FileUnit | None],
    lines: Sequence[int],
) -> tuple[list[Array], list[Note]]:
    """Bring the few cells that name a scale of their own to that of their column."""
    rows: set[int] = set()
    for at, (column, scale) in enumerate(zip(columns, scales, strict=True)):
        others = {row: unit for row, unit in column.named.items() if scale and unit != scale}
        rows |= set(others)
        if others:
            numbers[at] = numbers[at].copy()
        for row, unit in others.items():
            numbers[at][row] = _rescaled(numbers[at][row : row + 1], unit, scale)[0]
    if not rows:
        return numbers, []
    marked = tuple(lines[row] for row in sorted(rows))
    verb = "names" if len(marked) == 1 else "name"
    text = (
        f"{named_lines(marked).capitalize()} {verb} another scale than the column: the cells "
        "were read as they say."
    )
    return numbers, [Note("units-in-cells", text, marked)]


def _rescaled(numbers: Array, unit: FileUnit | None, wanted: FileUnit | None) -> Array:
    """Numbers of one scale in another."""
    if unit is None or wanted is None or unit == wanted:
        return numbers
    warm = in_celsius(numbers, unit)
    if wanted == "F":
        return fahrenheit(warm)
    if wanted == "K":
        return warm + 273.15
    return warm * 10.0 if wanted == "tenths-C" else warm


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
    known = {*roles.temperatures, roles.stamp, roles.clock, roles.site, roles.how}
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
            "marked as standing for several days and taken as missing: extremes can't be added up",
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
