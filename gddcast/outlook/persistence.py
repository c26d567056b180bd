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
    sums = np.cumsum(np.where(known, anomalies, 0.0), axis=-1)
    counts = np.cumsum(known, axis=-1, dtype=np.float64)
    found = np.empty((len(WINDOWS), *anomalies.shape))
    for mean, width in zip(found, WINDOWS, strict=True):
        total, count = sums.copy(), counts.copy()
        total[..., width:] -= sums[..., :-width]
        count[..., width:] -= counts[..., :-width]
        count[count < width / 2.0] = np.nan
        np.divide(total, count, out=mean)
    return found


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
    seen = np.where(np.isnan(recent).any(axis=0), 0.0, recent)
    known = ~np.isnan(anomalies)
    later, counted = np.where(known, anomalies, 0.0), known.astype(np.float64)
    one, other = np.triu_indices(len(seen))
    products = seen[one] * seen[other]
    square, right = np.empty((REACH, len(seen), len(seen))), np.empty((REACH, len(seen)))
    for place in range(REACH):
        ahead = place + 1
        square[place, one, other] = products[:, :-ahead] @ counted[ahead:]
        right[place] = seen[:, :-ahead] @ later[ahead:]
    square[:, other, one] = square[:, one, other]
    solved = np.linalg.pinv(square, rcond=1e-8, hermitian=True) @ right[..., None]
    return np.asarray(solved[..., 0])
