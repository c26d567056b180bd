"""pandas in gives pandas out: days are the index, and the answer says how it was counted."""

from __future__ import annotations

import numpy as np
import pandas as pd

import gddcast

DAYS = pd.date_range("2026-05-01", periods=3, name="day")


def test_a_series_comes_back_as_it_came() -> None:
    """Index and name kept; an unknown day unknown."""
    low = pd.Series([46.0, np.nan, 60.0], DAYS, name="bed 3")
    high = pd.Series([72.0, 80.0, 85.0], DAYS, name="bed 3")
    heat = gddcast.degree_days(low, high, lower=50, upper=86)
    assert heat.index.equals(DAYS)
    assert heat.name == "bed 3"
    assert heat.isna().tolist() == [False, True, False]
    assert heat.attrs["counted"]["shape"] == "single sine"


def test_a_table_keeps_columns_and_days_run_down() -> None:
    """Double shapes look to the next row, not the next column."""
    low = pd.DataFrame({"a": [4.0, 14.0, 9.0], "b": [5.0, 6.0, 7.0]}, index=DAYS)
    high = low + 12.0
    heat = gddcast.degree_days(low, high, lower=10.0, shape=gddcast.double_sine)
    assert list(heat.columns) == ["a", "b"]
    alone = gddcast.degree_days(
        low["a"].to_numpy(), high["a"].to_numpy(), lower=10.0, shape=gddcast.double_sine
    )
    np.testing.assert_allclose(heat["a"], alone, rtol=0, atol=1e-12)


def test_days_are_matched_by_date_not_by_place() -> None:
    """A minimum without its maximum is an unknown day, not the next day's."""
    low = pd.Series([4.0, 5.0, 6.0], DAYS)
    high = pd.Series([20.0, 21.0], DAYS[1:])
    heat = gddcast.degree_days(low, high, lower=10.0)
    assert heat.isna().tolist() == [True, False, False]
    np.testing.assert_allclose(
        heat.iloc[1], gddcast.degree_days(5.0, 20.0, lower=10.0), rtol=0, atol=1e-12
    )
