"""Cells that name their own scale: believed, whatever their column or the file is in."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit, Note, named_lines
from gddcast.readers.scale import SCALE_NAMES, from_celsius, in_celsius
from gddcast.readers.values import Values


def in_one_scale(
    columns: Sequence[Values], bases: Sequence[FileUnit | None], lines: Sequence[int], name: str
) -> tuple[list[Array], FileUnit | None, tuple[Note, ...]]:
    """Numbers of the columns, each in its base; where there is none, in what most cells name.

    Parameters
    ----------
    columns : sequence of Values
    bases : sequence of str or None
        Scale of the cells that name none, for each column.
    lines : sequence of int
    name : str
        File, for people.

    Returns
    -------
    numbers, unit, notes : list of numpy.ndarray, str or None, tuple of Note
        The scale the cells settle where nobody else did.

    Raises
    ------
    Refusal
        If cells name two scales, others none, and nobody said what those are in.
    """
    numbers = [column.numbers for column in columns]
    if all(column.units is None for column in columns):
        return numbers, None, ()
    blank = np.full(len(lines), "")
    units = np.array([blank if column.units is None else column.units for column in columns])
    known = ~np.isnan(np.array(numbers))
    by_cells = None
    if None in bases:
        by_cells = _settled_by_cells(units, known, lines, name)
        bases = [by_cells] * len(columns)
    rows: set[int] = set()
    scales: set[str] = set()
    for at, base in enumerate(bases):
        for unit in set(units[at][known[at]].tolist()) - {"", base} if base else ():
            named = units[at] == unit
            inside = from_celsius(in_celsius(numbers[at], unit), base)  # type: ignore[arg-type]
            numbers[at] = np.where(named, inside, numbers[at])
            rows |= set(np.flatnonzero(named & known[at]).tolist())
            scales.add(SCALE_NAMES[unit])
    if None in bases:  # nobody said: the few cells that name a scale are no evidence of the rest's
        numbers = [np.where(u == "", n, np.nan) for n, u in zip(numbers, units, strict=True)]
    if not rows or by_cells is not None:
        return numbers, by_cells, ()
    return numbers, None, (_note(tuple(lines[row] for row in sorted(rows)), sorted(scales)),)


def _settled_by_cells(
    units: np.ndarray, known: np.ndarray, lines: Sequence[int], name: str
) -> FileUnit | None:
    """The scale of a file of which nobody else says it, where most of its cells do."""
    named = sorted(set(units[known].tolist()) - {""})
    _, row = np.nonzero(known & (units == ""))
    if len(named) > 1 and row.size:
        raise Refusal(
            name,
            f"its cells name different scales, and line {lines[row[0]]} names none",
            f"Other cells name {' and '.join(SCALE_NAMES[unit] for unit in named)}.",
            "Write F or C behind every number, or say what the others are in:",
            flag="--unit F     (or --unit C)",
            slug="readings-unclear",
        )
    if not named or 2 * row.size > np.count_nonzero(known):
        return None
    unit: FileUnit = "C" if len(named) > 1 else named[0]
    return unit


def _note(lines: tuple[int, ...], scales: list[str]) -> Note:
    verb = "has" if len(lines) == 1 else "have"
    text = (
        f"{named_lines(lines).capitalize()} {verb} cells that name {' and '.join(scales)}, unlike "
        "the rest: each was read in its own scale."
    )
    return Note("cell-units", text, lines)
