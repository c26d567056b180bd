"""Rows whose quoted remark holds line breaks: several lines that are one."""

from __future__ import annotations

import csv
from collections.abc import Sequence

#: Lines that one remark may run over.
MOST_LINES = 20


def whole_records(
    body: list[str], numbers: Sequence[int], delimiter: str, width: int
) -> tuple[list[str], Sequence[int]]:
    """Lines put together where a quoted remark runs over several; others as they are.

    Lines belong together only where that makes a row as long as the header and swallows no other:
    a quotation mark that is never closed, or one that means inches, joins nothing.

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
    """
    joined: list[str] = []
    kept: list[int] = []
    at = 0
    while at < len(body):
        size = 1
        if _is_open(body[at], delimiter):
            for more in range(2, min(MOST_LINES, len(body) - at) + 1):
                text = " ".join(body[at : at + more])
                if more > 2 and len(body[at + more - 2].split(delimiter)) >= width:
                    break  # a row by itself
                if not _is_open(text, delimiter):
                    cells = next(csv.reader([text], delimiter=delimiter, skipinitialspace=True), [])
                    fits = len(cells) >= width and not any(map(str.strip, cells[width:]))
                    size = more if fits else 1
                    break
        joined.append(" ".join(body[at : at + size]))
        kept.append(numbers[at])
        at += size
    return joined, kept


def _is_open(text: str, delimiter: str) -> bool:
    """Whether a cell that begins with a quotation mark does not end on its line."""
    return text.count('"') % 2 == 1 and (delimiter + '"' in text or text[0] == '"')
