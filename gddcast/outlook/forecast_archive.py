"""Forecasts kept as they were issued: which one holds on a morning, and how far past ones were off.

A forecast is no reading. It stands behind the record until its day has come, and beside what was
measured then for ever, so that a place learns what its own forecasts are worth.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.outlook.forecast import (
    LONGEST,
    ForecastErrors,
    StrangeForecasts,
    learnt_errors,
    usual_errors,
)
from gddcast.outlook.persistence import REACH
from gddcast.weather.series import DailySeries, Origin

Array = NDArray[np.float64]
Days = NDArray[np.datetime64]
Mask = NDArray[np.bool_]

# No forecast of a place is off so far on the mean of its days, in standard deviations of a daily
# mean and of a lasting error together: another unit or another place is (our own choice).
_STRANGE = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class ForecastArchive:
    """Every day foretold, one row each, in the order of writing.

    Parameters
    ----------
    issued, day : ndarray of datetime64[D], shape (rows,)
        Day a forecast was issued, and the day it speaks of: never an earlier one.
    tmin, tmax : ndarray, shape (rows,)
        What it said. [°C]

    Examples
    --------
    >>> kept = ForecastArchive.of([("2026-06-11", "2026-06-11", 15.0, 27.0)])
    >>> len(kept), kept.lead.tolist()
    (1, [0])
    """

    issued: Days
    day: Days
    tmin: Array
    tmax: Array

    @classmethod
    def of(cls, rows: list[tuple[str, str, float, float]]) -> ForecastArchive:
        """An archive of rows: issued, day, minimum, maximum."""
        issued, day, low, high = zip(*rows, strict=True) if rows else ((), (), (), ())
        return cls(
            np.array(issued, dtype="datetime64[D]"), np.array(day, dtype="datetime64[D]"),
            np.array(low, dtype=np.float64), np.array(high, dtype=np.float64),
        )  # fmt: skip

    def as_rows(self) -> list[tuple[str, str, float, float]]:
        """Back to rows."""
        days = (self.issued.astype(str).tolist(), self.day.astype(str).tolist())
        return list(zip(*days, self.tmin.tolist(), self.tmax.tolist(), strict=True))

    def __len__(self) -> int:
        return int(self.day.size)

    @property
    def lead(self) -> NDArray[np.int64]:
        """Days from its issue to the day each row speaks of; 0 is the day of issue."""
        return (self.day - self.issued).astype(np.int64)

    def rows(self, chosen: Mask | NDArray[np.intp]) -> ForecastArchive:
        """Some of the rows."""
        return ForecastArchive(
            self.issued[chosen], self.day[chosen], self.tmin[chosen], self.tmax[chosen]
        )

    def newest(self, today: dt.date) -> dt.date | None:
        """Day of the last issue up to ``today``; None without any."""
        issued = self.issued[self.issued <= np.datetime64(today, "D")]
        return None if not issued.size else issued.max().item()

    def holding(self, today: dt.date) -> ForecastArchive:
        """What holds on the morning of ``today``: of each day to come, the newest word.

        Days ten and more from their issue are left out: past years say as much of them.
        """
        morning = np.datetime64(today, "D")
        usable = np.flatnonzero(
            (self.issued <= morning) & (self.day >= morning) & (self.lead < LONGEST)
        )
        # Of two issued on one day, the one written later; the last in the order wins.
        order = usable[np.argsort(self.issued[usable], kind="stable")]
        last = {day: row for row, day in zip(order.tolist(), self.day[order].tolist(), strict=True)}
        return self.rows(np.array([last[day] for day in sorted(last)], dtype=np.intp))


def with_forecasts(
    series: DailySeries, forecasts: ForecastArchive | None, today: dt.date
) -> DailySeries:
    """The record with the forecast that held on the morning of ``today`` behind it.

    Days from today on that the record already holds as forecast stay as they are.
    """
    if forecasts is None:
        return series
    holding = forecasts.holding(today)
    at = (holding.day - np.datetime64(series.first, "D")).astype(np.int64)
    there = np.append(series.origin, Origin.UNKNOWN)[np.minimum(at, len(series))]
    return _with(series, holding.rows((at >= 0) & (there != Origin.FORECAST)))


def with_forecasts_of(record: DailySeries, series: DailySeries) -> DailySeries:
    """A record that was cut off and worked on, with the forecast it came with behind it again."""
    foretold = (series.origin == Origin.FORECAST) & series.known
    foretold &= series.dates > np.datetime64(record.last, "D")
    day = series.dates[foretold]
    return _with(record, ForecastArchive(day, day, series.tmin[foretold], series.tmax[foretold]))


def _with(series: DailySeries, days: ForecastArchive) -> DailySeries:
    """A series with days of forecast in their places; the days between are unknown."""
    if not len(days):
        return series
    at = (days.day - np.datetime64(series.first, "D")).astype(np.int64)
    more = max(int(at.max()) + 1 - len(series), 0)
    low, high = (
        np.concatenate([each, np.full(more, np.nan)]) for each in (series.tmin, series.tmax)
    )
    origin = np.concatenate([series.origin, np.full(more, Origin.UNKNOWN, np.int8)])
    low[at], high[at], origin[at] = days.tmin, days.tmax, Origin.FORECAST
    return replace(series, tmin=low, tmax=high, origin=origin)


def errors_on(
    forecasts: ForecastArchive | None, record: DailySeries, today: dt.date, spread: float
) -> ForecastErrors | None:
    """Errors of the forecast behind a record, as far as past ones tell them.

    Parameters
    ----------
    forecasts : ForecastArchive or None
    record : DailySeries
        Through its last known day. Its measured days are what forecasts are held against: days
        patched or taken from a model would flatter them.
    today : datetime.date
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]

    Returns
    -------
    ForecastErrors or None
        For the first, second … day behind the record, whatever the age of the forecast; None
        where no forecast is on record.
    """
    if forecasts is None or not len(forecasts):
        return None
    issued, said, came = compared(forecasts, record, today)
    off = (said - came).mean(axis=0)
    known = ~np.isnan(off)
    mean = np.where(known, off, 0.0).sum(axis=-1) / np.maximum(known.sum(axis=-1), 1)
    strange = np.abs(mean) > _STRANGE * np.hypot(spread, usual_errors(spread).bias_sd)
    errors = learnt_errors(said[:, ~strange], came[:, ~strange], spread)
    if strange.any():
        these = strange[:, None] & known
        errors = replace(errors, strange=StrangeForecasts(
            tuple(issued[strange].tolist()),
            float(said[:, these].mean()), float(came[:, these].mean()),
        ))  # fmt: skip
    holding = forecasts.holding(today)
    behind = np.datetime64(record.last, "D") + 1
    # Where nobody spoke, as if it had been said this morning.
    ages = np.maximum(np.arange(REACH) + (behind - np.datetime64(today, "D")).astype(int), 0)
    at = (holding.day - behind).astype(np.int64)
    ages[at[at < REACH]] = holding.lead[at < REACH]
    return errors.at(ages)


def compared(
    forecasts: ForecastArchive, record: DailySeries, today: dt.date
) -> tuple[Days, Array, Array]:
    """Minima and maxima foretold and measured, one row an issue, one column a day ahead.

    Returns
    -------
    issued : ndarray of datetime64[D], shape (issues,)
    said, came : ndarray, shape (2, issues, LONGEST)
        NaN where nothing was said, or the day was not measured before ``today``. [°C]
    """
    past = record.before(today)
    forecast_archive = forecasts.rows(
        (forecasts.lead < LONGEST) & (forecasts.issued < np.datetime64(today))
    )
    issues, row = np.unique(forecast_archive.issued, return_inverse=True)
    said = np.full((2, issues.size, LONGEST), np.nan)
    said[:, row, forecast_archive.lead] = forecast_archive.tmin, forecast_archive.tmax
    measured = np.where(past.origin == Origin.MEASURED, [past.tmin, past.tmax], np.nan)
    at = (issues - np.datetime64(past.first, "D")).astype(np.int64)[:, None] + np.arange(LONGEST)
    held = (at >= 0) & (at < len(past))
    came = np.full(said.shape, np.nan)
    came[:, held] = measured[:, at[held]]
    return issues, said, came
