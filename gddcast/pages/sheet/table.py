"""The rows of a sheet as a table to fill in at a desk; their numbers are those on the paper."""

from __future__ import annotations

from collections.abc import Iterable

from gddcast.journal.walk_rows import COLUMNS
from gddcast.pages.sheet.rows import SheetRow
from gddcast.text.csv_table import table_csv


def sheet_table(rows: Iterable[SheetRow]) -> str:
    """A line for each row of the paper and each of its stages; what was seen is left empty."""
    lines: list[tuple[str, ...]] = [COLUMNS]
    for row in rows:
        for stage in row.stages:
            given = (str(row.number), row.pest, stage, row.where)
            lines.append((*given, *[""] * (len(COLUMNS) - len(given))))
    return table_csv(lines)
