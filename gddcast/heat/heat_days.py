"""Day by day from a start: temperatures, heat, running sum, and how known each day is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.heat.counting import Counting
from gddcast.heat.cutoffs import Cutoff
from gddcast.heat.shapes import Shape
from gddcast.heat.thermal_time import running_heat
from gddcast.weather.calendar_day import DateLike, date_of
from gddcast.weather.series import DailySeries, HasSeries, season_of, series_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HeatDays:
    """A run of days with their heat, and the counting it belongs to."""

    series: DailySeries
    counting: Counting
    daily: Array  # [°C·d]
    running: Array  # [°C·d]

    def __repr__(self) -> str:
        days, total = self.series, self.running[-1] if len(self.series) else 0.0
        return f"<HeatDays {days.first} to {days.last}: {total:.1f} °C·d, {self.counting!r}>"

    def to_frame(self) -> pd.DataFrame:
        """Table of the days: temperatures [°C], origin, heat and running sum [°C·d]."""
        table = self.series.to_frame().assign(degree_days=self.daily, sum=self.running)
        table.attrs["counted"] = {
            "lower": self.counting.lower, "upper": self.counting.upper,
            "shape": self.counting.shape.name, "cutoff": self.counting.cutoff.name,
            "start": str(self.series.first),
        }  # fmt: skip
        return table


def heat_days(
    series: DailySeries | HasSeries,
    today: DateLike,
    *,
    lower: float,
    upper: float,
    shape: Shape,
    cutoff: Cutoff,
    first: DateLike | None = None,
    last: DateLike | None = None,
) -> HeatDays:
    """Heat of each day from ``first`` to ``last``.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched.
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
    series, counting = series_of(series), Counting(lower, upper, shape, cutoff)
    season = season_of(min(date_of(today), series.last), series.place.season_begins)
    begin = season.first if first is None else date_of(first)
    end = series.last if last is None else date_of(last)
    days = series.between(begin, end)
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
