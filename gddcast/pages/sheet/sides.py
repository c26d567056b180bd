"""What stands on which side of a sheet: by lines and letters, never by measuring a font.

The letters of a line are few enough for the widest of the fonts the style sheet names.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gddcast.pages.sheet.rows import SheetRow

#: Boxes side by side.
_TEN = 10
#: Lines to write on under the words of a row.
_WRITE_LINES = 2


@dataclass(frozen=True, slots=True)
class Measure:
    """Heights on paper, and letters of a line. [mm]

    Parameters
    ----------
    side : float
        Height between the margins.
    head : float
        Of the top of the first side.
    line, title, write, box : float
        Of a line of words, of a title, of one to write on, of one more row of boxes.
    drawing, gap : float
    letters, title_letters : int
        In a line beside a drawing.
    wide : int
        In a line where no drawing stands.
    """

    side: float
    head: float = 19.0
    line: float = 5.1
    title: float = 6.2
    write: float = 8.0
    box: float = 6.0
    drawing: float = 20.0
    gap: float = 3.5
    letters: int = 70
    title_letters: int = 46
    wide: int = 78

    def row(self, row: SheetRow) -> float:
        """Height of a row."""
        heading = self.line + self.title * _lines(row.title, self.title_letters) + self.gap
        if row.first is not None:
            return heading + self.write
        said = " ".join(f"{lead} {text}" for lead, text in row.words)
        if row.brief:
            return heading + self.line * _lines(said, self.wide) + self.write
        beside = max(int((self.drawing - heading) // self.line) + 1, 0)
        below = max(len(said) - beside * self.letters, 0)
        words = self.line * (min(_lines(said, self.letters), beside) + _lines(below, self.wide))
        more = self.box * (max(-(-row.boxes // _TEN), 1) - 1)
        return max(heading + words, self.drawing) + self.write * _WRITE_LINES + more


#: Of ordinary and of big print, on both papers.
_HEIGHT = {"a4": 270.0, "letter": 252.0}
#: Height of the strip's head, of the dots of a stage, and of what else stands on the last side.
_STRIP_HEAD, _DOTS = 12.0, 14.5
_WEATHER, _CHORES, _FOOT = 37.0, 18.0, 32.0
_PLANTS_HEAD, _SOWING = 16.0, 10.5
#: Letters of a note, of the words that stand before those of chores, and of a stage on the strip.
_NOTE_LETTERS, _DUST_LETTERS, _STAGE_LETTERS = 72, 76, 30
_MOST_STAGES = 8
#: The same of big print, where a stage's words stand above its dots. [mm]
_LARGE_STRIP_HEAD, _LARGE_STAGE, _LARGE_WEATHER = 20.0, 28.0, 56.0
_LARGE_PLANTS, _LARGE_SOWING, _LARGE_CHORES_FOOT = 16.0, 17.0, 125.0


def measure(size: str, *, large: bool) -> Measure:
    """Of one side of a paper."""
    side = _HEIGHT[size]
    if not large:
        return Measure(side)
    return Measure(side, head=26.0, line=6.8, title=9.0, write=14.0, box=10.0, drawing=46.0,
                   gap=4.0, letters=42, title_letters=28, wide=56)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Side:
    """One side: some rows, and what stands below the last of them."""

    rows: tuple[SheetRow, ...]
    weeks: bool = False  # the strip and the weather
    plants: bool = False  # plants, chores and the foot


@dataclass(frozen=True, slots=True)
class Sides:
    """All of them, and how many stages find room on the strip."""

    sides: tuple[Side, ...]
    stages: int


def sides_of(
    rows: Sequence[SheetRow], stages: Sequence[str], sowings: int, notes: Sequence[str], size: str,
    *, large: bool,
) -> Sides:  # fmt: skip
    """One side where all fits; else two, with no more brief rows at the end than that takes.

    Where two do not hold them all in brief, as many sides as that takes, and rows whole on them.

    Parameters
    ----------
    rows : sequence of SheetRow
    stages : sequence of str
        Words of those that could be drawn on the strip.
    sowings : int
    notes : sequence of str
        What is said among the chores, then what is said above the plants.
    size : {"a4", "letter"}
    large : bool
        Big print: as many sides as it takes, lines to write on where one is not full.
    """
    paper = measure(size, large=large)
    if large:
        return _large(rows, len(stages), sowings, paper)
    rest = _WEATHER + _CHORES + _FOOT + _PLANTS_HEAD + _SOWING * max(sowings, 2)
    chores, *above = notes
    rest += paper.line * _lines(chores + " " * _DUST_LETTERS, _NOTE_LETTERS)
    rest += sum(paper.line * _lines(each, _NOTE_LETTERS - 8) for each in above)
    tall = [max(paper.line * _lines(each, _STAGE_LETTERS) + 1.6, _DOTS) for each in stages]
    least = rest + (_STRIP_HEAD + sum(tall[:2]) if stages else 0.0)
    brief = _with_rest(_filled([*map(_short, rows)], paper), least, paper)
    for whole in range(len(rows), -1, -1):
        tried = [*rows[:whole], *map(_short, rows[whole:])]
        best = _with_rest(_filled(tried, paper), least, paper)
        if len(best) <= max(2, len(brief)):
            break
    used = sum(map(paper.row, best[-1].rows)) + (paper.head if len(best) == 1 else 0.0)
    room, many = paper.side - used - rest - _STRIP_HEAD, 0
    for each in tall[:_MOST_STAGES]:
        room -= each
        many += room >= 0.0
    return Sides(tuple(best), many)


def _large(rows: Sequence[SheetRow], stages: int, sowings: int, paper: Measure) -> Sides:
    """Rows, then the weeks, then the plants, each below the last where the side has room."""
    shown = rows if len(rows) <= _MOST_STAGES else [_short(each) for each in rows]
    stages = min(stages, _MOST_STAGES)
    weeks = _LARGE_WEATHER + (_LARGE_STRIP_HEAD + _LARGE_STAGE * stages if stages else 0.0)
    plants = _LARGE_PLANTS + _LARGE_SOWING * max(sowings, 2) + _LARGE_CHORES_FOOT
    sides = _filled(shown, paper)
    used = sum(map(paper.row, sides[-1].rows)) if sides else 0.0
    used += paper.head if len(sides) == 1 else 0.0
    for part, tall in ((Side((), weeks=True), weeks), (Side((), plants=True), plants)):
        if sides and used + tall <= paper.side:
            last = sides.pop()
            part = Side(last.rows, weeks=last.weeks or part.weeks, plants=part.plants)
            used += tall
        else:
            used = tall
        sides.append(part)
    return Sides(tuple(sides), _MOST_STAGES)


def _with_rest(sides: list[Side], least: float, paper: Measure) -> list[Side]:
    """The rest on the last side where it fits, else on one of its own."""
    *before, last = sides or [Side(())]
    used = sum(map(paper.row, last.rows)) + (0.0 if before else paper.head)
    if used + least <= paper.side:
        return [*before, Side(last.rows, weeks=True, plants=True)]
    return [*before, last, Side((), weeks=True, plants=True)]


def _filled(rows: Sequence[SheetRow], paper: Measure) -> list[Side]:
    sides: list[list[SheetRow]] = []
    room = 0.0
    for row in rows:
        tall = paper.row(row)
        if not sides or tall > room:
            room = paper.side - (0.0 if sides else paper.head)
            sides.append([])
        sides[-1].append(row)
        room -= tall
    return [Side(tuple(each)) for each in sides]


def _short(row: SheetRow) -> SheetRow:
    return row if row.first is not None else row.in_brief()


def _lines(text: str | int, letters: int) -> int:
    long = text if isinstance(text, int) else len(text)
    return -(-long // letters)
