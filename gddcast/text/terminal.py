"""The terminal: how wide it is, how a line folds, which marks it has, what it shows bold or dim.

A room yields lines; here alone they are folded, marked and made bold for the screen a face names.
Bold and dim repeat what words and marks say: no meaning rests on them, and none on a colour.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Literal

from gddcast.words import Status

#: No line that a terminal's width decides is longer: the eye loses its way back. [characters]
WIDEST = 92


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
    """

    text: str
    first: str = ""
    rest: str | None = None
    status: Status | None = None
    weight: Literal["bold", "dim"] | None = None


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
        return cls(min(columns, WIDEST), styled, shapes)

    def mark(self, status: Status) -> str:
        """The mark of a status."""
        return status.shape if self.shapes else status.ascii_shape

    def show(self, lines: Iterable[str | Line]) -> str:
        r"""Lines as this screen shows them; one that is a string is laid out already.

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

    def _folded(self, line: str | Line) -> Iterator[str]:
        if isinstance(line, str):
            yield line
            return
        first = f"{line.first}{self.mark(line.status)} " if line.status else line.first
        for part in wrap(
            line.text,
            max(self.width, len(first) + 8),
            initial_indent=first,
            subsequent_indent=" " * len(first) if line.rest is None else line.rest,
            break_on_hyphens=False,
            break_long_words=False,
        ):
            yield self._styled(part, line.weight)

    def _styled(self, text: str, weight: str | None) -> str:
        if not self.styled or weight is None:
            return text
        from click import style

        return style(text, **{weight: True})


#: A terminal that nothing is known of, or none: a pipe, a file, a test.
PLAIN = Terminal()


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
