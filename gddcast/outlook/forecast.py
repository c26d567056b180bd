"""Forecast days, never taken as fact: drawn towards normal, given their own errors, faded out."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
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
# Errors of a place's forecasts until they have been compared with what came.
_USUAL_SPREAD = 4.5
_SEED = 1969


#: Comparisons of one lead from which this place's own errors are used for it.
ENOUGH = 30
# A forecast cell lies higher, or nearer the sea, than a garden: usual size of a lasting error.
_USUAL_BIAS = 1.25
# What the seen mean errors say of that size counts as much as this (in mean errors seen).
_BIAS_WORTH = 0.5
# Errors of forecasts issued on successive days go together, about so much.
_DAY_TO_DAY = 0.5
# Comparisons of one lead that count as much as those of all leads together.
_LEAD_WORTH = 30.0


@dataclass(frozen=True, slots=True)
class StrangeForecasts:
    """Past forecasts too far from what came to have been of this place, in this unit.

    Parameters
    ----------
    issued : tuple of date
        Days of their issue, oldest first.
    foretold, measured : float
        Mean temperature they foretold, and that of the same days measured. [°C]
    """

    issued: tuple[dt.date, ...]
    foretold: float
    measured: float


@dataclass(frozen=True, slots=True, eq=False)
class ForecastErrors:
    """How far a place's forecasts have been off: always the same way, and from day to day.

    Parameters
    ----------
    sd : ndarray, shape (LONGEST,)
        Standard deviation of the daily mean for the first, second … day ahead, about the bias.
        [°C]
    forecasts : int
        Past forecasts held against what was measured; 0 where none was.
    learnt : ndarray of bool, shape (LONGEST,), optional
        For which days ahead those are enough to be used. Default: none.
    bias : ndarray, shape (2, LONGEST), optional
        By how much minimum and maximum were too warm; taken off. Default: 0. [°C]
    bias_sd : float, default: 0
        Standard deviation of what is left of it: the same on all days of a forecast. [°C]
    strange : StrangeForecasts, optional
        Past ones that teach nothing.
    """

    sd: Array
    forecasts: int = 0
    learnt: NDArray[np.bool_] = None  # type: ignore[assignment]  # filled in __post_init__
    bias: Array = None  # type: ignore[assignment]  # filled in __post_init__
    bias_sd: float = 0.0
    strange: StrangeForecasts | None = None

    def __post_init__(self) -> None:
        if self.learnt is None:
            object.__setattr__(self, "learnt", np.zeros(self.sd.shape, dtype=bool))
        if self.bias is None:
            object.__setattr__(self, "bias", np.zeros((2, *self.sd.shape)))

    def at(self, leads: NDArray[np.int64]) -> ForecastErrors:
        """The errors of other days ahead: those of a forecast that was not issued just now."""
        leads = np.minimum(leads, self.sd.size - 1)
        return replace(self, sd=self.sd[leads], learnt=self.learnt[leads], bias=self.bias[:, leads])


def usual_errors(spread: float) -> ForecastErrors:
    """Errors assumed until this place's own forecasts have been compared with what came.

    Parameters
    ----------
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]
    """
    sd = (1.5 + np.arange(LONGEST) / 3.0) * spread / _USUAL_SPREAD
    return ForecastErrors(sd, bias_sd=_USUAL_BIAS)


def learnt_errors(foretold: Array, came: Array, spread: float) -> ForecastErrors:
    """Errors of past forecasts, steadied with the usual ones.

    Parameters
    ----------
    foretold, came : ndarray, shape (2, forecasts, days)
        Minimum and maximum foretold for the first, second … day ahead, and measured; NaN unknown.
        [°C]
    spread : float
        Standard deviation of the daily mean temperature about normal. [°C]

    Notes
    -----
    The bias is the mean error of all days ahead, each weighted by how well it is known, drawn
    towards zero by n/(n + k) for n forecasts: k is the variance of one forecast's mean error, three
    times over as forecasts of successive days are wrong together, against the variance that biases
    have (half the usual one, half what is seen here): about 3 where it is 1.5 °C. A single day
    ahead departs from that mean as its own comparisons, beside thirty, allow (an empirical Bayes
    estimate: Efron & Morris 1975, J. Am. Stat. Assoc. 70, 311-319; from memory). The sizes are our
    own choice.

    Below ``ENOUGH`` comparisons of a lead its usual error stays. From then on the usual one counts
    as ten comparisons beside them: a wrong week is wrong on many mornings, so thirty in a row
    teach little more than ten.
    """
    wrong = np.full((2, foretold.shape[1], LONGEST), np.nan)
    width = min(foretold.shape[2], LONGEST)
    wrong[:, :, :width] = (foretold - came)[:, :, :width]
    known = ~np.isnan(wrong).any(axis=0)
    compared, forecasts = known.sum(axis=0), int(known.any(axis=1).sum())
    usual, weight = usual_errors(spread), 10.0
    if not forecasts:
        return usual
    error = np.where(known, wrong, 0.0)
    trust = known / usual.sd**2
    mean = (error * trust).sum(axis=(1, 2)) / trust.sum()
    each = error.sum(axis=1) / np.maximum(compared, 1)
    part = known / usual.sd  # of the mean's error, by day ahead
    alone = np.einsum("fi,ij,fj", part, _together(LONGEST), part) / trust.sum() ** 2 * forecasts
    together = (1.0 + _DAY_TO_DAY) / (1.0 - _DAY_TO_DAY) * alone
    size = (_BIAS_WORTH * _USUAL_BIAS**2 + (mean**2).mean()) / (_BIAS_WORTH + 1.0)
    k = together / size
    bias = mean[:, None] * forecasts / (forecasts + k)
    bias = bias + (each - mean[:, None]) * compared / (compared + _LEAD_WORTH)
    left = np.where(known, (wrong - bias[:, None]).mean(axis=0), 0.0)
    own = compared >= ENOUGH
    squares = (left**2).sum(axis=0) + weight * usual.sd**2
    return ForecastErrors(
        np.where(own, np.sqrt(squares / (compared + weight)), usual.sd), forecasts, own,
        bias, float(np.sqrt(size * k / (forecasts + k))),
    )  # fmt: skip


def dressed(
    forecast: Array, normal: Array, spread: float, errors: ForecastErrors, count: int
) -> Array:
    """Weather that may come of a forecast, once for each member.

    Parameters
    ----------
    forecast, normal : ndarray, shape (2, ..., days)
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
    days = forecast.shape[-1]
    errors = errors.at(np.arange(days))
    size = np.hypot(errors.sd, errors.bias_sd)
    trust = spread**2 / (spread**2 + size**2)
    daily, lasting = _carried(count, days)
    drawn = daily * errors.sd + lasting[:, None] * errors.bias_sd
    drawn = (drawn * np.sqrt(trust)).reshape(count, *[1] * (forecast.ndim - 2), days)
    off = errors.bias.reshape(2, *[1] * (forecast.ndim - 2), days)
    middle = normal + trust * (forecast - off - normal)
    return np.asarray(middle[:, None] + drawn)


def _together(days: int) -> Array:
    """How errors of one forecast go together, by the days between them."""
    return np.asarray(_CARRY ** np.abs(np.subtract.outer(np.arange(days), np.arange(days))))


@cache
def _carried(count: int, days: int) -> tuple[Array, Array]:
    """Errors of unit size, spread evenly over the members: carried over day to day, and lasting.

    Drawn freely, a dozen members would now and then lean to one side, and with one seed always to
    the same. So each independent part of the error is shared out by rank: member i of N gets what
    lies above i of N + 1 errors, as `spans` reads them, and no two parts go together.
    """
    from scipy.special import ndtri

    size, part = np.linalg.eigh(_together(days))
    share = ndtri(np.arange(1, count + 1) / (count + 1.0))
    if 1 < count < spans.ENOUGH:  # there spans are read from the members' variance
        share /= share.std(ddof=1)
    rng = np.random.default_rng(_SEED)
    drawn = np.stack([rng.permutation(share) for _ in range(days + 1)])
    for place in range(1, min(days + 1, count - 1)):
        before = drawn[:place]
        drawn[place] -= before.T @ np.linalg.lstsq(before.T, drawn[place], rcond=None)[0]
        drawn[place] *= np.sqrt((share**2).sum() / (drawn[place] ** 2).sum())
    daily: Array = drawn[:days][::-1].T * np.sqrt(size) @ part.T  # the largest part is the evenest
    lasting: Array = drawn[days]
    daily.flags.writeable = lasting.flags.writeable = False
    return daily, lasting


def fade(days: int) -> Array:
    """Share of the last forecast day's mismatch left on each day after it."""
    return np.asarray(_FADE_FROM * _FADE ** np.arange(days))
