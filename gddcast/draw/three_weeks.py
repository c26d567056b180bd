"""The next three weeks as one line of days, a dot a past year, for paper: all in millimetres."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from gddcast import words
from gddcast.draw import INK, svg
from gddcast.draw.scales import DayScale
from gddcast.draw.year_dots import days_of, described, height, placed, svg_dots
from gddcast.outlook.dates import YearDot

_DAYS = 21
#: Width in ordinary and in big print; a browser makes it as wide as its column.
_ROOM = {False: 57.0, True: 185.6}
#: Size of words, with room for a browser that sets them a little narrower.
_WORDS = {False: 10.1 * 25.4 / 72, True: 16.1 * 25.4 / 72}
#: Distance of dots, the widest that keeps a stack of years below `_TALLEST`.
_PITCHES = (2.4, 1.3, 0.9)
_TALLEST = 15.0
_SIDE = 1.5  # kept free left and right, so that no dot is cut


@dataclass(frozen=True, slots=True)
class ThreeWeeks:
    """Where each day stands, the same for every line of one strip.

    Parameters
    ----------
    first, today : datetime.date
    large : bool
        Whether it is for big print.
    """

    first: dt.date
    today: dt.date
    large: bool = False

    @property
    def after(self) -> dt.date:
        """The first day that is not shown."""
        return self.first + dt.timedelta(days=_DAYS)

    def __contains__(self, day: dt.date | None) -> bool:
        return day is not None and self.first <= day < self.after

    @property
    def _scale(self) -> DayScale:
        return DayScale(self.first, self.after, _SIDE, _ROOM[self.large] - _SIDE)

    def middle(self, day: dt.date) -> float:
        """Middle of a day across the strip."""
        return self._scale(day) + self._scale.step / 2

    def head(self) -> svg.Svg:
        """Day and month under which each week begins, and where today stands."""
        size, room, tall = _WORDS[self.large], _ROOM[self.large], 1.3
        texts = []
        for week in range(3):
            monday = self.first + dt.timedelta(weeks=week)
            day = escape(words.short_day(monday))
            texts.append(f'<text x="{self._scale(monday):.2f}" y="{size:.2f}">{day}</text>')
        if self.today in self:
            x, tall = self.middle(self.today), 2.5
            end = "end" if x > room / 2 else "start"
            y = size * 2.2
            texts.append(f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{end}">today</text>')
        return svg.Svg(
            f'<svg viewBox="0 0 {room:g} {size * tall:.2f}" aria-hidden="true" '
            f'font-size="{size:.2f}">{"".join(texts)}</svg>'
        )

    def dots(self, years: Sequence[YearDot], label: str, name: str) -> svg.Svg:
        """One line of dots over its days, each day's years side by side and stacked.

        Parameters
        ----------
        years : sequence of YearDot
            All of them within the three weeks.
        label : str
            Which end of a range or bracket they are, if there are two.
        name : str
            What the drawing is called; no two of a page alike.
        """
        for pitch in _PITCHES:
            columns = max(1, int((self._scale.step + 0.2) / pitch))
            dots = placed(days_of(years), self.middle, pitch, columns=columns)
            if height(dots, pitch) <= _TALLEST:
                break
        base = height(dots, pitch) + 0.8
        fill = "#fff" if is_hollow(label) else INK
        strokes = [
            *self._weeks(base),
            svg_dots(dots, base - 0.15, pitch, radius=0.44 * pitch, fill=fill, outline=0.25),
            self._axis(base),
        ]
        title = f"{name} {label}".strip()
        said = described([(label, years)])
        return svg.picture(_ROOM[self.large], base + 1.6, title, said, strokes)

    def _weeks(self, tall: float) -> list[str]:
        """Lines that part the weeks, and today's."""
        mondays = (self._scale(self.first + dt.timedelta(weeks=week)) for week in (1, 2))
        parted = "".join(f"M{x:.2f} 0V{tall:.2f}" for x in mondays)
        strokes = [f'<path d="{parted}" stroke="#666" stroke-width="0.2"/>']
        if self.today in self:
            strokes.append(
                f'<path class="today" d="M{self.middle(self.today):.2f} 0V{tall:.2f}" '
                f'stroke="{INK}" stroke-width="0.35" stroke-dasharray="1.2 0.8"/>'
            )
        return strokes

    def _axis(self, y: float) -> str:
        scale = self._scale
        ticks = "".join(
            f"M{scale.left + scale.step * day:.2f} {y:.2f}v{1.4 if day % 7 == 0 else 0.8}"
            for day in range(_DAYS + 1)
        )
        line = f"M{scale.left} {y:.2f}H{scale.right:.2f}{ticks}"
        return f'<path d="{line}" fill="none" stroke="{INK}" stroke-width="0.25"/>'


def is_hollow(label: str) -> bool:
    """Whether dots of that end are drawn as rings."""
    return label == "at the earliest"
