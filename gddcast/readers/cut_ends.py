"""A file that broke off as it was copied: its last number may have lost its end, 5 of 55.4.

No line ends behind it, and it is shorter than the others of its column. A file may well end without
a new line; then its last reading looks like the others.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from gddcast.readers.values import cell_value


def cut_cell(last: Sequence[str], rows: Sequence[list[str]], warm: Sequence[bool]) -> int | None:
    """Position of the last filled cell of a last row, where it is a reading that may be cut.

    Parameters
    ----------
    last : sequence of str
        Cells of the row behind which no line ends.
    rows : sequence of list of str
        Some rows before it.
    warm : sequence of bool
        Whether each column holds temperatures.

    Examples
    --------
    >>> cut_cell(["3 May", "19.5", "5"], [["1 May", "22.1", "8.4"]], [False, True, True])
    2
    """
    at = max((column for column, cell in enumerate(last) if cell), default=0)
    before = [row[at].strip() for row in rows]
    before = [cell for cell in before if cell_value(cell).kind in ("number", "starred")]
    if len(before) < 3:  # the other readings have as many decimals
        alike = [each for each, reads in zip(last[:at], warm, strict=False) if reads and each]
        before = [*before, *alike] if all(_digits(each)[1] for each in (*before, *alike)) else []
    return at if at and warm[at] and before and looks_cut(last[at], before) else None


def looks_cut(cell: str, before: Sequence[str]) -> bool:
    """Whether a number may have lost its end: fewer decimals, or digits, than those before it.

    Whole numbers differ in length by themselves: one is suspect if it is shorter than some and
    below all.

    Examples
    --------
    >>> looks_cut("5", ["55.4", "61.0"]), looks_cut("9.8", ["10.2", "11.0"])
    (True, False)
    >>> looks_cut("1", ["9", "12", "8", "7"]), looks_cut("8", ["9", "12", "7"])
    (True, False)
    """
    if not cell:
        return False
    digits = [_digits(each) for each in before]
    whole, decimals = _digits(cell)
    fewest = min(each[1] for each in digits)
    if fewest > 0 or decimals > 0:
        return decimals < fewest
    if cell[-1] in ".,-−":
        return True
    longer = any(each[0] > whole for each in digits)
    return longer and _size(cell) < min(_size(each) for each in before)


def _size(cell: str) -> float:
    found = re.search(r"\d+", cell)
    return float(found[0]) if found else 0.0


def _digits(cell: str) -> tuple[int, int]:
    """Digits before and behind the point."""
    whole, _, decimals = cell.replace(",", ".").partition(".")
    return sum(map(str.isdigit, whole)), sum(map(str.isdigit, decimals))
