"""Onset as dots, one a past year, each over its own day: doubt about a date is never a bar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.draw import BLUE, INK
from gddcast.outlook.dates import YearDot
from gddcast.scouting.windows import ScoutingWindow

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Of the pitch, dots may stand closer than that: less than the air between them.
_SLACK = 0.04


@dataclass(frozen=True, slots=True)
class Dot:
    """A dot's place: across, and on which level above the line of days."""

    day: dt.date
    x: float
    level: int
    year: str = ""


def placed(
    days: Iterable[tuple[dt.date, str]], across: Callable[[dt.date], float], pitch: float,
    *, columns: int = 1,
) -> list[Dot]:  # fmt: skip
    """Dots over their days, each on the lowest level where it touches no other.

    Parameters
    ----------
    days : iterable of (datetime.date, str)
        One a past year, with its name.
    across : callable
        From a day to the middle of its dots.
    pitch : float
        From dot to dot.
    columns : int, default: 1
        Dots of one day that stand side by side before they are stacked.

    Examples
    --------
    >>> june = [(dt.date(2026, 6, day), "") for day in (18, 20, 20, 21)]
    >>> [(dot.x, dot.level) for dot in placed(june, lambda day: day.day, 1.0)]
    [(18.0, 0), (20.0, 0), (20.0, 1), (21.0, 0)]
    """
    dots = []
    for day, same in groupby(sorted(days, key=lambda each: each[0]), key=lambda each: each[0]):
        years = [year for _, year in same]
        side = min(columns, len(years))
        for place, year in enumerate(years):
            x = across(day) + (place % side - (side - 1) / 2) * pitch
            dots.append((x, day, year))
    ends: list[float] = []  # rightmost dot of each level
    levelled = []
    for x, day, year in sorted(dots, key=lambda each: each[0]):
        fits = (level for level, end in enumerate(ends) if x - end >= pitch * (1 - _SLACK))
        level = next(fits, len(ends))
        ends[level : level + 1] = [x]
        levelled.append(Dot(day, float(x), level, year))
    return levelled


def days_of(dots: Iterable[YearDot]) -> list[tuple[dt.date, str]]:
    """What `placed` takes, of the years that reach the goal."""
    return [(dot.day, dot.season) for dot in dots if dot.day is not None]


def height(dots: Sequence[Dot], pitch: float) -> float:
    """Of the tallest stack."""
    return pitch * (1 + max(dot.level for dot in dots))


def svg_dots(
    dots: Sequence[Dot], floor: float, pitch: float, *, radius: float, fill: str = INK,
    titled: bool = True,
) -> str:  # fmt: skip
    """Dots stacked up from a floor; each says its year and day to a pointer where ``titled``."""
    circles = []
    for dot in dots:
        y = floor - pitch * (dot.level + 0.5)
        at = f'cx="{dot.x:.4g}" cy="{y:.4g}" r="{radius:.3g}"'
        title = escape(f"{dot.year}: {words.day(dot.day, weekday=False)}")
        circles.append(f"<circle {at}><title>{title}</title></circle>" if titled else
                       f"<circle {at}/>")  # fmt: skip
    return f'<g class="dots" fill="{fill}" stroke="{INK}" stroke-width="1">{"".join(circles)}</g>'


def draw_dots(ax: Axes, dots: Iterable[Dot], y: float, pitch: float, *, size: float) -> None:
    """Dots stacked up from a height of the axes; size and pitch are in points."""
    from matplotlib.transforms import ScaledTranslation

    for dot in dots:
        up = ScaledTranslation(0, dot.level * pitch / 72, ax.figure.dpi_scale_trans)
        ax.plot(
            dot.x, y, "o", ms=size, mfc=INK, mec="white", mew=0.6,
            transform=ax.transData + up, zorder=7, clip_on=False,
        )  # fmt: skip


def has_year_dots(window: ScoutingWindow) -> bool:
    """Whether a stage lies ahead and past years say when."""
    return not window.is_answered and window.late is not None and bool(window.late.days)


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


def read_aloud(days: Iterable[dt.date], years: int) -> str:
    """What a stack of dots shows at a glance: how many years, from when to when, their middle.

    A listener who wants each year finds it in a table: a list of dots hides what they show.

    Examples
    --------
    >>> june = [dt.date(2026, 6, day) for day in (18, 19, 19, 21)]
    >>> read_aloud(june, 5)
    '4 of 5 past years, any day 18–21 June, middle 19 June'
    >>> read_aloud(june[1:3], 2), read_aloud([], 5)
    ('2 past years, all on 19 June', 'not reached in 5 past years')
    """
    known = sorted(days)
    if not known:
        return f"not reached in {words.count(years, 'past year')}"
    many = words.count(years, "past year")
    if len(known) < years:
        many = words.of_past_years(len(known), years)
    first, middle, last = (words.day(known[at], weekday=False)
                           for at in (0, (len(known) - 1) // 2, -1))  # fmt: skip
    if first == last:
        return f"{many}, {'all ' if len(known) > 1 else ''}on {first}"
    return f"{many}, {words.any_day(known[0], known[-1])}, middle {middle}"


def described(rows: Sequence[tuple[str, Sequence[YearDot]]]) -> str:
    """The dots read aloud."""
    said = [
        f"{label}: {days}" if label else days
        for label, dots in rows
        if (days := read_aloud((day for day, _ in days_of(dots)), len(dots)))
    ]
    return ". ".join(map(words.capital, said))


def draw_year_dots(
    ax: Axes, days: Iterable[dt.date], *, today: dt.date | None = None, inner: int = 0
) -> Axes:
    """One dot a past year, stacked by day.

    Parameters
    ----------
    ax : matplotlib Axes
    days : iterable of date
        All in one season, whatever year they came from.
    today : date, optional
        Drawn as a line.
    inner : int, default: 0
        Dots left hollow at each end.
    """
    dots = placed([(day, "") for day in days], dt.date.toordinal, 1.0)
    for rank, dot in enumerate(dots):
        outer = rank < inner or rank >= len(dots) - inner
        ax.plot(dot.x, dot.level + 1, "o", ms=11, mec=INK, mfc="white" if outer else INK)
    tallest = height(dots, 1.0)
    first, last = dots[0].day.toordinal(), dots[-1].day.toordinal()
    begin = first
    if today is not None:
        begin = min(first, today.toordinal())
        ax.axvline(today.toordinal(), color=BLUE, ls="--", lw=1.4)
        ax.text(today.toordinal() + 0.3, tallest + 0.7, "today", color=BLUE)
    ticks = range(first, last + 1, (last - first) // 5 + 1)
    ax.set_xticks(ticks, [words.day(dt.date.fromordinal(t), weekday=False) for t in ticks])
    ax.set(yticks=[], ylim=(0.3, tallest + 1.2), xlim=(begin - 2, last + 2))
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax
