"""One season counted by six methods: when each reaches a goal, and what its number would do.

A study prints the sum of its own method on the day the insect came. Used with another method the
same number comes early or late, with no error anywhere to be seen.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.heat.daily import SHAPES, degree_days, single_sine
from gddcast.heat.thermal_time import day_index, day_reached, running_heat
from gddcast.lessons.comparison import ORDER
from gddcast.weather.series import DailySeries

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeasonByMethod:
    """One method's season.

    Parameters
    ----------
    method : str
    reached : datetime.date or None
        Day on which its sum passes the goal; None is not this year.
    printed : float
        Its sum at the end of the day the insect came: what a study by it would print. [°C·d]
    used : datetime.date or None
        Day on which the single sine reaches that number.
    """

    method: str
    reached: dt.date | None
    printed: float
    used: dt.date | None


@dataclass(frozen=True, slots=True)
class SeasonByMethods:
    """The season by every method.

    Parameters
    ----------
    lower : float
        [°C]
    goal : float
        [°C·d]
    came : datetime.date
        The day the insect came: the single sine reaches the goal on it.
    rows : tuple of SeasonByMethod
    """

    lower: float
    goal: float
    came: dt.date
    rows: tuple[SeasonByMethod, ...]


def season_by_methods(series: DailySeries, *, lower: float, goal: float) -> SeasonByMethods:
    """Count a whole year by every day shape, from its first day on.

    Parameters
    ----------
    series : DailySeries
        Without a gap.
    lower : float
        Lower threshold. [°C]
    goal : float
        [°C·d]

    Raises
    ------
    Refusal
        If the single sine never reaches the goal in it.
    """
    sums = {
        name: running_heat(degree_days(series.tmin, series.tmax, lower=lower, shape=SHAPES[name]))
        for name in ORDER
    }
    sine = sums[single_sine.name]
    came = _day(sine, goal, series)
    if came is None:
        raise Refusal(
            series.source, "its heat never reaches that goal",
            f"By the single sine it comes to {float(sine[-1]):.0f} °C-days.", "Name a lower goal.",
            slug="goal-too-high",
        )  # fmt: skip
    at = series.index(came)
    rows = []
    for name, running in sums.items():
        printed = float(running[at])
        used = came if running is sine else _day(sine, printed, series)
        rows.append(SeasonByMethod(name, _day(running, goal, series), printed, used))
    return SeasonByMethods(lower, goal, came, tuple(rows))


def _day(running: Array, goal: float, series: DailySeries) -> dt.date | None:
    reached = float(day_reached(running, goal))
    return series.date(int(day_index(reached))) if np.isfinite(reached) else None
