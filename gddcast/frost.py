"""The last frost of spring and the first of autumn, as nights at or below a temperature.

Read at the height of a thermometer, which is warmer than a leaf on a still clear night.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from gddcast.series import DailySeries, Season

#: "none" where the record is whole and no night was so cold; "unknown" where a day hides it.
Frost = dt.date | Literal["none", "unknown"]

FREEZING_C = 0.0


def midsummer(season: Season) -> dt.date:
    """The day that parts spring's frosts from autumn's: half a year into the season."""
    return season.first + dt.timedelta(days=182)


def first_frost(series: DailySeries, season: Season, at: float = FREEZING_C) -> Frost:
    """First night at or below ``at`` [°C] in the second half of a season.

    Examples
    --------
    >>> cold = np.where(np.arange(365) < 300, 8.0, -1.0)
    >>> series = DailySeries(dt.date(2025, 1, 1), cold, cold + 10)
    >>> first_frost(series, Season(dt.date(2025, 1, 1), dt.date(2025, 12, 31)))
    datetime.date(2025, 10, 28)
    """
    return _first(series, midsummer(season), season.last, at, step=1)


def last_frost(series: DailySeries, season: Season, at: float = FREEZING_C) -> Frost:
    """Last night at or below ``at`` [°C] in the first half of a season."""
    return _first(series, season.first, midsummer(season), at, step=-1)


def _first(series: DailySeries, first: dt.date, last: dt.date, at: float, step: int) -> Frost:
    """The first such night from one end of a span, unless a day before it is unknown."""
    begin, end = series.index(first), series.index(last) + 1
    low = np.full(end - begin, np.nan)
    inside = slice(max(begin, 0), min(max(end, 0), len(series)))
    held = series.tmin[inside]
    low[inside.start - begin : inside.start - begin + held.size] = held
    low = low[::step]
    cold, unknown = np.flatnonzero(low <= at), np.flatnonzero(np.isnan(low))
    if unknown.size and (not cold.size or unknown[0] < cold[0]):
        return "unknown"
    if not cold.size:
        return "none"
    away = dt.timedelta(days=int(cold[0]))
    return first + away if step > 0 else last - away
