"""Methods side by side over the same days, against readings through the day."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.lessons.comparison import compare_methods, on_days_of
from gddcast.weather.series import DailySeries

FIRST = dt.date(2026, 5, 4)


def sine_days(days: int = 30, seed: int = 1) -> tuple[DailySeries, np.ndarray]:
    """Days that are true sines, and 240 readings through each of them."""
    rng = np.random.default_rng(seed)
    low = rng.uniform(2, 14, days)
    high = low + rng.uniform(4, 16, days)
    hour = (np.arange(240) + 0.5) / 240
    readings = ((high + low) / 2)[:, None] - ((high - low) / 2)[:, None] * np.cos(2 * np.pi * hour)
    return DailySeries(FIRST, low, high), readings


def test_the_sine_is_right_where_days_are_sines() -> None:
    """On days that are sines the single sine meets the readings and the others don't."""
    series, readings = sine_days()
    found = {row.method: row for row in compare_methods(series, lower=10.0, hourly=readings).rows}

    for row in found.values():
        assert row.against_truth is not None
    miss = {name: row.against_truth or 0.0 for name, row in found.items()}
    assert abs(miss["single sine"]) < 0.02
    assert miss["floor the mean"] < -5
    assert miss["floor the readings"] > 5
    sine_late, mean_late = (found[name].days_late for name in ("single sine", "floor the mean"))
    assert sine_late is not None
    assert mean_late is not None
    assert abs(sine_late) < 0.01
    assert mean_late > 0.2


def test_days_without_a_truth_are_left_out_of_all() -> None:
    """A day with one missing reading counts for no method."""
    series, readings = sine_days()
    readings[4, 7] = np.nan
    found = compare_methods(series, lower=10.0, hourly=readings)
    without = np.delete(np.arange(30), 4)
    rest = DailySeries(FIRST, series.tmin[without], series.tmax[without])

    assert (found.days, found.left_out) == (29, 1)
    for row, expected in zip(found.rows, compare_methods(rest, lower=10.0).rows, strict=True):
        if "double" not in row.method:  # they look to the next night, which is another one here
            np.testing.assert_allclose(row.total, expected.total, rtol=1e-12, atol=0)


def test_table_is_laid_on_the_days_of_the_series() -> None:
    """Readings that start earlier or later than the series land on their own days."""
    series, readings = sine_days(5)
    later = series.between(FIRST + dt.timedelta(days=2), series.last)
    laid = on_days_of(later, readings, dt.datetime(2026, 5, 4, 3, 0))
    np.testing.assert_array_equal(laid, readings[2:])

    laid = on_days_of(series, readings[2:], dt.datetime(2026, 5, 6))
    assert np.all(np.isnan(laid[:2]))
    np.testing.assert_array_equal(laid[2:], readings[2:])


def test_nothing_to_compare_is_refused() -> None:
    """A series of unknown days has no comparison."""
    empty = DailySeries(FIRST, [np.nan] * 3, [np.nan] * 3)
    with pytest.raises(Refusal, match="no day in it can be compared"):
        compare_methods(empty, lower=10.0)
