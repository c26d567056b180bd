"""Days on a line: where each stands, its ticks, its months, and today."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.draw import BLUE, INK, svg
from gddcast.weather.series import season_of

if TYPE_CHECKING:
    from matplotlib.axis import Axis

#: Width of a drawing, so that its words stay legible when it fills a phone.
WIDTH = 360
LEFT, RIGHT = 16, WIDTH - 16
_TICKS = (1, 2, 5, 10, 20, 30, 60)  # days
_TICK_ROOM = 24.0
#: Height of the line with its numbers and months.
AXIS_HEIGHT = 38
_MONTHS_FROM = 100  # an axis longer than this many days is labelled by months
_STEPS = (1, 2, 3, 4, 5, 7, 10, 14, 20, 30)


@dataclass(frozen=True, slots=True)
class DayScale:
    """Days to places across a drawing.

    Parameters
    ----------
    first, last : datetime.date
        Days that stand at its two ends.
    left, right : float
        Where these are.
    """

    first: dt.date
    last: dt.date
    left: float = LEFT
    right: float = RIGHT

    @classmethod
    def around(cls, first: dt.date, last: dt.date) -> DayScale:
        """A scale of at least six days: fewer are not spread over the whole width."""
        pad = max(0, 6 - (last - first).days)
        return cls(first - dt.timedelta(days=pad // 2), last + dt.timedelta(days=pad - pad // 2))

    @property
    def step(self) -> float:
        """From day to day."""
        return (self.right - self.left) / (self.last - self.first).days

    def __call__(self, day: dt.date) -> float:
        """Place of a day across the drawing."""
        return self.left + self.step * (day - self.first).days

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
    yield f'<path d="M{LEFT - 8} {y:.1f}H{RIGHT + 8}{marks}" fill="none" stroke="{INK}"/>'
    numbers = "".join(f'<text x="{x:.1f}" y="{y + 17:.1f}">{day.day}</text>' for x, day in ticks)
    yield f'<g class="days" text-anchor="middle" font-size="12">{numbers}</g>'
    yield from _months(ticks, y + 32)
    if today in scale:
        x = scale(today)
        yield svg.line([(x, 14), (x, y)], colour=BLUE, width=1.5, dash="4 3")
        yield svg.words(max(x, 18), 11, "today", anchor="middle", colour=BLUE, size=12)


def _months(ticks: Sequence[tuple[float, dt.date]], y: float) -> Iterator[str]:
    """Each month under its first tick, unless the one before still needs the room."""
    month, free = 0, 0.0
    for x, tick in ticks:
        if tick.month != month and x >= free:
            name = words.month(tick.month)
            at = min(x - 7, WIDTH - 7.0 * len(name))
            yield svg.words(at, y, name, size=12)
            month, free = tick.month, at + 7.5 * len(name)


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
    yield f'<path d="M{scale(first):.1f} {y:.1f}H{scale(last):.1f}{marks}" stroke="{INK}"/>'
    yield from names


class Calendar:
    """Places of days on an axis of one season.

    Seasons are laid on each other by calendar day; 29 February has a place of its own, which
    stays empty in common years.

    Parameters
    ----------
    begins : (int, int), default: 1 January
        Month and day on which seasons begin.

    Examples
    --------
    >>> calendar = Calendar()
    >>> calendar.at(dt.date(2025, 3, 1)), calendar.at(dt.date(2024, 3, 1))
    (60, 60)
    """

    def __init__(self, begins: tuple[int, int] = (1, 1)) -> None:
        # A season that holds a 29 February.
        self._season = season_of(dt.date(2024, 2, 29), begins)

    def at(self, day: dt.date) -> int:
        """Days from the season's first day to this one."""
        return (self._season.on(day.month, day.day) - self._season.first).days

    def day(self, at: float) -> dt.date:
        """Some day at that place; its year says nothing."""
        return self._season.first + dt.timedelta(days=int(at))

    @property
    def days(self) -> int:
        """Length of the axis."""
        return self._season.days

    def months(self, every: int = 1) -> Iterator[tuple[int, str]]:
        """Where months begin, with their names cut to three letters."""
        first = self._season.first.month
        for ahead in range(0, 12, every):
            month = (first - 1 + ahead) % 12 + 1
            yield (self._season.on(month, 1) - self._season.first).days, words.month(month)[:3]

    def label(self, axis: Axis, first: float, last: float, *, room: int) -> None:
        """Set limits and at most ``room`` labels: months, or days where there are few of them."""
        days = days_between(int(first), int(last), room)
        if last - first > _MONTHS_FROM or len(days) > room:
            places = [at for at in range(int(first), int(last) + 1) if self.day(at).day == 1]
            places = places[:: -(-len(places) // room)]
            labels = [words.month(self.day(place).month)[:3] for place in places]
        else:
            places = days
            labels = [words.day(self.day(place), weekday=False) for place in places]
        axis.set_ticks(places, labels)
        limit = axis.axes.set_xlim if axis is axis.axes.xaxis else axis.axes.set_ylim
        limit(first, last)


def days_between(first: int, last: int, room: int) -> list[int]:
    """Evenly spaced whole days of a range, at most ``room`` of them.

    Examples
    --------
    >>> days_between(3, 31, 5)
    [3, 10, 17, 24, 31]
    """
    step = next((step for step in _STEPS if (last - first) // step < room), _STEPS[-1])
    return list(range(first, last + 1, step))
