"""pandas in gives pandas out, xarray gives xarray, and the answer says how it was counted."""

from __future__ import annotations

import warnings
from collections.abc import Callable
from typing import Any

import dask.array as dask_array
import numpy as np
import pandas as pd
import pytest
import xarray as xr
import xclim

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


RNG = np.random.default_rng(1912)
STATIONS, NDAYS = 4, 40
LOWS = RNG.normal(8.0, 4.0, (STATIONS, NDAYS))
HIGHS = LOWS + RNG.uniform(2.0, 18.0, LOWS.shape)
LOWS[2, 7] = np.nan
SPRING = pd.date_range("2026-04-01", periods=NDAYS, name="day")
NAMES = ["a", "b", "c", "d"]
COUNTED = {"lower": 10.0, "upper": 20.0, "shape": "double sine", "cutoff": "vertical"}


def labelled(kind: str, values: np.ndarray, units: str | None = "degC") -> Any:
    """The same numbers, days last in arrays, down in tables, a named dimension in xarray."""
    if kind == "array":
        return values
    if kind == "masked":
        return np.ma.masked_invalid(values)
    if kind == "pandas":
        return pd.DataFrame(values.T, index=SPRING, columns=NAMES)
    first, last = ("time", "station") if kind == "time first" else ("station", "time")
    return xr.DataArray(
        values.T if kind == "time first" else values,
        dims=(first, last),
        coords={"time": SPRING.to_numpy(), "station": NAMES},
        attrs={} if units is None else {"units": units},
    )


def days_last(result: Any) -> np.ndarray:
    """Any result as an array with stations first."""
    if isinstance(result, pd.DataFrame):
        return result.to_numpy().T
    if isinstance(result, xr.DataArray):
        return result.transpose("station", ...).to_numpy()
    assert type(result) is np.ndarray
    return result


@pytest.mark.parametrize("kind", ["masked", "pandas", "time first", "station first"])
def test_every_kind_gives_the_array_s_answer(kind: str) -> None:
    """Daily heat, sums and dates: the day axis is the same for all, an unknown day unknown."""
    heat = gddcast.degree_days(LOWS, HIGHS, **COUNTED)
    sums = gddcast.running_heat(heat)
    goals = [30.0, 90.0, 1e6]
    low, high = labelled(kind, LOWS), labelled(kind, HIGHS)
    got = gddcast.degree_days(low, high, **COUNTED)
    summed = gddcast.running_heat(got)
    np.testing.assert_allclose(days_last(got), heat, rtol=0, atol=1e-12)
    np.testing.assert_allclose(days_last(summed), sums, rtol=0, atol=1e-12)
    for wanted in (goals, 30.0):
        np.testing.assert_allclose(
            np.asarray(gddcast.day_reached(summed, wanted)),
            gddcast.day_reached(sums, wanted),
            rtol=0,
            atol=1e-12,
        )
    # Each station alone, walked by hand: the double shape's next night is the next day's.
    alone = gddcast.degree_days(LOWS[1], HIGHS[1], **COUNTED)
    np.testing.assert_allclose(days_last(summed)[1], np.cumsum(alone), rtol=0, atol=1e-9)
    assert np.isnan(days_last(summed)[2, -1])


def test_xarray_keeps_dimensions_coordinates_and_units() -> None:
    """In the order they came; attributes can be written to a file."""
    low, high = labelled("time first", LOWS), labelled("time first", HIGHS)
    heat = gddcast.degree_days(low, high, lower=10.0, shape="single sine")
    assert heat.dims == ("time", "station")
    assert heat.coords.equals(low.coords)
    assert heat.attrs == {
        "lower": 10.0,
        "upper": "none",
        "shape": "single sine",
        "cutoff": "horizontal",
        "units": "degC d",
    }
    sums = gddcast.running_heat(heat, start=pd.Timestamp("2026-04-05 06:00"))
    assert sums.dims == low.dims
    assert sums.coords.equals(low.coords)
    assert sums.attrs == {**heat.attrs, "start": "2026-04-05"}
    np.testing.assert_array_equal(sums.isel(time=3), 0.0)
    np.testing.assert_allclose(sums.isel(time=4), heat.isel(time=4), rtol=0, atol=1e-12)
    times = gddcast.day_reached(sums, [30.0, 90.0])
    assert times.dims == ("station", "goal")
    assert times.station.to_numpy().tolist() == NAMES
    assert times.goal.to_numpy().tolist() == [30.0, 90.0]
    assert times.attrs["units"] == "d"
    assert times.attrs["since"] == "2026-04-01"
    bare = gddcast.degree_days(labelled("x", LOWS, None), labelled("x", HIGHS, None), lower=10)
    assert "units" not in bare.attrs  # a scale nobody named is not guessed


def test_xarray_days_may_have_another_name_and_thresholds_a_station_each() -> None:
    """A threshold by station is never taken for one by day, square as the table may be."""
    square = xr.DataArray(LOWS[:, :STATIONS], dims=("station", "day"), coords={"station": NAMES})
    lower = xr.DataArray([4.0, 6.0, 8.0, 10.0], dims="station", coords={"station": NAMES})
    heat = gddcast.degree_days(square, square + 9.0, lower=lower, dim="day")
    for at, level in enumerate(lower.to_numpy()):
        np.testing.assert_allclose(
            heat[at],
            gddcast.degree_days(LOWS[at, :STATIONS], LOWS[at, :STATIONS] + 9.0, lower=level),
            rtol=0,
            atol=1e-12,
        )
    with pytest.raises(gddcast.Refusal, match="no dimension time"):
        gddcast.degree_days(square, square + 9.0, lower=10.0)


def test_pandas_says_how_it_was_counted_and_from_when() -> None:
    """Thresholds, shape, cut-off and start stand in attrs; a threshold a column goes by name."""
    low, high = labelled("pandas", LOWS), labelled("pandas", HIGHS)
    lower = pd.Series({"d": 10.0, "c": 8.0, "b": 6.0, "a": 4.0})
    heat = gddcast.degree_days(low, high, lower=lower)
    np.testing.assert_allclose(
        heat["b"], gddcast.degree_days(LOWS[1], HIGHS[1], lower=6.0), rtol=0, atol=1e-12
    )
    sums = gddcast.running_heat(gddcast.degree_days(low, high, **COUNTED), "2026-04-03")
    assert sums.attrs["counted"] == {**COUNTED, "start": "2026-04-03"}
    assert (sums.iloc[:2] == 0.0).all(axis=None)
    assert sums.index.equals(low.index)
    times = gddcast.day_reached(sums["a"], [10.0, 20.0])
    assert times.index.tolist() == [10.0, 20.0]
    assert times.attrs["counted"]["start"] == "2026-04-03"
    assert isinstance(gddcast.day_reached(sums["a"], 10.0), float)


def test_masked_days_are_unknown_days() -> None:
    """A mask is never dropped: what lies under it does not count."""
    low, high = np.ma.array(LOWS[1], mask=False), HIGHS[1]
    low[5] = np.ma.masked
    heat = gddcast.degree_days(low, high, lower=5.0)
    assert np.isnan(heat[5])
    assert np.isnan(heat).sum() == 1
    sums = gddcast.running_heat(np.ma.masked_equal([3, 4, 99, 5], 99))
    np.testing.assert_array_equal(sums, [3.0, 7.0, np.nan, np.nan])
    assert np.isnan(gddcast.day_reached(np.ma.masked_greater([3.0, 7.0, 99.0], 50.0), 8.0))
    assert np.isnan(gddcast.hourly_degree_days(np.ma.masked_less([10.0, -99.0], 0.0), lower=5.0))


@pytest.mark.parametrize("kind", ["pandas", "xarray"])
def test_hours_are_laid_on_their_days(kind: str) -> None:
    """Two stations, 3 days of hours, the first day begun at six, one hour left out."""
    hours = RNG.normal(15.0, 6.0, (2, 72))
    stamps = pd.date_range("2026-05-01", periods=72, freq="h", name="hour")
    truth = gddcast.hourly_degree_days(hours.reshape(2, 3, 24), lower=10.0, upper=25.0)
    table: Any = pd.DataFrame(hours.T, index=stamps, columns=["a", "b"])
    if kind == "xarray":
        table = xr.DataArray(table, dims=("hour", "station"), attrs={"units": "degC"})
    options: dict[str, Any] = {"lower": 10.0, "upper": 25.0, "dim": "hour"}
    heat = gddcast.hourly_degree_days(table, **options)
    np.testing.assert_allclose(np.asarray(heat).T, truth, rtol=0, atol=1e-12)
    assert (heat.attrs if kind == "xarray" else heat.attrs["counted"])["shape"] == "hourly"
    kept = np.r_[6:30, 31:72]
    part = table.isel(hour=kept) if kind == "xarray" else table.iloc[kept]
    short = np.asarray(gddcast.hourly_degree_days(part, **options)).T
    assert np.isnan(short[:, :2]).all()
    np.testing.assert_allclose(short[:, 2], truth[:, 2], rtol=0, atol=1e-12)
    twice = table.isel(hour=[0, 1, 1, 2]) if kind == "xarray" else table.iloc[[0, 1, 1, 2]]
    with pytest.raises(gddcast.Refusal, match="not spaced evenly"):
        gddcast.hourly_degree_days(twice, **options)


def test_agrees_with_a_library_of_climate_indices() -> None:
    """Growing degree-days above 4 °C by mean temperature (xclim 0.50 and later)."""
    days = pd.date_range("2026-01-01", "2026-12-31")
    mean = 10.0 - 12.0 * np.cos(2 * np.pi * np.arange(days.size) / 365.0)
    air = xr.DataArray(mean, dims="time", coords={"time": days}, attrs={"units": "degC"})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what it warns of is its own use of pandas
        theirs = xclim.indices.growing_degree_days(air, thresh="4 degC", freq="YS")
    ours = gddcast.running_heat(
        gddcast.degree_days(air - 5.0, air + 5.0, lower=4.0, shape="floor the mean")
    )
    np.testing.assert_allclose(ours[-1], theirs[0], rtol=0, atol=1e-6)


HOLE = [0, 1, 3]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (
            lambda: gddcast.degree_days(xr.Dataset({"a": labelled("x", LOWS)}), 1, lower=0),
            "several",
        ),
        (lambda: gddcast.running_heat(labelled("x", LOWS).variable), "named dimensions"),
        (lambda: gddcast.running_heat(labelled("x", LOWS).chunk()), r"x\.load\(\)"),
        (lambda: gddcast.day_reached(dask_array.ones(3), 1.0), r"x\.compute\(\)"),
        (lambda: gddcast.degree_days(labelled("x", LOWS), HIGHS, lower=0), "DataArray and ndarray"),
        (
            lambda: gddcast.degree_days(labelled("x", LOWS), labelled("x", HIGHS, "degF"), lower=0),
            "units are degC and degF",
        ),
        (
            lambda: gddcast.running_heat(labelled("pandas", LOWS).iloc[HOLE]),
            "2026-04-02 is followed",
        ),
        (
            lambda: gddcast.running_heat(labelled("x", LOWS).isel(time=HOLE)),
            "2026-04-02 is followed",
        ),
        (
            lambda: gddcast.degree_days(
                labelled("pandas", LOWS).iloc[HOLE],
                labelled("pandas", HIGHS).iloc[HOLE],
                **COUNTED,
            ),
            "2026-04-02 is followed",
        ),
        (lambda: gddcast.running_heat(labelled("pandas", LOWS), "2026-03-31"), "before the first"),
        (lambda: gddcast.running_heat([1.0, 2.0], -1), "before the first"),
        (lambda: gddcast.running_heat([1.0, 2.0], "2026-04-01"), "no dates"),
        (
            lambda: gddcast.degree_days(
                labelled("pandas", LOWS), labelled("pandas", HIGHS), lower=[1.0, 2.0, 3.0, 4.0]
            ),
            "one a column",
        ),
        (lambda: gddcast.degree_days(1, 2, lower=0, shape="sine"), "single sine, double triangle"),
        (lambda: gddcast.degree_days(1, 2, lower=0, cutoff="flat"), "none, horizontal, inter"),
        (lambda: gddcast.hourly_degree_days([1, 2], lower=0, cutoff="flat"), "none, horizontal"),
        (lambda: gddcast.Counting(10.0, 30.0, shape="sine"), "single sine"),
    ],
)
def test_what_would_lose_its_labels_is_refused(call: Callable[[], Any], words: str) -> None:
    """With where, what was found, and the cure."""
    with pytest.raises(gddcast.Refusal, match=words):
        call()


@pytest.mark.parametrize("upper", [25.0, np.inf])
def test_one_default_everywhere(upper: float) -> None:
    """An upper threshold counts wherever it is given."""
    low, high = LOWS[1] + 12.0, HIGHS[1] + 12.0
    alike = gddcast.degree_days(low, high, lower=10.0, upper=upper)
    counting = gddcast.Counting(10.0, upper)
    np.testing.assert_allclose(counting.heat(low, high), alike, rtol=0, atol=1e-12)
    assert gddcast.Counting(10.0, upper, "double sine", "vertical").shape is gddcast.double_sine


@pytest.mark.parametrize("labelled", ["minima", "maxima"])
def test_days_of_one_side_alone_may_bear_the_labels(labelled: str) -> None:
    low, high = [4.0, 5.0, 6.0], [20.0, 21.0, 22.0]
    if labelled == "minima":
        heat = gddcast.degree_days(pd.Series(low, DAYS), np.array(high), lower=10.0)
    else:
        heat = gddcast.degree_days(np.array(low), pd.Series(high, DAYS), lower=10.0)
    assert heat.index.equals(DAYS)
    alone = gddcast.degree_days(np.array(low), np.array(high), lower=10.0)
    np.testing.assert_allclose(heat, alone, rtol=0, atol=1e-12)
    with pytest.raises(gddcast.Refusal, match="one has shape"):
        gddcast.degree_days(pd.Series(low, DAYS), np.array(high[:2]), lower=10.0)
