"""More than one machine, and less memory than data: a local cluster, a killed worker, a bound."""

from __future__ import annotations

import os
import signal
import time
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import dask
import numpy as np
import pytest
import xarray as xr

from gddcast import Counting, Target
from gddcast.grid.files import open_grid
from gddcast.grid.stage_dates import stage_days
from tests.grid.grids import planted

GOALS = [Target("early", Counting(10.0, 30.0), 150.0), Target("late", Counting(10.0), 700.0)]
distributed = pytest.importorskip("distributed", reason="distributed is not installed")


@pytest.fixture
def client() -> Iterator[distributed.Client]:
    """Two workers in processes of their own."""
    with (
        dask.config.set({"distributed.worker.daemon": True}),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None,
            memory_limit=0, silence_logs=50,
        ) as cluster,
        distributed.Client(cluster) as ours,
    ):  # fmt: skip
        yield ours


def slowly(array: xr.DataArray) -> xr.DataArray:
    """The same in pieces that take their time, so that there is some in which to die."""

    def wait(piece: np.ndarray) -> np.ndarray:
        time.sleep(0.02)
        return piece

    if array.chunks is None:
        return array
    return array.copy(data=array.data.map_blocks(wait, meta=array.data._meta))


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")  # a worker that dies is spoken of
def test_a_cluster_gives_the_same_answer_even_when_a_worker_dies(
    client: distributed.Client, tmp_path: Path
) -> None:
    """The code of one machine; what a dead worker had is counted again by another."""
    planted(3).to_netcdf(tmp_path / "grid.nc")
    whole = stage_days(planted(3), GOALS)
    made = stage_days(open_grid([tmp_path / "grid.nc"]).chunk(lat=1, lon=1, time=-1), GOALS)
    workers = client.run(os.getpid)
    future = client.compute(made.map(slowly, keep_attrs=True))
    while not (holding := [name for name, keys in client.has_what().items() if keys]):
        time.sleep(0.01)
    assert not future.done()
    os.kill(victim := workers[holding[0]], signal.SIGKILL)
    xr.testing.assert_equal(future.result(timeout=120), whole)
    assert victim not in client.run(os.getpid).values()


def test_memory_is_bounded_by_pieces_and_threads(tmp_path: Path) -> None:
    """A grid of 32 pieces never stands in memory as a whole."""
    pixels, days = 6400, 1461
    path = tmp_path / "grid.zarr"
    time = xr.date_range("2001-01-01", periods=days)
    low = np.random.default_rng(1).normal(10.0, 5.0, (days, pixels)).astype(np.float32)
    grid = xr.Dataset(
        {name: (("time", "cell"), low + more, {"units": "degC"})
         for name, more in (("tasmin", 0.0), ("tasmax", 9.0))},
        {"time": time, "lat": ("cell", np.full(pixels, 45.0), {"units": "degrees_north"})},
    )  # fmt: skip
    grid.chunk(cell=200, time=-1).to_zarr(path, consolidated=False)
    size, piece = 2 * low.nbytes, 2 * low[:, :200].nbytes
    del grid, low
    stage_days(open_grid([path]).isel(cell=slice(40)), GOALS).compute()  # libraries are loaded
    made = stage_days(open_grid([path]), GOALS)
    tracemalloc.start()
    with dask.config.set(scheduler="threads", num_workers=2):
        answer = made.compute()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert answer.nbytes < size / 10
    # Two threads, each with its piece packed, unpacked and counted.
    assert peak < 8 * piece + 4 * answer.nbytes < size / 2
