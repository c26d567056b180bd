"""What a month has shown at a place: a reading outside it is a record, another scale, or a slip."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from gddcast.weather.series import DailySeries, Origin

#: Measured days of the month, about two of it, below which nothing is usual yet.
ENOUGH_DAYS = 60


@dataclass(frozen=True, slots=True)
class OutsideMonth:
    """One reading that its month has never shown, and the nearest it has. [°C]"""

    day: dt.date
    end: Literal["high", "low"]
    value: float
    extreme: float
    on: dt.date  # day of the extreme
    known: int  # measured days of that month


def outside_month(record: DailySeries, coming: DailySeries) -> Iterator[OutsideMonth]:
    """Readings that no such month of a record has shown, days of the same date left out.

    Parameters
    ----------
    record : DailySeries
        [°C]
    coming : DailySeries
        The readings asked about. [°C]

    Yields
    ------
    OutsideMonth
        In the order of days, the high of each before its low.
    """
    months = record.dates.astype("datetime64[M]").astype(int) % 12 + 1
    measured = np.isin(record.origin, (Origin.MEASURED, Origin.MODEL))
    for place in range(len(coming)):
        day = coming.date(place)
        there = measured & (months == day.month) & (record.dates != np.datetime64(day))
        ends: tuple[Literal["high", "low"], Literal["high", "low"]] = ("high", "low")
        for end, now, past in zip(
            ends, (coming.tmax, coming.tmin), (record.tmax, record.tmin), strict=True
        ):
            known = np.flatnonzero(there & np.isfinite(past))
            value = float(now[place])
            if known.size < ENOUGH_DAYS or np.isnan(value):
                continue
            low, high = (known[which(past[known])] for which in (np.argmin, np.argmax))
            at = low if value < past[low] else high if value > past[high] else None
            if at is not None:
                extreme, on = float(past[at]), record.date(int(at))
                yield OutsideMonth(day, end, value, extreme, on, int(known.size))
