"""Each known day of a record is the word of one source."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.errors import ArgumentRefusal
from gddcast.weather.provenance import NOBODY, Provenance, Sourced
from gddcast.weather.series import DailySeries

MAY = dt.date(2026, 5, 1)
SOURCE = Provenance(
    "st", "a service", "a station", "midnight", "free", dt.datetime(2026, 6, 1, tzinfo=dt.UTC)
)


def may(low: float = 10.0, days: int = 20, **at: float) -> DailySeries:
    tmin, tmax = np.full(days, low), np.full(days, low + 10.0)
    for name, value in at.items():
        tmax[int(name[1:])] = value
    return DailySeries(MAY, tmin, tmax)


def test_each_known_day_has_a_source() -> None:
    record = Sourced.of(may(d3=np.nan), SOURCE)
    assert record.of_day[3] == NOBODY
    assert (record.key_on(3), record.key_on(4)) == ("", "st")
    with pytest.raises(ArgumentRefusal, match="One source a day is needed: 20"):
        Sourced(may(), (SOURCE,), np.zeros(3, np.int8))
