"""Day by day from a start: temperatures, heat, running sum, and how known each day is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.heat.counting import Counting
from gddcast.heat.daily import Cutoff, Shape
from gddcast.heat.thermal_time import running_heat
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries, season_of

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HeatDays:
    """A run of days with their heat, and the counting it belongs to."""

    series: DailySeries
    counting: Counting
    daily: Array  # [°C·d]
    running: Array  # [°C·d]


def heat_days(
    series: DailySeries,
    today: dt.date,
    *,
    lower: float,
    upper: float,
    shape: Shape,
    cutoff: Cutoff,
    first: dt.date | None = None,
    last: dt.date | None = None,
) -> HeatDays:
    """Heat of each day from ``first`` to ``last``.

    Parameters
    ----------
    series : DailySeries
    today : datetime.date
        Without ``first``, counting starts with the season ``today`` lies in, or with the last
        season on record where that is over.
    lower, upper : float
        Thresholds. [°C]
    shape : Shape
    cutoff : Cutoff
    first, last : datetime.date, optional

    Raises
    ------
    Refusal
        If the series holds none of these days.
    """
    counting = Counting(lower, upper, shape, cutoff)
    begin = first or season_of(min(today, series.last), series.place.season_begins).first
    end = last or series.last
    days = patch_short(series).between(begin, end)
    if not len(days):
        raise Refusal(
            f"the days from {begin} to {end}",
            "none of them is on record",
            f"The record runs from {series.first} to {series.last}.",
            "Choose days inside it with --from and --to.",
            slug="days-missing",
        )
    daily = counting.daily(days)
    return HeatDays(days, counting, daily, running_heat(daily))


def days_counted(
    series: DailySeries, counting: Counting, first: dt.date, through: dt.date
) -> HeatDays:
    """The days a window's sum is made of."""
    days = series.between(first, through)
    daily = counting.daily(days)
    return HeatDays(days, counting, daily, running_heat(daily))
