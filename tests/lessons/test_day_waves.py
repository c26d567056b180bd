"""The day as each method takes it: its mean excess over a line is that method's heat."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.heat.shapes import SHAPES
from gddcast.lessons.day_waves import wave
from gddcast.lessons.worked_day import Day

# Middles of equal parts of the day: their mean is the day's.
SHARES = (np.arange(20_000) + 0.5) / 20_000


@given(
    low=st.floats(-10, 30), swing=st.floats(0, 25), lower=st.floats(-5, 25), drop=st.floats(-8, 8)
)
@pytest.mark.parametrize("shape", SHAPES.values(), ids=list(SHAPES))
def test_heat_is_the_mean_excess_of_the_wave(
    shape: object, low: float, swing: float, lower: float, drop: float
) -> None:
    """Added up at 20,000 points: nothing shared with the formulas of the methods."""
    day = Day(low + swing, low, lower, "C", next_low=low + drop)
    by_wave = np.maximum(wave(day, shape, SHARES) - lower, 0.0).mean()  # type: ignore[arg-type]
    assert day.heat(shape) == pytest.approx(by_wave, rel=0, abs=2e-3)  # type: ignore[arg-type]
