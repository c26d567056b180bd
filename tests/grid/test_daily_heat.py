"""Degree-days of every day in pieces: as in memory, and as a reference library counts them."""

from __future__ import annotations

import numpy as np
import pytest

import gddcast
from gddcast import Counting, Refusal, Target
from gddcast.errors import ArgumentRefusal
from gddcast.heat.cutoffs import CUTOFFS
from gddcast.heat.shapes import SHAPES
from tests.grid.grids import planted


@pytest.mark.parametrize("shape", SHAPES)
def test_pieces_are_counted_as_the_whole(shape: str) -> None:
    """Every cut-off, with a cut through the night that two days share; °C from kelvin."""
    grid = planted(1, "float64")
    celsius = grid.map(lambda each: each - 273.15).transpose("lat", "lon", "time")
    pieces = grid.chunk(time=50, lat=3)
    for cutoff in CUTOFFS:
        heat = gddcast.grid.degree_days(
            pieces["tasmin"], pieces["tasmax"], lower=10.0, upper=21.0, shape=shape, cutoff=cutoff
        )
        assert heat.chunks is not None
        assert heat.dims == grid["tasmin"].dims
        whole = gddcast.degree_days(
            celsius["tasmin"].values, celsius["tasmax"].values, lower=10.0, upper=21.0,
            shape=shape, cutoff=cutoff,
        )  # fmt: skip
        np.testing.assert_allclose(
            heat.transpose("lat", "lon", "time").values, whole, rtol=0, atol=1e-9
        )


def test_it_says_what_it_is() -> None:
    """CF names, the unit of a heat sum, the threshold as a coordinate."""
    grid = planted(1).isel(lat=[4])
    heat = gddcast.grid.degree_days(
        grid["tasmin"], grid["tasmax"], lower=10.0, shape="single sine", cutoff="none"
    )
    assert heat.chunks is None
    assert heat.dtype == np.float32
    assert heat.attrs["units"] == "K d"
    assert heat.attrs["standard_name"] == "integral_of_air_temperature_excess_wrt_time"
    assert heat["air_temperature_threshold"].attrs["units"] == "degC"
    with pytest.raises(Refusal, match="does not say its unit"):
        gddcast.grid.degree_days(
            grid["tasmin"].drop_attrs(), grid["tasmax"], lower=10.0, shape="single sine",
            cutoff="none",
        )  # fmt: skip
    with pytest.raises(Refusal, match="do not lie on the same days and pixels"):
        gddcast.grid.degree_days(
            grid["tasmin"], grid["tasmax"].isel(time=slice(9)), lower=10.0, shape="single sine",
            cutoff="none",
        )  # fmt: skip


@pytest.mark.filterwarnings("ignore")  # what it warns of is its own
def test_sums_of_a_year_are_those_of_a_reference_library() -> None:
    """Growing degree-days above 10 °C by the day's mean (xclim 0.50 and later)."""
    xclim = pytest.importorskip("xclim.indices", reason="xclim is not installed")
    grid = planted(2, "float64").isel(lat=slice(4, 8))
    mean = ((grid["tasmin"] + grid["tasmax"]) / 2).assign_attrs(units="K")
    theirs = xclim.growing_degree_days(mean, thresh="10 degC", freq="YS")
    target = Target("any", Counting(10.0, shape="floor the mean"), 100.0)
    ours = gddcast.grid.stage_days(grid, target)["heat_total"].isel(stage=0)
    known = ~np.isnan(ours.values)
    assert known.sum() > 20
    theirs = theirs.transpose("time", "lat", "lon").values
    np.testing.assert_allclose(ours.values[known], theirs[known], rtol=0, atol=2e-3)


def test_what_is_no_grid_or_no_pair_is_refused_at_once() -> None:
    """Bare arrays, and thresholds that are crossed, before a piece is counted."""
    grid = planted(1).chunk(lat=1)
    with pytest.raises(Refusal, match="they are a ndarray, not a DataArray"):
        gddcast.grid.degree_days(
            np.zeros(3), np.ones(3), lower=10.0, shape="single sine", cutoff="none"
        )
    with pytest.raises(ArgumentRefusal, match=r"lower is 30\.0 and upper is 10\.0"):
        gddcast.grid.degree_days(
            grid["tasmin"], grid["tasmax"], lower=30.0, upper=10.0, shape="single sine",
            cutoff="horizontal",
        )  # fmt: skip


def test_pieces_given_to_the_plain_calculator_are_sent_here() -> None:
    """It cannot count them, and says who can."""
    pieces = planted(1).chunk(lat=2)
    with pytest.raises(Refusal, match=r"gddcast\.grid\.degree_days"):
        gddcast.degree_days(pieces["tasmin"], pieces["tasmax"], lower=10.0)
