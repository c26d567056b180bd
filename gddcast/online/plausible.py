"""What can be a day's air temperatures in °C, and what is another scale or swapped columns."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gddcast.online.trouble import Trouble

Array = NDArray[np.float64]

#: Coldest and hottest air ever measured, rounded outwards (WMO). [°C]
COLDEST, HOTTEST = -90.0, 57.0


def check_temperatures(low: Array, high: Array, what: str) -> None:
    """Trouble where many days can be no air temperatures in °C.

    Examples
    --------
    >>> check_temperatures(np.array([60.0, 64.0]), np.array([84.0, 88.0]), "this file")
    Traceback (most recent call last):
    gddcast.online.trouble.Trouble: this file is not in °C
    """
    with np.errstate(invalid="ignore"):
        outside = (low < COLDEST) | (high > HOTTEST)
        swapped = low > high
    known = max(int(np.count_nonzero(~np.isnan(low) & ~np.isnan(high))), 1)
    if np.count_nonzero(outside) > 0.1 * known:
        worst = float(np.nanmax(np.abs(np.concatenate([low, high]))))
        raise Trouble(
            f"{what} is not in °C",
            f"It has {worst:g}; air lies between {COLDEST:g} and {HOTTEST:g} °C.",
            slug="wrong-unit",
        )
    if np.count_nonzero((low == 0) & (high == 0)) > 0.5 * known:
        raise Trouble(
            f"{what} holds noughts where readings should be",
            "A day whose highest and lowest are both 0 is a blank that somebody filled.",
            slug="noughts",
        )
    if np.count_nonzero(swapped) > 0.1 * known:
        raise Trouble(
            f"{what} has minima above maxima",
            f"On {np.count_nonzero(swapped)} of {known} days: the columns are swapped.",
            slug="columns-swapped",
        )


def cleaned(low: Array, high: Array) -> tuple[Array, Array, int]:
    """The few impossible days made unknown, and their number.

    A blank filled with nought is one: highest and lowest are both 0.

    Examples
    --------
    >>> cleaned(np.array([0.0, 4.0]), np.array([0.0, 19.0]))
    (array([nan,  4.]), array([nan, 19.]), 1)
    """
    with np.errstate(invalid="ignore"):
        bad = (low > high) | (low < COLDEST) | (high > HOTTEST) | ((low == 0) & (high == 0))
    return np.where(bad, np.nan, low), np.where(bad, np.nan, high), int(bad.sum())
