"""The terminal: how wide it is, how a line folds, which marks it has, what it shows bold or dim.

A room yields lines; here alone they are folded, marked and made bold for the screen a face names.
Bold and dim repeat what words and marks say: no meaning rests on them, and none on a colour.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from textwrap import wrap
from typing import Literal

from gddcast.text.hidden_characters import AS_BEFORE, BOLD, DIM, visible
from gddcast.words import Status

Weight = Literal["bold", "dim"]
#: What stands round a name or a date and is no part of it.
_STOPS = ",.;:()"

#: No line that a terminal's width decides is longer: the eye loses its way back. [characters]
WIDEST = 92
#: Nor is one folded shorter, however narrow the screen. [characters]
NARROWEST = 40


@dataclass(frozen=True, slots=True)
class Line:
    """Something said, in one line or, where the screen is narrower, folded under itself.

    Parameters
    ----------
    text : str
        No line where it is empty.
    first, rest : str
        What its first line and every further one begin with; as many spaces as ``first`` has
        letters where ``rest`` is not given.
    status : Status, optional
        Its mark stands before the text.
    weight : {"bold", "dim"}, optional
        How it looks where the screen can.
    strong : str
        A name or date in it that stands out there, and alone is bold.
    """

    text: str
    first: str = ""
    rest: str | None = None
    status: Status | None = None
    weight: Weight | None = None
    strong: str = ""


@dataclass(frozen=True, slots=True)
class Beside:
    """A name, and what is said of it in a column beside it.

    Parameters
    ----------
    name : str
        Bold where the screen can, folded in its column.
    width : int
        Letters of that column, with the gap behind it.
    drawn : tuple of str
        Laid out already, on top of the right column.
    line : Line, optional
        Folded below them.
    hang : int, default: 2
        Letters by which every further line of a folded name is set in.
    """

    name: str
    width: int
    drawn: tuple[str, ...] = ()
    line: Line | None = None
    hang: int = 2


@dataclass(frozen=True, slots=True)
class Terminal:
    """What a screen takes, which is for a face to find out.

    Parameters
    ----------
    width : int
        Letters in its longest line.
    styled : bool
        Whether bold and dim may be written, as ANSI sequences.
    shapes : bool
        Whether its encoding has the marks of statuses; else they are of ASCII.
    """

    width: int = 98
    styled: bool = False
    shapes: bool = True

    @classmethod
    def of(cls, columns: int, *, styled: bool = False, shapes: bool = True) -> Terminal:
        """A terminal of so many columns, as far as it is read with ease."""
        return cls(min(max(columns, NARROWEST), WIDEST), styled, shapes)

    def mark(self, status: Status) -> str:
        """The mark of a status."""
        return status.shape if self.shapes else status.ascii_shape

    def show(self, lines: Iterable[str | Line | Beside]) -> str:
        r"""Lines as this screen shows them; one that is a string is laid out already.

        Hidden characters of all words are made visible before anything is emphasised.

        Examples
        --------
        >>> ahead = Line("Squash bug: eggs", status=Status.COMING_UP, weight="bold")
        >>> print(Terminal(12, shapes=False).show([ahead, under("Look from Thu 18 June.")]))
        * Squash
          bug: eggs
          Look from
          Thu 18
          June.
        >>> Terminal(styled=True).show([ahead])
        '\x1b[1m◑ Squash bug: eggs\x1b[0m'
        """
        return "\n".join(part for line in lines for part in self._folded(line))

    def _folded(self, line: str | Line | Beside) -> Iterator[str]:
        if isinstance(line, str):
            yield visible(line)
        elif isinstance(line, Beside):
            yield from self._beside(line)
        else:
            first = f"{self.mark(line.status)} " if line.status else ""
            yield from self._wrapped(line, visible(line.first) + first)

    def _wrapped(self, line: Line, first: str = "", width: int | None = None) -> Iterator[str]:
        parts = wrap(
            visible(line.text),
            max(width or self.width, len(first) + 8),
            initial_indent=first,
            subsequent_indent=" " * len(first) if line.rest is None else line.rest,
            break_on_hyphens=False,
            break_long_words=False,
        )
        if self.styled and line.strong and line.weight is None:
            yield from self._strong(parts, visible(line.strong))
        else:
            yield from (self.styled_as(part, line.weight) for part in parts)

    def _strong(self, parts: Sequence[str], phrase: str) -> Iterator[str]:
        """Lines in which the first such phrase is bold, wherever it was folded."""
        wanted = phrase.split()
        bare = [word.strip(_STOPS) for part in parts for word in part.split()]
        places = range(len(bare) - len(wanted) + 1)
        first = next((at for at in places if bare[at : at + len(wanted)] == wanted), len(bare))
        for part in parts:
            found = list(re.finditer(r"\S+", part))
            bold = found[max(first, 0) : max(first + len(wanted), 0)]
            first -= len(found)
            if not bold:
                yield part
                continue
            begin, end = bold[0].start(), bold[-1].end()
            phrase = part[begin:end].strip(_STOPS)
            begin = part.index(phrase, begin)
            end = begin + len(phrase)
            yield part[:begin] + self.styled_as(phrase, "bold") + part[end:]

    def _beside(self, row: Beside) -> Iterator[str]:
        names = wrap(visible(row.name), row.width - 2, subsequent_indent=" " * row.hang)
        said = self._wrapped(row.line, width=self.width - row.width) if row.line else ()
        right = [*map(visible, row.drawn), *said]
        for name, beside in zip_longest(names, right, fillvalue=""):
            gap = " " * (row.width - len(name)) if beside else ""
            yield (self.styled_as(name, "bold" if name else None) + gap + beside).rstrip()

    def styled_as(self, text: str, weight: Weight | None) -> str:
        """A text that is visible already, bold or dim where this screen can."""
        if not self.styled or weight is None:
            return text
        return f"{BOLD if weight == 'bold' else DIM}{text}{AS_BEFORE}"


#: A terminal that nothing is known of, or none: a pipe, a file, a test.
PLAIN = Terminal()
#: One line a thing said, for a face that folds by itself.
UNFOLDED = Terminal(width=1_000_000)


def under(text: str, depth: int = 1) -> Line:
    """A line that stands under another."""
    return Line(text, "  " * depth)


def table(
    rows: Sequence[Sequence[str]], *, left: Collection[int] = (0,), indent: str = ""
) -> Iterator[str]:
    """Cells in columns, those of numbers flush right.

    Examples
    --------
    >>> print(*table([("", "rank"), ("2025", "3"), ("2026", "12")]), sep=chr(10))
          rank
    2025     3
    2026    12
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (
            f"{cell:{'<' if at in left else '>'}{width}}"
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        yield (indent + "  ".join(cells)).rstrip()


def narrowed(
    rows: Sequence[Sequence[str]], width: int, spare: Sequence[Collection[int]]
) -> list[list[str]]:
    """The same rows without the columns a screen has no room for.

    Parameters
    ----------
    rows : sequence of sequence of str
    width : int
        Letters in its longest line.
    spare : sequence of collection of int
        Columns that may go, those that go together as one; the first to go first.

    Examples
    --------
    >>> narrowed([("2026", "112", "757"), ("2025", "66", "480")], 10, [(1,), (2,)])
    [['2026', '757'], ['2025', '480']]
    """
    gone: set[int] = set()
    kept = [list(row) for row in rows]
    for each in spare:
        if max(map(len, table(kept))) <= width:
            break
        gone.update(each)
        kept = [[cell for at, cell in enumerate(row) if at not in gone] for row in rows]
    return kept
