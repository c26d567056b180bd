"""The sum at which an insect is first seen at one place, learnt from its own first finds.

The place's mean sum μ is log-normal about the printed number P, the seasons' sums are normal about
μ with the standard deviation r·μ, none below 0, and the relative spread r is log-normal too. A
season tells only a bracket: the sum lay above the heat at the last clean look, and not above that
at the find. So it weighs each (μ, r) by ``Φ((high − μ)/(rμ)) − Φ((low − μ)/(rμ))``, the likelihood
of an interval-censored value (Turnbull 1976, Journal of the Royal Statistical Society B 38:290-295,
from memory). With few seasons the printed number still counts, with many it does not: partial
pooling (Gelman et al. 2013, Bayesian Data Analysis, 3rd edition, chapter 5, from memory). The two
spreads of the prior are our own, found on three species.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

#: Standard deviation of log μ about the printed number. Our own, found on three species.
PLACE_SD = 0.4
#: Median of r, and the standard deviation of its logarithm. Our own, found on three species.
SEASON_SPREAD, SEASON_SPREAD_SD = 0.15, 0.6
#: Printed numbers agree where none is farther than this from another. Common practice, no source.
AGREE = 1.25
#: Chance that an insect did not come at all in a season without a find. Our own, no source.
ABSENT = 0.5
#: Step of the grid in log μ, how far it reaches, and the steps in log r.
_STEP, _REACH, _SPREADS = 0.0125, 4.0, 21
#: Least width of a bracket, as a share of its heat.
_NARROWEST = 1e-3


@dataclass(frozen=True, slots=True)
class HeatBracket:
    """One season's heat between which its sum lies.

    Parameters
    ----------
    low : float
        At the last look that found none, or the last that is assumed to have. [°C·d]
    high : float
        At the find; infinite for a season looked through without one. [°C·d]
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.low <= self.high or math.isinf(self.low):
            raise ValueError(f"no bracket of heat: from {self.low} to {self.high} °C·d")


@dataclass(frozen=True)
class OwnSum:
    """What is known of the sum at which an insect is first seen at a place.

    Parameters
    ----------
    printed : float
        The published sum. [°C·d]
    brackets : tuple of HeatBracket
        One a season; the order is of no consequence.
    place_sd : float, default: 0.4
        Standard deviation of log μ about the printed sum.

    Examples
    --------
    >>> prior, own = OwnSum(600.0), OwnSum(600.0, (HeatBracket(690.0, 720.0),))
    >>> [round(prior.sum_at(share)) for share in (0.1, 0.5, 0.9)]
    [330, 593, 1042]
    >>> [round(own.sum_at(share)) for share in (0.1, 0.5, 0.9)]
    [509, 691, 887]
    """

    printed: float
    brackets: tuple[HeatBracket, ...] = ()
    place_sd: float = PLACE_SD

    @cached_property
    def _means(self) -> Array:
        """Logarithms of μ/P. The printed number may be far off: the brackets widen the grid."""
        reach = _REACH * self.place_sd
        ends = [end for each in self.brackets for end in (each.low, each.high)]
        told = [math.log(end / self.printed) for end in ends if 0.0 < end < math.inf]
        low, high = min([-reach, *(end - 0.3 for end in told)]), max([reach, *told])
        steps = np.arange(math.floor(low / _STEP), math.ceil(high / _STEP) + 1)
        return np.asarray(steps * _STEP, dtype=np.float64)

    @cached_property
    def _spreads(self) -> Array:
        steps = np.linspace(-2.5, 2.5, _SPREADS)
        return np.asarray(SEASON_SPREAD * np.exp(SEASON_SPREAD_SD * steps))

    @cached_property
    def _weights(self) -> Array:
        """Posterior of (r, μ), shape (spreads, means)."""
        steps = np.linspace(-2.5, 2.5, _SPREADS)
        log: Array = -0.5 * ((self._means / self.place_sd) ** 2 + steps[:, None] ** 2)
        mean = self.printed * np.exp(self._means)
        for each in self.brackets:
            log = log + _log_likelihood(each, mean, self._spreads[:, None])
        weights = np.exp(log - log.max())
        return np.asarray(weights / weights.sum())

    @cached_property
    def _table(self) -> tuple[Array, Array]:
        """Heats, as logarithms over P, and the chance that a season's sum is not above them.

        On a grid of logarithms the chance given (μ, r) is a function of their difference: what is
        left to do is one convolution for each r.
        """
        from scipy.special import ndtr

        extra = round(1.5 / _STEP)
        size = self._means.size
        shifts = np.arange(-size - extra + 1, size + extra) * _STEP
        spreads = self._spreads[:, None]
        below = ndtr(-1.0 / spreads)  # no sum is negative
        kernels = (ndtr(np.expm1(shifts) / spreads) - below) / (1.0 - below)
        heats = self._means[0] + np.arange(-extra, size + extra) * _STEP
        rows = zip(kernels, self._weights, strict=True)
        chance = sum(np.convolve(kernel, weights, "valid") for kernel, weights in rows)
        return heats, np.asarray(chance)

    def begun(self, heat: ArrayLike) -> Array:
        """Chance that a season's sum is not above a heat, the insect once seen. [°C·d]"""
        heats, chance = self._table
        with np.errstate(divide="ignore", invalid="ignore"):
            at = np.log(np.asarray(heat, dtype=np.float64) / self.printed)
        return np.asarray(np.interp(at, heats, chance, left=0.0))

    def sum_at(self, share: float) -> float:
        """Sum that this share of seasons does not exceed. [°C·d]"""
        heats, chance = self._table
        return float(self.printed * math.exp(np.interp(share, chance, heats)))

    def mean_at(self, share: float) -> float:
        """Sum that the place's mean is this likely not to exceed. [°C·d]"""
        weights = self._weights.sum(axis=0)
        chance = np.cumsum(weights) - weights / 2.0
        return float(self.printed * math.exp(np.interp(share, chance, self._means)))

    @property
    def spread(self) -> float:
        """Half the width of the middle two thirds of what a season's sum may be. [°C·d]"""
        return (self.sum_at(5 / 6) - self.sum_at(1 / 6)) / 2.0

    def outside(self, bracket: HeatBracket) -> float:
        """How rarely a season lies so far out, to either side: 1 in the middle, 0 far away."""
        low, high = self.begun([bracket.low, bracket.high]).tolist()
        return float(min(1.0, 2.0 * min(high, 1.0 - low)))


def _log_likelihood(bracket: HeatBracket, mean: Array, r: Array) -> Array:
    """Of one bracket; the far tail is taken on its exact side."""
    from scipy.special import ndtr

    sd, above_0 = r * mean, ndtr(1.0 / r)  # no sum is negative
    low = (bracket.low - mean) / sd
    if math.isinf(bracket.high):
        return np.asarray(np.log(ABSENT + (1.0 - ABSENT) * ndtr(-low) / above_0))
    # Cold days between look and find add no heat; a bracket without width would weigh nothing.
    high = (max(bracket.high, bracket.low * (1.0 + _NARROWEST)) - mean) / sd
    upper = low > 0
    share = ndtr(np.where(upper, -low, high)) - ndtr(np.where(upper, -high, low))
    return np.asarray(np.log(np.maximum(share / above_0, 1e-300)))


def place_sd(printed: Sequence[float]) -> float:
    """Standard deviation of log μ about what is printed of one event, by one method.

    Half of the doubt is the number's, half the place's: k numbers that agree halve, third … only
    the first. Numbers that do not agree say no more than one.

    Parameters
    ----------
    printed : sequence of float
        Every number printed for the event by the same method, from the same start. [°C·d]

    Examples
    --------
    >>> [round(place_sd(each), 3) for each in ([500], [500, 550], [500, 550, 520], [500, 900])]
    [0.4, 0.346, 0.327, 0.4]
    """
    if len(printed) < 2 or max(printed) > AGREE * min(printed):
        return PLACE_SD
    return PLACE_SD * math.sqrt(0.5 + 0.5 / len(printed))
