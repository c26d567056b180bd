"""An invented year: daily readings drawn from a seed, and the story they tell.

The climate is a made-up one, mid-continental in kind, of no real place. Its numbers are chosen,
not measured; the story is read off the days, so it is true of them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast import words
from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_index, day_reached, running_heat
from gddcast.units import Unit, celsius, from_celsius
from gddcast.weather.series import DailySeries, Place

Array = NDArray[np.float64]

#: Where the invented days happen.
PLACE = Place("Larkhollow Patch", 41.2, -89.4, 190.0, "America/Chicago")

# The made-up climate. [°F]
_YEAR_MEAN, _SWING, _COLDEST_DAY = 50.0, 27.0, 20
_SPREAD, _PERSISTENCE = 6.0, 0.7
_HALF_RANGE, _HALF_RANGE_SPREAD = 10.0, 2.5

#: Goal and threshold the story follows. [°F·d, °F]
GOAL_F, LINE_F = 1000.0, 50.0


@dataclass(frozen=True, slots=True)
class Spell:
    """Some days in a row that run warm or cold."""

    words: str
    earliest: tuple[int, int]  # month, day
    latest: tuple[int, int]
    days: int
    shift: float  # [°F]


#: What an invented year may be made of; three of them happen.
SPELLS = (
    Spell("a cold spell held spring back", (4, 20), (5, 8), 8, -13.0),
    Spell("a warm spell came early", (4, 5), (4, 22), 9, 13.0),
    Spell("a warm spell hurried everything on", (6, 1), (6, 14), 8, 10.0),
    Spell("a cool, wet spell held everything back", (6, 8), (6, 20), 10, -9.0),
    Spell("a hot spell set in", (7, 8), (8, 1), 9, 10.0),
    Spell("a cool spell brought the first smell of autumn", (8, 12), (8, 28), 8, -10.0),
)


@dataclass(frozen=True, slots=True, eq=False)
class InventedYear:
    """A season's days with the sentences that tell it.

    Parameters
    ----------
    seed : int
    series : DailySeries
        Whole °F, kept in °C.
    story : tuple of str
        One sentence each, in the order of the year.
    """

    seed: int
    series: DailySeries
    story: tuple[str, ...]


def usual_mean(dates: NDArray[np.datetime64]) -> Array:
    """Mean temperature the invented climate has on a calendar day. [°F]"""
    day = (dates - dates.astype("datetime64[Y]")).astype(int)
    return np.asarray(_YEAR_MEAN - _SWING * np.cos(2 * np.pi * (day - _COLDEST_DAY) / 365.25))


def invent_days(
    rng: np.random.Generator, dates: NDArray[np.datetime64], shift: Array | float = 0.0
) -> tuple[Array, Array]:
    """Low and high of each day, whole °F.

    Parameters
    ----------
    rng : numpy.random.Generator
    dates : ndarray of datetime64[D]
    shift : array_like, optional
        Warmth of spells, added to the mean. [°F]
    """
    anomaly = np.empty(dates.size)
    last = rng.normal(0.0, _SPREAD)
    for index, fresh in enumerate(rng.normal(0.0, 1.0, dates.size)):
        last = _PERSISTENCE * last + _SPREAD * np.sqrt(1 - _PERSISTENCE**2) * fresh
        anomaly[index] = last
    half = np.clip(rng.normal(_HALF_RANGE, _HALF_RANGE_SPREAD, dates.size), 4.0, 17.0)
    mean = usual_mean(dates) + anomaly + shift
    return np.round(mean - half), np.round(mean + half)


def invent_year(seed: int, year: int = 2026, unit: Unit = "F") -> InventedYear:
    """Draw a year and tell it; the same seed gives the same year and the same words.

    Examples
    --------
    >>> invent_year(3).series.missing
    0
    >>> invent_year(3).story == invent_year(3).story
    True
    """
    rng = np.random.default_rng([seed, year])
    first = dt.date(year, 1, 1)
    days = (dt.date(year + 1, 1, 1) - first).days
    dates = np.datetime64(first, "D") + np.arange(days)
    chosen = sorted(rng.choice(len(SPELLS), size=3, replace=False).tolist())
    spells = [(SPELLS[each], _begin(rng, SPELLS[each], year)) for each in chosen]
    shift = np.zeros(days)
    for spell, begin in spells:
        at = (begin - first).days
        shift[at : at + spell.days] += spell.shift
    low, high = invent_days(rng, dates, shift)
    series = DailySeries(
        first, celsius(low), celsius(high), place=PLACE, source=f"invented year {seed}", unit=unit
    )
    return InventedYear(seed, series, _story(series, spells, unit))


def _begin(rng: np.random.Generator, spell: Spell, year: int) -> dt.date:
    earliest, latest = dt.date(year, *spell.earliest), dt.date(year, *spell.latest)
    return earliest + dt.timedelta(days=int(rng.integers((latest - earliest).days + 1)))


def _story(
    series: DailySeries, spells: list[tuple[Spell, dt.date]], unit: Unit
) -> tuple[str, ...]:  # fmt: skip
    told = [_last_frost(series, unit)]
    told += [_spell(series, spell, begin, unit) for spell, begin in spells]
    told += [_heat_reached(series, unit), _extremes(series, unit), _first_frost(series, unit)]
    dated = sorted(told)
    return tuple(sentence for _, sentence in dated)


Told = tuple[dt.date, str]


def _frosts(series: DailySeries) -> list[dt.date]:
    return [series.date(int(index)) for index in np.flatnonzero(series.tmin <= 0.0)]


def _last_frost(series: DailySeries, unit: Unit) -> Told:
    spring = [day for day in _frosts(series) if day.month < 7]
    day = spring[-1] if spring else series.first
    freezing = f"{from_celsius(0.0, unit):g} °{unit}"
    return day, f"The last night of {freezing} or less in spring was {words.day(day)}."


def _first_frost(series: DailySeries, unit: Unit) -> Told:
    autumn = [day for day in _frosts(series) if day.month > 7]
    day = autumn[0] if autumn else series.last
    freezing = f"{from_celsius(0.0, unit):g} °{unit}"
    return day, f"The first night of {freezing} or less in autumn was {words.day(day)}."


def _spell(series: DailySeries, spell: Spell, begin: dt.date, unit: Unit) -> Told:
    end = begin + dt.timedelta(days=spell.days - 1)
    held = series.between(begin, end)
    away = float(np.mean(held.tmin + held.tmax) / 2 - np.mean(celsius(usual_mean(held.dates))))
    size = abs(away) * (9 / 5 if unit == "F" else 1.0)
    side = "above" if away > 0 else "below"
    said = f"{words.span(begin, end)}: {spell.words}; the days ran {size:.0f} °{unit} {side} usual."
    return begin, said


def _heat_reached(series: DailySeries, unit: Unit) -> Told:
    counting = Counting(lower=float(celsius(LINE_F)))
    goal = GOAL_F * 5 / 9
    day = _reached(counting.daily(series), goal, series)
    usual = celsius(usual_mean(series.dates))
    half = _HALF_RANGE * 5 / 9
    ordinary = _reached(counting.heat(usual - half, usual + half), goal, series)
    ahead = (ordinary - day).days
    compared = "as in an ordinary year here"
    if ahead:
        side = "before" if ahead > 0 else "after"
        compared = f"{words.count(abs(ahead), 'day')} {side} an ordinary year here"
    total = words.heat(goal, unit)
    line = words.temperature(counting.lower, unit)
    return day, f"By {words.day(day)} it had given {total} above {line}, {compared}."


def _reached(daily: Array, goal: float, series: DailySeries) -> dt.date:
    return series.date(int(day_index(day_reached(running_heat(daily), goal))))


def _extremes(series: DailySeries, unit: Unit) -> Told:
    hottest = int(np.argmax(series.tmax))
    day = series.date(hottest)
    return day, f"The hottest day was {words.day(day)}: {_shown(series.tmax[hottest], unit)}."


def _shown(value: float, unit: Unit) -> str:
    return words.temperature(float(value), unit)
