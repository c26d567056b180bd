"""One line of days that many stages share: a dot a past year, the day to start looking, today.

Report and sheet draw with it: its weeks, or the months of a season, are the same for every row, and
so is the size of a dot.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from gddcast import words
from gddcast.draw import BLUE, GRID, INK, svg
from gddcast.draw.scales import WIDTH, DayScale
from gddcast.draw.year_dots import Dot, days_of, described, height, placed, svg_dots
from gddcast.outlook.dates import YearDot

#: The dots of a stage: one row, or one for each end of a printed range or of a bracket.
Rows = Sequence[tuple[str, Sequence[YearDot]]]

#: Distances of dots; the widest is taken that keeps every stack of years below `TALLEST`.
_PITCHES = (9.0, 7.0, 5.0, 3.6, 2.6)
TALLEST = 62.0
_SIDE = 8.0  # kept free left and right, so that no dot is cut
_WORDS = 13  # 12 px where the drawing is 340 px wide
_ROOM = 52.0  # of one label
_MARK = 9.0  # height of the day to start looking


@dataclass(frozen=True, slots=True)
class SharedAxis:
    """Where each day stands, the same for every row.

    Parameters
    ----------
    first, after : datetime.date
        Its first day, and the first that is not on it.
    today : datetime.date
    pitch : float
        From dot to dot.
    parted : {"weeks", "months"}
        By what it is divided.
    """

    first: dt.date
    after: dt.date
    today: dt.date
    pitch: float = _PITCHES[0]
    parted: Literal["weeks", "months"] = "weeks"

    @classmethod
    def of_weeks(
        cls, day: dt.date, weeks: int, today: dt.date, stages: Sequence[Rows],
        *, tallest: float = TALLEST,
    ) -> SharedAxis:  # fmt: skip
        """So many weeks from the Monday of a day on, no stack of dots taller than that."""
        monday = day - dt.timedelta(days=day.weekday())
        return cls(monday, monday + dt.timedelta(weeks=weeks), today)._for(stages, tallest)

    @classmethod
    def of_months(cls, today: dt.date, stages: Sequence[Rows]) -> SharedAxis:
        """From the month of today, or of the first dot, to that of the last one."""
        days = [day for rows in stages for _, dots in rows for day, _ in days_of(dots)]
        first, last = min([today, *days]).replace(day=1), max([today, *days])
        return cls(first, _next_month(last), today, parted="months")._for(stages, TALLEST)

    def _for(self, stages: Sequence[Rows], tallest: float) -> SharedAxis:
        """The same with the dots as large as the tallest stack allows."""
        for pitch in _PITCHES:
            axis = SharedAxis(self.first, self.after, self.today, pitch, self.parted)
            stacks = [axis._placed(dots) for rows in stages for _, dots in rows]
            if all(height(each, pitch) <= tallest for each in stacks if each):
                break
        return axis

    def __contains__(self, day: dt.date | None) -> bool:
        return day is not None and self.first <= day < self.after

    @property
    def _scale(self) -> DayScale:
        return DayScale(self.first, self.after, _SIDE, WIDTH - _SIDE)

    def middle(self, day: dt.date) -> float:
        """Middle of a day across the drawing."""
        return self._scale(day) + self._scale.step / 2

    def shows(self, rows: Rows) -> bool:
        """Whether any dot of a stage falls on it."""
        return any(dot.day in self for _, dots in rows for dot in dots)

    def parts(self) -> Iterator[dt.date]:
        """First days of its weeks or months."""
        day = self.first
        while day < self.after:
            yield day
            day = day + dt.timedelta(weeks=1) if self.parted == "weeks" else _next_month(day)

    def head(self) -> svg.Svg:
        """Its weeks or months by name, and where today stands."""
        texts, free = [], 0.0
        for day in self.parts():
            x = self._scale(day)
            if x >= free:
                name = words.short_day(day) if self.parted == "weeks" else words.month(day.month)
                name = name if self.parted == "weeks" else name[:3]
                texts.append(f'<text x="{x:.1f}" y="12">{svg.word(name)}</text>')
                free = x + (_ROOM if self.parted == "weeks" else _ROOM / 2)
        tall = 16.0
        if self.today in self:
            x, tall = self.middle(self.today), 31.0
            side = "end" if x > WIDTH / 2 else "start"
            at = x + 3 if side == "end" else x - 3
            texts.append(
                f'<text x="{at:.1f}" y="27" text-anchor="{side}" fill="{BLUE}">today</text>'
            )
        return svg.Svg(
            f'<svg class="axis" viewBox="0 0 {WIDTH} {tall:g}" aria-hidden="true" '
            f'font-family="sans-serif" font-size="{_WORDS}">{"".join(texts)}</svg>'
        )

    def row(self, rows: Rows, name: str, look_from: dt.date | None = None) -> svg.Svg:
        """One stage: its dots stacked over their days, those of the earliest end hollow.

        Parameters
        ----------
        rows : Rows
        name : str
            What the drawing is called; no two of a page alike.
        look_from : datetime.date, optional
            Marked by a triangle.
        """
        strokes, floor = [], 1.0
        for label, dots in rows:
            if stacked := self._placed(dots):
                floor += height(stacked, self.pitch) + 1.0
                strokes.append(self._dots(stacked, floor, hollow=is_hollow(label)))
        opens = look_from if look_from in self else None
        floor = max(floor, _MARK) + 1.0
        marks = [self._look_from(opens, floor)] if opens is not None else []
        said = [described(rows)]
        said += [f"Start looking {words.day(look_from, weekday=False)}"] if look_from else []
        return svg.picture(
            WIDTH, floor + 2.0, name, ". ".join(said),
            [*self._behind(floor), *marks, *strokes],
        )  # fmt: skip

    def outside(self, rows: Rows) -> str:
        """How many dots fall before or after it, in words; nothing where all are on it."""
        days = [day for _, dots in rows[-1:] for day, _ in days_of(dots)]
        before = sum(day < self.first for day in days)
        after = sum(day >= self.after for day in days)
        parts = [f"{before} before" if before else "", f"{after} after" if after else ""]
        return " and ".join(filter(None, parts))

    def _placed(self, dots: Sequence[YearDot]) -> list[Dot]:
        columns = max(1, int((self._scale.step + 0.2) / self.pitch))
        inside = [each for each in days_of(dots) if each[0] in self]
        return placed(inside, self.middle, self.pitch, columns=columns)

    def _dots(self, stacked: list[Dot], floor: float, *, hollow: bool) -> str:
        fill = "#FFFFFF" if hollow else INK
        return svg_dots(stacked, floor, self.pitch, radius=0.42 * self.pitch, fill=fill)

    def _behind(self, floor: float) -> Iterator[str]:
        """Lines that part weeks or months, the line of days, today."""
        parted = "".join(f"M{self._scale(day):.1f} 0V{floor:.1f}" for day in self.parts())
        yield f'<path class="grid" d="{parted}" fill="none" stroke="{GRID}"/>'
        line = f"M{_SIDE:g} {floor:.1f}H{WIDTH - _SIDE:g}"
        yield f'<path d="{line}" fill="none" stroke="{INK}"/>'
        if self.today in self:
            x = self.middle(self.today)
            d = f"M{x:.1f} 0V{floor:.1f}"
            yield f'<path class="today" d="{d}" fill="none" stroke="{BLUE}" stroke-width="2"/>'

    def _look_from(self, day: dt.date, floor: float) -> str:
        x = self.middle(day)
        d = f"M{x - 4.5:.1f} {floor - _MARK:.1f}h9l-4.5 {_MARK - 1:.1f}Z"
        return f'<path class="look-from" d="{d}" fill="{BLUE}"/>'


def is_hollow(label: str) -> bool:
    """Whether dots of that end are drawn as rings."""
    return label == "at the earliest"


def _next_month(day: dt.date) -> dt.date:
    return (day.replace(day=1) + dt.timedelta(days=31)).replace(day=1)
