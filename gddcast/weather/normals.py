"""Usual temperatures of a calendar day, how they drift over the years, and departures from them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# One turn of the sun in days; day numbers count from 1970-01-01.
_YEAR = 365.2425
#: Known days from which a yearly course can be told from a season: a year and a half.
A_YEARLY_COURSE = 540
_HARMONICS = 3

#: Warming expected before a record is looked at, mean and standard deviation [°C a year]: of
#: land since 1985, of Europe since then, of earlier years. Our own choice, on seven records of
#: three continents; a record of thirty years outweighs it. Europe has warmed faster than other
#: land (IPCC 2021, AR6 WG1, Regional fact sheet Europe; from memory), and no land much from 1940
#: to 1975 (the same, figure SPM.1).
USUAL_WARMING = (0.025, 0.020)
EUROPEAN_WARMING = (0.035, 0.015)
EARLIER_WARMING = (0.010, 0.020)
_SINCE = 1985
_EUROPE = ((35.0, 72.0), (-25.0, 45.0))  # latitudes, longitudes [°]

# A year counts for the trend when this share of its days is known.
_WHOLE_YEAR = 0.9


def waves(days: ArrayLike) -> Array:
    """A constant and three yearly sine waves on each day.

    Parameters
    ----------
    days : array_like, shape (days,)
        Days since 1970-01-01.

    Returns
    -------
    ndarray, shape (days, 7)
    """
    angle = np.asarray(days, dtype=np.float64)[..., None] * (2.0 * np.pi / _YEAR)
    turns = np.cumprod(np.repeat(np.exp(1j * angle), _HARMONICS, axis=-1), axis=-1)
    return np.concatenate([np.ones_like(angle), turns.real, turns.imag], axis=-1)


@dataclass(frozen=True, slots=True)
class Normals:
    """Smooth yearly course of one or more temperatures.

    Parameters
    ----------
    waves : ndarray, shape (..., 7)
        Weight of each of `waves`. [°C]

    Examples
    --------
    >>> days = np.arange(1461)
    >>> course = 10.0 - 12.0 * np.cos(2 * np.pi * days / 365.2425)
    >>> normals_of(days, course).on([0, 182]).round(1)
    array([-2., 22.])
    """

    waves: Array

    def on(self, days: ArrayLike) -> Array:
        """Normal temperature on days since 1970-01-01, shape (..., days). [°C]"""
        return self.by(waves(days))

    def by(self, basis: Array) -> Array:
        """The same of days whose `waves` are at hand, shape (days, 7)."""
        return np.asarray(self.waves @ basis.T)


def normals_of(days: ArrayLike, temperatures: ArrayLike) -> Normals:
    """Least-squares yearly course of temperatures; unknown days have no say.

    Parameters
    ----------
    days : array_like, shape (days,)
        Days since 1970-01-01.
    temperatures : array_like, shape (..., days)
        Temperatures of those days. [°C]
    """
    return normals_on(waves(days), np.asarray(temperatures, dtype=np.float64))


def normals_on(basis: Array, values: Array) -> Normals:
    """The same of days whose `waves` are at hand, shape (days, 7)."""
    rows = values.reshape(math.prod(values.shape[:-1]), values.shape[-1])  # -1 fails on no days
    fitted = [_fit(basis, row) for row in rows]
    return Normals(np.array(fitted).reshape(*values.shape[:-1], basis.shape[-1]))


def _fit(basis: Array, values: Array) -> Array:
    known = ~np.isnan(values)
    if not known.all():
        basis, values = basis[known], values[known]
    # lstsq on the small square system: short records that miss a season have no unique answer.
    return np.asarray(np.linalg.lstsq(basis.T @ basis, basis.T @ values, rcond=1e-10)[0], float)


def usual_warming(
    year: int, latitude: float | None = None, longitude: float | None = None
) -> tuple[float, float]:
    """Warming to be expected at a place, and its standard deviation. [°C a year]

    Parameters
    ----------
    year : int
        In which the season to be foretold begins.
    latitude, longitude : float, optional
        Of the place. [°]

    Examples
    --------
    >>> usual_warming(2026, 50.8, 4.4), usual_warming(2026), usual_warming(1960, 50.8, 4.4)
    ((0.035, 0.015), (0.025, 0.02), (0.01, 0.02))
    """
    if year < _SINCE:
        return EARLIER_WARMING
    (south, north), (west, east) = _EUROPE
    if latitude is None or longitude is None:
        return USUAL_WARMING
    inside = south <= latitude <= north and west <= longitude <= east
    return EUROPEAN_WARMING if inside else USUAL_WARMING


def warming(
    years: ArrayLike, means: ArrayLike, prior: tuple[float, float] = USUAL_WARMING
) -> float:
    """Drift of a place's yearly mean temperature, its own slope weighed against the usual one.

    Parameters
    ----------
    years, means : array_like, shape (years,)
        Year numbers and their mean temperatures; NaN where unknown. [°C]
    prior : (float, float)
        Slope expected before looking, and its standard deviation. [°C a year]

    Returns
    -------
    float
        Mean of the least-squares slope and the prior, each weighted with its precision.
        [°C a year]

    Examples
    --------
    >>> warming([2020, 2021], [10.0, 11.0])  # two years show nothing
    0.025
    """
    year, mean = np.asarray(years, dtype=np.float64), np.asarray(means, dtype=np.float64)
    known = ~np.isnan(mean)
    year, mean = year[known], mean[known]
    if year.size < 3:
        return prior[0]
    away = year - year.mean()
    slope = away @ mean / (away @ away)
    left = mean - mean.mean() - slope * away
    variance = left @ left / (year.size - 2) / (away @ away)
    sure, usual = 1.0 / max(float(variance), 1e-12), 1.0 / prior[1] ** 2
    return float((sure * slope + usual * prior[0]) / (sure + usual))


def yearly_means(anomalies: Array, seasons: ArrayLike) -> tuple[Array, Array]:
    """Mean of each season with at least nine days in ten known, and the season's number."""
    number = np.asarray(seasons)
    known = ~np.isnan(anomalies)
    years = np.unique(number)
    place = np.searchsorted(years, number)
    days = np.bincount(place, minlength=years.size)
    found = np.bincount(place, known, minlength=years.size)
    total = np.bincount(place, np.where(known, anomalies, 0.0), minlength=years.size)
    enough = (found >= _WHOLE_YEAR * days) & (days >= 360)
    with np.errstate(invalid="ignore"):
        return years.astype(np.float64), np.where(enough, total / np.maximum(found, 1), np.nan)
