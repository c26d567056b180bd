"""Past seasons of a place, laid on this season's calendar: what the days to come may be.

Each past season gives one possible rest of this one. Its departures from normal are kept, the
normal they depart from is this season's own; the first days are bent towards the weather of the
last ones. Every such step can be switched off, so that a backtest can show what it is worth.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook import persistence
from gddcast.outlook.spans import ENOUGH
from gddcast.weather.normals import (
    Normals,
    normals_along,
    usual_warming,
    warming,
    waves,
    yearly_means,
)
from gddcast.weather.series import DailySeries, Origin, Season

Array = NDArray[np.float64]
Days = NDArray[np.intp]

_EPOCH = dt.date(1970, 1, 1)

# Weather up to three weeks earlier or later could as well have come now. Where years are few,
# seven shifts steady the centre of what is issued; from `spans.ENOUGH` years on three do as well.
# Chosen with all seven records of the skill table in view, and three more.
_SHIFTS, _FEWER_SHIFTS = (-21, -14, -7, 0, 7, 14, 21), (-14, 0, 14)

# Below this many past seasons their own persistence is too uncertain to be used.
_YEARS_TO_FIT = 5


@dataclass(frozen=True, slots=True)
class Steps:
    """What is done to past seasons before they continue this one.

    Parameters
    ----------
    trend : bool
        Shift each by the warming between its year and this one.
    window : bool
        Let each season's weather come one, two or three weeks earlier or later as well; two only,
        from 15 past seasons on.
    persistence : bool
        Bend the first 45 days towards the anomalies of the last day, week and month.
    forecast : bool
        Use the forecast days that follow the record.
    shrinkage : bool
        Below 15 past seasons, steady the spans with what their width usually is.
    """

    trend: bool = True
    window: bool = True
    persistence: bool = True
    forecast: bool = True
    shrinkage: bool = True


#: Everything that has been shown to help.
FULL = Steps()
#: Past seasons as they were, day for day.
PLAIN_GRAFT = Steps(False, False, False, False, False)


def past_seasons(series: DailySeries, season: Season) -> tuple[Season, ...]:
    """Seasons of the record that ended before ``season`` began, oldest first."""
    return tuple(past for past in series.seasons() if past.last < season.first)


def leap_day(season: Season) -> int | None:
    """Position of 29 February in a season, where it has one."""
    for year in {season.first.year, season.last.year}:
        if year % 4 == 0 and (year % 100 != 0 or year % 400 == 0):
            position = (dt.date(year, 2, 29) - season.first).days
            if 0 <= position < season.days:
                return position
    return None


def same_days(series: DailySeries, past: Season, season: Season) -> Days:
    """Where the series holds, for each day of ``season``, the same month and day of ``past``.

    29 February takes the 28th of a common year, and a leap year's own is skipped by one.
    """
    positions = series.index(past.first) + np.arange(season.days)
    theirs, ours = leap_day(past), leap_day(season)
    if ours is not None and theirs is None:
        positions[ours:] -= 1
    elif theirs is not None and ours is None:
        positions[theirs:] += 1
    return positions


def values_at(values: Array, positions: Days) -> Array:
    """Values of the last axis at positions; NaN where the record does not reach."""
    size = values.shape[-1]
    if size == 0:
        return np.full((*values.shape[:-1], *positions.shape), np.nan)
    found = values.take(positions, axis=-1, mode="clip")
    found[..., (positions < 0) | (positions >= size)] = np.nan
    return found


@dataclass(frozen=True, slots=True, eq=False)
class Climate:
    """Past seasons of a record, ready to continue one season of it from any of its days.

    Made by `climate_of`, once for a record and a season; serves every counting and every goal.

    Parameters
    ----------
    record : DailySeries
    season : Season
        The one to be continued, D days.
    members : tuple of Season
        Past seasons, Y of them.
    steps : Steps
    positions : ndarray, shape (Y, shifts, D)
        Day of the record that each member lays on each day of the season.
    measured : ndarray, shape (2, Y, D)
        Minimum and maximum of their own days; NaN where unknown. [°C]
    temperatures : ndarray, shape (2, Y, shifts, D)
        Minimum and maximum of the members. [°C]
    normals : Normals
        Usual minimum and maximum, at this season's place in the trend.
    anomalies : ndarray, shape (2, days of the record)
        Departures from them, each day at its own place in the trend. [°C]
    recent : ndarray, shape (3, 2, days of the record)
        Mean anomalies of the last day, week and month. [°C]
    weights : ndarray, shape (2, REACH, 3)
        What `recent` tells of the days ahead.
    slope : float
        Warming used. [°C a year]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    """

    record: DailySeries
    season: Season
    members: tuple[Season, ...]
    steps: Steps
    positions: Days
    measured: Array
    temperatures: Array
    normals: Normals
    anomalies: Array
    recent: Array
    weights: Array
    slope: float
    spread: float
    _sums: dict[tuple[Counting, int], Array] = field(default_factory=dict, repr=False)

    def sums(self, counting: Counting, start: int = 0) -> Array:
        """Running heat of each member from the season's day ``start``. [°C·d]

        Returns
        -------
        ndarray, shape (Y, shifts, D)
        """
        if (counting, start) not in self._sums:
            heat = counting.heat(*self.temperatures)
            heat[..., :start] = 0.0
            self._sums[counting, start] = np.cumsum(heat, axis=-1)
        return self._sums[counting, start]

    def forget_sums(self) -> None:
        """Free what `sums` has kept: a backtest counts in dozens of ways, and each only once."""
        self._sums.clear()

    def unknown(self, start: int = 0) -> NDArray[np.bool_]:
        """Days of each member, on this season's calendar, that are unknown from ``start`` on.

        Returns
        -------
        ndarray of bool, shape (Y, D)
        """
        holes = np.asarray(np.isnan(self.measured).any(axis=0))
        holes[:, : max(start, 0)] = False
        return holes

    def first_unknown(self, start: int = 0) -> Array:
        """First such day of each member; +∞ where it has none. Shape (Y,)."""
        holes = self.unknown(start)
        return np.where(holes.any(axis=-1), holes.argmax(axis=-1), np.inf)


def climate_of(
    record: DailySeries,
    season: Season,
    *,
    steps: Steps = FULL,
    members: Sequence[Season] | None = None,
) -> Climate:
    """Lay past seasons of a record on the calendar of ``season``.

    Parameters
    ----------
    record : DailySeries
    season : Season
    steps : Steps, default: FULL
    members : sequence of Season, optional
        Seasons to learn from. Default: those that ended before ``season`` began.
    """
    chosen = past_seasons(record, season) if members is None else tuple(members)
    measured = record.origin != Origin.FORECAST
    readings = np.where(measured, np.stack([record.tmin, record.tmax]), np.nan)
    numbers = _season_numbers(record)
    learnt = np.isin(numbers, [each.first.year for each in chosen]) & measured
    days = _day_number(record.first) + np.arange(len(record))
    basis = waves(days)
    of_learnt = basis[learnt]
    rough = readings - normals_along(of_learnt, readings[:, learnt]).along(basis)
    place = record.place
    usual = usual_warming(season.first.year, place.latitude, place.longitude)
    slope = warming(*yearly_means(rough[:, learnt].mean(axis=0), numbers[learnt]), usual)
    if not steps.trend:
        slope = 0.0
    shifted = readings + slope * (season.first.year - numbers)
    normals = normals_along(of_learnt, shifted[:, learnt])
    anomalies = shifted - normals.along(basis)
    if steps.persistence:
        recent = persistence.recent(anomalies)
        weights = _weights(recent, anomalies, learnt, len(chosen))
    else:
        recent, weights = np.zeros((3, 2, len(record))), np.zeros((2, persistence.REACH, 3))
    shifts = _FEWER_SHIFTS if len(chosen) >= ENOUGH else _SHIFTS
    positions = _positions(record, chosen, season, shifts if steps.window else (0,))
    laid = values_at(anomalies if steps.window else shifted, positions)
    if steps.window:
        laid += normals.on(_day_number(season.first) + np.arange(season.days))[:, None, None]
    # A minimum and maximum from different normals may cross on a day that hardly had a range.
    np.maximum(laid[1], laid[0], out=laid[1])
    return Climate(
        record, season, chosen, steps, positions, values_at(readings, _unshifted(positions)),
        laid, normals, anomalies, recent,
        weights=weights,
        slope=slope,
        spread=float(np.nanstd(anomalies[:, learnt].mean(axis=0))) if learnt.any() else np.nan,
    )  # fmt: skip


def _day_number(day: dt.date) -> int:
    return (day - _EPOCH).days


def _season_numbers(record: DailySeries) -> NDArray[np.int64]:
    """Year in which each day's season began."""
    numbers = np.empty(len(record), dtype=np.int64)
    for season in record.seasons():
        numbers[max(record.index(season.first), 0) : record.index(season.last) + 1] = (
            season.first.year
        )
    return numbers


def _positions(
    record: DailySeries, members: Sequence[Season], season: Season, shifts: Sequence[int]
) -> Days:
    """Day of the record each member lays on each day, turned back at its season's own ends."""
    found = np.empty((len(members), len(shifts), season.days), dtype=np.intp)
    for row, past in zip(found, members, strict=True):
        first, last = record.index(past.first), record.index(past.last)
        moved = same_days(record, past, season) + np.array(shifts)[:, None]
        # Never the first days of the next season: they may be the very ones to be foretold.
        row[:] = last - np.abs(last - (first + np.abs(moved - first)))
    return found


def _unshifted(positions: Days) -> Days:
    """Days of the middle one of the shifts: the season's own."""
    return positions[:, positions.shape[1] // 2]


def _weights(recent: Array, anomalies: Array, learnt: NDArray[np.bool_], years: int) -> Array:
    if years < _YEARS_TO_FIT:
        return np.stack([persistence.DEFAULT, persistence.DEFAULT])
    until = int(np.max(np.flatnonzero(learnt), initial=-1)) + 1
    recent, anomalies, learnt = recent[..., :until], anomalies[..., :until], learnt[:until]
    own = [np.where(learnt, each, np.nan) for each in (*recent.swapaxes(0, 1), *anomalies)]
    return np.stack([persistence.fitted(own[0], own[2]), persistence.fitted(own[1], own[3])])
