"""Has the weather behind an answer changed since? A fingerprint says whether, two records which.

Weather services revise past days, and people correct files: a date that moved because its data
were replaced must not pass for a date that moved with the weather.
"""

from __future__ import annotations

import datetime as dt
import hashlib

import numpy as np

from gddcast.series import DailySeries


def fingerprint(series: DailySeries) -> str:
    """Sixteen letters that differ when any day, reading or origin differs.

    Examples
    --------
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


def changed_days(before: DailySeries, after: DailySeries) -> tuple[dt.date, ...]:
    """Days known before whose readings are different or gone now.

    Days that were unknown and have come in are news, not changes.

    Examples
    --------
    >>> before = DailySeries(dt.date(2026, 5, 1), [4.0, 5.0], [16.0, 18.0])
    >>> after = DailySeries(dt.date(2026, 5, 1), [4.0, 5.5, 6.0], [16.0, 18.0, 20.0])
    >>> changed_days(before, after)
    (datetime.date(2026, 5, 2),)
    """
    found = []
    for place in np.flatnonzero(before.known):
        day = before.date(int(place))
        there = after.index(day)
        if 0 <= there < len(after):
            now = (after.tmin[there], after.tmax[there])
            if np.allclose(now, (before.tmin[place], before.tmax[place]), rtol=0, atol=1e-6):
                continue
        found.append(day)
    return tuple(found)
