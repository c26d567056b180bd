"""Morning readings: is the maximum in the book the one of the day before?

A thermometer read and reset in the morning shows last night's minimum and *yesterday's* maximum.
Written on one line they make a day that never was. The numbers tell: an afternoon is followed by
the night after it and preceded by the night before it, and is about equally akin to both. Booked
a day late, a maximum stands beside the minimum of the night *after* it, and its kin before it
outweighs its kin behind.

References
----------
Karl, T. R. et al. (1986); Baker, D. G. (1975): effect of the hour of observation on daily means
(from memory). The contrast and its limits are our own, measured on stations of known practice.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gddcast.weather.series import DailySeries, Origin

Array = NDArray[np.float64]

#: Contrast below which maxima are booked late. Records of whole days lie at −0.07 to 0.6, the
#: same records shifted by a day at −0.2 to −0.6.
BOOKED_LATE = -0.08
#: Pairs of days below which the numbers alone are not trusted to tell.
ENOUGH_PAIRS = 180
# Standard error of a contrast is this over the root of its pairs; seen on ten real stations.
_NOISE = 1.5
#: Fall of the contrast from the best decade of the same record that betrays a new practice;
#: a whole record shifted by a day falls by 0.35 to 0.7.
CHANGED_BY = 0.2
# Years of record from which practice is told by decade; a shorter piece joins its neighbour.
_TOLD_BY_DECADE, _PIECE = 20, 5


def kinship_contrast(low: Array, high: Array) -> tuple[float, int]:
    """How much more maxima go with the minimum a line later than with the one a line earlier.

    Parameters
    ----------
    low, high : ndarray, shape (days,)
        Minima and maxima as booked, NaN where unknown. [°C]

    Returns
    -------
    contrast : float
        Difference of the two correlations of day-to-day changes, −2 to 2; NaN if too few.
    pairs : int
        Number of days behind it.
    """
    warmer, milder = np.diff(high), np.diff(low)
    after, pairs = correlation(warmer[:-1], milder[1:])
    before, _ = correlation(warmer[1:], milder[:-1])
    return after - before, pairs


def correlation(one: Array, other: Array) -> tuple[float, int]:
    """Pearson's correlation over the days both know, and their number; NaN where it has none."""
    known = ~(np.isnan(one) | np.isnan(other))
    pairs = int(np.count_nonzero(known))
    if pairs < 3:
        return np.nan, pairs
    one, other = one[known] - one[known].mean(), other[known] - other[known].mean()
    size = np.sqrt((one @ one) * (other @ other))
    return float(one @ other / size) if size > 0.0 else np.nan, pairs


@dataclass(frozen=True, slots=True)
class ReadingPractice:
    """How maxima were booked over a stretch of the record; ``end`` is the day after its last."""

    begin: int
    end: int
    contrast: float
    pairs: int

    @property
    def noise(self) -> float:
        """Standard error of the contrast."""
        return _NOISE / math.sqrt(max(self.pairs, 1))


def practices(series: DailySeries, readings: Array | None = None) -> list[ReadingPractice]:
    """Practice of each decade, or of the whole record where it is shorter than twenty years.

    ``readings``, shape (2, days), stand in for those of the series where some were struck.
    """
    low, high = (series.tmin, series.tmax) if readings is None else readings
    return [
        ReadingPractice(begin, end, *kinship_contrast(low[begin:end], high[begin:end]))
        for begin, end in pieces_of(series)
    ]


def pieces_of(series: DailySeries) -> list[tuple[int, int]]:
    """Decades of a record, or the whole of one shorter than twenty years."""
    edges = [0, len(series)]
    if len(series) >= _TOLD_BY_DECADE * 365:
        decades = (series.dates.astype("datetime64[Y]").astype(int) + 1970) // 10
        begins = np.flatnonzero(np.diff(decades)) + 1
        whole = (begins >= _PIECE * 365) & (begins <= len(series) - _PIECE * 365)
        edges = [0, *begins[whole].tolist(), len(series)]
    return list(pairwise(edges))


def late_stretches(practices: list[ReadingPractice]) -> list[tuple[int, int]]:
    """Stretches that book maxima a day late, beyond chance: first day, day after the last.

    A decade books late where its contrast lies below ``BOOKED_LATE``, or below zero and
    ``CHANGED_BY`` under the best decade of the same record.
    """
    best = max((each.contrast for each in practices if each.pairs >= ENOUGH_PAIRS), default=np.nan)
    stretches: list[tuple[int, int]] = []
    for each in practices:
        if each.pairs < ENOUGH_PAIRS or not each.contrast + 2.0 * each.noise < 0.0:
            continue
        if not (each.contrast < BOOKED_LATE or each.contrast < best - CHANGED_BY):
            continue
        if stretches and stretches[-1][1] == each.begin:
            stretches[-1] = (stretches[-1][0], each.end)
        else:
            stretches.append((each.begin, each.end))
    return stretches


def maxima_a_day_earlier(
    series: DailySeries, first: dt.date | None = None, last: dt.date | None = None
) -> DailySeries:
    """Each maximum moved to the day before: morning readings put on the day they belong to.

    Parameters
    ----------
    series : DailySeries
    first, last : datetime.date, optional
        Lines to move, both included; the whole record by default.

    Returns
    -------
    DailySeries
        The maximum of the last line moved is unknown: it will be read tomorrow. So is one that
        would lie below the minimum of its new day.

    Examples
    --------
    >>> book = DailySeries(dt.date(2026, 5, 2), [3.9, 5.0, 7.2], [22.2, 18.9, 12.8])
    >>> maxima_a_day_earlier(book).tmax
    array([18.9, 12.8,  nan])
    """
    begin = 0 if first is None else max(series.index(first), 0)
    end = len(series) if last is None else min(series.index(last) + 1, len(series))
    high, origin = series.tmax.copy(), np.array(series.origin)
    if end > begin:
        high[begin : end - 1], high[end - 1] = series.tmax[begin + 1 : end], np.nan
        # A day is only as good as the worse of the two lines it is now made of.
        worse = np.maximum(origin[begin : end - 1], origin[begin + 1 : end])
        origin[begin : end - 1] = worse
        high[high < series.tmin] = np.nan
        origin[np.isnan(high) | np.isnan(series.tmin)] = Origin.UNKNOWN
    return replace(series, tmax=high, origin=origin)


def best_lag(high: Array, other: Array, most: int = 2) -> tuple[int, float]:
    """By how many days maxima trail those of another record, told by their day-to-day changes.

    Parameters
    ----------
    high, other : ndarray, shape (days,)
        Maxima of two records on the same days. [°C]
    most : int
        Largest lag looked at. [d]

    Returns
    -------
    lag : int
        0: same days. 1: ``high`` books each maximum a day later than ``other``. [d]
    lead : float
        Correlation at that lag less the next best; NaN where there is nothing to go by.

    Examples
    --------
    >>> other = np.array([20.0, 26, 19, 24, 30, 22, 25, 18, 27, 29])
    >>> best_lag(np.concatenate(([21.0], other[:-1])), other)[0]
    1
    """
    change, theirs = np.diff(high), np.diff(other)
    lags = range(-most, most + 1)
    kin = np.array([correlation(*_aligned(change, theirs, lag))[0] for lag in lags])
    if np.isnan(kin).all():
        return 0, np.nan
    order = np.argsort(np.nan_to_num(kin, nan=-2.0))
    return int(order[-1]) - most, float(kin[order[-1]] - kin[order[-2]])


def _aligned(one: Array, other: Array, lag: int) -> tuple[Array, Array]:
    if lag >= 0:
        return one[lag:], other[: other.size - lag]
    return one[:lag], other[-lag:]
