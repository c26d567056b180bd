"""A line of days under a drawing: where each day stands, its ticks, its months, and today."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from gddcast import words
from gddcast.handouts.drawings import svg

#: Width of the drawing, so that its words stay legible when it fills a phone.
WIDTH = 360
LEFT, RIGHT = 16, WIDTH - 16
_TICKS = (1, 2, 5, 10, 20, 30, 60)  # days
_TICK_ROOM = 24.0
#: Height of the line with its numbers and months.
AXIS_HEIGHT = 38


class DayScale:
    """Days to places across the drawing."""

    def __init__(self, first: dt.date, last: dt.date) -> None:
        pad = max(0, 6 - (last - first).days)  # few days are not spread over the whole width
        self.first = first - dt.timedelta(days=pad // 2)
        self.last = last + dt.timedelta(days=pad - pad // 2)
        self.step = (RIGHT - LEFT) / (self.last - self.first).days

    def __call__(self, day: dt.date) -> float:
        """Place of a day across the drawing."""
        return LEFT + self.step * (day - self.first).days

    def __contains__(self, day: dt.date) -> bool:
        return self.first <= day <= self.last

    def ticks(self) -> Iterator[dt.date]:
        """Days that get a number."""
        every = next((each for each in _TICKS if each * self.step >= _TICK_ROOM), _TICKS[-1])
        for ahead in range(0, (self.last - self.first).days + 1, every):
            yield self.first + dt.timedelta(days=ahead)


def day_axis(scale: DayScale, y: float, today: dt.date) -> Iterator[str]:
    """Draw the line at height ``y``; today is marked from the top where it lies on it."""
    ticks = [(scale(tick), tick) for tick in scale.ticks()]
    # One path and one group of words: a page of thirty strips stays small.
    marks = "".join(f"M{x:.1f} {y:.1f}v4" for x, _ in ticks)
    yield f'<path d="M{LEFT - 8} {y:.1f}H{RIGHT + 8}{marks}" fill="none" stroke="{svg.INK}"/>'
    numbers = "".join(f'<text x="{x:.1f}" y="{y + 17:.1f}">{day.day}</text>' for x, day in ticks)
    yield f'<g class="days" text-anchor="middle" font-size="12">{numbers}</g>'
    yield from _months(ticks, y + 32)
    if today in scale:
        x = scale(today)
        yield svg.line([(x, 14), (x, y)], colour=svg.BLUE, width=1.5, dash="4 3")
        yield svg.words(max(x, 18), 11, "today", anchor="middle", colour=svg.BLUE, size=12)


def month_axis(scale: DayScale, y: float, first: dt.date, last: dt.date) -> Iterator[str]:
    """A line of months, for drawings that span many of them: a tick on each first day."""
    marks, names = "", []
    month = first.replace(day=1)
    while month <= last:
        after = (month + dt.timedelta(days=31)).replace(day=1)
        begin, end = scale(max(month, first)), scale(min(after, last))
        if month >= first:
            marks += f"M{begin:.1f} {y:.1f}v5"
        if end - begin >= 20:
            name = words.month(month.month)
            short = name if 7.0 * len(name) < end - begin else name[:3]
            names.append(svg.words((begin + end) / 2, y + 14, short, anchor="middle", size=11))
        month = after
    yield f'<path d="M{scale(first):.1f} {y:.1f}H{scale(last):.1f}{marks}" stroke="{svg.INK}"/>'
    yield from names


def stacked(places: Sequence[float], pitch: float) -> list[int]:
    """The level of each dot, so that none touches another; places run from left to right."""
    ends: list[float] = []  # rightmost dot of each level
    levels = []
    for x in places:
        level = next((n for n, end in enumerate(ends) if x - end >= pitch - 1e-9), len(ends))
        ends[level : level + 1] = [x]
        levels.append(level)
    return levels


def _months(ticks: Sequence[tuple[float, dt.date]], y: float) -> Iterator[str]:
    """Each month under its first tick, unless the one before still needs the room."""
    said, free = 0, 0.0
    for x, tick in ticks:
        if tick.month != said and x >= free:
            name = words.month(tick.month)
            at = min(x - 7, WIDTH - 7.0 * len(name))
            yield svg.words(at, y, name, size=12)
            said, free = tick.month, at + 7.5 * len(name)
