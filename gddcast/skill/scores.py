"""How good a span of dates was: CRPS, coverage, pinball, interval and Brier scores, PIT.

Members stand on the last axis; a NaN member is not counted. Scores of dates are in days, smaller
is better, and one that cannot be worked out is NaN.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def crps(members: ArrayLike, observed: ArrayLike, *, fair: bool = False, copies: int = 1) -> Array:
    """Continuous ranked probability score of an ensemble.

    Parameters
    ----------
    members : array_like, shape (..., M)
        Forecast values; NaN not counted.
    observed : array_like, shape (...)
        What came.
    fair : bool, default: False
        Score the distribution the members were drawn from instead of the members themselves:
        the raw score punishes even perfect members for being few, by 1/M of the score.
    copies : int, default: 1
        So many members in a row are one draw shifted, and no pairs of a fair score: M is a multiple
        of it.

    Returns
    -------
    ndarray, shape (...)
        In the members' unit; NaN without members, and for a fair score with fewer than two.

    References
    ----------
    Gneiting, T. and Raftery, A. E. (2007). Strictly proper scoring rules, prediction, and
    estimation. J. Am. Stat. Assoc. 102, 359-378, eq. 21.
    Ferro, C. A. T. (2014). Fair scores for ensemble forecasts. Q. J. R. Meteorol. Soc. 140.

    Examples
    --------
    >>> float(crps([1.0, 2.0, 4.0], 2.0).round(6))  # 1 − (1 + 2 + 3)/9
    0.333333
    """
    return raw_and_fair(members, observed, copies)[int(fair)]


def raw_and_fair(members: ArrayLike, observed: ArrayLike, copies: int = 1) -> tuple[Array, Array]:
    """Both scores of `crps`, from one look at the members."""
    value = np.asarray(members, dtype=np.float64)
    came = np.asarray(observed, dtype=np.float64)
    count, apart = _apart(value)
    same, within = count, np.zeros_like(apart)  # pairs of one draw, and how far apart they are
    if copies > 1:
        alike, near = _apart(value.reshape(*value.shape[:-1], -1, copies))
        same, within = (alike * alike).sum(axis=-1), near.sum(axis=-1)
    distance = np.abs(value - came[..., None])
    total = distance.sum(axis=-1)
    unknown = np.isnan(total)
    if unknown.any():
        total = np.where(unknown, np.nansum(distance, axis=-1), total)
    with np.errstate(invalid="ignore", divide="ignore"):
        miss = total / count
        pairs = count * count - same
        return miss - apart / (count * count), miss - (apart - within) / pairs


def _apart(members: Array) -> tuple[Array, Array]:
    """How many members are known, and how far apart all pairs of them are together."""
    value = np.sort(members, axis=-1)
    size = value.shape[-1]
    rank = 2.0 * np.arange(size) + 1.0
    if not np.isnan(value[..., -1:]).any():
        return np.full(value.shape[:-1], float(size)), np.asarray(value @ (rank - size))
    count = np.count_nonzero(~np.isnan(value), axis=-1).astype(np.float64)
    return count, np.nansum(value * (rank - count[..., None]), axis=-1)


def pinball(quantile: ArrayLike, share: ArrayLike, observed: ArrayLike) -> Array:
    """Loss of a quantile: ``share`` of each unit it was too low, the rest of each too high.

    Examples
    --------
    >>> float(pinball(10.0, 0.9, 12.0)), float(pinball(12.0, 0.9, 10.0))
    (1.8, 0.19999999999999996)
    """
    miss = np.asarray(observed, dtype=np.float64) - np.asarray(quantile, dtype=np.float64)
    level = np.asarray(share, dtype=np.float64)
    return np.asarray(np.maximum(level * miss, (level - 1.0) * miss))


def covered(low: ArrayLike, high: ArrayLike, observed: ArrayLike) -> NDArray[np.bool_]:
    """Whether the span held what came, its ends included."""
    came = np.asarray(observed)
    return np.asarray((np.asarray(low) <= came) & (came <= np.asarray(high)))


def interval_score(low: ArrayLike, high: ArrayLike, share: float, observed: ArrayLike) -> Array:
    """Width of a central span, and ``2/(1 − share)`` for each unit by which it missed.

    Examples
    --------
    >>> float(interval_score(10.0, 14.0, 0.8, 15.0).round(6))
    14.0
    """
    first, last = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    came = np.asarray(observed, dtype=np.float64)
    missed = np.maximum(first - came, 0.0) + np.maximum(came - last, 0.0)
    return np.asarray(last - first + 2.0 / (1.0 - share) * missed)


def spans_score(
    median: ArrayLike, spans: dict[float, tuple[Array, Array]], observed: ArrayLike
) -> Array:
    """Weighted interval score: what the median and spans shown are worth, near their CRPS.

    Parameters
    ----------
    median : array_like
    spans : dict of float to (ndarray, ndarray)
        Lower and upper end of each central span, by its share.
    observed : array_like

    References
    ----------
    Bracher, J. et al. (2021). Evaluating epidemic forecasts in an interval format. PLoS Comput.
    Biol. 17, e1008618, eq. 1 (from memory).
    """
    came = np.asarray(observed, dtype=np.float64)
    total = 0.5 * np.abs(came - np.asarray(median, dtype=np.float64))
    for share, (low, high) in spans.items():
        total = total + (1.0 - share) / 2.0 * interval_score(low, high, share, came)
    return np.asarray(total / (len(spans) + 0.5))


def brier(chance: ArrayLike, happened: ArrayLike) -> Array:
    """Squared difference between a chance and what came, 0 or 1. Brier (1950)."""
    return np.asarray((np.asarray(chance, dtype=np.float64) - np.asarray(happened, float)) ** 2)


def pit(members: ArrayLike, observed: ArrayLike) -> Array:
    """Share of the members before what came, ties halved: even over 0…1 if all is well.

    Examples
    --------
    >>> float(pit([1.0, 2.0, 3.0, 4.0], 2.0))
    0.375
    """
    value = np.asarray(members, dtype=np.float64)
    came = np.asarray(observed, dtype=np.float64)[..., None]
    count = np.count_nonzero(~np.isnan(value), axis=-1)
    earlier = np.count_nonzero(value < came, axis=-1)
    same = np.count_nonzero(value == came, axis=-1)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray((earlier + 0.5 * same) / count)
