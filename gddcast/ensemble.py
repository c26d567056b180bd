"""Past seasons of a place, laid on this season's calendar: what the days to come may be."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from gddcast.series import DailySeries, Season

Array = NDArray[np.float64]


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


def same_days(series: DailySeries, past: Season, season: Season) -> NDArray[np.intp]:
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


def taken(values: Array, positions: NDArray[np.intp]) -> Array:
    """Values at positions; NaN where the record does not reach."""
    inside = (positions >= 0) & (positions < values.size)
    found = values.take(positions, mode="clip") if values.size else np.zeros(positions.shape)
    return np.where(inside, found, np.nan)
