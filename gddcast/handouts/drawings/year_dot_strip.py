"""Year dots as a drawing: one dot a past year over a line of days, and never a bar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from html import escape

from gddcast import words
from gddcast.handouts.drawings import svg
from gddcast.handouts.drawings.day_axis import AXIS_HEIGHT, LEFT, WIDTH, DayScale, day_axis, stacked
from gddcast.outlook.dates import YearDot
from gddcast.scouting.windows import ScoutingWindow

_RADIUS, _PITCH = 4.0, 10.0  # 8 px dots, 2 px apart


def has_year_dots(window: ScoutingWindow) -> bool:
    """Whether a stage lies ahead and past years say when."""
    return window.found is None and window.late is not None and bool(window.late.days)


def year_dot_strip(window: ScoutingWindow, name: str, today: dt.date) -> str:
    """Draw one stage's dots; where two ends are carried, the earliest hollow, the latest filled.

    Parameters
    ----------
    window : ScoutingWindow
        One that `has_year_dots`.
    name : str
        What the drawing is called; no two of a page alike.
    today : datetime.date
        Marked where it lies among the dots.
    """
    rows = dot_rows(window)
    days = [day for _, dots in rows for day in _days(dots)]
    scale = DayScale(min(days), max(days))
    strokes: list[str] = []
    bottom = 14.0 if today in scale else 0.0  # room for the word today
    for label, dots in rows:
        placed = list(_placed(dots, scale))
        room = 16.0 if label else 0.0
        base = bottom + room + 8.0 + _PITCH * max(level for *_, level in placed)
        if label:
            strokes.append(svg.words(LEFT, bottom + 12.0, label, size=12))
        hollow = len(rows) == 2 and dots is rows[0][1]
        fill = "#FFFFFF" if hollow else svg.INK
        strokes.append(f'<g class="dots" fill="{fill}" stroke="{svg.INK}">')
        strokes += [_one_year(dot, x, base - _PITCH * level) for dot, x, level in placed]
        strokes.append("</g>")
        bottom = base + 8.0
    # The axis first: the line of today runs behind the dots.
    strokes = [*day_axis(scale, bottom, today), *strokes]
    return svg.picture(WIDTH, round(bottom + AXIS_HEIGHT), name, described(rows), strokes)


def dot_rows(window: ScoutingWindow) -> list[tuple[str, tuple[YearDot, ...]]]:
    """The dots of a stage: one row, or one for each end of a printed range or of a bracket."""
    if window.late is None:
        return []
    early, late = window.early, window.late
    if early is None or early.dots == late.dots:
        return [("", late.dots)]
    at_the_latest = ("at the latest", late.dots)
    # Once the earliest end has been reached, only the latest still lies ahead.
    return [("at the earliest", early.dots), at_the_latest] if early.days else [at_the_latest]


def described(rows: Sequence[tuple[str, Sequence[YearDot]]]) -> str:
    """The dots read aloud."""
    said = []
    for label, dots in rows:
        each = "; ".join(f"{dot.season} {_when(dot)}" for dot in dots)
        said.append(f"{label or 'one dot a past year'}: {each}")
    return ". ".join(said)


def _when(dot: YearDot) -> str:
    return "not reached" if dot.day is None else words.day(dot.day, weekday=False)


def _days(dots: Sequence[YearDot]) -> list[dt.date]:
    return [dot.day for dot in dots if dot.day is not None]


def _placed(dots: Sequence[YearDot], scale: DayScale) -> Iterator[tuple[YearDot, float, int]]:
    """Each dot over its own day, on the lowest level where it touches no other."""
    reached = [dot for dot in dots if dot.day is not None]
    places = [scale(dot.day) for dot in reached if dot.day is not None]
    yield from zip(reached, places, stacked(places, _PITCH), strict=True)


def _one_year(dot: YearDot, x: float, y: float) -> str:
    said = escape(f"{dot.season}: {_when(dot)}")
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_RADIUS:g}"><title>{said}</title></circle>'
