"""A rough date where no past year can be asked: this season's pace, and the calendar's warming.

The days on record give the level and, as far as they reach, the size of the yearly wave; its
crest stands a month after midsummer, and a wave of 8 ± 3 °C is taken for granted until the days
say otherwise. Between the tropics the year has no such wave, and nothing is said. Each day's own
departure, laid on the days to come in turn, keeps warm and cold spells in the sum: a mean day alone
would come out days late.

Notes
-----
Our own rule, no source. Measured on seven stations (Champion, Brussels, Clemson, Seattle, Tunis,
Cambridge, Hyderabad; above 10 °C, four sums, on 15 April, May and June): mean miss 4 days up to 30
days ahead, 9 days up to 60, and the span said held 81 and 84 %; beyond that a month, so nothing is
said there. Past years' weather misses by about 2 and 4 days.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached
from gddcast.weather.series import DailySeries, Origin

Array = NDArray[np.float64]

#: Known days without which nothing rough is said either.
ENOUGH_DAYS = 30
#: Days ahead up to which a rough date is worth anything.
FURTHEST = 60
#: Latitude up to which the year has no wave of summer and winter. [°]
_TROPICS = 23.5
#: Heat missed before a record begins, in days at its present pace, that changes no date.
WORTH_NOTHING = 1.0
#: Share of the days ahead by which four in five rough dates are off at most, and a day.
_OFF = 0.25
# Half the yearly range of the mean temperature, and how sure we are. [°C]
_WAVE = (8.0, 3.0)
# Day of the year of the crest: 20 July, and 20 January in the south.
_CREST, _CREST_SOUTH = 201, 20
# Variance of a daily mean about its course, and days until the next says something new. [°C², d]
_VARIANCE, _ALIKE = 16.0, 8
_TURNS = 12


@dataclass(frozen=True, slots=True)
class RoughDate:
    """About when a goal is reached, and how many days either way hold it four times in five."""

    day: dt.date
    give: int

    @property
    def first(self) -> dt.date:
        """Earliest day of the rough span."""
        return self.day - dt.timedelta(days=self.give)

    @property
    def last(self) -> dt.date:
        """Latest day of the rough span."""
        return self.day + dt.timedelta(days=self.give)


@dataclass(frozen=True, slots=True, eq=False)
class RoughCourse:
    """Days of a season as a wave and departures from it, good for a look either way.

    Parameters
    ----------
    last : datetime.date
        Last known day.
    mean, wave : float
        Level, and half the yearly range. [°C]
    crest : int
        Day of the year on which it is warmest.
    departures : ndarray, shape (2, days)
        Of minima and maxima from the course, oldest first. [°C]
    """

    last: dt.date
    mean: float
    wave: float
    crest: int
    departures: Array

    def heat(self, counting: Counting, first: dt.date, days: int) -> Array:
        """Heat of days in either direction, shape (turns, days). [°C·d]"""
        ahead = (first - dt.date(first.year, 1, 1)).days + np.arange(days)
        usual = self.mean + self.wave * np.cos(2.0 * np.pi * (ahead - self.crest) / 365.25)
        size = self.departures.shape[1]
        turns = np.linspace(0, size, _TURNS, endpoint=False).astype(int)
        low, high = usual + self.departures[:, (turns[:, None] + np.arange(days)) % size]
        return np.asarray(counting.heat(low, np.maximum(low, high)))


def rough_course(record: DailySeries) -> RoughCourse | None:
    """Course of the days that run unbroken up to the last known one.

    None for under thirty of them, and between the tropics.

    Parameters
    ----------
    record : DailySeries
        Forecast days are none of it.
    """
    known = record.known & (record.origin != Origin.FORECAST)
    latitude = record.place.latitude
    if not known.any() or (latitude is not None and abs(latitude) < _TROPICS):
        return None
    end = int(np.flatnonzero(known)[-1]) + 1
    holes = np.flatnonzero(~known[:end])
    begin = max(int(holes[-1]) + 1 if holes.size else 0, end - 366)
    if end - begin < ENOUGH_DAYS:
        return None
    rows = np.stack([record.tmin[begin:end], record.tmax[begin:end]])
    first = record.date(begin)
    crest = _CREST_SOUTH if record.place.is_south else _CREST
    day = (first - dt.date(first.year, 1, 1)).days + np.arange(end - begin)
    wave = np.cos(2.0 * np.pi * (day - crest) / 365.25)
    mean, size = _fitted(rows.mean(axis=0), wave)
    return RoughCourse(record.date(end - 1), mean, size, crest, rows - (mean + size * wave))


def _fitted(temperature: Array, wave: Array) -> tuple[float, float]:
    """Level and wave of least squares, drawn towards the usual wave."""
    noise, (usual, sure) = _VARIANCE * _ALIKE, _WAVE
    basis = np.stack([np.ones_like(wave), wave])
    weight = basis @ basis.T / noise + np.diag([0.0, sure**-2])
    level, size = np.linalg.solve(weight, basis @ temperature / noise + [0.0, usual * sure**-2])
    return float(level), float(size)


def rough_date(
    course: RoughCourse, counting: Counting, missing: float, *, doubt: float = 0.0
) -> RoughDate | None:
    """About when ``missing`` more heat has come; None where that is past, or too far ahead to say.

    Parameters
    ----------
    course : RoughCourse
    counting : Counting
    missing : float
        Heat still wanted after the last known day. [°C·d]
    doubt : float, default: 0
        Days by which the sum so far may be off. [d]
    """
    first = course.last + dt.timedelta(days=1)
    sums = np.cumsum(course.heat(counting, first, FURTHEST + 1), axis=-1)
    ahead = float(np.median(day_reached(sums, missing)))
    if missing <= 0.0 or not ahead <= FURTHEST:
        return None
    give = int(np.ceil(1.0 + _OFF * ahead + doubt))
    return RoughDate(course.last + dt.timedelta(days=max(int(np.ceil(ahead)), 1)), give)
