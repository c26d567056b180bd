"""One thermometer against another: how far apart by day and by night, sun, moved days, a loan.

Two thermometers are never averaged. Where they disagree the hotter one is usually at fault
(common practice, no source); an offset is added only when a person asks for it, to maxima and
minima each its own, because a hollow cools the nights and a wall warms the days.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.quality.consequence import PLAIN, FaultEffect, yardstick
from gddcast.quality.shifts import best_lag
from gddcast.weather.gaps import ENOUGH_IN_COMMON, on_days_of
from gddcast.weather.series import DailySeries, Origin
from gddcast.words import count

Array = NDArray[np.float64]

#: Warmth by day, over that by night, that speaks for sun on the sensor. [°C]
SUN_BY_DAY = 2.0
#: Night difference up to which the nights count as alike. [°C]
ALIKE_BY_NIGHT = 1.0
# How much less the difference may be under a clear sky before sun is ruled out. [°C]
_CLEAR_LESS = 1.0
# Lead of the best lag over the next before maxima are said to stand on other days.
_SURE_LAG = 0.2


@dataclass(frozen=True, slots=True)
class MonthApart:
    """Difference of two thermometers over one calendar month of all years."""

    month: int
    days: int
    tmax: float  # first less second. [°C]
    tmin: float  # [°C]


@dataclass(frozen=True, slots=True)
class DayApart:
    """Difference on one day: first less second. [°C]"""

    day: dt.date
    tmax: float
    tmin: float


@dataclass(frozen=True, slots=True)
class Siting:
    """Two records over the days both know. Differences are the first less the second.

    Parameters
    ----------
    days : int
        Days in common.
    first, last : datetime.date
        Between which they lie.
    tmax, tmin : float
        Mean difference. [°C]
    tmax_spread, tmin_spread : float
        Standard deviation of the daily difference. [°C]
    by_month : tuple of MonthApart
    worst : tuple of DayApart
        The days furthest apart, worst first.
    clear, dull : float
        Mean difference of the maxima on the clearest and on the dullest third of the days, told
        by the second record's daily range. [°C]
    lag : int
        Days by which the first books its maxima later than the second; 0 where they agree or
        nothing is sure.
    identical : bool
        Every day the same: one file under two names?
    effect : FaultEffect, optional
        What using the first instead of the second does to the next event: negative is earlier.
    """

    days: int
    first: dt.date
    last: dt.date
    tmax: float
    tmin: float
    tmax_spread: float
    tmin_spread: float
    by_month: tuple[MonthApart, ...]
    worst: tuple[DayApart, ...]
    clear: float
    dull: float
    lag: int
    identical: bool
    effect: FaultEffect | None

    @property
    def sun_on(self) -> str | None:
        """Which thermometer shows the sign of sun: ``"first"``, ``"second"`` or neither.

        The sign: warmer by day by 2 °C or more, alike by night within 1 °C, and no less so under
        a clear sky than under a dull one.
        """
        if self.lag or abs(self.tmin) > ALIKE_BY_NIGHT or abs(self.tmax - self.tmin) < SUN_BY_DAY:
            return None
        sign = 1.0 if self.tmax > 0 else -1.0
        if sign * self.tmax < SUN_BY_DAY or sign * (self.clear - self.dull) < -_CLEAR_LESS:
            return None
        return "first" if sign > 0 else "second"


def compare(first: DailySeries, second: DailySeries) -> Siting:
    """Hold two thermometers against each other.

    Parameters
    ----------
    first, second : DailySeries
        For instance the garden's thermometer and the station's.

    Raises
    ------
    Refusal
        If they share fewer than 30 days.
    """
    theirs = on_days_of(first, second)
    both = first.known & theirs.known
    days = int(np.count_nonzero(both))
    if days < ENOUGH_IN_COMMON:
        raise Refusal(
            f"{first.source} and {second.source} together",
            f"they share only {count(days, 'day')}",
            f"{ENOUGH_IN_COMMON} days in common are needed to tell two places apart.",
            "Give records that run side by side for longer.",
            slug="too-few-days-in-common",
        )
    high = np.where(both, first.tmax - theirs.tmax, np.nan)
    low = np.where(both, first.tmin - theirs.tmin, np.nan)
    at = np.flatnonzero(both)
    clear, dull = _by_sky(high[at], (theirs.tmax - theirs.tmin)[at])
    lag, lead = best_lag(first.tmax, theirs.tmax)
    return Siting(
        days=days,
        first=first.date(at[0]),
        last=first.date(at[-1]),
        tmax=float(high[at].mean()),
        tmin=float(low[at].mean()),
        tmax_spread=float(high[at].std()),
        tmin_spread=float(low[at].std()),
        by_month=_by_month(first, high, low, at),
        worst=_worst(first, high, low, at),
        clear=clear,
        dull=dull,
        lag=lag if lead >= _SURE_LAG else 0,
        identical=bool(np.all(high[at] == 0.0) and np.all(low[at] == 0.0)),
        effect=_effect(first, second, float(high[at].mean()), float(low[at].mean())),
    )


def offset_by(series: DailySeries, *, tmax: float, tmin: float) -> DailySeries:
    """The record with its own offset added to maxima and to minima: only when asked.

    Parameters
    ----------
    series : DailySeries
    tmax, tmin : float
        What to add. [°C]

    Returns
    -------
    DailySeries
        Every known day is marked patched: it was measured elsewhere. A night moved above its
        day becomes unknown.
    """
    low, high = series.tmin + tmin, series.tmax + tmax
    with np.errstate(invalid="ignore"):
        sane = low <= high
    return replace(
        series,
        tmin=np.where(sane, low, np.nan),
        tmax=np.where(sane, high, np.nan),
        origin=np.where(sane, np.int8(Origin.PATCHED), np.int8(Origin.UNKNOWN)),
    )


def _by_month(
    series: DailySeries, high: Array, low: Array, at: NDArray[np.intp]
) -> tuple[MonthApart, ...]:
    months = series.dates[at].astype("datetime64[M]").astype(int) % 12
    return tuple(
        MonthApart(
            int(month) + 1,
            int(np.count_nonzero(months == month)),
            float(high[at[months == month]].mean()),
            float(low[at[months == month]].mean()),
        )
        for month in np.unique(months)
    )


def _worst(
    series: DailySeries, high: Array, low: Array, at: NDArray[np.intp]
) -> tuple[DayApart, ...]:
    apart = np.maximum(np.abs(high[at]), np.abs(low[at]))
    order = np.argsort(-apart, kind="stable")[:3]
    return tuple(
        DayApart(series.date(each), float(high[each]), float(low[each])) for each in at[order]
    )


def _by_sky(apart: Array, ranges: Array) -> tuple[float, float]:
    """Mean difference on the third of the days with the widest range, and with the narrowest."""
    order = np.argsort(ranges, kind="stable")
    third = max(order.size // 3, 1)
    return float(apart[order[-third:]].mean()), float(apart[order[:third]].mean())


def _effect(first: DailySeries, second: DailySeries, high: float, low: float) -> FaultEffect | None:
    """Mean, over the seasons, of what the first place's heat does to the second's dates.

    The longer record is moved by the mean differences and held against itself, so that whole
    seasons stand on either side: the question is the offset, not the luck of the days in common.
    """
    longer, sign = (second, 1.0) if second.known.sum() >= first.known.sum() else (first, -1.0)
    measure = yardstick(longer)
    warmest = longer.tmax + sign * high
    moved = PLAIN.heat(np.minimum(longer.tmin + sign * low, warmest), warmest)
    counted = np.where(np.isnan(moved), measure.heat, moved)
    effect = measure.mean_effect(longer.seasons(), counted)
    return effect and replace(effect, days=sign * effect.days)
