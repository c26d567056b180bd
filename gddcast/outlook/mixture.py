"""Dates of a sum that may be any of a printed range, or run from any day of a bracket.

Neither end alone is a date. Past years' weather, the range and the bracket are mixed: every sum of
the range and every first day of the bracket is held as likely as the others (an even spread is
what a printed range and two looks leave; our own rule), with the weather of every past year alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_index, day_reached
from gddcast.outlook import spans
from gddcast.outlook.dates import FEWEST, InnerSpan
from gddcast.outlook.ensemble import FULL, Climate, Steps, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.member_times import Members, members_of
from gddcast.outlook.season_so_far import OpenSpan, SoFar, known_on, so_far
from gddcast.weather.calendar_day import DateLike, date_of
from gddcast.weather.series import DailySeries, HasSeries, series_of

Array = NDArray[np.float64]
Part = Literal["range", "bracket"]

# Sums of the range that are tried; of them and the days of the bracket, evenly many are bisected.
_SUMS = 16
_TRIED = 32
# Levels at which the calibrated dates of each of those are read before they are mixed.
_LEVELS = (np.arange(100) + 0.5) / 100


@dataclass(frozen=True, slots=True)
class Mixture:
    """What past years, a range and a bracket together make of a date.

    Parameters
    ----------
    inner : InnerSpan or None
        Without as much at each end as the outermost of the past years are; None below five of
        them, and where the late end is not reached this season.
    never : float
        Share that is not reached before the season ends.
    spans : dict of float to (date, date or None)
        Calibrated central spans, as those of an `Outlook`.
    of : tuple of {"range", "bracket"}
        What is left open besides the weather.
    """

    inner: InnerSpan | None
    never: float
    spans: dict[float, OpenSpan]
    of: tuple[Part, ...]


def mixture(
    series: DailySeries | HasSeries,
    counting: Counting,
    goal: tuple[float, float],
    start: tuple[DateLike, DateLike],
    *,
    today: DateLike | None = None,
    steps: Steps = FULL,
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
) -> Mixture | None:
    """Mix past years' weather with a range of sums and a bracket of first days.

    Parameters
    ----------
    series, counting, today, steps, climate, errors
        As for `outlooks`.
    goal : (float, float)
        Least and most heat wanted. [°C·d]
    start : (datetime.date, datetime.date)
        Earliest and latest first day counted.

    Returns
    -------
    Mixture or None
        None once all of it is reached, and where an unknown day or the lack of past seasons hides
        the answer.

    Examples
    --------
    Two past years alike, ten degree-days a day: a range of 40 takes four days, 10–14 June; the
    middle half of it two.

    >>> import datetime as dt
    >>> days = (dt.date(2026, 6, 1) - dt.date(2024, 1, 1)).days
    >>> series = DailySeries(dt.date(2024, 1, 1), [5.0] * days, [25.0] * days)
    >>> first = dt.date(2026, 1, 1)
    >>> plain = Steps(False, False, False, False, False)
    >>> mixed = mixture(series, Counting(lower=5.0), (1605.0, 1645.0), (first, first), steps=plain)
    >>> [day.isoformat() for day in mixed.spans[0.5]]
    ['2026-06-11', '2026-06-13']
    """
    series = series_of(series)
    record = series if today is None else known_on(series, date_of(today))
    first, last = (date_of(each) for each in start)
    now = so_far(record, counting, first)
    if now.gap is not None or not past_seasons(record, now.season):
        return None
    climate = climate or climate_of(record, now.season, steps=steps)
    members = members_of(climate, record, counting, now, errors)
    wanted = _wanted(members, goal, (last - first).days)
    times = np.moveaxis(np.broadcast_to(_known(now, wanted), wanted.shape), -1, 0)
    if np.isfinite(times).all():
        return None
    times = np.where(
        np.isfinite(times), times, members.times(np.moveaxis(wanted, -1, 0) - now.heat)
    )
    used = spans.telling(times, members.holes).all(axis=0)
    if not used.any():
        return None
    times, wanted = times[:, used], wanted[used]
    own = spans.unshifted(times)
    left_open: tuple[tuple[Part, bool], ...] = (
        ("range", goal[0] != goal[1]), ("bracket", first != last),
    )  # fmt: skip
    return Mixture(
        _inner(own, now), float(np.isinf(own).mean()), _spans(times, wanted, now, climate),
        tuple(part for part, is_open in left_open if is_open),
    )  # fmt: skip


def _wanted(members: Members, goal: tuple[float, float], days: int) -> Array:
    """Heat from the earliest day to the event, evenly over range and bracket.

    A sum from a later day is one from the earliest, and the heat between them more.

    Returns
    -------
    ndarray, shape (Y, shifts, tried)
        Ascending; members differ where the bracket ends behind the last known day. [°C·d]
    """
    now, ahead = members.now, members.ahead.early[0]
    passed = np.zeros((*ahead.shape[:2], days + 1))
    # On the morning of each first day, what was counted since the earliest.
    at = max(now.begin, 0) - 1 + np.arange(1, days + 1)
    known = at < now.sums.size
    if known.any():
        passed[..., 1:][..., known] = now.sums[at[known]]
    if not known.all():
        behind = np.clip(at[~known] - now.last - 1, 0, ahead.shape[-1] - 1)
        passed[..., 1:][..., ~known] = now.heat + ahead[..., behind]
    low, high = goal
    sums = low + (high - low) * ((np.arange(_SUMS) + 0.5) / _SUMS if high > low else np.zeros(1))
    every = np.sort((passed[..., None] + sums).reshape(*passed.shape[:2], -1), axis=-1)
    tried = min(_TRIED, every.shape[-1])
    places = (np.arange(tried) + 0.5) / tried * every.shape[-1]
    return every[..., places.astype(np.intp)]


def _known(now: SoFar, wanted: Array) -> Array:
    """Times of what has been reached; the same for all members, +∞ for the rest."""
    if not now.sums.size:
        return np.full(wanted.shape[-1], np.inf)
    # What is not reached differs from member to member, and is above the heat so far in all.
    return np.asarray(day_reached(now.sums, wanted[0, 0]))


def _inner(year_days: Array, now: SoFar) -> InnerSpan | None:
    """The middle of the dates of the years themselves, shape (tried, years)."""
    tried, years = year_days.shape
    if years < FEWEST:
        return None
    ordered, left_out = np.sort(year_days, axis=None), int(spans.inner_places(years)[0]) * tried
    first, last = now.day(ordered[left_out]), now.day(ordered[-1 - left_out])
    if first is None or last is None:
        return None
    days = day_index(year_days[np.isfinite(year_days)])
    low, high = ((each - now.season.first).days for each in (first, last))
    held = int(np.count_nonzero((days >= low) & (days <= high)))
    return InnerSpan(first, last, held / year_days.size, years)


def _spans(times: Array, wanted: Array, now: SoFar, climate: Climate) -> dict[float, OpenSpan]:
    """Central spans of the calibrated dates of all that was tried, mixed."""
    behind = now.last + 1.0
    read = spans.foretold(
        times, _LEVELS, earliest=behind, needed=spans.unshifted(wanted.swapaxes(1, 2)).mean(axis=0)
        - now.heat, spread=climate.spread, steady=climate.steps.shrinkage,
        doubt=now.doubt * climate.spread,
    )  # fmt: skip
    reached = np.isfinite(times[:, 0, 0]) & (wanted[0, 0] <= now.heat)
    read[reached] = times[reached, 0, 0, None]
    return now.spans(spans.quantile(read.ravel(), spans.EDGES, years=read.size))
