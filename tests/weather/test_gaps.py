"""Gaps filled by stated rules, on real stations with days masked.

What the rules are worth: methods of our own, checked here for their order on stations other than
invented ones. Counted as nought is worst by far; the damped anomaly beats the straight line in
gaps of two to four weeks; in gaps of a few days the straight line is as good.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from gddcast.heat.thermal_time import day_reached, running_heat
from gddcast.outlook.ensemble import climate_of
from gddcast.quality.consequence import PLAIN
from gddcast.weather.gaps import (
    FADES,
    filled_error,
    gaps_of,
    patch_from,
    patch_long,
    patch_short,
    share_patched,
)
from gddcast.weather.normals import normals_of
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import champion, clemson, cordoba, new_york
from tests.skill_table import station

GOALS = (250.0, 500.0, 1000.0)


def without(series: DailySeries, days: np.ndarray) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    low[days], high[days] = np.nan, np.nan
    return DailySeries(series.first, low, high, unit=series.unit)


@pytest.mark.parametrize(("days", "filled"), [(1, True), (5, True), (6, False)])
def test_the_straight_line_stops_at_five_days(days: int, filled: bool) -> None:
    series = without(champion(), np.arange(100, 100 + days))
    patched = patch_short(series)
    assert (patched.missing == 0) is filled
    if filled:
        expected = np.interp(
            np.arange(100, 100 + days), [99, 100 + days], series.tmax[[99, 100 + days]]
        )
        np.testing.assert_allclose(patched.tmax[100 : 100 + days], expected, rtol=0, atol=1e-12)
        assert set(patched.origin[100 : 100 + days]) == {Origin.PATCHED}


@pytest.mark.parametrize(("days", "filled"), [(6, True), (30, True), (31, False)])
def test_the_damped_anomaly_stops_at_thirty_days(days: int, filled: bool) -> None:
    series = without(champion(), np.arange(1000, 1000 + days))
    assert (patch_long(series).missing == 0) is filled


def test_the_damped_anomaly_is_the_formula() -> None:
    """Normal + interpolated anomaly × 0.75^distance, by hand for the middle of seven days."""
    series = without(champion(), np.arange(1000, 1007))
    days = series.dates.astype(int)
    usual = normals_of(days, series.tmax).on(days)
    edges = (series.tmax - usual)[[999, 1007]]
    expected = usual[1003] + edges.mean() * FADES**4
    assert patch_long(series).tmax[1003] == pytest.approx(expected, abs=1e-9)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.lists(st.integers(0, 399), max_size=120), st.booleans())
def test_what_is_known_stays_and_what_is_filled_is_marked(days: list[int], asked: bool) -> None:
    whole = champion().between(dt.date(1990, 1, 1), dt.date(1991, 12, 31))
    series = without(whole, np.array(days, dtype=int))
    patched = (patch_long if asked else patch_short)(series)
    known = series.known
    np.testing.assert_array_equal(patched.tmax[known], series.tmax[known])
    np.testing.assert_array_equal(patched.tmin[known], series.tmin[known])
    np.testing.assert_array_equal(patched.origin[known], series.origin[known])
    new = patched.known & ~known
    assert (patched.origin[new] == Origin.PATCHED).all()
    assert (patched.origin[~patched.known] == Origin.UNKNOWN).all()
    assert not (patched.tmin > patched.tmax).any()
    limit = 30 if asked else 5
    for begin, end in gaps_of(patched):
        at_an_end = begin == 0 or end == len(series)
        assert at_an_end or end - begin > limit or (series.tmax[begin] != series.tmax[begin])


def test_nothing_is_carried_past_the_ends() -> None:
    series = without(champion(), np.array([0, 1, len(champion()) - 1]))
    assert patch_long(series).missing == 3


def test_a_known_half_of_a_day_is_kept() -> None:
    series = champion()
    high = series.tmax.copy()
    high[500] = np.nan
    patched = patch_short(DailySeries(series.first, series.tmin, high))
    assert patched.tmin[500] == series.tmin[500]
    assert patched.origin[500] == Origin.PATCHED


def test_a_season_alone_does_not_know_what_is_usual() -> None:
    season = champion().between(dt.date(1990, 1, 1), dt.date(1990, 9, 30))
    with pytest.raises(Refusal, match="too few to know what is usual"):
        patch_long(without(season, np.arange(100, 114)))


def test_a_neighbour_lends_with_its_own_offset_by_day_and_by_night() -> None:
    ours, theirs = new_york("JFK"), new_york("LGA")
    gap = np.arange(120, 160)
    loan = patch_from(without(ours, gap), theirs)
    kept = np.setdiff1d(np.arange(len(ours)), gap)
    assert loan.lent == 40
    assert loan.offset_max == pytest.approx(np.mean((ours.tmax - theirs.tmax)[kept]), abs=1e-9)
    assert loan.offset_min == pytest.approx(np.mean((ours.tmin - theirs.tmin)[kept]), abs=1e-9)
    assert abs(loan.offset_max - loan.offset_min) > 0.3, "LaGuardia differs more by night"
    # On the days lent the neighbour is nearer the truth than a straight line across 40 days.
    line = patch_short(without(ours, gap), up_to=40)
    off, off_line = (np.abs(each.tmax[gap] - ours.tmax[gap]).mean() for each in (loan.series, line))
    assert off < 0.75 * off_line
    assert share_patched(loan.series) == pytest.approx(40 / len(ours))


def test_too_few_days_in_common_are_refused() -> None:
    ours = new_york("JFK")
    with pytest.raises(Refusal, match="shares only 29 days"):
        patch_from(ours, new_york("LGA").between(ours.first, ours.date(28)))


def dates(series: DailySeries, days: slice) -> np.ndarray:
    """Dates of three goals in one season; an unknown day counts nothing."""
    heat = np.nan_to_num(PLAIN.heat(series.tmin[days], series.tmax[days]))
    return day_reached(running_heat(heat), GOALS)


def errors(series: DailySeries, holes, seasons: int = 30) -> dict[str, float]:
    """Mean error of the dates, days, over the last seasons; ``holes(rng, days)`` masks one."""
    rng = np.random.default_rng(2014)
    found: dict[str, list[float]] = {"nought": [], "line": [], "damped": []}
    for season in list(series.seasons())[-seasons:]:
        begin, end = series.index(season.first), series.index(season.last) + 1
        if begin < 0 or end > len(series) or series.between(season.first, season.last).missing:
            continue
        holed = without(series, begin + holes(rng, end - begin))
        truth = dates(series, slice(begin, end))
        for name, mended in (
            ("nought", holed),
            ("line", patch_short(holed, up_to=30)),
            ("damped", patch_long(holed)),
        ):
            late = dates(mended, slice(begin, end)) - truth
            found[name] += np.abs(late[np.isfinite(late)]).tolist()
    return {name: float(np.mean(each)) for name, each in found.items()}


def scattered(rng: np.random.Generator, days: int) -> np.ndarray:
    return np.flatnonzero(rng.random(days) < 0.05)


def one_long(rng: np.random.Generator, days: int) -> np.ndarray:
    begin = rng.integers(90, 200)
    return np.arange(begin, begin + rng.integers(14, 31))


@pytest.mark.parametrize("station", [clemson, champion], ids=["Clemson", "Champion"])
def test_what_the_rules_are_worth_in_days(station) -> None:
    few, long = errors(station(), scattered), errors(station(), one_long)
    assert few["nought"] > 2.0, few
    assert few["line"] < few["nought"] / 3, few
    assert few["damped"] < few["nought"] / 3, few
    assert long["nought"] > 2 * long["line"] > 2 * long["damped"], long


def test_the_order_holds_in_a_southern_season_too() -> None:
    long = errors(cordoba(), lambda rng, days: (one_long(rng, days) + 200) % days)
    assert long["nought"] > long["line"], long
    assert long["nought"] > long["damped"], long


@pytest.mark.parametrize("days", [1, 2, 5, 8, 14, 30])
def test_a_filled_gap_is_as_far_off_as_it_says(days: int) -> None:
    """Each stretch of four real records hidden in turn: within a tenth in the mean of the four."""
    sizes = []
    for name in ("Champion", "Brussels", "Tunis", "Clemson"):
        record = station(name)
        climate = climate_of(record, list(record.seasons())[-1])
        mean = climate.anomalies.mean(axis=0)
        at = np.arange(1, len(mean) - days - 1)
        off = 0.0
        for day in range(1, days + 1):
            share = day / (days + 1)
            left = 0.75 ** min(day, days + 1 - day) if days > 5 else 1.0
            edges = (1.0 - share) * mean[at - 1] + share * mean[at + days]
            off = off + mean[at + day - 1] - left * edges
        sizes.append(float(np.nanstd(off)) / climate.spread)
    assert np.mean(sizes) == pytest.approx(filled_error(days), rel=0.1)


def test_what_another_record_lent_is_nearer_than_a_straight_line() -> None:
    assert filled_error(31) < filled_error(30)
