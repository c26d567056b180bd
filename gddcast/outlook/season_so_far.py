"""A season as far as it is known: its heat, its gap, and the forecast days behind it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_index
from gddcast.outlook.ensemble import values_at
from gddcast.outlook.forecast import LONGEST
from gddcast.outlook.persistence import REACH
from gddcast.outlook.spans import SHARES
from gddcast.weather.gaps import filled_error
from gddcast.weather.series import DailySeries, Origin, Season, runs, season_of

Array = NDArray[np.float64]
#: First and last day; None for a last one that may never come.
OpenSpan = tuple[dt.date, dt.date | None]


def known_on(series: DailySeries, today: dt.date) -> DailySeries:
    """What was on record on the morning of ``today``, with the forecast days behind it."""
    here = min(max(series.index(today), 0), len(series))
    hidden = series.origin[here:] != Origin.FORECAST
    if hidden.all():
        return series.before(today)
    low, high = np.copy(series.tmin), np.copy(series.tmax)
    origin = np.copy(series.origin)
    low[here:][hidden] = high[here:][hidden] = np.nan
    origin[here:][hidden] = Origin.UNKNOWN
    return replace(series, tmin=low, tmax=high, origin=origin)


def record_on(series: DailySeries, today: dt.date) -> DailySeries:
    """Days before today through the last known one; nothing foretold or measured later is in it."""
    record = series.before(today).without(Origin.FORECAST)
    return record.between(record.first, record.last_known or record.date(-1))


@dataclass(frozen=True, slots=True)
class SoFar:
    """The season meant, as far as it is known.

    Parameters
    ----------
    season : Season
    start : datetime.date
        First day counted; may lie ahead.
    through : datetime.date
        Last day the weather is known.
    sums : ndarray, shape (days through the last known,)
        Running heat; NaN from the first unknown day. [°C·d]
    gap : (date, date) or None
        First run of unknown days.
    doubt : float, default: 0
        Standard deviation of the sum for each °C of the days' own: patched days have errors.
        [°C·d/°C]
    """

    season: Season
    start: dt.date
    through: dt.date
    sums: Array
    gap: tuple[dt.date, dt.date] | None
    doubt: float = 0.0

    @property
    def heat(self) -> float:
        """Sum through the last known day; NaN behind an unknown one. [°C·d]"""
        return float(self.sums[-1]) if self.sums.size else 0.0

    @property
    def begin(self) -> int:
        """First day counted, from the season's first."""
        return (self.start - self.season.first).days

    @property
    def last(self) -> int:
        """Last known day, counted from the season's first."""
        return (min(self.through, self.season.last) - self.season.first).days

    def day(self, time: float) -> dt.date | None:
        """Day of a time; None for one that never comes or can't be said."""
        if not np.isfinite(time):
            return None
        return max(self.season.first + dt.timedelta(days=int(day_index(time))), self.start)

    def spans(self, times: Iterable[float]) -> dict[float, OpenSpan]:
        """Days of each central span, by its share, from the times of `EDGES`."""
        days = [self.day(time) for time in times]
        ends = zip(SHARES, days[::2], days[1::2], strict=True)
        return {share: (first, last) for share, first, last in ends if first is not None}


def so_far(record: DailySeries, counting: Counting, start: dt.date) -> SoFar:
    """Count this season's heat from ``start`` through the last day that is not forecast."""
    season = season_of(start, record.place.season_begins)
    measured = record.known & (record.origin != Origin.FORECAST)
    known = np.flatnonzero(measured)
    through = record.date(known[-1]) if known.size else season.first - dt.timedelta(days=1)
    days = max((min(through, season.last) - season.first).days + 1, 0)
    here = record.index(season.first) + np.arange(days)
    low, high = (values_at(np.where(measured, each, np.nan), here) for each in _readings(record))
    daily = counting.heat(low, high) if days else np.zeros(0)
    before = max((start - season.first).days, 0)
    daily[:before] = 0.0
    patched = values_at((record.origin == Origin.PATCHED).astype(np.float64), here) == 1.0
    patched[:before] = False
    doubt = _doubt(counting, low, high, patched) if patched.any() else 0.0
    gap = first_run(np.isnan(daily), season)
    return SoFar(season, start, through, np.cumsum(daily), gap, doubt)


def _doubt(counting: Counting, low: Array, high: Array, patched: NDArray[np.bool_]) -> float:
    """Error of a sum by its patched days, for each °C by which a day differs from the usual."""
    # What a degree more on a day adds to its sum: nothing in the cold, one well above.
    steep = counting.heat(low + 0.5, high + 0.5) - counting.heat(low - 0.5, high - 0.5)
    sizes = [
        filled_error(end - first) * float(np.nanmean(steep[first:end]))
        for first, end in runs(patched)
    ]
    return float(np.sqrt(np.sum(np.square(sizes))))


def forecast_behind(record: DailySeries, through: dt.date) -> Array:
    """Minimum and maximum of the forecast days behind the last known one, the first ten of them.

    Returns
    -------
    ndarray, shape (2, days)
        From the day after ``through`` to the last foretold; NaN on days nobody spoke of, such as
        those between the record's end and today. [°C]
    """
    after = slice(record.index(through) + 1, record.index(through) + 1 + REACH)
    usable = (record.origin[after] == Origin.FORECAST) & record.known[after]
    usable &= np.cumsum(usable) <= LONGEST
    days = int(np.flatnonzero(usable)[-1]) + 1 if usable.any() else 0
    return np.stack([np.where(usable, each[after], np.nan)[:days] for each in _readings(record)])


def _readings(record: DailySeries) -> tuple[Array, Array]:
    return record.tmin, record.tmax


def first_run(unknown: NDArray[np.bool_], season: Season) -> tuple[dt.date, dt.date] | None:
    """First and last day of the first run of unknown days."""
    if not unknown.any():
        return None
    first = int(np.argmax(unknown))
    length = int(np.argmin(np.append(unknown[first:], False)))
    begin = season.first + dt.timedelta(days=first)
    return begin, begin + dt.timedelta(days=length - 1)
