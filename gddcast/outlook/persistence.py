"""How long a warm or cold spell lasts: what the last days tell about the coming ones."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Days ahead for which the last days still say something.
REACH = 45
#: Days whose mean anomaly is looked at: yesterday, the last week, the last month.
WINDOWS = (1, 7, 30)


def _default() -> Array:
    ahead = np.arange(REACH)
    return np.stack([0.72 * 0.6**ahead, np.zeros(REACH), np.full(REACH, 0.08)], axis=-1)


#: Weights where fewer than five years are on record, shape (REACH, 3): yesterday's anomaly
#: fades by four tenths a day, the month's stays. From mid-latitude stations, our own fit.
DEFAULT = _default()
DEFAULT.flags.writeable = False


def recent(anomalies: Array) -> Array:
    """Mean anomaly of the last day, week and month, as seen at the end of each day.

    Parameters
    ----------
    anomalies : ndarray, shape (..., days)
        Departures from normal; NaN where unknown. [°C]

    Returns
    -------
    ndarray, shape (3, ..., days)
        NaN where fewer than half of the days are known. [°C]
    """
    known = ~np.isnan(anomalies)
    zero = np.zeros((*anomalies.shape[:-1], 1))
    sums = np.concatenate([zero, np.cumsum(np.where(known, anomalies, 0.0), axis=-1)], axis=-1)
    counts = np.concatenate([zero, np.cumsum(known, axis=-1)], axis=-1)
    days = np.arange(1, anomalies.shape[-1] + 1)
    found = []
    for width in WINDOWS:
        before = np.maximum(days - width, 0)
        count = counts[..., days] - counts[..., before]
        total = sums[..., days] - sums[..., before]
        enough = count >= width / 2.0
        found.append(np.where(enough, total / np.maximum(count, 1.0), np.nan))
    return np.array(found)


def fitted(recent: Array, anomalies: Array) -> Array:
    """Least-squares weights of the recent anomalies for each day ahead.

    Parameters
    ----------
    recent : ndarray, shape (3, days)
        From `recent`; NaN on days that must not be learnt from. [°C]
    anomalies : ndarray, shape (days,)
        Departures from normal; NaN likewise. [°C]

    Returns
    -------
    ndarray, shape (REACH, 3)
    """
    usable = ~np.isnan(recent).any(axis=0)
    known = ~np.isnan(anomalies)
    seen = np.where(usable, recent, 0.0).T
    later = np.where(known, anomalies, 0.0)
    weights = np.empty((REACH, recent.shape[0]))
    for ahead in range(1, REACH + 1):
        counted = seen[:-ahead] * known[ahead:, None]
        square = counted.T @ seen[:-ahead]
        weights[ahead - 1] = np.linalg.lstsq(square, counted.T @ later[ahead:], rcond=1e-8)[0]
    return weights
