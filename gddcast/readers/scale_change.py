"""A file whose scale changes on some day: found, dated and refused."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, in_words


def refuse_change_of_scale(
    high: Array, low: Array, days: NDArray[np.datetime64], name: str, *, window: int = 20
) -> None:
    """Refuse a file whose scale changes on some day (U8), and name the day.

    The days before and after the jump must lie apart, by about what a change between °F and °C
    makes of them, and their daily ranges must differ by about 9/5.

    Parameters
    ----------
    high, low : numpy.ndarray, shape (days,)
        In the file's own scale, one value for each consecutive day.
    """
    mean = (high + low) / 2
    known = np.flatnonzero(~np.isnan(mean))
    if known.size < 10:
        return
    level, spread = mean[known], (high - low)[known]
    for at in _largest_shifts(level):
        parts = slice(max(at - window, 0), at), slice(at, at + window)
        if not _scales_differ(level, spread, *parts):
            continue
        one, other = (float(np.median(level[part])) for part in parts)
        cold = min(one, other)
        units = ("°F", "°C") if one > other else ("°C", "°F")
        day = days[known[at]]
        raise Refusal(
            name,
            f"its scale changes from {units[0]} to {units[1]} on {in_words(day)}",
            f"The middle of the days before is {one:.0f}, after {other:.0f}; "
            f"{cold:.0f} °C is {cold * 1.8 + 32:.0f} °F.",
            "Cut the file in two on that day and read each part with its own unit.",
            slug="units-change",
        )


def _largest_shifts(level: Array, near: int = 5, most: int = 12) -> NDArray[np.intp]:
    """Days at which the level jumps, those first whose two sides differ most."""
    total = np.concatenate(([0.0], np.cumsum(level)))
    at = np.arange(3, level.size - 2)
    begin, end = np.maximum(at - near, 0), np.minimum(at + near, level.size)
    before = (total[at] - total[begin]) / (at - begin)
    after = (total[end] - total[at]) / (end - at)
    shift = np.abs(after - before)
    shift[np.abs(level[at] - level[at - 1]) <= 10] = 0.0
    largest = np.argsort(-shift, kind="stable")[:most]
    days: NDArray[np.intp] = at[largest[shift[largest] > 15]]
    return days


def _scales_differ(level: Array, spread: Array, before: slice, after: slice) -> bool:
    """Whether two stretches of days can be the same weather in °F and in °C."""
    one, other = level[before], level[after]
    fahrenheit, centigrade = (one, other) if np.median(one) > np.median(other) else (other, one)
    if np.quantile(fahrenheit, 0.1) <= np.quantile(centigrade, 0.9):
        return False
    warm, cold = float(np.median(fahrenheit)), float(np.median(centigrade))
    if warm - cold < 18 or abs(cold * 1.8 + 32 - warm) > 0.5 * (warm - cold):
        return False
    wide, narrow = (
        float(np.median(np.abs(spread[part])))
        for part in ((before, after) if fahrenheit is one else (after, before))
    )
    return 0 < 1.2 * narrow < wide < 2.8 * narrow
