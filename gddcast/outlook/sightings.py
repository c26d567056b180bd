"""When the insect is seen, not only when the sum is reached: the published number has a spread.

Two promises that are kept apart. *The sum is reached* is weather: an `Outlook`. *The insect is
seen* adds that no two insects, fields and years need the same sum; it is worked out only where a
source prints that spread, or a place has finds of its own, and is always wider.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook.continuation import continued, first_days
from gddcast.outlook.ensemble import FULL, Climate, Steps, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.season_so_far import OpenSpan, forecast_behind, known_on, so_far
from gddcast.outlook.spans import SHARES
from gddcast.weather.series import DailySeries

Array = NDArray[np.float64]

#: How far a date by own finds is drawn towards the mean of their own dates. Our own, found on
#: eleven series of finds; a weight learnt from few seasons is no better.
LEAN = 0.3


class KnownSum(Protocol):
    """What is known of the sum that a season's insect wants."""

    @property
    def spread(self) -> float:
        """How far a season's sum may lie from the usual one. [°C·d]"""

    def begun(self, heat: ArrayLike) -> Array:
        """Chance that it is not above a heat. [°C·d]"""


@dataclass(frozen=True, slots=True)
class PrintedSums:
    """A published sum with its standard deviation. [°C·d]"""

    goal: float
    spread: float

    def begun(self, heat: ArrayLike) -> Array:
        """Chance that a season's sum is not above a heat, by the normal distribution."""
        from scipy.special import ndtr

        return np.asarray(ndtr((np.asarray(heat) - self.goal) / self.spread))


@dataclass(frozen=True, slots=True)
class InsectDates:
    """Days on which the event may be seen, by what is known of its sum.

    Parameters
    ----------
    spread : float
        How far a season's sum may lie from the usual one. [°C·d]
    middle : datetime.date or None
        Day by which it is as likely to have been seen as not; None if not this season.
    spans : dict of float to (date, date or None)
        Central spans; a late end of None lies beyond the season.
    by_now : float
        Chance that it has begun by the last known day.
    in_season : float
        Chance that it begins before the season ends.
    tails : (date or None, date or None)
        Days by which the chance that it has begun is as small, and as great, as was asked,
        whoever looked; None beyond the season.
    """

    spread: float
    middle: dt.date | None
    spans: dict[float, OpenSpan]
    by_now: float
    in_season: float
    tails: tuple[dt.date | None, dt.date | None] = (None, None)


def insect_dates(
    series: DailySeries,
    counting: Counting,
    sums: KnownSum,
    *,
    start: dt.date,
    today: dt.date | None = None,
    steps: Steps = FULL,
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
    clean_on: dt.date | None = None,
    usual: dt.date | None = None,
    tail: float = 0.1,
) -> InsectDates | None:
    """Mix the weather of past seasons with the spread of the number itself.

    Parameters
    ----------
    series, counting, start, today, steps, climate, errors
        As for `outlooks`.
    sums : KnownSum
        What is known of the sum wanted.
    clean_on : datetime.date, optional
        Last look of this season that found none: the sum is above the heat of that evening.
    usual : datetime.date, optional
        Mean date of own finds, on which the dates lean: all of them are shifted by 3 tenths of
        the way from their middle to it. What lies before the last known day stays as it is.
    tail : float, default: 0.1
        Chance that it has begun by the first of the ``tails``, and has not by the second.

    Returns
    -------
    InsectDates or None
        None where an unknown day or the lack of past seasons hides the answer.

    Notes
    -----
    By the end of day t the chance is the mean over members m of ``sums.begun(heat_m(t))``, for a
    printed number ``Φ((heat_m(t) − goal)/spread)``: no goal is drawn, so the answer is exact and
    the same every time. Behind a clean look it is the chance among the days that are left.
    """
    record = series if today is None else known_on(series, today)
    now = so_far(record, counting, start)
    if now.gap is not None or not past_seasons(record, now.season):
        return None
    climate = climate or climate_of(record, now.season, steps=steps)
    said = forecast_behind(record, now.through) if steps.forecast else np.empty((2, 0))
    first = first_days(climate, [now.last], forecast=said[:, None], errors=errors)
    path = now.heat + continued(first, counting, now.begin).path()
    path = path[~np.isnan(path).any(axis=-1)]
    if not len(path):
        return None
    later = sums.begun(path).mean(axis=0)
    chance = np.concatenate([sums.begun(now.sums), later])

    def day(share: float) -> dt.date | None:
        at = int(np.searchsorted(chance, share))
        return now.season.first + dt.timedelta(days=at) if at < chance.size else None

    middle = day(0.5)
    if usual is not None and middle is not None:
        chance = _shifted(chance, lean(middle, usual), now.sums.size)
    tails = day(tail), day(1.0 - tail)
    looked = -1 if clean_on is None else (clean_on - now.season.first).days
    if 0 <= looked < chance.size and (before := chance[looked]) < 1.0:
        chance = np.maximum((chance - before) / (1.0 - before), 0.0)

    spans: dict[float, OpenSpan] = {}
    for share in SHARES:
        early = day(0.5 - share / 2.0)
        if early is not None:  # whole days hold more than their share: no longer than it takes
            before = chance[: (early - now.season.first).days]
            spans[share] = early, day(share + (before[-1] if before.size else 0.0))
    by_now = float(chance[now.sums.size - 1]) if now.sums.size else 0.0
    in_season = float(chance[-1]) if chance.size else 0.0
    return InsectDates(sums.spread, day(0.5), spans, by_now, in_season, tails)


def lean(day: dt.date, usual: dt.date) -> int:
    """Days by which a date by own finds is drawn towards the mean of their own dates.

    Examples
    --------
    >>> lean(dt.date(2026, 6, 10), dt.date(2026, 6, 20))
    3
    """
    return round(LEAN * (usual - day).days)


def _shifted(chance: Array, days: int, known: int) -> Array:
    """The chance so many days later; no day that is over becomes likelier by it."""
    at = np.arange(chance.size) - days
    moved = np.where(at < 0, 0.0, chance[np.clip(at, 0, chance.size - 1)])
    moved[:known] = np.minimum(moved[:known], chance[:known])
    return np.asarray(moved)
