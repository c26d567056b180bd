"""Finds on a line of days: from the day after the last clean look to the day of the find."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from gddcast import words
from gddcast.draw import svg
from gddcast.draw.scales import AXIS_HEIGHT, LEFT, WIDTH, DayScale, day_axis
from gddcast.journal.entries import Bracket
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences

_ROW = 34.0


def brackets_drawn(windows: Sequence[ScoutingWindow]) -> list[tuple[str, Bracket]]:
    """What was seen and between which days it began, earliest first, each once."""
    seen = {sentences.title(each): each.bracket for each in windows if each.bracket is not None}
    return sorted(seen.items(), key=lambda pair: (pair[1].found_on, pair[0]))


def find_brackets(windows: Sequence[ScoutingWindow], today: dt.date) -> svg.Svg:
    """Draw them, a row each; an open end where no clean look came before."""
    rows = brackets_drawn(windows)
    firsts = [bracket.earliest or bracket.found_on for _, bracket in rows]
    scale = DayScale.around(min(firsts), max(today, *(found.found_on for _, found in rows)))
    top = 14.0
    strokes: list[str] = []
    for row, (name, found) in enumerate(rows):
        y = top + _ROW * (row + 1) - 8.0
        strokes.append(svg.words(LEFT - 8, y - 10, name, size=12))
        strokes += _bracket(found, scale, y)
    bottom = top + _ROW * len(rows) + 4.0
    strokes += day_axis(scale, bottom, today)
    said = "; ".join(f"{name}: {described(found)}" for name, found in rows)
    return svg.picture(WIDTH, round(bottom + AXIS_HEIGHT), "What you have seen", said, strokes)


def _bracket(bracket: Bracket, scale: DayScale, y: float) -> list[str]:
    end = scale(bracket.found_on)
    strokes = [svg.dot(end, y)]
    if bracket.earliest is None:  # it may be older: the line runs on, dashed
        strokes.append(svg.line([(LEFT - 8, y), (end, y)], dash="3 3"))
    elif bracket.earliest < bracket.found_on:
        begin = scale(bracket.earliest)
        strokes.append(svg.line([(begin, y), (end, y)]))
        strokes.append(svg.line([(begin, y - 5), (begin, y + 5)]))
    return strokes


def described(bracket: Bracket) -> str:
    """One find in words."""
    day = words.day(bracket.found_on, weekday=False)
    if bracket.earliest is None:
        return f"found {day}, no clean look before"
    return f"began {words.span(bracket.earliest, bracket.found_on)}, found {day}"
