"""Door for the rows of a scouting sheet that somebody filled in: all of them, or every fault."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from gddcast.cards.library import called
from gddcast.cards.model import Card
from gddcast.day_words import DayUnclear
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from gddcast.journal.walk_rows import COLUMNS, is_empty, sighting_in
from gddcast.readers.opening import bytes_of, decoded
from gddcast.words import out_of_cell

_EXPECTED = f"A sheet to fill in has the columns {', '.join(COLUMNS)}."
_NEEDED = ("pest", "saw")
_SHOWN = 20


class WalkSheetRefusal(Refusal):
    """Rows that cannot be entered; ``faults`` lists them all, each with its line."""

    def __init__(self, file: str, faults: list[str]) -> None:
        shown = faults[:_SHOWN] + ([f"and {len(faults) - _SHOWN} more"] if faults[_SHOWN:] else [])
        super().__init__(
            file, f"its rows have {len(faults)} faults" if len(faults) > 1 else "a row has a fault",
            "\n  ".join(shown), "Mend them, then enter the sheet again; nothing was written.",
            slug="sheet-faults",
        )  # fmt: skip
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class WalkRow:
    """One filled row: its line in the file, its number on the sheet, what it says."""

    line: int
    number: str
    sighting: Sighting

    def __str__(self) -> str:
        return f"line {self.line}" + (f" (row {self.number})" if self.number else "")


@dataclass(frozen=True, slots=True)
class WalkSheet:
    """What a filled sheet says, and how many of its rows were left empty."""

    rows: tuple[WalkRow, ...]
    empty: int


def read_walk_sheet(
    path: Path, cards: Mapping[str, Card], day_meant: Callable[[str], dt.date],
    day: dt.date | None = None,
) -> WalkSheet:  # fmt: skip
    """Every row of a filled sheet.

    Parameters
    ----------
    path : Path
        A CSV with the columns of `journal.walk_rows.COLUMNS`, in any order.
    cards : mapping of str to Card
    day_meant : callable
        Reads a cell of the column day.
    day : datetime.date, optional
        Day of looking where that cell is empty.

    Raises
    ------
    WalkSheetRefusal
        With every fault and its line.
    Refusal
        If it is no such table.
    """
    try:
        text = decoded(bytes_of(path), path.name, _EXPECTED).text
    except OSError as error:
        raise _no_sheet(path.name, (error.strerror or "it can’t be read").lower()) from None
    heading = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=heading.count))
    try:
        names = [cell.strip().lower() for cell in next(reader, [])]
        if missing := [name for name in _NEEDED if names.count(name) != 1]:
            raise _no_sheet(path.name, f"it has no column {missing[0]}")
        lines = [(reader.line_num, cells) for cells in reader if any(map(str.strip, cells))]
    except csv.Error:
        most = f"{csv.field_size_limit():,} letters"
        raise _no_sheet(
            path.name, f"a cell of line {reader.line_num} does not end within {most}"
        ) from None
    rows, faults, empty = [], [], 0
    for line, cells in lines:
        row = dict(zip(names, map(out_of_cell, map(str.strip, cells)), strict=False))
        if is_empty(row):
            empty += 1
            continue
        try:
            sighting = sighting_in(row, _card(row, cards), _day(row, day_meant, day))
            rows.append(WalkRow(line, row.get("number", ""), sighting))
        except ValueError as fault:
            faults.append(f"{WalkRow(line, row.get('number', ''), _NOTHING)}: {fault}")
    if faults:
        raise WalkSheetRefusal(path.name, faults)
    return WalkSheet(tuple(rows), empty)


_NOTHING = Sighting("", "", dt.date.min)


def _card(row: Mapping[str, str], cards: Mapping[str, Card]) -> Card:
    card = called(cards.values(), row["pest"])
    if card is None:
        raise ValueError(f'found pest "{row["pest"]}"; expected the name of a card')
    return card


def _day(
    row: Mapping[str, str], day_meant: Callable[[str], dt.date], day: dt.date | None
) -> dt.date:
    cell = row.get("day", "")
    if not cell and day is None:
        raise ValueError("found no day; expected one in the column day, or  --seen DATE")
    try:
        return day_meant(cell) if cell else day or dt.date.min
    except DayUnclear as unclear:
        raise ValueError(f"found day: {unclear}") from None


def _no_sheet(name: str, problem: str) -> Refusal:
    return Refusal(
        name, problem, _EXPECTED,
        "Make one:  gddcast sheet --csv week.csv", slug="no-sheet",
    )  # fmt: skip
