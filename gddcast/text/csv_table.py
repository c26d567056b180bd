"""A table as CSV, safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from gddcast.words import as_cell


def table_csv(rows: Iterable[Sequence[str]]) -> str:
    r"""Rows of words and numbers as CSV; words that a spreadsheet would run are guarded.

    Examples
    --------
    >>> table_csv([("student", "A"), ("=1+1", "-2.5")])
    "student,A\r\n'=1+1,-2.5\r\n"
    """
    page = io.StringIO(newline="")
    csv.writer(page).writerows([[_guarded(cell) for cell in row] for row in rows])
    return page.getvalue()


def _guarded(cell: str) -> str:
    try:
        float(cell)
    except ValueError:
        return as_cell(cell)
    return cell
