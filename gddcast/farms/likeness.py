"""Which farms have the same readings, and which run most alike: every pair in a few products.

Of two records the sums over the days both know, of a, b, a², b² and a·b, give the days in common,
the mean difference and its scatter; each is one product of matrices over all farms.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.weather.series import DailySeries, Origin

Readings = NDArray[np.float32]
#: Days back from today that are held against each other, and how many at a time are told to be
#: the same or not: a copy with a stuck week in it is a copy. [d]
_A_YEAR, _A_MONTH = 360, 30
#: Two thermometers a field apart differ by more from day to day; one record rounded to whole
#: degrees Fahrenheit differs from itself in tenths of a degree Celsius by 0.16. Our own choice.
#: [°C]
SAME_WITHIN = 0.25
#: One reading written in °F by one and in °C by the other, each to a tenth. [°C]
_A_TENTH = 0.08
#: Fewer days in common say nothing, of a year and of a month. [d]
ENOUGH_IN_COMMON, _ENOUGH_OF_A_MONTH = 30, 20
_PAIRS = 200_000  # looked at together, so that memory is that of the records alone


@dataclass(frozen=True, slots=True)
class Alike:
    """How another farm's last year compares with one's own.

    Parameters
    ----------
    farm : str
        The other one; empty before it is named.
    days : int
        Days that both know. [d]
    same : int
        Days of months that are one record in both. [d]
    offset : float
        Own readings less theirs, in the mean. [°C]
    scatter : float
        Standard deviation of the difference. [°C]
    exact : bool
        Whether so many days as are ``same`` read alike to a tenth of a degree.
    """

    farm: str
    days: int
    same: int
    offset: float
    scatter: float
    exact: bool = False

    def of_the_other(self, farm: str) -> Alike:
        """How this farm compares for the other one, that calls it so."""
        return replace(self, farm=farm, offset=0.0 - self.offset)


def recent_readings(series: DailySeries, today: dt.date) -> Readings:
    """Minima and maxima measured in the year before today, NaN where unknown.

    Returns
    -------
    ndarray, shape (2, 360)
        [°C]
    """
    first = today - dt.timedelta(days=_A_YEAR)
    held = series.between(first, today - dt.timedelta(days=1)).without(Origin.FORECAST)
    readings = np.full((2, _A_YEAR), np.nan, np.float32)
    begin = (held.first - first).days
    if 0 <= begin < _A_YEAR:
        readings[:, begin : begin + len(held)] = held.tmin, held.tmax
    return readings


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One record beside every other, itself among them; each array has one value a record."""

    days: NDArray[np.float32]  # in common [d]
    lends: NDArray[np.float32]  # known there and unknown here [d]
    same: NDArray[np.float32]  # of months that are one record [d]
    offset: NDArray[np.float32]  # [°C]
    scatter: NDArray[np.float32]  # [°C]

    def alike(self, other: int, farm: str = "") -> Alike:
        """How one of them compares."""
        return Alike(
            farm, round(float(self.days[other])), round(float(self.same[other])),
            float(self.offset[other]), float(self.scatter[other]),
        )  # fmt: skip


def rows(records: Sequence[Readings | None]) -> Iterator[Row]:
    """Each record beside every other, in their order."""
    if not records:
        return
    values = np.full((len(records), 2, _A_YEAR), np.nan, np.float32)
    for place, readings in zip(values, records, strict=True):
        if readings is not None:
            place[:] = readings
    known = np.isfinite(values)
    if known.any():
        values -= np.float32(np.mean(values, dtype=np.float64, where=known))  # small products
    values[~known] = 0.0
    held = known.reshape(len(values), -1).sum(axis=1, dtype=np.float32)
    at_once = max(_PAIRS // len(values), 1)
    for begin in range(0, len(records), at_once):
        part = slice(begin, begin + at_once)
        sums = np.zeros((3, len(values[part]), len(values)), np.float32)
        same = np.zeros(sums.shape[1:], np.float32)
        for month in range(0, _A_YEAR, _A_MONTH):
            days = slice(month, month + _A_MONTH)
            a = values[:, :, days].reshape(len(values), -1)
            m = known[:, :, days].reshape(len(values), -1).astype(np.float32)
            squares = a * a
            both = m[part] @ m.T
            first = a[part] @ m.T - m[part] @ a.T
            second = squares[part] @ m.T + m[part] @ squares.T - 2.0 * (a[part] @ a.T)
            sums += both, first, second
            is_same = second <= both * np.float32(SAME_WITHIN**2)
            same += np.where(is_same & (both >= 2 * _ENOUGH_OF_A_MONTH), both, 0.0)
        many = np.maximum(sums[0], 1.0)
        lends = held - sums[0]
        offset, square = sums[1] / many, sums[2] / many
        scatter = np.sqrt(np.maximum(square - offset * offset, 0.0))
        for row in range(len(same)):
            yield Row(
                sums[0, row] / 2.0, lends[row] / 2.0, same[row] / 2.0, offset[row], scatter[row]
            )


def same_readings(records: Sequence[Readings | None]) -> Iterator[tuple[int, int, Alike]]:
    """Pairs of records of which a month or more is one, each with the earlier before the later.

    Examples
    --------
    >>> one = np.arange(720, dtype=np.float32).reshape(2, 360) % 9
    >>> [(*pair, alike.same) for *pair, alike in same_readings([one, one + 3, one, None])]
    [(0, 2, 360)]
    """
    for one, row in enumerate(rows(records)):
        for other in map(int, np.flatnonzero(row.same > 0.0)):
            if other > one:
                yield one, other, exactly(row.alike(other), records[one], records[other])


def exactly(alike: Alike, one: Readings | None, other: Readings | None) -> Alike:
    """The same, with whether the two records' common days are alike to the digit."""
    if one is None or other is None:
        return alike
    days = int(np.count_nonzero((np.abs(one - other) <= _A_TENTH).all(axis=0)))
    return replace(alike, exact=days >= alike.same)
