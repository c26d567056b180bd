"""More than one machine, and less memory than data: a local cluster, a killed worker, a bound."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import dask
import netCDF4
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


YEARS = """
import resource, sys
import dask
from gddcast import Counting, Target
from gddcast.grid import open_grid, stage_days

def held():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024

goals = [Target("early", Counting(10.0, 30.0), 150.0)]
stage_days(open_grid(sys.argv[1:2]).isel(lat=[0], lon=[0]), goals).load()  # libraries
made, before = stage_days(open_grid(sys.argv[1:]), goals), held()
with dask.config.set(scheduler="threads", num_workers=2):
    made.load()
print(held() - before)
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="what a process holds is counted otherwise")
def test_files_of_a_year_are_not_kept_once_they_are_read(tmp_path: Path) -> None:
    """Packed NetCDF: the library beneath would keep all of it unpacked."""
    years, lat, lon = range(2001, 2017), 50, 200
    rng, size = np.random.default_rng(2), 0
    for year in years:
        days = xr.date_range(f"{year}-01-01", f"{year}-12-31")
        of_day = rng.integers(-50, 200, (days.size, 1, lon)).astype(np.float32) / 10
        low = np.repeat(of_day, lat, axis=1)
        grid = xr.Dataset(
            {name: (("time", "lat", "lon"), low + more, {"units": "degC"})
             for name, more in (("tasmin", 0.0), ("tasmax", 9.0))},
            {"time": days, "lat": np.linspace(40.0, 50.0, lat), "lon": np.arange(lon) / 4},
        )  # fmt: skip
        packed = {"zlib": True, "complevel": 1, "chunksizes": low.shape}
        grid.to_netcdf(
            tmp_path / f"{year}.nc", encoding=dict.fromkeys(("tasmin", "tasmax"), packed)
        )
        size += 2 * low.nbytes
    before = netCDF4.get_chunk_cache()
    open_grid([tmp_path / "2001.nc"]).close()
    assert netCDF4.get_chunk_cache() == before  # other people's files are read as ever
    said = subprocess.run(
        [sys.executable, "-c", YEARS, *sorted(map(str, tmp_path.glob("*.nc")))],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert int(said.stdout) < size / 2
