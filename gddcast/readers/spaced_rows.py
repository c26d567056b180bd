"""Rows of a table parted by spaces, in which an empty cell is no more than more space."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_WORD = re.compile(r"\S+")

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Spacing:
    """How the whole rows of a table are parted.

    Parameters
    ----------
    width : int
        Number of columns.
    single : bool
        Whether one space stands between two cells: two of them hold an empty cell.
    columns : tuple of (int, int)
        Where each column begins and ends; empty where they do not stand in line.
    padded : bool
        Whether shorter cells are filled up with spaces, so that columns stand in line on purpose.
    """

    width: int
    single: bool
    columns: tuple[Span, ...]
    padded: bool

    def cut(self, line: str) -> list[str] | None:
        """Cells of a line, or None where they can't be told.

        Examples
        --------
        >>> spacing_of(["2026-05-01 22.5 9.1", "2026-05-02 19.0 8.4"], 3).cut("2026-05-03  7.7")
        ['2026-05-03', '', '7.7']
        """
        cells = line.split(" ")
        if self.single and len(cells) == self.width:
            return cells
        return self._by_position(line) if self.columns and "\t" not in line else None

    def _by_position(self, line: str) -> list[str] | None:
        cells = [""] * self.width
        sides: list[set[str]] = []
        for word in _WORD.finditer(line):
            begin, end = word.span()
            at = [i for i, (first, last) in enumerate(self.columns) if begin < last and end > first]
            if len(at) != 1:
                return None
            edges = {"left": begin, "right": end}
            column = dict(zip(edges, self.columns[at[0]], strict=True))
            sides.append({side for side in edges if edges[side] == column[side]})
            cells[at[0]] = f"{cells[at[0]]} {word[0]}".strip()
        filled = [at for at, cell in enumerate(cells) if cell]
        has_a_gap = bool(filled) and filled[-1] - filled[0] + 1 > len(filled)
        # A row that merely ends early has no gap to show it is in line: all its cells must be.
        in_line = self.padded and bool(sides) and bool(set.intersection(*sides))
        return cells if cells[-1] or has_a_gap or in_line else None


def spacing_of(lines: Sequence[str], width: int) -> Spacing:
    """How the lines that have all their cells are parted.

    Columns stand in line where each begins, or ends, at one position on all lines.
    """
    single = bool(lines) and all(len(line.split(" ")) == width for line in lines)
    spans = [_spans(line, width) for line in lines]
    nothing = Spacing(width, single, (), padded=False)
    if len(lines) < 3 or any(len(each) != width for each in spans) or "\t" in "".join(lines):
        return nothing
    columns, padded = [], False
    for at, column in enumerate(zip(*spans, strict=True)):
        begins, ends = {begin for begin, _ in column}, {end for _, end in column}
        if len(begins) > 1 and len(ends) > 1:
            return nothing
        padded = padded or len(begins) > 1 or (len(ends) > 1 and at + 1 < width)
        columns.append((min(begins), max(ends)))
    apart = all(one[1] < other[0] for one, other in pairwise(columns))
    return Spacing(width, single, tuple(columns), padded) if apart else nothing


def _spans(line: str, width: int) -> list[Span]:
    words = [word.span() for word in _WORD.finditer(line)]
    if len(words) == width:
        return words
    return [cell.span() for cell in re.finditer(r"\S+(?: \S+)*", line)]
