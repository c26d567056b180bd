"""The last frost of spring and the first of autumn, as nights at or below a temperature.

Read at the height of a thermometer, which is warmer than a leaf on a still clear night.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np

from gddcast.weather.series import DailySeries, Season, season_of

#: "none" where the record is whole and no night was so cold; "unknown" where a day hides it.
Frost = dt.date | Literal["none", "unknown"]

FREEZING_C = 0.0
#: 28 °F: plants above ground are killed, and what lived on them (common practice, no source).
HARD_FREEZE_C = -20.0 / 9.0


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


@dataclass(frozen=True, slots=True)
class HardFreeze:
    """The end of a season above ground: the night that was so cold, or by which most years were.

    ``years`` is None where it was measured; else this season's nights are not on record, and so
    many past seasons of so many had had theirs.
    """

    day: dt.date
    years: tuple[int, int] | None = None


def hard_freeze(series: DailySeries, season: Season, today: dt.date) -> HardFreeze | None:
    """The first hard freeze of a season's second half, where it is behind.

    Parameters
    ----------
    series : DailySeries
        Days from ``today`` on are not looked at.
    season : Season
    today : datetime.date
    """
    if today <= midsummer(season):
        return None
    nights = series.before(today)
    behind = min(season.last, today - dt.timedelta(days=1))
    own = _first(nights, midsummer(season), behind, HARD_FREEZE_C, step=1)
    if own != "unknown":
        return None if own == "none" else HardFreeze(own)
    past = [
        first_frost(nights, each, HARD_FREEZE_C)
        for each in nights.seasons()
        if each.last < season.first
    ]
    days = sorted(season.on(each.month, each.day) for each in past if not isinstance(each, str))
    years = len(days) + past.count("none")
    most = -(-5 * years // 6)  # of few years all
    if not 0 < most <= len(days) or days[most - 1] >= today:
        return None
    return HardFreeze(days[most - 1], (most, years))


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


@dataclass(frozen=True, slots=True)
class SpringFrosts:
    """The last spring frost of each past season, earliest first; None where there was none."""

    last: tuple[tuple[Season, dt.date | None], ...]
    left_out: tuple[str, ...]

    @property
    def most(self) -> int:
        """Five of six of the years, rounded up: 10 of 12."""
        return -(-5 * len(self.last) // 6)

    def over_in(self, season: Season, years: int) -> dt.date | None:
        """Day of a season on which so many past years had had their last frost.

        None where so many years had none at all.
        """
        day = self.last[years - 1][1]
        return None if day is None else season.on(day.month, day.day)

    def through(self, season: Season, day: dt.date) -> int:
        """Past years that had had their last frost by a day of a season."""
        return sum(own is None or season.on(own.month, own.day) <= day for _, own in self.last)


def spring_frosts(series: DailySeries, today: dt.date, at: float = FREEZING_C) -> SpringFrosts:
    """Last night at or below ``at`` [°C] of every past spring, calendar days compared."""
    current = season_of(today, series.place.season_begins)
    found = {
        season: last_frost(series, season, at)
        for season in series.seasons()
        if season.first < current.first
    }

    def into(day: dt.date | None) -> dt.date:
        return current.first if day is None else current.on(day.month, day.day)

    known = [
        (season, None if isinstance(day, str) else day)
        for season, day in found.items()
        if day != "unknown"
    ]
    left_out = tuple(season.name for season, day in found.items() if day == "unknown")
    return SpringFrosts(tuple(sorted(known, key=lambda each: into(each[1]))), left_out)
