"""Rows of a file after its cells were understood: one moment, one or two numbers, one line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.readers.reading import Array, Days, Integers


@dataclass(frozen=True, slots=True)
class Rows:
    """Readings in the order of the file, in the file's own scale.

    Parameters
    ----------
    days : numpy.ndarray of datetime64[D], shape (rows,)
    high, low : numpy.ndarray, shape (rows,)
        The same array where a log has one column.
    lines : sequence of int
        Line of each row, counted from 1.
    how : numpy.ndarray of int8
        Origin the file itself gives each row, 0 where it says nothing.
    minutes : numpy.ndarray of int, optional
        Time of day. [min]
    zone : numpy.ndarray of int, optional
        Distance from UTC the stamps state. [min]
    """

    days: Days
    high: Array
    low: Array
    lines: Sequence[int]
    how: NDArray[np.int8]
    minutes: Integers | None = None
    zone: Integers | None = None

    @property
    def moments(self) -> Integers:
        """Minutes since 1970 by the file's own clock."""
        day = self.days.astype(np.int64)
        return day * 1440 + (self.minutes if self.minutes is not None else 0)

    @property
    def is_log(self) -> bool:
        """Whether the file holds several readings a day."""
        if self.minutes is None or np.unique(self.minutes).size < 2:
            return False  # the same hour every day is a daily table, even where days stand twice
        return bool(np.unique(self.days).size * 1.5 < self.days.size)

    def where(self, kept: NDArray[np.bool_]) -> Rows:
        """The rows that are kept."""
        line = np.asarray(self.lines, dtype=np.int64)
        return Rows(
            self.days[kept],
            self.high[kept],
            self.low[kept],
            line[kept].tolist(),
            self.how[kept],
            None if self.minutes is None else self.minutes[kept],
            None if self.zone is None else self.zone[kept],
        )

    def of(self, high: Array, low: Array) -> Rows:
        """The same rows with other numbers."""
        return replace(self, high=high, low=low)
