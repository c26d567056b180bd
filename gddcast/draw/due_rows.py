"""When stages were due in every year, a row each on one axis: past years open, this one filled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from textwrap import wrap

from gddcast import words
from gddcast.draw import GRID, INK, svg
from gddcast.draw.scales import LEFT, RIGHT, WIDTH, DayScale, month_axis
from gddcast.draw.year_dots import height, placed, read_aloud, svg_dots

_AXIS, _SMALL, _LINE, _LETTER = 136.0, 12, 14.0, 6.2
_RADIUS, _PITCH = 1.9, 4.4
_LABEL = int((_AXIS - 12.0) / _LETTER)  # letters


@dataclass(frozen=True, slots=True)
class DueRow:
    """One stage: the day it was due in each past year, all moved into one season.

    Parameters
    ----------
    name : str
    past : sequence of (str, datetime.date)
        Season and day.
    due, find : datetime.date, optional
        Of the season the rows are about.
    """

    name: str
    past: Sequence[tuple[str, dt.date]]
    due: dt.date | None = None
    find: dt.date | None = None

    @property
    def days(self) -> list[dt.date]:
        """All that is drawn of it."""
        return [*(day for _, day in self.past), *(each for each in (self.due, self.find) if each)]


def due_rows(rows: Sequence[DueRow], title: str, season: str) -> svg.Svg:
    """Draw them, a row each, labels at the left.

    Parameters
    ----------
    rows : sequence of DueRow
        At least one has a day.
    title : str
        What the drawing is called.
    season : str
        The season whose own days are filled; nothing of the kind where empty.
    """
    days = [day for row in rows for day in row.days]
    first, last = min(days).replace(day=1), max(days) + dt.timedelta(days=6)
    scale = replace(DayScale.around(first, last), left=_AXIS, right=RIGHT)
    strokes, y = _key(rows, season)
    marks: list[str] = []
    for row in rows:
        strokes.append(svg.line([(LEFT - 8, y), (RIGHT + 8, y)], colour=GRID, width=0.7))
        above, y = _row(row, scale, y + 3)
        marks += above
    strokes += [*month_axis(scale, y, scale.first, scale.last), *marks]
    said = ". ".join(described(row, season) for row in rows)
    return svg.picture(WIDTH, round(y + 20), title, said, strokes)


def _key(rows: Sequence[DueRow], season: str) -> tuple[list[str], float]:
    """What the marks mean, and where the first row begins."""
    strokes = [_ring(LEFT - 4, 8), svg.words(LEFT + 6, 12, "due in a past year", size=_SMALL)]
    if season and any(row.due for row in rows):
        strokes += [_diamond(150, 8), svg.words(160, 12, f"due in {season}", size=_SMALL)]
    if any(row.find for row in rows):
        strokes += [_cross(262, 8), svg.words(272, 12, "first seen", size=_SMALL)]
    return strokes, 20.0


def _row(row: DueRow, scale: DayScale, y: float) -> tuple[list[str], float]:
    lines = wrap(row.name, _LABEL)
    strokes = [
        svg.words(LEFT - 8, y + 10 + _LINE * at, line, size=_SMALL) for at, line in enumerate(lines)
    ]
    dots = placed([(day, name) for name, day in row.past], scale, _PITCH)
    floor = y + max(12.0, height(dots, _PITCH) if dots else 0.0)
    if dots:
        strokes.append(svg_dots(dots, floor, _PITCH, radius=_RADIUS, fill="#FFFFFF"))
    # Those of the season itself on lines of their own: no mark hides another.
    for day, mark in ((row.due, _diamond), (row.find, _cross)):
        if day is not None:
            strokes.append(mark(scale(day), floor + 6))
            floor += 11
    return strokes, max(floor, y + _LINE * len(lines)) + 5


def _ring(x: float, y: float) -> str:
    return svg.dot(x, y, hollow=True, radius=_RADIUS)


def _diamond(x: float, y: float) -> str:
    return f'<path d="M{x:.1f} {y - 4:.1f}l4 4l-4 4l-4 -4z" fill="{INK}"/>'


def _cross(x: float, y: float) -> str:
    return (
        f'<path d="M{x - 3.5:.1f} {y - 3.5:.1f}l7 7m0 -7l-7 7" fill="none" stroke="{INK}" '
        'stroke-width="1.8"/>'
    )


def described(row: DueRow, season: str) -> str:
    """One row read aloud."""
    said = [read_aloud((day for _, day in row.past), len(row.past))] if row.past else []
    said += [f"due in {season} {words.day(row.due, weekday=False)}"] if row.due else []
    said += [f"first seen {words.day(row.find, weekday=False)}"] if row.find else []
    return f"{row.name}: {'; '.join(said) or 'no year'}"
