"""Whether a forecast can be of this place at all, held against its last days and its usual ones.

A forecast in another unit, of another place or with columns swapped is a row of numbers like any
other. Until past forecasts tell what this one is worth, only the place's own record can.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.limits import COLDEST_GARDEN, HOTTEST_GARDEN
from gddcast.outlook.ensemble import Climate, values_at
from gddcast.outlook.forecast import ForecastErrors, usual_errors
from gddcast.weather.series import DailySeries, Origin

Array = NDArray[np.float64]

# In standard deviations about the usual at that time of year: no day lies so far from it.
_ABSURD = 6.0
# In those of a daily mean: so far from what the last days lead to expect no first days lie; and
# so far few do.
_STRANGE, _UNLIKELY = 3.0, 2.0
_FIRST_DAYS = 3
# Forecasts held against what came, from which these say more than the first days do.
_VERIFIED = 3


@dataclass(frozen=True, slots=True, eq=False)
class GatedForecast:
    """A record with as much of its forecast as can be of the place.

    Parameters
    ----------
    series : DailySeries
        Forecast days left out are unknown; it ends before them where all are.
    extent : {"all", "some", "none"}
        How much of the forecast.
    struck : tuple of date
        Days left out because no day there is like them.
    off : float
        How much warmer its first days are than the last measured ones lead to expect; NaN where
        that cannot be said. [°C]
    doubted : bool
        Whether that is so much that it is trusted less, until some have been verified.
    """

    series: DailySeries
    extent: Literal["all", "some", "none"] = "all"
    struck: tuple[dt.date, ...] = ()
    off: float = np.nan
    doubted: bool = False

    def errors(self, learnt: ForecastErrors | None, spread: float) -> ForecastErrors | None:
        """Errors of the forecast; larger lasting ones where it is doubted and none is verified."""
        if not self.doubted or (learnt is not None and learnt.forecasts >= _VERIFIED):
            return learnt
        errors = learnt or usual_errors(spread)
        return replace(errors, bias_sd=max(errors.bias_sd, abs(self.off)))


def gated(series: DailySeries, climate: Climate | None) -> GatedForecast:
    """Leave out of the forecast behind a record what cannot be.

    Parameters
    ----------
    series : DailySeries
        Through its last known day, its forecast behind it.
    climate : Climate or None
        Past seasons of its place; None where there are none, and only the limits of air hold.
    """
    foretold = np.flatnonzero((series.origin == Origin.FORECAST) & series.known)
    if not foretold.size:
        return GatedForecast(series)
    low, high = series.tmin[foretold], series.tmax[foretold]
    bad = (low > high) | (low < COLDEST_GARDEN) | (high > HOTTEST_GARDEN)
    off = np.nan
    if climate is not None and np.isfinite(climate.spread):
        days = series.dates[foretold].astype(np.int64)
        anomaly = np.stack([low, high]) - climate.normals.on(days)
        bad |= (np.abs(anomaly) > _ABSURD * _usual_size(climate, series, foretold)).any(axis=0)
        off = _off(series, climate, foretold, anomaly)
    struck = foretold[bad]
    with np.errstate(invalid="ignore"):
        strange = climate is not None and abs(off) > _STRANGE * climate.spread
        doubted = climate is not None and abs(off) > _UNLIKELY * climate.spread
    if strange or 2 * struck.size > foretold.size:
        bare = series.between(series.first, series.date(int(foretold[0]) - 1))
        return GatedForecast(bare.without(Origin.FORECAST), "none", _dates(series, struck), off)
    return GatedForecast(
        _without(series, struck), "some" if struck.size else "all", _dates(series, struck), off,
        bool(doubted),
    )  # fmt: skip


def _usual_size(climate: Climate, series: DailySeries, days: NDArray[np.intp]) -> Array:
    """Standard deviation of minimum and maximum at that time of year, shape (2, 1). [°C]"""
    begin = series.index(climate.season.first)
    at = np.unique(np.clip(days - begin, 0, climate.season.days - 1))
    normal = climate.normals.on(np.datetime64(climate.season.first, "D").astype(int) + at)
    apart = climate.temperatures[..., at] - normal[:, None, None]
    size = np.sqrt(np.nanmean(apart**2, axis=(1, 2, 3)))
    return np.asarray(np.maximum(size, climate.spread / 2.0)[:, None])


def _off(
    series: DailySeries, climate: Climate, foretold: NDArray[np.intp], anomaly: Array
) -> float:
    """Mean departure of the first forecast days from what the last known days tell of them."""
    known = np.flatnonzero(series.known & (series.origin != Origin.FORECAST))
    first = foretold[:_FIRST_DAYS]
    if not known.size or first[-1] - known[-1] > climate.weights.shape[1]:
        return float("nan")
    at = climate.record.index(series.date(int(known[-1])))
    recent = np.nan_to_num(values_at(climate.recent, np.array(at)))  # (3, 2)
    told = climate.weights[:, first - known[-1] - 1]  # (2, days, 3)
    expected = np.einsum("edr,re->ed", told, recent)
    return float((anomaly[:, : first.size] - expected).mean())


def _without(series: DailySeries, days: NDArray[np.intp]) -> DailySeries:
    low, high, origin = series.tmin.copy(), series.tmax.copy(), series.origin.copy()
    low[days] = high[days] = np.nan
    origin[days] = Origin.UNKNOWN
    return replace(series, tmin=low, tmax=high, origin=origin)


def _dates(series: DailySeries, days: NDArray[np.intp]) -> tuple[dt.date, ...]:
    return tuple(series.date(int(day)) for day in days)
