"""The compiled pass of a grid against ``np.cumsum`` and against reading the same arrays.

Ratios of one run, by processor time. The limits asserted are generous: they catch a lost loop, not
a busy machine. Printed with -s; data/GRID.md has a table of them.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import pytest

from gddcast import Counting, Target
from gddcast.grid import open_grid
from gddcast.grid import season_sums as rooms
from gddcast.grid.season_sums import SeasonSums, season_sums
from gddcast.grid.stage_dates import stage_days
from gddcast.heat.cutoffs import CUTOFFS
from gddcast.heat.daily import degree_days
from gddcast.heat.shapes import SHAPES

pytest.importorskip("numba", reason="numba is not installed")
dask = pytest.importorskip("dask", reason="dask is not installed")
xr = pytest.importorskip("xarray", reason="xarray is not installed")

DAYS, PIXELS, SEASONS = 365, 400, 10


def in_turn(work: dict[str, Callable[[], object]], times: int = 5) -> dict[str, float]:
    """Least processor time of each, tried in turn, so that what else runs falls on all. [s]"""
    least = dict.fromkeys(work, np.inf)
    for _ in range(times):
        for name, each in work.items():
            begin = time.thread_time()
            each()
            least[name] = min(least[name], time.thread_time() - begin)
    return least


@pytest.fixture(scope="module")
def tile() -> tuple[np.ndarray, np.ndarray]:
    """Ten years of 20 × 20 pixels that lie near each other."""
    rng = np.random.default_rng(1)
    day = np.arange(DAYS * SEASONS)[:, None]
    wave = 11.0 - 13.0 * np.cos((day - 20) * 2 * np.pi / 365.0)
    mean = wave + rng.normal(0, 3, day.shape) + rng.normal(0, 1.5, (1, PIXELS))
    mean = mean + rng.normal(0, 1, (day.size, PIXELS))
    half = np.abs(rng.normal(6.0, 2.0, mean.shape))
    return (mean - half).astype(np.float32), (mean + half).astype(np.float32)


def asked(shape: str, cutoff: str, *, with_totals: bool) -> SeasonSums:
    """Three goals of a spring's pest."""
    first = tuple(range(0, DAYS * SEASONS, DAYS))
    return SeasonSums(
        10.0, 30.0, shape, cutoff, (50.0, 150.0, 500.0), first,
        tuple(each + DAYS for each in first), (True,) * SEASONS, with_totals=with_totals,
    )  # fmt: skip


def test_the_pass_in_units_of_a_running_sum(
    tile: tuple[np.ndarray, np.ndarray], capsys: pytest.CaptureFixture[str]
) -> None:
    """Aims of every method: 1.1 × for a whole season, 0.7 where it may stop early."""
    low, high = tile
    rows = np.ascontiguousarray(low.T.astype(np.float64))
    out = np.empty_like(rows)
    methods = [("single sine", cutoff) for cutoff in CUTOFFS if cutoff != "horizontal"]
    methods += [(shape, "horizontal") for shape in SHAPES]
    work: dict[str, Callable[[], object]] = {
        "cumsum": lambda: np.cumsum(rows, axis=-1, out=out),
        "reading both": lambda: (low.max(), high.max()),
    }
    for shape, cutoff in methods:
        for way, totals in (("whole", True), ("stops early", False)):
            one = asked(shape, cutoff, with_totals=totals)
            work[f"{shape}, {cutoff}, {way}"] = partial(season_sums, low, high, one)
    took = in_turn(work)
    with capsys.disabled():
        print()
        for name, seconds in took.items():
            print(f"{name}: {seconds / took['cumsum']:.2f} × cumsum")
    for name, seconds in took.items():
        assert seconds < 3.0 * took["cumsum"], name


def alone_and_together(work: list[Callable[[], object]], times: int) -> tuple[float, float]:
    """Least time of one thread, and of two from the first start to the last end. [s]

    Both threads stand ready and the two cases take turns: of many short runs some find every core
    free, on a machine that others use as well.
    """
    begin, done = [threading.Semaphore(0) for _ in work], threading.Semaphore(0)
    spans: list[tuple[float, float]] = []

    def stand_ready(place: int, runs: int) -> None:
        for _ in range(runs):
            begin[place].acquire()
            start = time.perf_counter()
            work[place]()
            spans.append((start, time.perf_counter()))
            done.release()

    for place, runs in enumerate((2 * times, times)):
        threading.Thread(target=stand_ready, args=(place, runs), daemon=True).start()
    least = {1: np.inf, 2: np.inf}
    for _ in range(times):
        time.sleep(0.002)  # who has waited is let in first
        for threads in least:
            for each in begin[:threads]:
                each.release()
            for _ in range(threads):
                done.acquire()
            starts, ends = zip(*spans, strict=True)
            least[threads] = min(least[threads], max(ends) - min(starts))
            spans.clear()
    return least[1], least[2]


def test_two_threads(
    tile: tuple[np.ndarray, np.ndarray], capsys: pytest.CaptureFixture[str]
) -> None:
    """Aim: 1.8 × the pixels of one thread; the pass lets go of the interpreter."""
    low, high = tile
    run, lines = rooms.compiled_way(), []
    assert run is not None
    for shape in ("single sine", "double sine"):
        one_pass = asked(shape, "horizontal", with_totals=True)
        goals = np.array(one_pass.goals)
        work = [
            partial(run, low, high, one_pass, goals, np.empty((SEASONS, goals.size, PIXELS)),
                    np.empty((SEASONS, PIXELS)))
            for _ in range(2)
        ]  # fmt: skip
        work[0]()
        one, two = alone_and_together(work, 600)
        lines.append(f"{shape} {2 * one / two:.2f} ×")
        assert 2 * one > 0.8 * two, lines[-1]
    with capsys.disabled():
        print(f"\npixels a second of two threads and of one: {', '.join(lines)}")


def test_a_grid_from_the_disk_in_units_of_reading(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Dates of three goals from Zarr tiles, beside reading the same tiles and adding them up."""
    days, pixels = 2922, 6400
    rng = np.random.default_rng(3)
    low = rng.normal(9.0, 7.0, (days, pixels)).round(1).astype(np.float32)
    grid = xr.Dataset(
        {name: (("time", "cell"), low + more, {"units": "degC"})
         for name, more in (("tasmin", 0.0), ("tasmax", 11.0))},
        {"time": xr.date_range("2001-01-01", periods=days), "lat": ("cell", np.full(pixels, 45.0))},
    )  # fmt: skip
    grid.chunk(cell=1600, time=-1).to_zarr(tmp_path / "grid.zarr", consolidated=False)
    del grid, low
    stored = open_grid([tmp_path / "grid.zarr"])
    goals = [Target(str(goal), Counting(10.0, 30.0), goal) for goal in (50.0, 150.0, 500.0)]
    with dask.config.set(scheduler="synchronous"):
        took = in_turn({
            "reading": lambda: stored.sum("time", dtype=np.float64).load(),
            "dates": lambda: stage_days(stored, goals).load(),
        }, 4)  # fmt: skip
    with capsys.disabled():
        print(f"\ndates from the disk: {took['dates'] / took['reading']:.2f} × reading")
    assert took["dates"] < 2.5 * took["reading"]


def test_the_way_without_numba(
    tile: tuple[np.ndarray, np.ndarray], capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """How much slower the same answer is by NumPy."""
    low, high = (each[:, :100] for each in tile)
    one = asked("single sine", "horizontal", with_totals=True)
    fast = in_turn({"": lambda: season_sums(low, high, one)}, 3)[""]
    monkeypatch.setattr(rooms, "compiled_way", lambda: None)
    slow = in_turn({"": lambda: season_sums(low, high, one)}, 2)[""]
    with capsys.disabled():
        print(f"\nwithout numba: {slow / fast:.0f} × the compiled pass")
    assert slow > 2.0 * fast


def test_floor_the_mean_beside_a_bare_loop(capsys: pytest.CaptureFixture[str]) -> None:
    """Aim: 1.2 × a blocked loop that does nothing else; both give a new array."""
    rng = np.random.default_rng(2)
    low = rng.normal(8.0, 9.0, 2_000_000)
    high = low + np.abs(rng.normal(11.0, 4.0, low.size))
    block = 65_536

    def bare() -> None:
        out = np.empty_like(low)
        for start in range(0, low.size, block):
            part = slice(start, start + block)
            heat = np.add(low[part], high[part], out=out[part])
            heat -= 20.0
            np.maximum(heat, 0.0, out=heat)
            np.minimum(heat, 40.0, out=heat)
            heat *= 0.5
            if not (low[part] <= high[part]).all():
                heat[~(low[part] <= high[part])] = np.nan

    def ours() -> None:
        degree_days(low, high, lower=10.0, upper=30.0, shape="floor the mean")

    took = in_turn({"bare": bare, "ours": ours}, 15)
    ratio = took["ours"] / took["bare"]
    with capsys.disabled():
        print(f"\nfloor the mean: {ratio:.2f} × a bare blocked loop")
    assert ratio < 1.5
