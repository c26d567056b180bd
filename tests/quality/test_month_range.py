"""A reading that its month has never shown is told with the nearest the month has."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.quality.month_range import ENOUGH_DAYS, OutsideMonth, outside_month
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import SAMPLES

JULY = dt.date(2026, 7, 9)
RECORD = read_temperatures(SAMPLES / "larkhollow_2014_2026_f.csv").series


def reading(low: float, high: float, day: dt.date = JULY) -> DailySeries:
    return DailySeries(day, np.array([low]), np.array([high]))


def test_celsius_typed_into_a_book_of_fahrenheit() -> None:
    """29/16 °F is -1.7/-8.9 °C; the extremes are those pandas finds in the same file."""
    table = pd.read_csv(SAMPLES / "larkhollow_2014_2026_f.csv", parse_dates=["date"])
    july = table[table.date.dt.month == 7].set_index("date")
    high, low = outside_month(RECORD, reading(-8.9, -1.7))
    for each, column in ((high, "max_f"), (low, "min_f")):
        assert each.extreme == pytest.approx((july[column].min() - 32) / 1.8, rel=0, abs=1e-9)
        assert july[column][pd.Timestamp(each.on)] == july[column].min()
        assert each.known == july[column].notna().sum()
    assert (high.end, high.value, low.end, low.value) == ("high", -1.7, "low", -8.9)
    assert list(outside_month(RECORD, reading(16.0, 29.0))) == []


def test_what_counts_as_shown() -> None:
    """No patched day, no other month, no day of the same date, and not before two months of it."""
    short = RECORD.between(dt.date(2024, 7, 1), dt.date(2025, 7, 28))
    assert list(outside_month(short, reading(-8.9, -1.7))) == []
    assert ENOUGH_DAYS == 60
    assert [each.known for each in outside_month(
        RECORD.between(dt.date(2024, 7, 1), dt.date(2025, 7, 30)), reading(-8.9, -1.7)
    )] == [61, 61]  # fmt: skip
    once = RECORD.between(dt.date(2014, 1, 1), dt.date(2025, 7, 31))
    hottest = max(outside_month(once, reading(20.0, 60.0)), key=lambda each: each.value)
    there = np.flatnonzero(once.dates == np.datetime64(hottest.on))[0]
    origin = np.array(once.origin)
    origin[there] = Origin.PATCHED
    patched = DailySeries(once.first, once.tmin, once.tmax, origin)
    (other,) = outside_month(patched, reading(20.0, 60.0))
    assert other.on != hottest.on
    again = DailySeries(hottest.on, np.array([20.0]), np.array([60.0]))
    (without_itself,) = outside_month(once, again)
    assert without_itself.on != hottest.on


@given(st.floats(-30, 50), st.floats(0, 25))
def test_asked_exactly_where_it_lies_outside(low: float, wide: float) -> None:
    july = (RECORD.dates.astype("datetime64[M]").astype(int) % 12 == 6) & RECORD.known
    ends = {
        each.end: each for each in outside_month(RECORD, reading(low, low + wide))
    }  # fmt: skip
    for end, value, shown in (
        ("low", low, RECORD.tmin[july]), ("high", low + wide, RECORD.tmax[july]),
    ):  # fmt: skip
        assert (end in ends) == (not shown.min() <= value <= shown.max())
        if end in ends:
            assert isinstance(ends[end], OutsideMonth)
            assert ends[end].extreme == (shown.min() if value < shown.min() else shown.max())
