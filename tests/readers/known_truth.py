"""Days that a test knows, ways to write them down, and what a reader may answer: these, or ask."""

import datetime as dt
from typing import Any

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.reading import Reading
from tests.readers.readings import read_lines

#: A day, its maximum and its minimum. [°C]
Day = tuple[dt.date, float, float]


def known_days(first: str = "2026-05-01", count: int = 31, seed: int = 7) -> list[Day]:
    """Made-up days with tenths of a degree, every one different from its neighbours."""
    rng = np.random.default_rng(seed)
    begin = dt.date.fromisoformat(first)
    high = np.round(18 + 6 * np.sin(np.arange(count) / 5) + rng.uniform(-4, 4, count), 1)
    low = np.round(high - rng.uniform(6, 13, count), 1)
    return [(begin + dt.timedelta(days=at), float(high[at]), float(low[at])) for at in range(count)]


def whole_degrees(days: list[Day]) -> list[Day]:
    return [(day, float(round(high)), float(round(low))) for day, high, low in days]


def assert_days(reading: Reading, days: list[Day], *, missing: tuple[int, ...] = ()) -> None:
    """The reading has exactly these days, and none of those at the places said to be missing."""
    series = reading.series
    assert (series.first, series.last) == (days[0][0], days[-1][0])
    expected = np.array([(high, low) for _, high, low in days])
    expected[list(missing)] = np.nan
    np.testing.assert_allclose(series.tmax, expected[:, 0], rtol=0, atol=1e-6)
    np.testing.assert_allclose(series.tmin, expected[:, 1], rtol=0, atol=1e-6)


def asked(*lines: str, **told: Any) -> Refusal:
    """The refusal these lines meet; an answer is a failure."""
    with pytest.raises(Refusal, match=" ") as refused:
        read_lines(*lines, **told)
    refusal = refused.value
    assert all((refusal.where, refusal.problem, refusal.expected, refusal.cure))
    return refusal


def answered(*lines: str, **told: Any) -> Reading | Refusal:
    """What a reader makes of these lines."""
    try:
        return read_lines(*lines, **told)
    except Refusal as refusal:
        return refusal
