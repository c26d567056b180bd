"""The rows of a sheet as a table to fill in at a desk; their numbers are those on the paper."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from gddcast.journal.walk_rows import COLUMNS
from gddcast.pages.sheet.rows import Row
from gddcast.words import as_cell


def sheet_table(rows: Iterable[Row]) -> str:
    """A line for each row of the paper and each of its stages; what was seen is left empty."""
    page = io.StringIO(newline="")
    writer = csv.writer(page)
    writer.writerow(COLUMNS)
    for row in rows:
        for stage in row.stages:
            given = (str(row.number), row.pest, stage, as_cell(row.where))
            writer.writerow((*given, *[""] * (len(COLUMNS) - len(given))))
    return page.getvalue()
