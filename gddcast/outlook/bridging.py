"""A date across a long gap: its days taken as the usual of the calendar, and what that costs.

The record keeps its gap, and the date its "can't say": nothing is patched, no look is called off.
But a gap of a fortnight is worth days, not the season, and how many can be said.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached
from gddcast.outlook.dates import Outlook, outlook_of
from gddcast.outlook.ensemble import Climate, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.season_so_far import SoFar, known_on, so_far
from gddcast.weather.gaps import bridged
from gddcast.weather.series import DailySeries

# Four times in five, as rough dates are said.
_SHARE, _WIDTH = 0.8, 1.2816


@dataclass(frozen=True, slots=True)
class BridgedDate:
    """Between which days a goal is reached four times in five, the gap's own doubt included.

    Parameters
    ----------
    first : datetime.date
    last : datetime.date or None
        None beyond the season.
    unknown_days : int
        Days of the season so far that nobody knows. [d]
    give : int
        Days either way by which the gap alone moves it, at the usual heat of a day then. [d]
    """

    first: dt.date
    last: dt.date | None
    unknown_days: int
    give: int


def bridged_date(
    series: DailySeries,
    counting: Counting,
    goal: float,
    *,
    start: dt.date,
    today: dt.date,
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
) -> BridgedDate | None:
    """When a goal is reached where unknown days lie between the start and today.

    Parameters
    ----------
    series, counting, goal, start, today, climate, errors
        As for `outlook_of`.

    Returns
    -------
    BridgedDate or None
        None where nothing is unknown, a gap is longer than 30 days or has no day known before
        it, no past season stands behind the record, and where it is not reached this season.
    """
    record = known_on(series, today)
    gappy = so_far(record, counting, start)
    if gappy.gap is None or not past_seasons(record, gappy.season):
        return None
    climate = climate or climate_of(record, gappy.season)
    usual = climate.normals.on(record.dates.astype(np.int64))
    filled = bridged(record, start, gappy.through, usual)
    if filled is None:
        return None
    now = so_far(filled, counting, start)
    doubt = _WIDTH * now.doubt * climate.spread

    def outlook(heat: float) -> Outlook:
        return outlook_of(
            filled, counting, heat, start=start, today=today, climate=climate, errors=errors
        )

    one = outlook(goal)
    # Behind the last known day the spans carry the doubt; before it the sum itself does.
    early, late = (now.day(time) for time in day_reached(now.sums, [goal - doubt, goal + doubt]))
    first, last = (one.spans or {}).get(_SHARE, (None, None))
    if one.reached is not None:
        first, last = one.reached, outlook(goal + doubt).middle
    first, last = early or first, late or last
    if first is None:
        return None
    unknown = record.between(start, gappy.through).missing
    return BridgedDate(first, last, unknown, max(round(doubt / _pace(one, now)), 1))


def _pace(one: Outlook, now: SoFar) -> float:
    """Heat of a day on the way to the goal; of the last week, where it may have come. [°C·d]"""
    ahead = (one.middle - now.through).days if one.middle else 0
    if ahead > 0:
        return (one.goal - one.heat) / ahead
    week = now.sums[-8:]
    return max(float(week[-1] - week[0]) / max(week.size - 1, 1), 0.1)
