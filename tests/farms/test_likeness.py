"""Copies and neighbours: the products of matrices say what each pair says by itself."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.farms.likeness import recent_readings, rows, same_readings
from gddcast.weather.series import DailySeries, Origin
from tests.farms.twelve import TODAY, farm


def _records(seed: int, number: int, holes: float) -> list[np.ndarray]:
    draw = np.random.default_rng(seed)
    records = draw.normal(12.0, 9.0, (number, 2, 360)).astype(np.float32)
    records[draw.random((number, 1, 360)).repeat(2, axis=1) < holes] = np.nan
    return list(records)


@given(st.integers(0, 10_000), st.integers(2, 5), st.sampled_from([0.0, 0.2, 0.9]))
@settings(max_examples=20, deadline=None)
def test_each_pair_is_as_it_is_by_itself(seed: int, number: int, holes: float) -> None:
    """Days in common, mean difference, scatter and days that could be lent."""
    records = _records(seed, number, holes)
    for one, row in enumerate(rows(records)):
        for other in range(number):
            apart = (records[one] - records[other]).astype(np.float64)
            both = ~np.isnan(apart)
            assert row.days[other] == np.count_nonzero(both) / 2
            lends = np.isnan(records[one]) & ~np.isnan(records[other])
            assert row.lends[other] == np.count_nonzero(lends) / 2
            if both.any():
                np.testing.assert_allclose(row.offset[other], apart[both].mean(), rtol=0, atol=1e-3)
                np.testing.assert_allclose(row.scatter[other], apart[both].std(), rtol=0, atol=0.05)


@pytest.mark.parametrize("step", [5.0 / 9.0, 0.5, 0.1])
def test_a_record_rounded_is_still_the_same(step: float) -> None:
    """To whole degrees Fahrenheit, to halves or tenths of a degree Celsius."""
    series = farm(0)
    one = recent_readings(series, TODAY)
    other = np.round(one / step) * step
    found = list(same_readings([one, other.astype(np.float32)]))
    assert [pair[:2] for pair in found] == [(0, 1)]


def test_a_copy_with_a_stuck_week_in_it_is_a_copy_and_a_neighbour_is_none() -> None:
    one, near = (recent_readings(farm(number), TODAY) for number in (0, 1))
    stuck = one.copy()
    stuck[1, -10:] = stuck[1, -10]
    ((first, second, alike),) = same_readings([near, one, stuck])
    assert (first, second) == (1, 2)
    assert 300 <= alike.same < 360


def test_a_copy_is_called_exact_only_where_its_digits_are() -> None:
    """In °F and °C, each to a tenth, it is; with a twentieth of the days rounded it is not."""
    one = recent_readings(farm(0), TODAY)
    fahrenheit = np.round(one * 1.8 + 32, 1)
    other = np.round((fahrenheit - 32) / 1.8, 1).astype(np.float32)
    ((_, _, alike),) = same_readings([one, other])
    assert alike.exact
    other[:, ::20] = np.round(other[:, ::20] * 2) / 2 + np.float32(0.2)
    ((_, _, alike),) = same_readings([one, other])
    assert not alike.exact
    assert (alike.of_the_other("A").offset, alike.of_the_other("A").farm) == (-alike.offset, "A")


def test_a_month_that_was_copied_is_enough() -> None:
    one, other = (recent_readings(farm(number), TODAY) for number in (0, 5))
    other[:, 330:] = one[:, 330:]
    ((_, _, alike),) = same_readings([one, other])
    assert alike.same == 30


def test_days_to_come_and_forecasts_are_nobody_s_readings() -> None:
    days = np.arange(400)
    origin = np.where(days >= 395, Origin.FORECAST, Origin.MEASURED).astype(np.int8)
    first = TODAY - dt.timedelta(days=390)
    series = DailySeries(first, days - 400.0, days - 399.0, origin)
    found = recent_readings(series, TODAY)
    assert found.shape == (2, 360)
    assert found[0, -1] == 389 - 400.0  # yesterday
    late = recent_readings(series, TODAY + dt.timedelta(days=9))
    assert np.isnan(late[:, -4:]).all()
    assert late[0, -5] == 394 - 400.0


def test_a_record_of_other_years_has_no_recent_readings() -> None:
    old = farm(0).before(dt.date(2020, 1, 1))
    assert np.isnan(recent_readings(old, TODAY)).all()
