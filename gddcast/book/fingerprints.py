"""The weather behind an answer, in sixteen letters: whether it is still the same.

Weather services revise past days, and people correct files: a date that moved because its data
were replaced must not pass for a date that moved with the weather. Which days those are,
`gddcast.outlook.changes` tells from two records.
"""

from __future__ import annotations

import hashlib

import numpy as np

from gddcast.weather.series import DailySeries


def fingerprint(series: DailySeries) -> str:
    """Sixteen letters that differ when any day, reading or origin differs.

    Examples
    --------
    >>> import datetime as dt
    >>> one = DailySeries(dt.date(2026, 5, 1), [4.0, 5.0], [16.0, 18.0])
    >>> fingerprint(one) == fingerprint(one.between(one.first, one.last))
    True
    >>> fingerprint(one) == fingerprint(one.before(one.last))
    False
    """
    digest = hashlib.sha256(series.first.isoformat().encode())
    for readings in (series.tmin, series.tmax):
        # One spelling of "unknown", one of zero, one order of bytes.
        plain = np.where(np.isnan(readings), np.nan, readings + 0.0)
        digest.update(plain.astype("<f8").tobytes())
    digest.update(series.origin.astype("i1").tobytes())
    return digest.hexdigest()[:16]
