"""A sheet of the fuzz as an Excel workbook: numbers as numbers, ISO dates as dates."""

from __future__ import annotations

import datetime as dt
import io
import re
from typing import TYPE_CHECKING

import openpyxl

if TYPE_CHECKING:
    from tests.fuzz.sheets import Sheet

_NUMBER = re.compile(r"^-?\d+(\.\d+)?$")


def raw(sheet: Sheet) -> bytes:
    """Bytes of a workbook."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, state, rows in sheet.other_sheets:
        _fill(book.create_sheet(title), rows, state)
    header: list[list[object]] = [[c.name for c in sheet.columns]] if sheet.header else []
    above: list[list[object]] = [[line] for line in sheet.above]
    years = sorted({row.day.year for row in sheet.day_rows()}) if sheet.sheet_a_year else [0]
    for year in years:
        rows: list[list[object]] = [
            [_value(cell) for cell in row.cells]
            for row in sheet.rows
            if not year or (row.day is not None and row.day.year == year)
        ]
        _fill(book.create_sheet(str(year or "Readings")), above + header + rows, "visible")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(page: object, rows: list[list[object]], state: str) -> None:
    page.sheet_state = state  # type: ignore[attr-defined]
    for row in rows:
        page.append(row)  # type: ignore[attr-defined]


def _value(cell: str) -> object:
    if _NUMBER.match(cell):
        return float(cell) if "." in cell else int(cell)
    try:
        return dt.datetime.fromisoformat(cell) if len(cell) == 10 else cell
    except ValueError:
        return cell
