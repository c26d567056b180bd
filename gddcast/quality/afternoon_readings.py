"""Afternoon readings: does a hot day count twice?

A thermometer read and reset in the afternoon starts its next day at that hour's warmth. Where the
next day stays cooler, its maximum is that of the evening before: a hot day stands on two lines,
and every fall from one day to the next is spread over two. A rise is not: it shows at once. So
falls come out smaller than rises, and a fall is followed by another fall more than a rise by a
rise. Whole days, and days read in the morning, show nothing of the kind: weather cools faster
than it warms.

References
----------
DeGaetano, A. T. (1999). A method to infer observation time based on day-to-day temperature
variations. J. Climate 12, 3443-3456 (abstract seen): at afternoon stations the percentiles of
day-to-day rises of the maximum exceed those of its falls; whole days show them equal.
Belcher, B. N. and DeGaetano, A. T. (2003). A method for operational detection of daily
observation-time changes. J. Appl. Meteorol. 42 (abstract seen): surest inland, least at the coast.
Karl, T. R., Williams, C. N., Young, P. J. and Wendland, W. M. (1986). A model to estimate the
time of observation bias. J. Climate Appl. Meteorol. 25, 145-160 (from memory): afternoon
readings come out too warm.
That a fall is followed by a fall, and both limits, are our own: measured on fourteen records of
whole days, and on six hourly ones read at 16 to 19 h.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from gddcast.quality.shifts import correlation, pieces_of
from gddcast.weather.series import DailySeries

Array = NDArray[np.float64]

#: Contrast above which falls are called spread. Whole days of two years and more lie at −0.17 to
#: 0.02; hourly records read at 17 or 18 h mostly at 0.05 to 0.18.
SPREAD = 0.03
# Standard error of a contrast is this over the root of its days; seen on 206 single years.
_NOISE = 1.0
#: Changes from day to day below which the numbers are not trusted to tell: most of a year.
ENOUGH_CHANGES = 330
_PERCENTILES = np.arange(50, 100, 5)
#: Share of the way from the maximum to the next minimum that the air has cooled when it is read:
#: at 17 h the median is 0.02 to 0.09 inland (Beijing, Hesse, Minneapolis). The lower end, because
#: days already carried over are carried less a second time.
COOLED = 0.02


def fall_contrast(high: Array) -> tuple[float, int]:
    """How much more the maxima's falls are spread over days than their rises.

    Parameters
    ----------
    high : ndarray, shape (days,)
        Maxima as booked, NaN where unknown. [°C]

    Returns
    -------
    contrast : float
        Relative difference of the upper percentiles of rises and falls, plus that of the two
        correlations of successive ones; below zero in ordinary weather, NaN if too few.
    changes : int
        Number of day-to-day changes behind it.
    """
    change = np.diff(high)
    known = change[~np.isnan(change)]
    rises, falls = known[known > 0.0], -known[known < 0.0]
    if min(rises.size, falls.size) < _PERCENTILES.size:
        return np.nan, known.size
    rise, fall = (np.percentile(each, _PERCENTILES) for each in (rises, falls))
    smaller = float(np.mean((rise - fall) / (rise + fall)))
    up, down = np.maximum(change, 0.0), np.minimum(change, 0.0)
    again = correlation(down[:-1], down[1:])[0] - correlation(up[:-1], up[1:])[0]
    return smaller + again, known.size


def afternoon_stretches(
    series: DailySeries, readings: Array | None = None
) -> list[tuple[int, int]]:
    """Stretches whose falls are spread beyond chance: first day, day after the last.

    Parameters
    ----------
    series : DailySeries
        A record of twenty years and more is looked at by decade.
    readings : ndarray, shape (2, days), optional
        Stand in for those of the series where some were struck. [°C]
    """
    high = series.tmax if readings is None else readings[1]
    stretches: list[tuple[int, int]] = []
    for begin, end in pieces_of(series):
        contrast, changes = fall_contrast(high[begin:end])
        if changes < ENOUGH_CHANGES or not contrast > max(
            SPREAD, 2.0 * _NOISE / math.sqrt(changes)
        ):
            continue
        if stretches and stretches[-1][1] == begin:
            stretches[-1] = (stretches[-1][0], end)
        else:
            stretches.append((begin, end))
    return stretches


def carried_over(series: DailySeries, cooled: Array | float = COOLED) -> DailySeries:
    """The record as it would stand if each maximum started at the warmth of the evening before.

    Parameters
    ----------
    series : DailySeries
    cooled : float or ndarray, shape (days,)
        Share of the way to the next minimum the air has cooled when the thermometer is reset.

    Examples
    --------
    >>> import datetime as dt
    >>> days = DailySeries(dt.date(2026, 5, 2), [10.0, 10, 5], [30.0, 20, 20])
    >>> carried_over(days).tmax
    array([30. , 29.6, 20. ])
    """
    following = np.append(series.tmin[1:], np.nan)
    evening = series.tmax - cooled * (series.tmax - following)
    high = series.tmax.copy()
    high[1:] = np.where(np.isnan(high[1:]), np.nan, np.fmax(high[1:], evening[:-1]))
    return replace(series, tmax=high)
