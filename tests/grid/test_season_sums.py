"""The compiled pass against the functions of the garden: all methods, both precisions, NaN laws."""

from __future__ import annotations

import itertools
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.grid import season_sums as rooms
from gddcast.grid.season_sums import SeasonSums, season_sums
from gddcast.heat.cutoffs import CUTOFFS
from gddcast.heat.daily import degree_days
from gddcast.heat.shapes import SHAPES

compiled = pytest.importorskip("gddcast.grid.compiled", reason="numba is not installed")

SINE = SHAPES["single sine"]
METHODS = list(itertools.product(SHAPES, CUTOFFS))
SOME = settings(max_examples=60, deadline=None, derandomize=True)


def asked(method: tuple[str, str], days: int, goals: tuple[float, ...], **more) -> SeasonSums:
    """One season of all days, unless said otherwise; thresholds that no reading ties with."""
    seasons = {"first": (0,), "end": (days,), "whole": (True,)} | more
    return SeasonSums(10.03, 24.07, *method, goals, **seasons)


def plain(*arguments) -> np.ndarray:
    """The answer of a machine without Numba."""
    with pytest.MonkeyPatch.context() as without:
        without.setattr(rooms, "compiled_way", lambda: None)
        return season_sums(*arguments)


@st.composite
def pieces(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    """Weeks on some pixels in tenths of a degree: warm, cold, flat, swapped and unknown days."""
    days, pixels = draw(st.integers(1, 40)), draw(st.integers(1, 4))
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    low = rng.integers(-100, 280, (days, pixels)) / 10
    high = low + rng.choice([0.0, 0.1, 3.0, 9.5, 16.2], (days, pixels))
    if draw(st.booleans()):
        for array in (low, high):
            array[rng.random(array.shape) < 0.03] = np.nan
        high[rng.random(high.shape) < 0.02] -= 20.0
    return low, high


@SOME
@given(pieces(), st.sampled_from(METHODS))
def test_both_ways_give_the_same_days_and_dates(piece, method) -> None:
    """Double precision: 1e-6 degree-days a day, dates to 1e-3 day, unknown in the same places."""
    low, high = piece
    days = low.shape[0]
    one = asked(method, days, (30.0, 7.5, 0.0, 120.0))
    fast, slow = season_sums(low, high, one), plain(low, high, one)
    np.testing.assert_array_equal(np.isnan(fast), np.isnan(slow))
    np.testing.assert_allclose(fast[:, -1], slow[:, -1], rtol=0, atol=1e-6 * days)
    # A sum that only just comes to a goal may do so on one way alone.
    heat = np.cumsum(degree_days(low.T, high.T, lower=10.03, upper=24.07,
                                 shape=method[0], cutoff=method[1]), axis=-1)  # fmt: skip
    for place, goal in enumerate(one.goals):
        clear = ~(np.abs(heat - goal) < 1e-4).any(axis=-1)
        np.testing.assert_allclose(fast[0, place, clear], slow[0, place, clear], rtol=0, atol=1e-3)


@SOME
@given(pieces(), st.sampled_from(METHODS))
def test_single_precision_is_near(piece, method) -> None:
    """1e-4 degree-days a day from the same single-precision readings."""
    low, high = (each.astype(np.float32) for each in piece)
    days = low.shape[0]
    one = asked(method, days, (30.0,))
    fast, slow = season_sums(low, high, one)[:, -1], plain(low, high, one)[:, -1]
    np.testing.assert_array_equal(np.isnan(fast), np.isnan(slow))
    np.testing.assert_allclose(fast, slow, rtol=0, atol=1e-4 * days)


@pytest.mark.parametrize("kind", ["float32", "float64"])
@pytest.mark.parametrize(("scale", "shift"), [(1.0, -273.15), (5 / 9, -160 / 9)])
def test_units_are_converted_on_the_way(kind: str, scale: float, shift: float) -> None:
    """Kelvin and °F in, the same sums as °C."""
    rng = np.random.default_rng(3)
    low = rng.normal(12.0, 5.0, (200, 30))
    high = low + rng.gamma(4.0, 2.5, low.shape)
    plainly = asked(("single sine", "horizontal"), 200, (300.0,))
    stored = asked(("single sine", "horizontal"), 200, (300.0,), scale=scale, shift=shift)
    there = [((each - shift) / scale).astype(kind) for each in (low, high)]
    atol = 4e-3 if kind == "float32" else 2e-4  # of about 1,500; K in single precision has 3e-5
    for way in (season_sums, plain):
        np.testing.assert_allclose(
            way(*there, stored)[:, -1], season_sums(low, high, plainly)[:, -1], rtol=0, atol=atol
        )


def test_tiles_and_seasons_leave_no_seam() -> None:
    """More pixels than a tile holds, several seasons, one of them cut off by the record's end."""
    rng = np.random.default_rng(4)
    low = rng.normal(10.0, 6.0, (800, 1300)).astype(np.float32)
    high = low + rng.gamma(4.0, 2.0, low.shape).astype(np.float32)
    several = asked(
        ("double sine", "horizontal"), 0, (250.0, 900.0, 1e6),
        first=(0, 300, 700), end=(300, 700, 800), whole=(True, True, False),
    )  # fmt: skip
    fast, slow = season_sums(low, high, several), plain(low, high, several)
    np.testing.assert_array_equal(np.isfinite(fast), np.isfinite(slow))
    finite = np.isfinite(fast)
    np.testing.assert_allclose(fast[finite], slow[finite], rtol=0, atol=2e-3)
    assert np.isinf(fast[:2, 2]).all()  # never, in whole seasons
    assert np.isnan(fast[2, 2]).all()  # and unknown where the record ends first


def test_stopping_early_changes_no_date() -> None:
    """Without totals a tile is left when all of it is through; ocean does not keep it."""
    rng = np.random.default_rng(6)
    low = rng.normal(14.0, 4.0, (300, 700))
    low[:, :50] = np.nan
    low[100, 60] = np.nan
    high = low + 8.0
    method, goals = ("single sine", "vertical"), (40.0, 333.0)
    whole = season_sums(low, high, asked(method, 300, goals))
    early = season_sums(low, high, asked(method, 300, goals, with_totals=False))
    np.testing.assert_array_equal(early[:, :-1], whole[:, :-1])
    assert np.isnan(early[:, -1]).all()


@pytest.mark.slow
def test_a_precision_is_compiled_once_and_kept(tmp_path: Path) -> None:
    """Arrays that may be written to or not, no season or several, the next process: one work."""
    program = (
        "import numpy as np\n"
        "from gddcast.grid import compiled\n"
        "from gddcast.grid.season_sums import SeasonSums, season_sums\n"
        "low = np.full((9, 2), 10.0, np.float32)\n"
        "for seasons in ((), (0,), (0, 4)):\n"
        "    ends, whole = tuple(each + 4 for each in seasons), (True,) * len(seasons)\n"
        "    one = SeasonSums(5.0, 30.0, 'single sine', 'none', (9.0,), seasons, ends, whole)\n"
        "    season_sums(low, low + 9, one)\n"
        "    low.flags.writeable = False\n"
        "done = compiled.season_pass.stats\n"
        "print(sum(done.cache_misses.values()), sum(done.cache_hits.values()))\n"
    )
    said = [
        subprocess.run(
            [sys.executable, "-c", program], env={**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)},
            check=True, capture_output=True, text=True,
        ).stdout.split()
        for _ in range(2)
    ]  # fmt: skip
    assert said == [["1", "0"], ["0", "1"]]


def test_it_works_without_numba(monkeypatch: pytest.MonkeyPatch) -> None:
    """Numba's own switch, and its absence, leave the other way."""
    assert rooms.compiled_way() is not None
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    assert rooms.compiled_way() is None
    monkeypatch.delenv("NUMBA_DISABLE_JIT")
    monkeypatch.setitem(__import__("sys").modules, "gddcast.grid.compiled", None)
    monkeypatch.delattr("gddcast.grid.compiled")
    assert rooms.compiled_way() is None


def test_curves_of_the_sine_are_those_of_arccos() -> None:
    """The polynomials on their whole range: the excess to 1e-9, the share to 1e-8."""
    d = np.linspace(0.0, 1.0, 100_001)
    g, s = (
        getattr(each, "py_func", each)(of, np.float64)
        for each, of in ((compiled._sine, d), (compiled._arccos, 1.0 - d))
    )
    np.testing.assert_allclose(d * np.sqrt(d) * g, SINE.g(1.0 - d), rtol=0, atol=1e-9)
    np.testing.assert_allclose(np.sqrt(d) * s / np.pi, SINE.s(1.0 - d), rtol=0, atol=1e-8)


def test_names_of_methods_are_those_of_the_garden() -> None:
    """A new shape or cut-off has to be taught to the compiled pass."""
    assert {name.replace("double", "single") for name in SHAPES} == set(compiled.SHAPES)
    assert set(CUTOFFS) == set(compiled.CUTOFFS)
