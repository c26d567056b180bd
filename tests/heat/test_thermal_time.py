"""Running sums and the fractional day each goal is reached."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from gddcast.heat.thermal_time import day_index, day_reached, running_heat

SOME = settings(max_examples=200, deadline=None, derandomize=True)
daily_heat = arrays(np.float64, st.integers(1, 60), elements=st.floats(0.0, 30.0, width=32))


def walked(daily: np.ndarray, goal: float) -> float:
    """The day a goal is reached, found by walking: no shared code with the tool."""
    total = 0.0
    for day, heat in enumerate(daily):
        if np.isnan(heat):
            return np.nan
        if total + heat >= goal:
            return day + (goal - total) / heat if heat > 0 else float(day)
        total += heat
    return np.inf


@SOME
@given(daily_heat, st.floats(0.01, 900.0), st.integers(0, 70))
def test_agrees_with_walking_day_by_day(daily: np.ndarray, goal: float, hole: int) -> None:
    """Reached, not reached and unknown, with and without a missing day."""
    daily = daily.copy()
    if hole < daily.size:
        daily[hole] = np.nan
    ours = float(day_reached(running_heat(daily), goal))
    np.testing.assert_allclose(ours, walked(daily, goal), rtol=0, atol=1e-6)


@SOME
@given(daily_heat, st.integers(0, 60))
def test_sums_do_not_know_what_came_before_their_start(daily: np.ndarray, start: int) -> None:
    """A season's sum does not depend on how long the file is: no doubling at a new year."""
    start = min(start, daily.size)
    heat = running_heat(daily, start)
    np.testing.assert_array_equal(heat[:start], 0.0)
    np.testing.assert_allclose(heat[start:], np.cumsum(daily[start:]), rtol=0, atol=1e-9)


def test_a_sum_that_stands_still_is_reached_on_its_first_day() -> None:
    """Cold days after the goal do not delay it."""
    heat = running_heat([5.0, 5.0, 0.0, 0.0, 5.0])
    np.testing.assert_allclose(day_reached(heat, [10.0, 10.5]), [2.0, 4.1], rtol=0, atol=1e-9)
    assert day_index(day_reached(heat, [10.0])).tolist() == [1]


def test_not_reached_and_unknown_are_different() -> None:
    """+∞ where the season ends too soon, NaN where a missing day hides the answer."""
    heat = running_heat([[5.0, 5.0, 5.0], [5.0, np.nan, 5.0]])
    times = day_reached(heat, [4.0, 12.0, 99.0])
    np.testing.assert_allclose(times[0], [0.8, 2.4, np.inf], rtol=0, atol=1e-9)
    assert times[1, 0] < 1.0
    assert np.isnan(times[1, 1:]).all()


def test_many_seasons_and_many_goals_keep_their_shape() -> None:
    """Seasons by goals; a scalar goal drops its axis."""
    heat = np.cumsum(np.ones((2, 3, 10)), axis=-1)
    assert day_reached(heat, [1.0, 2.0]).shape == (2, 3, 2)
    assert day_reached(heat, 2.0).shape == (2, 3)


def test_a_season_unknown_from_its_first_day() -> None:
    """Nothing can be said, except of a goal of nothing."""
    assert np.isnan(day_reached(running_heat([np.nan, 5.0]), 3.0))
