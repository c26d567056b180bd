"""The rows of a sheet as a table to fill in at a desk; their numbers are those on the paper."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from gddcast.journal.walk_rows import COLUMNS
from gddcast.pages.sheet.rows import Row

#: A spreadsheet runs a cell that begins so; an apostrophe makes it words again (OWASP, "CSV
#: injection", read from memory).
_FORMULA = tuple("=+-@\t\r'")


def sheet_table(rows: Iterable[Row]) -> str:
    """A line for each row of the paper and each of its stages; what was seen is left empty."""
    page = io.StringIO(newline="")
    writer = csv.writer(page)
    writer.writerow(COLUMNS)
    for row in rows:
        for stage in row.stages:
            cell = f"'{row.where}" if row.where.startswith(_FORMULA) else row.where
            given = (str(row.number), row.pest, stage, cell)
            writer.writerow((*given, *[""] * (len(COLUMNS) - len(given))))
    return page.getvalue()
