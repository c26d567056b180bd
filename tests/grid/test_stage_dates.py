"""Dates of stages on grids: beside stations, in every calendar, cut into any pieces."""

from __future__ import annotations

import datetime as dt
import re
from contextlib import suppress
from dataclasses import replace

import cftime
import dask
import numpy as np
import pytest
import xarray as xr

import gddcast
from gddcast import Counting, Refusal, Target
from gddcast.grid.datasets import NOT_REACHED, REACHED, UNKNOWN
from gddcast.grid.season_sums import season_sums
from gddcast.grid.stage_dates import stage_days
from gddcast.grid.stages import left_out
from gddcast.heat.thermal_time import day_reached
from gddcast.outlook.seasons import season_heats
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries, Place
from tests.grid.grids import HOLED, OCEAN, POLAR, TROPIC, as_pixel, planted
from tests.real_records import champion, clemson, cordoba

CARDS = gddcast.load_cards()
#: An early and a late sum by each of two methods; two share a method and take one pass.
GOALS = [
    Target("early", Counting(10.0, 30.0), 150.0),
    Target("late", Counting(10.0, 30.0), 700.0),
    Target("by halves", Counting(7.0, 28.0, "double sine", "vertical"), 400.0, (3, 1)),
]


@pytest.mark.parametrize(
    ("record", "latitude", "begins", "start"),
    [(champion, 40.7, (1, 1), (1, 1)), (clemson, 34.7, (1, 1), (3, 1)),
     (cordoba, -31.4, (7, 1), (7, 1))],
)  # fmt: skip
@pytest.mark.parametrize(
    "counting",
    [Counting(10.0, 30.0), Counting(9.0, 27.0, "double sine", "intermediate"),
     Counting(10.0, shape="floor the mean")],
    ids=lambda each: each.shape.name,
)  # fmt: skip
def test_a_real_station_as_a_pixel(record, latitude, begins, start, counting: Counting) -> None:
    """To 1e-4 day the way of a station; unknown and never in the same seasons."""
    series: DailySeries = patch_short(record())
    series = replace(series, place=Place("pixel", latitude, season_begins=begins))
    targets = [Target(str(goal), counting, goal, start) for goal in (80.0, 600.0, 2600.0)]
    made = stage_days(as_pixel(series, latitude), targets, season_begins=begins)
    heats = {each.season.first.year: each for each in season_heats(series, counting, start)}
    compared = 0
    for season in made["season"].values:
        heat = heats[int(season)]
        first = (heat.season.on(*start) - heat.season.first).days
        theirs = day_reached(heat.heat[first:], [each.goal for each in targets])
        ended = heat.heat.size < heat.season.days
        ours = made.sel(season=season).isel(station=0)
        status = np.where(np.isfinite(theirs), REACHED, NOT_REACHED)
        status[np.isnan(theirs) | (np.isinf(theirs) & ended)] = UNKNOWN
        np.testing.assert_array_equal(ours["status"], status)
        finite = np.isfinite(theirs)
        np.testing.assert_allclose(
            ours["days_from_start"].values[finite], theirs[finite], rtol=0, atol=1e-4
        )
        for date, time in zip(ours["date"].values[finite], theirs[finite], strict=True):
            day = heat.season.on(*start) + dt.timedelta(days=max(int(np.ceil(time)) - 1, 0))
            assert str(date)[:10] == str(day)
        compared += finite.sum()
    assert compared > 40


def test_what_was_planted_is_told_apart() -> None:
    """Ocean and a hole are unknown, the far north never gets there, the equator has two winters."""
    made = stage_days(planted(), GOALS)
    status = made["status"].sel(stage="late")
    lat, lon = OCEAN
    assert (status[:, lat, lon] == UNKNOWN).all()
    lat, lon = HOLED
    assert status[:, lat, lon].values.tolist() == [REACHED, UNKNOWN, REACHED]
    assert made["status"].sel(stage="early")[1, lat, lon] == REACHED  # before the hole
    assert np.isnan(made["heat_total"].sel(stage="late")[1, lat, lon])
    lat, lon = POLAR
    assert (status[:, lat, lon] == NOT_REACHED).all()
    assert np.isfinite(made["heat_total"].sel(stage="late")[:, lat, lon]).all()
    assert np.isnat(made["date"].sel(stage="late")[:, lat, lon]).all()
    lat, lon = TROPIC  # a hair south of the equator: its seasons begin in July
    starts = made["start_date"].sel(stage="early")
    assert str(starts[0, lat].values)[:10] == "2001-07-01"
    assert str(starts[0, lat + 1].values)[:10] == "2001-01-01"
    southern = made["start_date"].sel(stage="by halves")
    assert str(southern[0, 0].values)[:10] == "2001-09-01"
    cut_off = made["heat_total"].sel(stage="late")[-1]  # the last southern season is
    assert np.isnan(cut_off[:3]).all()
    assert np.isfinite(cut_off[4]).all()


@pytest.mark.parametrize(
    "pieces",
    [{"time": -1, "lat": 2, "lon": 2}, {"time": 365}, {"time": 100, "lat": 3},
     {"time": (365, 365, 365), "lat": 8}, {"time": 1000, "lon": 1}],
    ids=str,
)  # fmt: skip
@pytest.mark.parametrize("totals", [True, False])
def test_pieces_change_nothing(pieces: dict[str, int], totals: bool) -> None:
    """Tiles of all days, files of a year, or any cut between: the same answer, still in pieces."""
    grid = planted()
    whole = stage_days(grid, GOALS, heat_total=totals)
    cut = stage_days(grid.chunk(pieces), GOALS, heat_total=totals)
    assert cut["date"].chunks is not None
    xr.testing.assert_identical(cut.compute(), whole)
    assert ("heat_total" in whole) is totals


@pytest.mark.parametrize(
    ("side", "read"), [(slice(4, 8), {1}), (slice(0, 2), {1, 2})], ids=["north", "south"]
)
def test_a_season_reads_the_files_of_its_days_alone(side: slice, read: set[int]) -> None:
    """Files of a year: its own in the north, two in the south, never all of them."""
    opened = set()

    def of_file(days, block_info=None):
        opened.add(block_info[0]["chunk-location"][0])
        return days

    grid = planted(4).isel(lat=side).chunk(time=365)
    for each in grid.data_vars.values():
        each.data = each.data.map_blocks(of_file, dtype=each.dtype, meta=each.data._meta)
    made = stage_days(grid, GOALS[:2]).sel(season=2002)
    opened.clear()
    assert (made["status"].compute() != UNKNOWN).any()
    assert opened == read


def test_sums_of_one_method_take_one_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three sums by two methods in three pieces on one side of the equator: six passes."""
    passes = []

    def counted(low, high, asked):
        passes.append(asked.goals)
        return season_sums(low, high, asked)

    monkeypatch.setattr("gddcast.grid.stage_dates.season_sums", counted)
    made = stage_days(planted().isel(lat=slice(4, 8)).chunk(lon=1), GOALS)
    passes.clear()
    with dask.config.set(scheduler="synchronous"):
        made.compute()
    assert sorted(passes) == [(150.0, 700.0)] * 3 + [(400.0,)] * 3


def test_the_order_of_dimensions_is_free() -> None:
    """Days last, and a scenario and a member that pass through."""
    grid = planted()
    whole = stage_days(grid, GOALS)
    turned = stage_days(grid.transpose("lat", "lon", "time"), GOALS)
    xr.testing.assert_identical(turned, whole)
    warmer = xr.concat([grid, grid.map(lambda each: each + 2.0, keep_attrs=True)], "scenario")
    both = stage_days(warmer.expand_dims(member=[1, 2], axis=2), GOALS)
    assert set(both["date"].dims) == {"season", "stage", "scenario", "member", "lat", "lon"}
    xr.testing.assert_equal(
        both["date"].isel(scenario=0, member=1, drop=True).drop_vars("member", errors="ignore"),
        whole["date"],
    )
    level = both["days_from_start"].isel(member=0).sel(stage=["early", "late"])
    lead = level.diff("scenario")  # a vertical cut-off may make a hot place later
    assert float(lead.max()) < 0.0  # two degrees more come sooner everywhere


@pytest.mark.parametrize("kind", ["float32", "float64"])
@pytest.mark.parametrize("units", ["degC", "degF"])
def test_units_come_from_the_file(units: str, kind: str) -> None:
    """The same air in another unit gives the same dates, to the rounding of single precision."""
    kelvin = stage_days(planted(kind="float64"), GOALS)
    other = stage_days(planted(kind=kind, units=units), GOALS)
    np.testing.assert_array_equal(other["status"], kelvin["status"])
    np.testing.assert_allclose(
        other["days_from_start"], kelvin["days_from_start"], rtol=0,
        atol=2e-3 if kind == "float32" else 1e-4,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("calendar", "days"), [("noleap", 365), ("360_day", 360), ("standard", 366), ("julian", 366)]
)
def test_calendars_are_read_not_patched(calendar: str, days: int) -> None:
    """Ten warm degrees a day reach 1,000 after 100 days of whatever calendar."""
    time = xr.date_range("2004-01-01", periods=3 * days, calendar=calendar, use_cftime=True)
    low = xr.DataArray(np.full((time.size, 1), 15.0), {"time": time, "lat": [50.0]},
                       ("time", "lat"), attrs={"units": "degC"})  # fmt: skip
    grid = xr.Dataset({"tasmin": low, "tasmax": (low + 10.0).assign_attrs(units="degC")})
    target = Target("hundred", Counting(10.0), 1000.0, (2, 30))
    made = stage_days(grid, target, season_begins=(1, 1))
    assert made["days_from_start"].isel(season=0).item() == 100.0
    start, date = (made[name].isel(season=0).values.item() for name in ("start_date", "date"))
    assert isinstance(date, cftime.datetime)
    assert (date - start).days == 99
    last = {"noleap": 28, "360_day": 30}.get(calendar, 29)
    assert (start.month, start.day) == (2, last)  # a day its month lacks is the month's last
    assert made["day_of_year"].isel(season=0).item() == date.dayofyr
    total = made["heat_total"].isel(season=0).item()
    counted = {"noleap": 365, "360_day": 360}.get(calendar, 366) - start.dayofyr + 1
    assert total == pytest.approx(10.0 * counted, rel=0, abs=1e-3)


def test_a_card_keeps_its_method_and_says_so() -> None:
    """Its own number, source and stand-ins; what needs a find is left out by name."""
    card = CARDS["squash-vine-borer"]
    made = stage_days(planted(), card)
    number = card.event("moths").default
    assert made["stage"].values.tolist() == ["moths"]
    assert made["goal"].item() == pytest.approx(number.goal_c[0], rel=0, abs=1e-9)
    assert made["lower_threshold"].item() == pytest.approx(number.lower_c, rel=0, abs=1e-9)
    assert made.attrs["method"] == "moths: floor the mean, cut-off none"
    assert "the season's first day (not stated)" in made.attrs["stand_ins"]
    assert "South Dakota" in made.attrs["source"]
    assert made.attrs["gddcast_version"] == gddcast.__version__
    assert "counted from eggs" in made.attrs["left_out"]
    mine = stage_days(planted(), Target("moths", Counting(
        number.lower_c, shape="floor the mean"), number.goal_c[0]))  # fmt: skip
    np.testing.assert_array_equal(made["days_from_start"], mine["days_from_start"])


@pytest.mark.parametrize("key", sorted(CARDS))
def test_every_card_is_dated_or_refused_with_its_reasons(key: str) -> None:
    """No stage is lost: it is dated, or named with the reason."""
    card, grid = CARDS[key], planted(1).isel(lat=slice(4, 5), lon=slice(0, 1))
    told = " ".join(left_out(card))
    dated = set()
    with suppress(Refusal):
        dated = {str(name).split(" (")[0] for name in stage_days(grid, card)["stage"].values}
    for event in card.events if not card.comes_from_elsewhere else ():
        assert (event.key in dated) != (f"{event.words}: " in told), event.key


def test_names_and_units_are_those_of_the_cf_conventions() -> None:
    """Standard name table, version 20: degree-days, their threshold coordinate, flags."""
    made = stage_days(planted(), GOALS)
    heat, status = made["heat_total"].attrs, made["status"]
    assert heat["standard_name"] == "integral_of_air_temperature_excess_wrt_time"
    assert heat["units"] == "K d"
    assert made["lower_threshold"].attrs["standard_name"] == "air_temperature_threshold"
    assert status.attrs["flag_meanings"].split()[REACHED] == "reached"
    assert status.attrs["flag_values"].dtype == status.dtype == np.int8
    assert made["days_from_start"].dtype == np.float32


def test_latitude_on_two_dimensions() -> None:
    """A turned grid that straddles the equator gives each pixel its own side."""
    grid = planted()
    straight = stage_days(grid, GOALS)
    lat = grid["lat"].broadcast_like(grid["tasmin"].isel(time=0, drop=True))
    bent = grid.drop_vars(["lat", "lon"]).rename(lat="y", lon="x")
    bent = bent.assign_coords(lat=(("y", "x"), lat.values, grid["lat"].attrs))
    made = stage_days(bent, GOALS)
    for name in ("days_from_start", "date", "status", "heat_total"):
        np.testing.assert_array_equal(made[name].values, straight[name].values)


def test_seasons_may_be_said() -> None:
    """Then starts hold as they stand, on both sides of the equator."""
    made = stage_days(planted(), GOALS, season_begins=(4, 1))
    assert made["start_date"].dims == ("season", "stage")
    assert str(made["start_date"].sel(season=2002, stage="early").values)[:10] == "2003-01-01"


def test_daily_means_serve_the_mean_alone() -> None:
    """They give the date of floor the mean, marked as a stand-in, and never a sine's."""
    grid = planted()
    mean = ((grid["tasmin"] + grid["tasmax"]) / 2).assign_attrs(
        units="K", cell_methods="time: mean"
    )
    only = grid.drop_vars(["tasmin", "tasmax"]).assign(tas=mean)
    target = Target("moths", Counting(10.0, shape="floor the mean"), 500.0)
    made = stage_days(only, target, tmin="tas", tmax="tas")
    there = stage_days(grid, target)["days_from_start"]
    np.testing.assert_allclose(made["days_from_start"], there, rtol=0, atol=1e-3)
    assert "mean of the day stands in" in made.attrs["stand_ins"]
    with pytest.raises(Refusal, match="it is counted by single sine"):
        stage_days(only, GOALS, tmin="tas", tmax="tas")
    with pytest.raises(Refusal, match="it holds daily means only"):
        stage_days(only, target)


def _without_units(grid: xr.Dataset) -> xr.Dataset:
    for each in grid.data_vars.values():
        del each.attrs["units"]
    return grid


REFUSED = {
    "no unit": (_without_units, "it does not say its unit"),
    "two units": (
        lambda grid: grid.assign(tasmin=grid["tasmin"].assign_attrs(units="degC")),
        "their units are degC and K",
    ),
    "another unit": (
        lambda grid: grid.assign({
            name: each.assign_attrs(units="m") for name, each in grid.items()
        }),
        "it is no unit of temperature",
    ),
    "a hole": (lambda grid: grid.drop_isel(time=40), "2001-02-09 is followed by 2001-02-11"),
    "hours": (
        lambda grid: grid.assign_coords(
            time=xr.date_range("2001-01-01", periods=grid.time.size, freq="h")
        ),
        "2001-01-01 stands there more than once",
    ),
    "kelvin called °C": (
        lambda grid: grid.assign({
            name: each.assign_attrs(units="degC") for name, each in grid.items()
        }),
        "in degC the air of its middle day would be 2",
    ),
    "°C called kelvin": (
        lambda grid: grid.assign({
            name: (each - 273.15).assign_attrs(units="K") for name, each in grid.items()
        }),
        "in K the air of its middle day would be −2",
    ),
    "swapped": (
        lambda grid: grid.rename(tasmin="tasmax", tasmax="tasmin"),
        "most minima lie above the maxima",
    ),
    "leap days left out": (
        lambda grid: grid.assign_coords(
            time=xr.date_range("2004-01-01", "2006-12-31").drop("2004-02-29")
        ),
        "2004-02-28 is followed by 2004-03-01",
    ),
    "no variable": (lambda grid: grid.rename(tasmin="low"), "it has no variable tasmin"),
    "no north": (lambda grid: grid.drop_vars("lat"), "it does not say where north lies"),
    "no dates": (lambda grid: grid.assign_coords(time=range(grid.time.size)), "it holds no dates"),
    "no days": (lambda grid: grid.rename(time="day"), "it has no dimension time"),
    "no day": (lambda grid: grid.isel(time=slice(0, 0)), "its dimension time has no days"),
    "one variable": (lambda grid: grid["tasmin"], "it is a DataArray, not a Dataset"),
    "no start": (lambda grid: grid.isel(time=slice(200, 230)), "no season begins in them"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_used_is_refused(name: str) -> None:
    """With what was found, and never with a guess."""
    spoil, found = REFUSED[name]
    with pytest.raises(Refusal, match=re.escape(found)):
        stage_days(spoil(planted()), Target("moths", Counting(10.0), 100.0))


@pytest.mark.parametrize(
    ("stages", "found"),
    [([], "none is asked for"), ("codling-moth", "they are no sums"),
     (Target("moths", Counting(30.0, 10.0), 100.0), "lower is 30.0 and upper is 10.0"),
     ([Target("moths", Counting(10.0), np.nan)], "the heat sum of moths: it is nan"),
     ([Target("moths", Counting(10.0), -5.0)], "the heat sum of moths: it is −5")],
)  # fmt: skip
def test_stages_that_mean_nothing_are_refused(stages, found: str) -> None:
    """Before a piece is counted, whichever way pieces are counted."""
    with pytest.raises(Refusal, match=re.escape(found)):
        stage_days(planted().chunk(lat=1), stages)


def test_a_unit_may_be_said_where_the_file_is_silent() -> None:
    """But never against it."""
    said = stage_days(_without_units(planted()), GOALS, units="K")
    xr.testing.assert_identical(said, stage_days(planted(), GOALS))
    with pytest.raises(Refusal, match="its unit is K, not degC"):
        stage_days(planted(), GOALS, units="degC")
