"""Forecast days, never taken as fact: drawn towards normal, given their own errors, faded out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from gddcast.outlook import spans

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


#: Comparisons of one lead from which this place's own errors are used for it.
ENOUGH = 30


@dataclass(frozen=True, slots=True, eq=False)
class ForecastErrors:
    """How far a place's forecasts of the daily mean temperature have been off.

    Parameters
    ----------
    sd : ndarray, shape (LONGEST,)
        Standard deviation for the first, second … day ahead. [°C]
    forecasts : int
        Past forecasts held against what was measured; 0 where none was.
    own : ndarray of bool, shape (LONGEST,), optional
        For which days ahead those are enough to be used. Default: none.
    """

    sd: Array
    forecasts: int = 0
    own: NDArray[np.bool_] = None  # type: ignore[assignment]  # filled in __post_init__

    def __post_init__(self) -> None:
        if self.own is None:
            object.__setattr__(self, "own", np.zeros(self.sd.shape, dtype=bool))

    def at(self, leads: NDArray[np.int64]) -> ForecastErrors:
        """The errors of other days ahead: those of a forecast that was not issued just now."""
        leads = np.minimum(leads, self.sd.size - 1)
        return ForecastErrors(self.sd[leads], self.forecasts, self.own[leads])


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
    """Errors of past forecasts, steadied with the usual ones; for each day ahead by itself.

    Parameters
    ----------
    said, came : ndarray, shape (forecasts, days)
        Daily means foretold for the first, second … day ahead, and measured; NaN unknown. [°C]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]

    Notes
    -----
    Below ``ENOUGH`` comparisons of a lead its usual error, widened by a quarter, stays. From then
    on the usual one, not widened, counts as ten comparisons beside them: a wrong week is wrong on
    many mornings, so thirty in a row teach little more than ten.
    """
    wrong = np.full((said.shape[0], LONGEST), np.nan)
    width = min(said.shape[1], LONGEST)
    wrong[:, :width] = (said - came)[:, :width]
    known = ~np.isnan(wrong)
    seen = known.sum(axis=0)
    usual, weight = usual_errors(spread).sd, 10.0
    squares = np.nansum(wrong**2, axis=0) + weight * (usual / _UNVERIFIED) ** 2
    own = seen >= ENOUGH
    sd = np.where(own, np.sqrt(squares / (seen + weight)), usual)
    return ForecastErrors(sd, int(known.any(axis=1).sum()), own)


def dressed(said: Array, normal: Array, spread: float, errors: ForecastErrors, count: int) -> Array:
    """Weather that may come of a forecast, once for each member.

    Parameters
    ----------
    said, normal : ndarray, shape (2, ..., days)
        Minimum and maximum foretold, and the usual ones. [°C]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    errors : ForecastErrors
        For the same days; the last of them serves for all behind it.
    count : int
        Members.

    Returns
    -------
    ndarray, shape (2, count, ..., days)
        The same numbers for the same arguments: the draws are seeded. [°C]
    """
    days = said.shape[-1]
    sd = errors.at(np.arange(days)).sd
    trust = spread**2 / (spread**2 + sd**2)
    drawn = _carried(count, days) * (sd * np.sqrt(trust))
    middle = normal + trust * (said - normal)
    drawn = drawn.reshape(count, *[1] * (said.ndim - 2), days)
    return np.asarray(middle[:, None] + drawn)


@cache
def _carried(count: int, days: int) -> Array:
    """Errors of unit size that carry over from day to day, spread evenly over the members.

    Drawn freely, a dozen members would now and then lean to one side, and with one seed always to
    the same. So each independent part of the error is shared out by rank: member i of N gets what
    lies above i of N + 1 errors, as `spans` reads them, and no two parts go together.
    """
    from scipy.special import ndtri

    apart = np.abs(np.subtract.outer(np.arange(days), np.arange(days)))
    size, part = np.linalg.eigh(_CARRY**apart)
    share = ndtri(np.arange(1, count + 1) / (count + 1.0))
    if 1 < count < spans.ENOUGH:  # there spans are read from the members' variance
        share /= share.std(ddof=1)
    rng = np.random.default_rng(_SEED)
    drawn = np.stack([rng.permutation(share) for _ in range(days)])
    for place in range(1, min(days, count - 1)):
        before = drawn[:place]
        drawn[place] -= before.T @ np.linalg.lstsq(before.T, drawn[place], rcond=None)[0]
        drawn[place] *= np.sqrt((share**2).sum() / (drawn[place] ** 2).sum())
    errors: Array = drawn[::-1].T * np.sqrt(size) @ part.T  # the largest part is the evenest
    errors.flags.writeable = False
    return errors


def fade(days: int) -> Array:
    """Share of the last forecast day's mismatch left on each day after it."""
    return np.asarray(_FADE_FROM * _FADE ** np.arange(days))
