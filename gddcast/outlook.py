"""Dates on which a goal may be reached: one dot a past year, spans, and the chance of it at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.counting import Counting
from gddcast.ensemble import past_seasons, same_days, taken
from gddcast.series import DailySeries, Origin, Season, season_of
from gddcast.thermal_time import day_index, day_reached

Array = NDArray[np.float64]


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
    """

    goal: float
    heat: float
    through: dt.date
    reached: dt.date | None
    dots: tuple[YearDot, ...]
    left_out: tuple[tuple[str, str], ...] = ()
    unknown: tuple[dt.date, dt.date] | None = None
    spans: dict[float, tuple[dt.date, dt.date | None]] | None = None

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
    def inner(self) -> tuple[dt.date, dt.date, int] | None:
        """First and last day of the inner dots, and how many of the dots they hold.

        ``max(1, N // 10)`` dots are dropped at each end. None below five dots, or where the
        late end is not reached.
        """
        count, dropped = len(self.dots), max(1, len(self.dots) // 10)
        if count < 5:
            return None
        first, last = self.dots[dropped].day, self.dots[count - 1 - dropped].day
        if first is None or last is None:
            return None
        held = sum(dot.day is not None and first <= dot.day <= last for dot in self.dots)
        return first, last, held


def outlook(
    series: DailySeries,
    counting: Counting,
    goal: float,
    *,
    start: dt.date,
    today: dt.date | None = None,
) -> Outlook:
    """Outlook of one goal; see `outlooks`."""
    return outlooks(series, counting, [goal], start=start, today=today)[0]


def outlooks(
    series: DailySeries,
    counting: Counting,
    goals: Sequence[float],
    *,
    start: dt.date,
    today: dt.date | None = None,
) -> tuple[Outlook, ...]:
    """When each goal may be reached, judged by how past seasons went on from here.

    Parameters
    ----------
    series : DailySeries
        Past seasons and this one as far as it is known this morning; forecast days may follow.
    counting : Counting
        How heat is counted.
    goals : sequence of float
        Heat wanted. [°C·d]
    start : datetime.date
        First day counted; it says which season is meant. May lie ahead.
    today : datetime.date, optional
        Days from today on are not known yet. Default: the day after the record ends.

    Returns
    -------
    tuple of Outlook, one a goal

    Examples
    --------
    >>> days = dt.date(2026, 6, 1) - dt.date(2024, 1, 1)
    >>> series = DailySeries(dt.date(2024, 1, 1), [5.0] * days.days, [25.0] * days.days)
    >>> one = outlook(series, Counting(lower=5.0), 1600.0, start=dt.date(2026, 1, 1))
    >>> one.heat, one.through.isoformat(), [dot.day.isoformat() for dot in one.dots]
    (1510.0, '2026-05-31', ['2026-06-09', '2026-06-09'])
    """
    season = season_of(start, series.place.season_begins)
    record = series if today is None else series.before(today)
    through = _last_known(record, season)
    heat = counting.daily(record)
    this = _season_so_far(record, heat, season, start, through)
    members = past_seasons(record, season)
    laid = [taken(heat, same_days(record, past, season)) for past in members]
    for daily in laid:
        daily[: (start - season.first).days] = 0.0
    return tuple(_one(goal, season, start, through, this, members, laid) for goal in goals)


def _last_known(series: DailySeries, season: Season) -> dt.date:
    """Last day whose weather is known and not forecast; the day before the season if none is."""
    known = np.flatnonzero(series.known & (series.origin != Origin.FORECAST))
    return series.date(known[-1]) if known.size else season.first - dt.timedelta(days=1)


def _season_so_far(
    series: DailySeries, heat: Array, season: Season, start: dt.date, through: dt.date
) -> Array:
    """Heat of each day of this season through ``through``: zero before ``start``."""
    days = (min(through, season.last) - season.first).days + 1
    daily = taken(heat, series.index(season.first) + np.arange(max(days, 0)))
    daily[: (start - season.first).days] = 0.0
    return daily


def _one(
    goal: float,
    season: Season,
    start: dt.date,
    through: dt.date,
    this: Array,
    members: Sequence[Season],
    laid: Sequence[Array],
) -> Outlook:
    sums = np.cumsum(this)
    heat = float(sums[-1]) if sums.size else 0.0
    gap = _first_run(np.isnan(this), season)
    time = _reached(sums, goal)
    if np.isfinite(time):
        return Outlook(goal, heat, through, max(_day(season, time), start), (), unknown=gap)
    if gap:
        return Outlook(goal, heat, through, None, (), unknown=gap)
    dots, left_out = [], []
    for past, daily in zip(members, laid, strict=True):
        sums = heat + np.cumsum(daily[this.size :])
        time = this.size + _reached(sums, goal)
        unknown = np.isnan(daily)
        if np.any(unknown & (np.arange(daily.size) < time)) or np.isnan(time):
            left_out.append((past.name, _why_not(unknown, past)))
            continue
        day = _day(season, time) if np.isfinite(time) else None
        dots.append(YearDot(past.name, day, time, float(sums[-1]) if sums.size else heat))
    dots.sort(key=lambda dot: (dot.time, -dot.heat))
    return Outlook(goal, heat, through, None, tuple(dots), tuple(left_out))


def _reached(sums: Array, goal: float) -> float:
    return float(day_reached(sums, goal)) if sums.size else np.inf


def _day(season: Season, time: float) -> dt.date:
    return season.first + dt.timedelta(days=int(day_index(time)))


def _first_run(unknown: NDArray[np.bool_], season: Season) -> tuple[dt.date, dt.date] | None:
    """First and last day of the first run of unknown days."""
    if not unknown.any():
        return None
    first = int(np.argmax(unknown))
    length = int(np.argmin(np.append(unknown[first:], False)))
    begin = season.first + dt.timedelta(days=first)
    return begin, begin + dt.timedelta(days=length - 1)


def _why_not(unknown: NDArray[np.bool_], past: Season) -> str:
    run = _first_run(unknown, past)
    if run is None:
        return "its days are not known"
    first, last = run
    if first == last:
        return f"{first.day} {first:%B} is unknown"
    return f"{first.day} {first:%B} to {last.day} {last:%B} are unknown"
