"""The week that lies behind a morning: its own weather, or past years' where it is not in yet."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook.ensemble import Climate, values_at
from gddcast.weather.series import DailySeries
from gddcast.words import span

Array = NDArray[np.float64]

#: A record so many days behind still tells what is due: services are late by a day or two (our
#: own rule, no source).
LATE_DAYS = 3
_WEEK = 7


@dataclass(frozen=True, slots=True, eq=False)
class CurrentWeek:
    """The seven days before today.

    Parameters
    ----------
    first, last : datetime.date
    tmin, tmax : ndarray, shape (..., 7)
        NaN where unknown. [°C]
    of_past_years : bool
        Whether past years' weather of the same days stands in for its own.
    """

    first: dt.date
    last: dt.date
    tmin: Array
    tmax: Array
    of_past_years: bool

    @property
    def words(self) -> str:
        """Whose weather it is."""
        if self.of_past_years:
            return f"in past years’ weather of {span(self.first, self.last)}"
        return "at this week’s warmth"

    def pace(self, counting: Counting) -> float:
        """Degree-days of its mean day; NaN where none is known. [°C·d]"""
        heat = counting.heat(self.tmin, self.tmax)
        return float(np.nanmean(heat)) if np.isfinite(heat).any() else float("nan")


def current_week(
    series: DailySeries, today: dt.date, behind: int, climate: Climate | None
) -> CurrentWeek:
    """The week before today.

    Parameters
    ----------
    series : DailySeries
    today : datetime.date
    behind : int
        Days by which its measured weather ends before today. Above `LATE_DAYS` past years stand
        in for the whole week: a week of another month says nothing of this one.
    climate : Climate or None
        Past seasons on this one's calendar; days before the season began are unknown then.
    """
    first, last = today - dt.timedelta(days=_WEEK), today - dt.timedelta(days=1)
    days = np.arange(_WEEK)
    if behind <= LATE_DAYS:
        at = series.index(first) + days
        low, high = (values_at(each, at) for each in (series.tmin, series.tmax))
        return CurrentWeek(first, last, low, high, of_past_years=False)
    if climate is None:
        low = high = np.full(_WEEK, np.nan)
    else:
        low, high = values_at(climate.temperatures, (first - climate.season.first).days + days)
    return CurrentWeek(first, last, low, high, of_past_years=True)
