"""When a cue says to look: by warm days, by the age of the plants, by the time of year."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from gddcast.cards.model import Cue
from gddcast.journal.clocks import day_of_year_at
from gddcast.weather.series import DailySeries, Place, Season, runs

#: Dates of a place are no guide farther away than this. [° latitude]
_NEAR_DEGREES = 5.0
_WEEK = dt.timedelta(days=7)
_ONE_DAY = dt.timedelta(days=1)

#: Month and day.
DayOfYear = tuple[int, int]


def dates_at(cue: Cue, place: Place) -> tuple[DayOfYear | None, DayOfYear | None]:
    """Its first and last day of the year at a place."""
    south = cue.latitude is not None and cue.latitude < 0.0
    first, last = (
        None if day is None else day_of_year_at(place, day, is_south=south)
        for day in (cue.earliest, cue.latest)
    )
    return first, last


def ends_on(cue: Cue, season: Season, place: Place) -> dt.date | None:
    """The last day of a season on which it may hold; None where it has none."""
    first, last = (None if day is None else season.on(*day) for day in dates_at(cue, place))
    # A season that begins between the two has the end of the last one's time before the next's.
    return None if last is None or (first is not None and last < first) else last


def begins_on(
    cue: Cue,
    season: Season,
    place: Place,
    series: DailySeries,
    today: dt.date,
    hosts_sown: Sequence[dt.date] | None = None,
) -> dt.date | None:
    """The day from which a cue says to look; None while it does not.

    Parameters
    ----------
    cue : Cue
    season : Season
    place : Place
    series : DailySeries
        Days from ``today`` on are not looked at.
    today : datetime.date
    hosts_sown : sequence of datetime.date, optional
        Days on which the hosts that stand were sown. None where nobody keeps sowings: then what
        stands is not known, and a cue by age alone never holds.

    Returns
    -------
    datetime.date or None
        Not after ``today``. It holds until `ends_on`.

    Examples
    --------
    >>> cue = Cue("moths fly above 15 °C", "x", "seen", air_above=15.0, unit="C",
    ...           of_day="maximum", earliest=(4, 21))
    >>> april = DailySeries(dt.date(2026, 4, 19), np.full(4, 5.0), [17.0, 12.0, 14.0, 16.0])
    >>> year = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    >>> begins_on(cue, year, Place("here"), april, dt.date(2026, 4, 23))
    datetime.date(2026, 4, 23)
    """
    if cue.crop_stage is not None:
        return None
    first = dates_at(cue, place)[0]
    wanted = [] if first is None else [season.on(*first)]
    if cue.by_dates and not _is_near(cue, place):
        return None
    if cue.after_sowing_days is not None and (hosts_sown is not None or cue.by_age_alone):
        if not hosts_sown:
            return None
        wanted.append(min(hosts_sown) + dt.timedelta(days=cue.after_sowing_days))
    if cue.air_above is not None:
        warm = _warm_on(cue, series, wanted[0] if first is not None else today - _WEEK, today)
        if warm is None:
            return None
        wanted.append(warm)
    begins = max(wanted, default=None)
    return begins if begins is not None and begins <= today else None


def _warm_on(cue: Cue, series: DailySeries, since: dt.date, today: dt.date) -> dt.date | None:
    """The morning after the first run of days so warm."""
    warm = cue.air_above_c
    known = series.before(today) if series.first < today else None
    if warm is None or known is None or known.last < since:
        return None
    low, high = known.tmin, known.tmax
    air = {"maximum": high, "minimum": low, "mean": (low + high) / 2.0}[cue.used_of_day]
    begin = max(known.index(since), 0)
    for start, stop in runs(np.nan_to_num(air[begin:], nan=-np.inf) >= warm):
        if stop - start >= cue.days_in_row:
            return known.date(begin + start + cue.days_in_row - 1) + _ONE_DAY
    return None


def _is_near(cue: Cue, place: Place) -> bool:
    """Whether the dates of a cue may be used at a place; not where nobody said where it is."""
    if cue.latitude is None:
        return True
    if place.latitude is None:
        return False
    return abs(abs(place.latitude) - abs(cue.latitude)) <= _NEAR_DEGREES
