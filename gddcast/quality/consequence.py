"""What a fault in the record does to the next date, in days.

A fault matters by the days it moves an event, not by its degrees. The event asked about is the
next of five round heat sums after the fault: 250, 500, 1,000, 1,500 and 2,000 °C-days above 10 °C
(450 to 3,600 °F-days above 50 °F), single sine without upper threshold, from the season's start.
Most garden pests and vegetables lie among them; a card may move by more or less.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached, running_heat
from gddcast.quality.checks import day_of_year
from gddcast.units import Unit
from gddcast.weather.gaps import best_guess
from gddcast.weather.series import DailySeries, Season, season_of
from gddcast.words import heat, temperature

Array = NDArray[np.float64]

#: How the events asked about are counted: above 10 °C (50 °F), single sine, no upper threshold.
PLAIN = Counting(lower=10.0)
#: Heat sums of the events asked about. [°C·d]
GOALS = (250.0, 500.0, 1000.0, 1500.0, 2000.0)
#: Share of a season's heat up to which an event is asked about: in autumn, when sums hardly grow,
#: a degree moves a date by weeks and nobody plans by it.
ASKED_UP_TO = 0.9
#: Days whose mean stands for a day nobody knows.
_AROUND = 15


@dataclass(frozen=True, slots=True)
class FaultEffect:
    """How far a fault moves the next event, if it is left as it is."""

    days: float  # positive: the date comes out too late
    goal: float  # heat sum of the event. [°C·d]

    def event(self, unit: Unit) -> str:
        """The event in words.

        Examples
        --------
        >>> FaultEffect(2.0, 500.0).event("F")
        'the day of 900 °F-days above 50 °F'
        """
        return f"the day of {heat(self.goal, unit)} above {temperature(PLAIN.lower, unit)}"


@dataclass(frozen=True, slots=True)
class Yardstick:
    """A record as it should be, against which each fault is measured alone.

    Parameters
    ----------
    mended : DailySeries
        Faulty readings unknown.
    heat : ndarray, shape (days,)
        Its daily heat, every inner gap guessed. [°C·d]
    usual : ndarray, shape (365,)
        Mean heat of each calendar day, smoothed; NaN where no year knows it. [°C·d]
    """

    mended: DailySeries
    heat: Array
    usual: Array

    def effect(self, begin: int, end: int, counted: Array) -> FaultEffect | None:
        """What counting ``counted`` on the days ``begin`` to ``end`` does to the next event.

        Parameters
        ----------
        begin, end : int
            First day of the fault and the day after its last.
        counted : ndarray, shape (end - begin,)
            Heat counted on those days; an unknown day counts nothing. [°C·d]

        Returns
        -------
        Effect or None
            None where no event follows in that season.
        """
        series = self.mended
        season = season_of(series.date(begin), series.place.season_begins)
        first = max(series.index(season.first), 0)
        last = series.index(season.last) + 1
        right = self._whole(first, last)
        wrong = right.copy()
        stop = min(end, last) - first
        wrong[begin - first : stop] = np.nan_to_num(counted[: stop - (begin - first)])
        sums = running_heat(np.stack([right, wrong]))
        reached = day_reached(sums, GOALS)
        for goal, (properly, counted_day) in zip(GOALS, reached.T, strict=True):
            if goal > ASKED_UP_TO * sums[0, -1] or not np.isfinite(counted_day):
                return None
            if max(properly, counted_day) > begin - first:
                return FaultEffect(float(counted_day - properly), goal)
        return None

    def mean_effect(self, seasons: Iterable[Season], counted: Array) -> FaultEffect | None:
        """Mean over seasons of what counting ``counted``, of all days, does; goal of the last."""
        series, effects = self.mended, []
        for season in seasons:
            begin = max(series.index(season.first), 0)
            end = min(series.index(season.last) + 1, len(series))
            effect = self.effect(begin, end, counted[begin:end])
            if effect is not None:
                effects.append(effect)
        if not effects:
            return None
        return FaultEffect(float(np.mean([each.days for each in effects])), effects[-1].goal)

    def _whole(self, first: int, last: int) -> Array:
        """Heat of every day of a season, the unknown ones as usual there, or as just before."""
        days = np.arange(first, last)
        held = days < self.heat.size
        values = np.full(days.size, np.nan)
        values[held] = self.heat[days[held]]
        dates = np.datetime64(self.mended.first, "D") + days
        values = np.where(np.isnan(values), self.usual[day_of_year(dates)], values)
        known = np.flatnonzero(~np.isnan(values))
        if not known.size:
            return np.zeros(days.size)
        lately = values[known][-_AROUND:].mean()
        return np.asarray(np.interp(np.arange(days.size), known, values[known], right=lately))


def yardstick(mended: DailySeries) -> Yardstick:
    """Measure for the faults of a record, from the record without them.

    Parameters
    ----------
    mended : DailySeries
        Faulty readings unknown, as a judged record has them.
    """
    daily = PLAIN.daily(best_guess(mended))
    days = day_of_year(mended.dates)
    known = ~np.isnan(daily)
    total = np.bincount(days[known], daily[known], minlength=365)
    count = np.bincount(days[known], minlength=365)
    wide = np.arange(-(_AROUND // 2), 365 + _AROUND // 2) % 365
    window = np.ones(_AROUND)
    with np.errstate(invalid="ignore"):
        usual = np.convolve(total[wide], window, "valid") / np.convolve(
            count[wide], window, "valid"
        )
    return Yardstick(mended, daily, usual)
