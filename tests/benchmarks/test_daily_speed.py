"""Daily kernels against ``np.add`` and ``np.cumsum`` on the same arrays; ratios of one run.

The limits asserted are generous: they catch a lost block or a lost buffer, not a busy machine.
"""

from __future__ import annotations

import statistics
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pytest

import gddcast
from gddcast.heat.shapes import SHAPES

DAYS = 14_600_000 // 4  # a quarter of the full size: the ratios are the same, the wait is not


def median_seconds(work: Callable[[], object], times: int = 3) -> float:
    """Middle of a few runs."""
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken)


@pytest.fixture(scope="module")
def station_days() -> tuple[np.ndarray, np.ndarray]:
    """Days as a continental year has them: a wave, weather, a daily range."""
    rng = np.random.default_rng(1)
    season = 11.0 - 13.0 * np.cos(np.arange(DAYS) * 2 * np.pi / 365.25)
    mean = season + rng.normal(0.0, 4.0, DAYS)
    half = np.abs(rng.normal(6.0, 2.0, DAYS))
    return mean - half, mean + half


def test_daily_kernels_in_units_of_adding(
    station_days: tuple[np.ndarray, np.ndarray], capsys: pytest.CaptureFixture[str]
) -> None:
    """Single sine with a horizontal cut-off aims at 12 × np.add."""
    tmin, tmax = station_days
    out = np.empty_like(tmin)
    add = median_seconds(lambda: np.add(tmin, tmax, out=out), 5)
    cumsum = median_seconds(lambda: np.cumsum(tmin, out=out), 5)
    lines = []
    for name, most in (
        ("floor the mean", 20.0),
        ("single triangle", 30.0),
        ("single sine", 36.0),
        ("double sine", 90.0),
    ):
        took = median_seconds(
            lambda shape=SHAPES[name]: gddcast.degree_days(
                tmin, tmax, lower=10.0, upper=30.0, shape=shape
            )
        )
        lines.append(f"{name} {took / add:.1f} × add, {took / cumsum:.1f} × cumsum")
        assert took < most * add, lines[-1]
    with capsys.disabled():
        print("\n" + "; ".join(lines))


@pytest.mark.parametrize(("shape", "most"), [("single sine", 0.16), ("floor the mean", 0.05)])
def test_daily_kernels_take_hardly_more_memory_than_their_result(shape: str, most: float) -> None:
    """At most 5 % of the inputs beyond the result, by a sine once the arrays are large."""
    tmin = np.full(4_000_000, 5.0)
    tmax = np.full(4_000_000, 25.0)
    tracemalloc.start()
    heat = gddcast.degree_days(tmin, tmax, lower=10.0, upper=22.0, shape=shape)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak - heat.nbytes < most * (tmin.nbytes + tmax.nbytes)  # 14.6 M days: under 5 %


def test_thirty_goals_of_forty_thousand_seasons(capsys: pytest.CaptureFixture[str]) -> None:
    """Dates of 30 goals aim at 3 × the cumulative sum that they read."""
    daily = np.random.default_rng(2).gamma(2.0, 5.0, (40_000, 365))
    cumsum = median_seconds(lambda: np.cumsum(daily, axis=-1))
    heat = gddcast.running_heat(daily)
    goals = np.linspace(50.0, 3000.0, 30)
    took = median_seconds(lambda: gddcast.day_reached(heat, goals))
    with capsys.disabled():
        print(f"\n30 goals × 40,000 seasons: {took / cumsum:.1f} × cumsum")
    assert took < 9.0 * cumsum
