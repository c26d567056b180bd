"""Grids as files: opened in their pieces, written by the conventions, read back as they were."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import xarray as xr

from gddcast import Counting, Refusal, Target
from gddcast.grid import open_grid, write_grid
from gddcast.grid.stage_dates import stage_days
from tests.grid.grids import planted

GOALS = [Target("early", Counting(10.0, 30.0), 150.0), Target("late", Counting(10.0), 700.0)]


@pytest.fixture
def stored(tmp_path: Path) -> dict[str, list[Path]]:
    """One grid by variable, by year, and as a Zarr folder."""
    grid = planted(2)
    ways: dict[str, list[Path]] = {"variable": [], "year": [], "zarr": [tmp_path / "grid.zarr"]}
    for name in ("tasmin", "tasmax"):
        ways["variable"].append(tmp_path / f"{name}.nc")
        grid[[name]].to_netcdf(ways["variable"][-1])
    for year, days in grid.groupby("time.year"):
        ways["year"].append(tmp_path / f"{year}.nc")
        days.to_netcdf(ways["year"][-1])
    grid.chunk(lat=4).to_zarr(ways["zarr"][0], consolidated=False)
    return ways


@pytest.mark.parametrize("out", ["out.nc", "out.zarr"])
@pytest.mark.parametrize("way", ["variable", "year", "zarr"])
def test_there_and_back(
    stored: dict[str, list[Path]], tmp_path: Path, way: str, out: str
) -> None:  # fmt: skip
    """The same dates from any files, and the same again from what was written."""
    whole = stage_days(planted(2), GOALS)
    made = stage_days(open_grid(stored[way]), GOALS)
    assert made["status"].chunks is not None
    write_grid(made, tmp_path / out)
    with xr.open_dataset(tmp_path / out) as again:
        xr.testing.assert_equal(again.load(), whole)
        assert again["stage"].values.tolist() == ["early", "late"]
        assert again["status"].dtype == np.int8
        assert "_FillValue" not in again["lat"].encoding
        assert again.attrs == whole.attrs
        assert list(again["status"].attrs["flag_values"]) == [0, 1, 2]


def test_a_store_has_pieces_of_one_size(tmp_path: Path) -> None:
    """Whatever pieces the equator leaves, and however those that were read had been packed."""
    planted(2).chunk(lat=(3, 5), lon=2, time=-1).to_zarr(
        tmp_path / "in.zarr", consolidated=False, safe_chunks=False,
        encoding={name: {"chunks": (731, 3, 2)} for name in ("tasmin", "tasmax")},
    )  # fmt: skip
    made = stage_days(open_grid([tmp_path / "in.zarr"]).chunk(lat=(1, 3, 4)), GOALS)
    write_grid(made, tmp_path / "out.zarr")
    with xr.open_dataset(tmp_path / "out.zarr", chunks={}) as again:
        assert (tmp_path / "out.zarr" / ".zmetadata").exists()
        xr.testing.assert_equal(again.load(), stage_days(planted(2), GOALS))


@pytest.mark.parametrize("out", ["out.nc", "out.zarr"])
@pytest.mark.parametrize("calendar", ["noleap", "360_day"])
def test_another_calendar_comes_back(tmp_path: Path, calendar: str, out: str) -> None:
    """Dates that no usual calendar has, and days without one, survive the file."""
    time = xr.date_range("2001-01-01", periods=720, calendar=calendar, use_cftime=True)
    low = xr.DataArray(np.full((720, 2), [[8.0, -40.0]]), {"time": time, "lat": [50.0, 60.0]},
                       ("time", "lat"), attrs={"units": "degC"})  # fmt: skip
    grid = xr.Dataset({"tasmin": low, "tasmax": (low + 10.0).assign_attrs(units="degC")})
    made = stage_days(grid, GOALS)
    assert made["status"].values[0, 0].tolist() == [1, 2]
    write_grid(made, tmp_path / out)
    with xr.open_dataset(tmp_path / out) as again:
        assert str(again["date"].values[0, 0, 0])[:10] == str(made["date"].values[0, 0, 0])[:10]
        assert again["date"].encoding["calendar"] == calendar
        xr.testing.assert_equal(again["days_from_start"].load(), made["days_from_start"])


def test_what_is_no_grid_is_refused(tmp_path: Path, stored: dict[str, list[Path]]) -> None:
    """A table, a folder of anything, a file that is not there, two grids."""
    table = tmp_path / "garden.csv"
    table.write_text("date,max_f,min_f\n", encoding="utf-8")
    for path, found in (
        (table, "it is neither NetCDF nor Zarr"), (tmp_path, "the folder is no Zarr store"),
        (tmp_path / "gone.nc", "no such file or directory"),
    ):  # fmt: skip
        with pytest.raises(Refusal, match=found):
            open_grid([path])
    broken = tmp_path / "broken.nc"
    broken.write_bytes(stored["variable"][0].read_bytes()[:1000])
    with pytest.raises(Refusal, match=r"broken\.nc"):
        open_grid([broken])
    other = tmp_path / "other.nc"
    planted(2)[["tasmax"]].isel(lat=slice(3)).to_netcdf(other)
    with pytest.raises(Refusal, match="they do not fit together"):
        open_grid([stored["variable"][0], other])
