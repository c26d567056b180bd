"""The numbers of each row, and what their cells gave cause to say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.ghcn_flags import failed_quality, flagged_note
from gddcast.readers.reading import Array, FileUnit, Note, named_lines
from gddcast.readers.roles import Roles
from gddcast.readers.tables import Table
from gddcast.readers.values import Values, values_of
from gddcast.units import celsius, fahrenheit
from gddcast.weather.series import Origin


@dataclass(frozen=True, slots=True)
class RowReadings:
    """Numbers of every row in the file's scale, and the scale the file names."""

    high: Array
    low: Array
    stated: FileUnit | None
    stated_by: str
    decimal_comma: bool
    notes: tuple[Note, ...]


def readings_in(table: Table, roles: Roles, name: str) -> RowReadings:
    """Read the temperature columns of a table.

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
    if stated_by == "header":
        numbers = _same_scale(table, roles, numbers, stated)
    notes = [
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


def _stated(table: Table, roles: Roles, cells: set[FileUnit]) -> tuple[FileUnit | None, str]:
    """Scale the file names, and in which part of it."""
    meanings = table.meanings()
    units = [unit for at in roles.temperatures if (unit := meanings[at].unit)]
    if units:
        return units[0], "header"
    if cells:
        return next(iter(cells)), "cells"
    said = dict(table.provenance).get("unit", "").strip(" °").casefold()
    known: dict[str, FileUnit] = {
        "f": "F", "fahrenheit": "F", "c": "C", "celsius": "C", "k": "K", "kelvin": "K",
        "tenths-c": "tenths-C",
    }  # fmt: skip
    return (known[said], "comment") if said in known else (None, "header")


def _same_scale(
    table: Table, roles: Roles, numbers: list[Array], unit: FileUnit | None
) -> list[Array]:
    """Bring a minimum column headed in another scale to the maximum's."""
    other = table.meanings()[roles.temperatures[-1]].unit
    if {unit, other} != {"F", "C"} or len(numbers) < 2:
        return numbers
    return [numbers[0], fahrenheit(numbers[1]) if unit == "F" else celsius(numbers[1])]


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


def origins_in(table: Table, roles: Roles) -> NDArray[np.int8]:
    """Origin each row names in a ``how`` or ``origin`` column, 0 where it names none."""
    if roles.how is None:
        return np.zeros(len(table.rows), np.int8)
    code = {origin.name.casefold(): int(origin) for origin in Origin}
    words = (row[roles.how].strip().casefold() for row in table.rows)
    return np.fromiter((code.get(word, 0) for word in words), np.int8, len(table.rows))
