"""Running heat sums from a start day, and the fractional day on which each goal is reached.

Times count in days from the start of the series' first day: 0.0 is its first midnight, 2.5 the
noon of its third day. *Not reached* is +∞ and *unknown, because a day is missing* is NaN; the
two are different answers and never share a value.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def running_heat(daily: ArrayLike, start: int = 0) -> Array:
    """Heat accumulated by the end of each day.

    Parameters
    ----------
    daily : array_like, shape (..., days)
        Degree-days of each day. [°C·d]
    start : int, default: 0
        Index of the first day counted; the sum is 0 before it.

    Returns
    -------
    ndarray, shape (..., days)
        Sum through each day; NaN from the first unknown day counted. [°C·d]

    Examples
    --------
    >>> running_heat([5.0, 4.0, np.nan, 3.0], start=1)
    array([ 0.,  4., nan, nan])
    """
    heat = np.array(daily, dtype=np.float64)
    heat[..., :start] = 0.0
    return np.cumsum(heat, axis=-1, out=heat)


def day_reached(heat: ArrayLike, goals: ArrayLike) -> Array:
    """Time at which a running sum first reaches each goal.

    Parameters
    ----------
    heat : array_like, shape (..., days)
        Running sum at the end of each day, never falling. [°C·d]
    goals : array_like, shape (goals,) or scalar
        Heat wanted. [°C·d]

    Returns
    -------
    ndarray, shape (..., goals), or (...) for a scalar goal
        Time from the start of the first day, the day's heat spread evenly through it; +∞ where
        the sum is never reached; NaN where a missing day hides the answer. [d]

    Examples
    --------
    >>> day_reached([4.0, 10.0, 10.0, 16.0], [7.0, 10.0, 99.0])
    array([1.5, 2. , inf])
    >>> float(day_reached([4.0, np.nan, np.nan], 7.0))
    nan
    """
    heat = np.asarray(heat, dtype=np.float64)
    wanted = np.atleast_1d(np.asarray(goals, dtype=np.float64))
    rows = heat.reshape(-1, heat.shape[-1])
    times = np.empty((len(rows), wanted.size))
    # A sum may stand still for days. Asking a hair below the goal finds the first of them.
    just_below = np.nextafter(wanted, -np.inf)
    ends = np.arange(1.0, heat.shape[-1] + 1.0)
    for row, time in zip(rows, times, strict=True):
        time[:] = _reached(row, just_below, ends)
    shape = heat.shape[:-1] + (() if np.ndim(goals) == 0 else wanted.shape)
    return times.reshape(shape)[()]


def _reached(heat: Array, goals: Array, ends: Array) -> Array:
    never = np.inf
    if np.isnan(heat[-1]):  # unknown from some day on; a NaN sorts behind every number
        known = heat.searchsorted(np.inf, side="right")
        heat, ends, never = heat[:known], ends[:known], np.nan
        if known == 0:
            return np.where(goals < 0.0, 0.0, np.nan)
    time = np.interp(goals, heat, ends, right=never)
    if goals.min() < heat[0]:
        first = goals < heat[0]
        time[first] = np.maximum(goals[first], 0.0) / heat[0] if heat[0] > 0.0 else 0.0
    return time


def day_index(time: ArrayLike) -> NDArray[np.intp]:
    """Index of the day a finite time falls in; midnight belongs to the day it ends.

    Examples
    --------
    >>> day_index([0.0, 0.5, 1.0, 1.01])
    array([0, 0, 0, 1])
    """
    return np.maximum(np.ceil(time).astype(np.intp) - 1, 0)
