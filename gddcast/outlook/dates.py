"""Dates on which a goal may be reached: one dot a past year, spans, and the chance of it at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting, counting_wanted
from gddcast.heat.thermal_time import day_reached
from gddcast.outlook import spans
from gddcast.outlook.ensemble import FULL, Climate, Steps, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.member_times import Members, members_of
from gddcast.outlook.rough_date import (
    WORTH_NOTHING,
    RoughCourse,
    RoughDate,
    rough_course,
    rough_date,
)
from gddcast.outlook.season_so_far import OpenSpan, SoFar, known_on, so_far
from gddcast.weather.calendar_day import DateLike, date_of
from gddcast.weather.series import DailySeries, HasSeries, series_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]

#: Below so many past years there is too little to call a middle.
FEWEST = 5


@dataclass(frozen=True, slots=True)
class YearDot:
    """When the goal is reached if the rest of the season runs like one past season.

    ``day`` is None where it is not reached before the season ends; ``time`` is then +∞.
    """

    season: str
    day: dt.date | None
    time: float  # days from the start of the season's first day
    heat: float  # where that season's sum ends; NaN where later days are unknown. [°C·d]


@dataclass(frozen=True, slots=True)
class InnerSpan:
    """The middle of what past years make of a date, without its outermost tenths.

    Parameters
    ----------
    first, last : datetime.date
    share : float
        Of all dates they hold, both included: whole days hold a little more than what was left.
    total : int
        Past years.
    years : int or None
        How many of them fall within; None where each year has more than one date.
    """

    first: dt.date
    last: dt.date
    share: float
    total: int
    years: int | None = None


@dataclass(frozen=True, slots=True)
class Outlook:
    """What past years make of this season's heat so far.

    Parameters
    ----------
    goal : float
        Heat wanted. [°C·d]
    heat : float
        Sum through ``through``; NaN where an unknown day hides it. [°C·d]
    through : datetime.date
        Last day the weather is known.
    reached : datetime.date or None
        Day on which the goal was reached, when that has happened.
    dots : tuple of YearDot
        One for each usable past season, earliest first; not reached last. Empty once the goal
        is reached, and where an unknown day hides the answer.
    left_out : tuple of (str, str)
        Past seasons not used, and why.
    unknown : tuple of (date, date) or None
        First run of unknown days between start and today: dates that cross it can't be said.
    spans : dict of float to (date, date or None)
        Calibrated central spans: 0.5, 0.8, 0.9. Shown in ``why``, JSON and ``backtest`` only.
        A late end of None lies beyond the season. Absent once the goal is reached, and where
        even the early end lies beyond the season or nothing can be said.
    middle : datetime.date or None
        Day by which half of the seasons like this one have reached it.
    chance : float or None
        Share of them that reach it before the season ends.
    forecast_days : int
        Forecast days used.
    slope : float
        Warming the past seasons were shifted by. [°C a year]
    rough : RoughDate or None
        A rough date, where no past season can be asked.
    counted_from : datetime.date or None
        First day counted, where the record begins after the start and what came before it is
        worth less than a day.
    """

    goal: float
    heat: float
    through: dt.date
    reached: dt.date | None
    dots: tuple[YearDot, ...]
    left_out: tuple[tuple[str, str], ...] = ()
    unknown: tuple[dt.date, dt.date] | None = None
    spans: dict[float, OpenSpan] | None = None
    middle: dt.date | None = None
    chance: float | None = None
    forecast_days: int = 0
    slope: float = 0.0
    rough: RoughDate | None = None
    counted_from: dt.date | None = None

    def __repr__(self) -> str:
        if self.reached:
            said = f"reached {self.reached}"
        elif self.unknown:
            said = f"can’t say, {self.unknown[0]} to {self.unknown[1]} unknown"
        else:
            said = f"reached with {len(self.days)} of {len(self.dots)} past years’ weather"
            said += f", {self.days[0]} to {self.days[-1]}" if self.days else ""
        return f"<Outlook of {self.goal:.1f} °C·d, {self.heat:.1f} by {self.through}: {said}>"

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a past year: the day reached, NaT where it is not, and its sum."""
        import pandas as pd

        return pd.DataFrame(
            {
                "day": pd.to_datetime(pd.Series([dot.day for dot in self.dots])).to_numpy(),
                "sum": [dot.heat for dot in self.dots],
            },
            index=pd.Index([dot.season for dot in self.dots], name="season"),
        )

    @property
    def days(self) -> tuple[dt.date, ...]:
        """Days of the past seasons that reached the goal, earliest first."""
        return tuple(dot.day for dot in self.dots if dot.day is not None)

    @property
    def fastest(self) -> dt.date | None:
        """Earliest dot, or the day the goal was reached."""
        return self.reached or (self.days[0] if self.days else None)

    @property
    def slowest(self) -> dt.date | None:
        """Latest dot, or the day reached; None where any past season does not reach the goal."""
        if self.reached or not self.days or len(self.days) < len(self.dots):
            return self.reached
        return self.days[-1]

    @property
    def inner(self) -> InnerSpan | None:
        """From the first to the last of the inner dots, and how many of the dots that holds.

        None below five dots, or where the late end is not reached.
        """
        count = len(self.dots)
        if count < FEWEST:
            return None
        first, last = (self.dots[int(at)].day for at in spans.inner_places(count))
        if first is None or last is None:
            return None
        held = sum(dot.day is not None and first <= dot.day <= last for dot in self.dots)
        return InnerSpan(first, last, held / count, count, years=held)


def outlook_of(
    series: DailySeries | HasSeries,
    counting: Counting,
    goal: float,
    *,
    start: DateLike,
    today: DateLike | None = None,
    steps: Steps = FULL,
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
) -> Outlook:
    """When a heat sum may be reached: this season's heat, with past years' weather from here on.

    Parameters
    ----------
    series : DailySeries
        Past seasons and this one as far as it is known this morning; forecast days may follow.
    counting : Counting
        How heat is counted.
    goal : float
        Heat wanted. [°C·d]
    start : datetime.date
        First day counted; it says which season is meant. May lie ahead.
    today : datetime.date, optional
        Days from today on are not known yet. Default: the day after the record ends.
    steps : Steps, default: FULL
        What is done to past seasons before they continue this one.
    climate : Climate, optional
        What is usual at the place, worked out before for the same record and season.
    errors : ForecastErrors, optional
        How far this place's forecasts have been off. Default: the usual errors, widened.

    Returns
    -------
    Outlook
        One dot a past year, and the days they span.

    Raises
    ------
    ArgumentRefusal
        If what is given is no series of days, or no counting.

    Examples
    --------
    >>> from gddcast import Counting, demo_temperatures, patch_short
    >>> record = patch_short(demo_temperatures())
    >>> ahead = outlook_of(record, Counting(lower=10.0), 600.0, start="2026-01-01")
    >>> len(ahead.dots), ahead.fastest <= ahead.middle <= ahead.slowest
    (11, True)
    """
    (one,) = outlooks(
        series, counting_wanted(counting), [goal],
        start=start, today=today, steps=steps, climate=climate, errors=errors,
    )  # fmt: skip
    return one


def outlooks(
    series: DailySeries | HasSeries,
    counting: Counting,
    goals: Sequence[float],
    *,
    start: DateLike,
    today: DateLike | None = None,
    steps: Steps = FULL,
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
) -> tuple[Outlook, ...]:
    """When each of several goals may be reached; all else as in `outlook_of`.

    Examples
    --------
    >>> days = (dt.date(2026, 6, 1) - dt.date(2024, 1, 1)).days
    >>> series = DailySeries(dt.date(2024, 1, 1), [5.0] * days, [25.0] * days)
    >>> one = outlook_of(series, Counting(lower=5.0), 1600.0, start=dt.date(2026, 1, 1))
    >>> one.heat, one.through.isoformat(), [dot.season for dot in one.dots]
    (1510.0, '2026-05-31', ['2024', '2025'])
    """
    series = series_of(series)
    record = series if today is None else known_on(series, date_of(today))
    now = so_far(record, counting, date_of(start))
    before = _before_the_record(record, counting, now)
    counted_from = None
    if before is not None and before.worth_nothing:
        counted_from, start = before.first, before.first
        now = so_far(record, counting, before.first)
    wanted = np.asarray(goals, dtype=np.float64)
    times = day_reached(now.sums, wanted) if now.sums.size else np.full(wanted.shape, np.inf)
    outlooks = [
        Outlook(
            goal,
            now.heat,
            now.through,
            now.day(time),
            (),
            unknown=now.gap,
            counted_from=counted_from,
        )
        for goal, time in zip(wanted.tolist(), times, strict=True)
    ]
    ahead = np.flatnonzero(np.isinf(times))
    if ahead.size and now.gap is None and past_seasons(record, now.season):
        climate = climate or climate_of(record, now.season, steps=steps)
        members = members_of(climate, record, counting, now, errors)
        later = _continued(members, wanted[ahead])
        for place, one in zip(ahead, later, strict=True):
            outlooks[place] = replace(one, counted_from=counted_from)
    return _with_rough_dates(outlooks, record, counting, now, before)


@dataclass(frozen=True, slots=True)
class _Before:
    """What came between the start and a record that begins after it, by the rough course."""

    first: dt.date  # day the record begins
    heat: float  # [°C·d]
    days: float  # at the record's present pace

    @property
    def worth_nothing(self) -> bool:
        return self.days < WORTH_NOTHING


def _before_the_record(record: DailySeries, counting: Counting, now: SoFar) -> _Before | None:
    """None unless all that is unknown since the start came before the record's first day."""
    known = np.flatnonzero(record.known)
    if now.gap is None or now.gap[0] != now.start or not known.size:
        return None
    first = record.date(known[0])
    if now.gap[1] != first - dt.timedelta(days=1) or not record.known[known[0] : known[-1]].all():
        return None
    course = rough_course(record)
    if course is None:
        return None
    heat = float(np.median(course.heat(counting, now.start, (first - now.start).days).sum(-1)))
    pace = float(np.mean(counting.daily(record)[known[-1] - 6 : known[-1] + 1]))
    return _Before(first, heat, heat / pace if pace > 0.0 else np.inf if heat else 0.0)


def _with_rough_dates(
    outlooks: list[Outlook],
    record: DailySeries,
    counting: Counting,
    now: SoFar,
    before: _Before | None,
) -> tuple[Outlook, ...]:
    """Give those that no past season answers a rough date, where the days on record allow one."""
    silent = [each.reached is None and not each.dots for each in outlooks]
    hidden = now.gap is not None and before is None
    if hidden or not any(silent) or now.start > now.through:
        return tuple(outlooks)
    course: RoughCourse | None = rough_course(record)
    if course is None or course.last != now.through:
        return tuple(outlooks)
    heat, doubt = now.heat, 0.0
    if now.gap is not None and before is not None:
        heat = before.heat + so_far(record, counting, before.first).heat
        doubt = before.days / 2.0
    return tuple(
        replace(each, rough=rough_date(course, counting, each.goal - heat, doubt=doubt))
        if quiet
        else each
        for each, quiet in zip(outlooks, silent, strict=True)
    )


def _continued(members: Members, goals: Array) -> list[Outlook]:
    """Outlooks of goals that are still ahead."""
    climate, now = members.climate, members.now
    ends = now.heat + spans.unshifted(members.ahead.totals()[0])
    every = members.times(goals - now.heat)
    outlooks = []
    for goal, times, usable in zip(
        goals.tolist(), every, spans.telling(every, members.holes), strict=True
    ):
        dots, left_out = [], []
        for past, time, end, used in zip(
            climate.members, spans.unshifted(times).tolist(), ends.tolist(), usable, strict=True
        ):
            if used:
                dots.append(YearDot(past.name, now.day(time), time, end))
            else:
                left_out.append((past.name, members.why_not(past)))
        dots.sort(key=lambda dot: (dot.time, -dot.heat))
        one = Outlook(
            goal, now.heat, now.through, None, tuple(dots), tuple(left_out),
            forecast_days=members.forecast_days, slope=climate.slope,
        )  # fmt: skip
        outlooks.append(_with_spans(one, times[usable], now, climate) if dots else one)
    return outlooks


def _with_spans(one: Outlook, times: Array, now: SoFar, climate: Climate) -> Outlook:
    """Add the calibrated spans, the middle date and the chance of reaching the goal at all."""
    middle, *ends = spans.foretold(
        times, [0.5, *spans.EDGES],
        earliest=now.last + 1.0, needed=one.goal - one.heat,
        spread=climate.spread, steady=climate.steps.shrinkage, doubt=now.doubt * climate.spread,
    )  # fmt: skip
    known = times[~np.isnan(times)]
    return replace(
        one,
        spans=now.spans(ends) or None,
        middle=now.day(middle),
        chance=float(np.isfinite(known).mean()),
    )
