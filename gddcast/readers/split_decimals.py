"""Numbers with a decimal comma in a table parted by commas: each fills two cells.

``2026-05-01,24,9,13,7`` is 24.9 and 13.7, or 24 and 9, where the header has names to spare. The
second cells tell: they are single digits, on every row.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from gddcast.errors import Refusal, shell
from gddcast.readers.reading import Array
from gddcast.readers.roles import Roles
from gddcast.readers.tables import Table

_WHOLE = re.compile(r"^[-+−]?\d{1,3}$")
_DIGIT = re.compile(r"^\d$")

#: Where only one reading stands on a row: so many rows, so many different digits. From experience
#: with invented files, no source.
_ROWS, _DIGITS = 20, 8


def may_hide_decimals(table: Table, roles: Roles, numbers: Sequence[Array]) -> bool:
    """Whether `refuse_split_decimals` could have a say: cheap, for a sweep.

    Parameters
    ----------
    table, roles : Table, Roles
    numbers : sequence of numpy.ndarray
        The columns of ``roles.temperatures``.
    """
    first, last = min(roles.temperatures), max(roles.temperatures)
    if table.delimiter != "," or last + 1 == len(table.names):
        return False
    if any((column % 1 != 0).any() for column in numbers):
        return False
    digits = numbers[int(roles.temperatures[0] == first)] if last == first + 1 else np.zeros(1)
    return bool(((digits >= 0) & (digits < 10)).all())


def refuse_split_decimals(table: Table, roles: Roles, name: str) -> None:
    """Refuse a table whose readings fill two cells each.

    Raises
    ------
    Refusal
        With the columns to name where the numbers are whole degrees after all.
    """
    if table.delimiter != "," or not roles.temperatures:
        return
    begin = min(roles.temperatures)
    if not _pairs(_filled(table.rows[:20], begin)):
        return
    filled = _filled(table.rows, begin)
    pairs = _pairs(filled)
    if not pairs or not (pairs > 1 or _many_digits(filled[1])):
        return
    if pairs == 1 and {roles.high, roles.low} == {begin, begin + 1}:
        return  # a maximum and a minimum in whole degrees: one reading alone would leave no other
    if pairs > 1 and not _first_above_second(filled):
        return
    shown = ",".join(cells[0] for cells in filled[: 2 * min(pairs, 2)])
    read = " and ".join(
        f"{filled[2 * at][0]}.{filled[2 * at + 1][0]}" for at in range(min(pairs, 2))
    )
    high, low = (table.names[at] for at in (roles.temperatures[0], roles.temperatures[-1]))
    raise Refusal(
        name,
        "its numbers may be written with a decimal comma between commas",
        f"Line {table.lines[0]} has {shown}, which may be {read}: every second cell is one digit, "
        "on all lines.",
        "If so, export it with semicolons between the cells. If they are whole degrees, name their "
        "columns:",
        flag=f"--max-column {shell(high)}" + (f" --min-column {shell(low)}" if low != high else ""),
        slug="decimal-comma",
    )


def _filled(rows: list[list[str]], begin: int) -> list[list[str]]:
    """Cells of the columns from the first reading on, without empty columns at the end."""
    columns = [[cell.strip() for cell in column] for column in zip(*rows, strict=True)][begin:]
    while columns and not any(columns[-1]):
        columns.pop()
    return columns


def _pairs(filled: list[list[str]]) -> int:
    """Pairs of a whole number and one digit that fill the rows from the first reading on."""
    pairs = 0
    for whole, digit in zip(filled[::2], filled[1::2], strict=False):
        rows = [(w, d) for w, d in zip(whole, digit, strict=True) if w or d]
        if not rows or not all(_WHOLE.match(w) and _DIGIT.match(d) for w, d in rows):
            break
        pairs += 1
    return pairs


def _many_digits(digits: list[str]) -> bool:
    return len(digits) >= _ROWS and len(set(digits) - {""}) >= _DIGITS


def _first_above_second(filled: list[list[str]]) -> bool:
    """Whether the first number is never below the second, as extremes are, either way round."""
    both = [
        (int(a.replace("−", "-")), int(b.replace("−", "-")))
        for a, b in zip(filled[0], filled[2], strict=True)
        if a and b
    ]
    return all(a >= b for a, b in both) or all(a <= b for a, b in both)
