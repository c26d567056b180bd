"""What a change to a cell or a row does to the truth of its day."""

from __future__ import annotations

from tests.fuzz.sheets import HIGH, LOW, NAN, Row, Sheet

#: Halves of a day that a column holds.
HALVES = {"max": (HIGH,), "min": (LOW,), "mean": (LOW, HIGH), "temp": (LOW, HIGH)}


def temperature_columns(sheet: Sheet) -> list[int]:
    """Positions of the columns that hold temperatures."""
    return [at for at, each in enumerate(sheet.columns) if each.holds in HALVES]


def unknown(sheet: Sheet, row: Row, at: int) -> None:
    """Make the reading of a cell unknown in the truth."""
    assert row.day is not None
    if row.day in sheet.truth.days:
        for half in HALVES[sheet.columns[at].holds]:
            sheet.truth.days[row.day][half] = NAN


def one_a_day(sheet: Sheet) -> bool:
    """Whether a table has one row a day, and a truth to change."""
    return sheet.kind in ("daily", "means", "workbook") and not sheet.truth.hopeless


def date_places(sheet: Sheet) -> list[int]:
    """Positions of the columns that say when."""
    parts = {"date", "year", "month", "day", "day number", "clock"}
    return [at for at, each in enumerate(sheet.columns) if each.holds in parts]


def date_cut(sheet: Sheet, row: Row, left: int) -> None:
    """A row without its whole date is no day."""
    parts = {"date", "year", "month", "day", "day number", "clock"}
    if any(each.holds in parts for each in sheet.columns[left:]) and row.day is not None:
        date_lost(sheet, row)


def date_lost(sheet: Sheet, row: Row) -> None:
    """A row whose date cannot be known: its day is absent, and another may be invented."""
    assert row.day is not None
    sheet.truth.days.pop(row.day, None)
    sheet.truth.free |= {(row.day, LOW), (row.day, HIGH)}
    sheet.truth.stray += 1
    sheet.truth.doubtful = True
