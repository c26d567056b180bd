"""Rows with more or fewer cells than the header has names: no cell is read under another's name.

Where columns stand under one another a row is cut by position. A row that ends early, or goes on
in words, keeps its cells where they can be no others. Every other row is left out and listed.
The last reading of a file that broke off as it was copied may have lost its end, 5 of 55.4: no line
ends behind it, and it is shorter than the others of its column.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from gddcast.errors import Refusal
from gddcast.readers.columns import FREE_WORDS, TEMPERATURES, meaning, words_of
from gddcast.readers.date_cells import looks_like_a_date
from gddcast.readers.reading import Note, named_lines
from gddcast.readers.values import cell_value

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


_CLOCK = re.compile(r"^\d{1,2}:\d{2}(?::\d{2})?$")

#: More rows than this left out, and the file is asked for once more. [share]
MOST_LEFT_OUT = 0.2

_DIGIT = re.compile(r"\d")
_LETTER = re.compile(r"[^\W\d_]")


def evened(
    rows: list[list[str]],
    lines: Sequence[str],
    numbers: Sequence[int],
    names: tuple[str, ...],
    delimiter: str,
    name: str,
) -> tuple[list[list[str]], list[int], tuple[Note, ...]]:
    """Rows with as many cells as there are names, their lines' numbers, and what was left out.

    Parameters
    ----------
    rows : list of list of str
        Cells of each line.
    lines : sequence of str
        The lines as they stand.
    numbers : sequence of int
        Line of the file of each row.
    names : tuple of str
    delimiter : str
    name : str
        File, for people.

    Raises
    ------
    Refusal
        If more than one row in five would have to be left out, or one in twenty is longer.
    """
    width = len(names)
    lengths = Counter(map(len, rows))
    usual = max((size for size in lengths if 2 * lengths[size] >= len(rows)), default=width)
    # Where most lines end in one mark more than the header, a line without it may have lost a cell.
    end = [""] * max(usual - width, 0)
    whole = [len(row) == width + len(end) and row[width:] == end for row in rows]
    shape = _Shape(names, [row[:width] for row, is_ in zip(rows, whole, strict=True) if is_], usual)
    by_space = delimiter in (" ", "  ")
    spacing = None
    if by_space:
        spacing = spacing_of([line for line, is_ in zip(lines, whole, strict=True) if is_], width)
    last = max((at for at, is_ in enumerate(whole) if is_), default=-1)
    kept, kept_numbers, out, longer = [], [], [], []
    for at, (row, line, number) in enumerate(zip(rows, lines, numbers, strict=True)):
        cells: list[str] | None = row[:width]
        if not whole[at]:
            cells = spacing.cut(line) if spacing else None
            if cells is None:
                cells = shape.fitted(row, by_space=by_space)
            if cells is None and at > last and shape.is_footer(row):
                cells = [*row, *[""] * width][:width]
        if cells is None:
            out.append(number)
            longer += [number] if any(cell.strip() for cell in row[width:]) else []
        else:
            kept.append(cells)
            kept_numbers.append(number)
    _refuse_many(out, longer, len(rows), names, name)
    return kept, kept_numbers, _notes(out, width)


def with_whole_stamps(rows: list[list[str]], names: tuple[str, ...]) -> list[list[str]]:
    """Rows parted by spaces with the time behind a date put back to it.

    Where no column is called a time, ``2026-05-01 24:00 22.5`` would have one cell too many, and
    with a blank in it as many as the header: then a reading stands under another's name.
    """
    kinds = [meaning(name).kind for name in names]
    at = next((at for at, kind in enumerate(kinds) if kind in ("stamp", "day")), None)
    if at is None or "clock" in kinds:
        return rows
    timed = [len(row) > at + 1 and bool(_CLOCK.match(row[at + 1])) for row in rows]
    if 2 * sum(timed) <= len(rows):
        return rows
    return [
        [*row[:at], f"{row[at]} {row[at + 1]}", *row[at + 2 :]] if joined else row
        for row, joined in zip(rows, timed, strict=True)
    ]


class _Shape:
    """What rows of this table look like, told from the whole ones and the names."""

    def __init__(self, names: tuple[str, ...], whole: list[list[str]], usual: int) -> None:
        kinds = [meaning(name).kind for name in names]
        self.width = len(names)
        self.dates = [at for at, kind in enumerate(kinds) if kind == "stamp"]
        self.warm = [at for at, kind in enumerate(kinds) if kind in TEMPERATURES]
        needed = [at for at, kind in enumerate(kinds) if kind != "other"]
        self.last_needed = max(needed, default=self.width - 1)
        #: Columns of words or of nothing: nothing in them can be a reading.
        self.words = [
            at for at in range(self.width)
            if kinds[at] == "other" and self._in_words(names[at], [row[at] for row in whole])
        ]  # fmt: skip
        self.numbers = [
            at for at in range(self.width)
            if kinds[at] == "other" and not any(_LETTER.search(row[at]) for row in whole)
            and at not in self.words
        ]  # fmt: skip
        self.usual = usual

    @staticmethod
    def _in_words(name: str, cells: list[str]) -> bool:
        if not cells:
            return not name or bool(set(words_of(name)) & FREE_WORDS)
        return all(not cell.strip() or bool(_LETTER.search(cell)) for cell in cells)

    def fitted(self, row: list[str], *, by_space: bool) -> list[str] | None:
        """The row at full width, where its cells can belong to no other columns; else None."""
        filled = [cell for cell in row if cell.strip()]
        if len(filled) <= 1 and row[0].strip() and len(row) < self.width:
            return [*row, *[""] * (self.width - len(row))]
        extra = [cell.strip() for cell in row[self.width :]]
        if extra:
            words_go_on = self.width - 1 in self.words and all(
                _LETTER.search(cell) for cell in extra if cell
            )
            if not (words_go_on if any(extra) else row[self.width - 1].strip()):
                return None
        omitted = range(len(row), self.width)
        if any(at not in self.words for at in omitted) or not self._is_sound(row, by_space):
            return None
        return [*row, *[""] * len(omitted)][: self.width]

    def _is_sound(self, row: list[str], by_space: bool) -> bool:
        """Whether dates are dates, readings numbers, and words words, where they stand."""
        for at, cell in enumerate(row[: self.width]):
            text = cell.strip()
            if at in self.dates and not looks_like_a_date(text):
                return False
            blank = not text and len(row) == self.usual
            if at in self.warm and not blank and not _DIGIT.search(text):
                return False
            if at in self.warm and cell_value(text).kind == "unclear":
                return False
            if at in self.numbers and not blank and (not text or _LETTER.search(text)):
                return False
            if at in self.words and text and not _LETTER.search(text):
                return False
        return bool(self.warm) and not (
            by_space and any(at < self.last_needed for at in self.words)
        )

    def is_footer(self, row: list[str]) -> bool:
        """Whether a row below all others is no day: a sum, a remark."""
        head = next((cell.strip() for cell in row if cell.strip()), "")
        return head[:1].isalpha() and not any(looks_like_a_date(cell) for cell in row)


def _refuse_many(
    out: list[int], longer: list[int], rows: int, names: tuple[str, ...], name: str
) -> None:
    if 20 * len(longer) > rows:
        raise Refusal(
            name,
            f"{named_lines(longer, 3)} {'has' if len(longer) == 1 else 'have'} more cells than "
            "the header has names",
            f"The header has {len(names)}: {', '.join(names)[:80]}.",
            "If numbers are written with a decimal comma, part the cells with semicolons.",
            slug="cells-uneven",
        )
    if len(out) > MOST_LEFT_OUT * rows:
        raise Refusal(
            name,
            f"{named_lines(out, 3)} {'has' if len(out) == 1 else 'have'} fewer cells than the "
            "header has names, and which are absent can’t be told",
            f"The header has {len(names)}: {', '.join(names)[:80]}.",
            "Write a mark such as NA into every empty cell, or export the table with commas.",
            slug="cells-uneven",
        )


def _notes(out: list[int], width: int) -> tuple[Note, ...]:
    if not out:
        return ()
    one = len(out) == 1
    text = (
        f"{named_lines(out).capitalize()} {'has' if one else 'have'} not the {width} cells of the "
        f"header, and which is which can’t be told: {'it was' if one else 'they were'} left out."
    )
    return (Note("cells-uneven", text, tuple(out)),)


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
