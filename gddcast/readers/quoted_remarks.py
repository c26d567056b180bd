"""Rows whose quoted remark holds line breaks: several lines that are one."""

from __future__ import annotations

from collections.abc import Sequence

#: Lines that one remark may run over.
MOST_LINES = 20


def whole_records(
    body: list[str], numbers: Sequence[int], delimiter: str, width: int
) -> tuple[list[str], Sequence[int]]:
    """Lines put together where a quoted remark runs over several; others as they are.

    Lines belong together only up to a mark that closes a cell, and where no row is swallowed: a
    mark that is never closed, or one that means inches, joins nothing.

    Parameters
    ----------
    body : list of str
        Lines below the header.
    numbers : sequence of int
        Line of the file of each.
    delimiter : str
    width : int
        Cells of the header.

    Examples
    --------
    >>> whole_records(['1 May,9,"rain,', 'then sun"', "2 May,8,"], [2, 3, 4], ",", 3)
    (['1 May,9,"rain, then sun"', '2 May,8,'], [2, 4])
    >>> whole_records(['1 May,9,"5 hail', '2 May,8,"6 hail'], [2, 3], ",", 3)[1]
    [2, 3]
    """
    joined: list[str] = []
    kept: list[int] = []
    at = 0
    while at < len(body):
        size = _lines_of_row(body, at, delimiter, width)
        joined.append(" ".join(body[at : at + size]))
        kept.append(numbers[at])
        at += size
    return joined, kept


def _lines_of_row(body: list[str], at: int, delimiter: str, width: int) -> int:
    """How many lines are one row: up to the mark that closes the one opened in the first."""
    first = body[at]
    opened = first[0] == '"' or delimiter + '"' in first
    if not opened or not _is_odd(first):
        return 1
    for more, line in enumerate(body[at + 1 : at + MOST_LINES], start=2):
        if _is_odd(line):
            behind = line.replace('""', "").partition('"')[2].lstrip()
            return more if not behind or behind.startswith(delimiter) else 1
        if len(line.split(delimiter)) >= width:  # a row by itself
            return 1
    return 1


def _is_odd(line: str) -> bool:
    """Whether a mark in a line has no other; two together stand for one that is written."""
    return line.count('"') % 2 == 1
