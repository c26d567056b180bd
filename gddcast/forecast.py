"""Forecast days, never taken as fact: drawn towards normal, given their own errors, faded out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Forecast days used at most.
LONGEST = 10

# A forecast error one day carries over into the next.
_CARRY = 0.7
# After the last forecast day the members' mismatch with it fades.
_FADE_FROM, _FADE = 0.65, 0.75
# Errors of a place's forecasts until they have been compared with what came: a little too wide.
_UNVERIFIED = 1.25
_USUAL_SPREAD = 4.5
_SEED = 1969


@dataclass(frozen=True, slots=True)
class ForecastErrors:
    """How far a place's forecasts of the daily mean temperature have been off.

    Parameters
    ----------
    sd : ndarray, shape (LONGEST,)
        Standard deviation for the first, second … day ahead. [°C]
    days : int
        Forecast days compared; 0 where the usual errors stand in.
    """

    sd: Array
    days: int = 0


def usual_errors(spread: float) -> ForecastErrors:
    """Errors assumed until this place's own forecasts have been compared with what came.

    Parameters
    ----------
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    """
    ahead = np.arange(LONGEST)
    return ForecastErrors(_UNVERIFIED * (1.5 + ahead / 3.0) * spread / _USUAL_SPREAD)


def learnt_errors(said: Array, came: Array, spread: float) -> ForecastErrors:
    """Errors of past forecasts, steadied with the usual ones while there are few.

    Parameters
    ----------
    said, came : ndarray, shape (forecasts, days)
        Daily means foretold for the first, second … day ahead, and measured; NaN unknown. [°C]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]

    Notes
    -----
    The usual errors, not widened, count as thirty comparisons a lead.
    """
    wrong = np.full((said.shape[0], LONGEST), np.nan)
    width = min(said.shape[1], LONGEST)
    wrong[:, :width] = (said - came)[:, :width]
    seen = np.count_nonzero(~np.isnan(wrong), axis=0)
    prior, weight = usual_errors(spread).sd / _UNVERIFIED, 30.0
    squares = np.nansum(wrong**2, axis=0) + weight * prior**2
    return ForecastErrors(np.sqrt(squares / (seen + weight)), int(seen.sum()))


def dressed(said: Array, normal: Array, spread: float, errors: ForecastErrors, count: int) -> Array:
    """Weather that may come of a forecast, once for each member.

    Parameters
    ----------
    said, normal : ndarray, shape (2, ..., days)
        Minimum and maximum foretold, and the usual ones. [°C]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    errors : ForecastErrors
    count : int
        Members.

    Returns
    -------
    ndarray, shape (2, count, ..., days)
        The same numbers for the same arguments: the draws are seeded. [°C]
    """
    days = said.shape[-1]
    trust = spread**2 / (spread**2 + errors.sd[:days] ** 2)
    drawn = _carried(count, days) * (errors.sd[:days] * np.sqrt(trust))
    middle = normal + trust * (said - normal)
    drawn = drawn.reshape(count, *[1] * (said.ndim - 2), days)
    return np.asarray(middle[:, None] + drawn)


def _carried(count: int, days: int) -> Array:
    """Standard normal errors that carry over from day to day, balanced over the members."""
    drawn = np.random.default_rng(_SEED).standard_normal((count, days))
    for day in range(1, days):
        drawn[:, day] = _CARRY * drawn[:, day - 1] + np.sqrt(1.0 - _CARRY**2) * drawn[:, day]
    if count > 2:
        drawn -= drawn.mean(axis=0)
        drawn /= drawn.std(axis=0, ddof=1)
    return drawn


def fade(days: int) -> Array:
    """Share of the last forecast day's mismatch left on each day after it."""
    return np.asarray(_FADE_FROM * _FADE ** np.arange(days))
