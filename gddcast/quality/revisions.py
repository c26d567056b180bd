"""How the past days of a record differ from those of an earlier fetch of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.weather.gaps import on_days_of
from gddcast.weather.series import DailySeries, Origin, season_of

# Two readings this close are the same number written twice. [°C]
_SAME = 0.051


@dataclass(frozen=True, slots=True)
class Revision:
    """How the past days of a record differ from those of an earlier fetch.

    Parameters
    ----------
    changed : int
        Past days known both times with other readings.
    first, last : datetime.date, optional
        Between which they lie.
    worst : datetime.date, optional
        Day that moved most.
    worst_by : float
        By how much one of its readings moved. [°C]
    heat : float
        What the change does to the heat above 10 °C of the season of the last changed day, up to
        its last known day. [°C·d]
    lost : int
        Days known before and no longer given.
    added : int
        Days that were a forecast, or absent, and are on record now.
    """

    changed: int
    first: dt.date | None
    last: dt.date | None
    worst: dt.date | None
    worst_by: float
    heat: float
    lost: int
    added: int


def revision(earlier: DailySeries, later: DailySeries) -> Revision:
    """Compare a record with an earlier fetch of it, day by day; forecasts are no past days.

    Parameters
    ----------
    earlier, later : DailySeries
    """
    then = on_days_of(later, earlier)
    was_past = then.known & (then.origin != Origin.FORECAST)
    is_past = later.known & (later.origin != Origin.FORECAST)
    both = was_past & is_past
    moved = np.maximum(np.abs(later.tmin - then.tmin), np.abs(later.tmax - then.tmax))
    changed = both & (np.nan_to_num(moved) > _SAME)
    added = is_past & ~was_past & (later.dates > np.datetime64(earlier.first, "D"))
    lost = int(np.count_nonzero(was_past & ~later.known)) + _outside(earlier, later)
    at = np.flatnonzero(changed)
    if not at.size:
        return Revision(0, None, None, None, 0.0, 0.0, lost, int(added.sum()))
    worst = int(at[np.argmax(moved[at])])
    return Revision(
        changed=int(at.size),
        first=later.date(at[0]),
        last=later.date(at[-1]),
        worst=later.date(worst),
        worst_by=float(moved[worst]),
        heat=_heat_change(then, later, both, later.date(at[-1])),
        lost=lost,
        added=int(added.sum()),
    )


def _outside(earlier: DailySeries, later: DailySeries) -> int:
    """Past days of the earlier record that lie outside the later one."""
    past = earlier.known & (earlier.origin != Origin.FORECAST)
    first, last = np.datetime64(later.first, "D"), np.datetime64(later.last, "D")
    return int(np.count_nonzero(past & ((earlier.dates < first) | (earlier.dates > last))))


def _heat_change(
    then: DailySeries, later: DailySeries, both: NDArray[np.bool_], day: dt.date
) -> float:
    season = season_of(day, later.place.season_begins)
    within = both & (later.dates >= np.datetime64(season.first, "D"))
    within &= later.dates <= np.datetime64(season.last, "D")
    plain = Counting(lower=10.0)
    return float(np.nansum((plain.daily(later) - plain.daily(then))[within]))
