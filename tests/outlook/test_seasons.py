"""Seasons beside each other: sums against a sum written out by hand, and who is left out."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.journal.entries import Bracket, Sighting
from gddcast.outlook.seasons import (
    Comparison,
    SeasonHeat,
    Standing,
    compare_seasons,
    days_ahead_by_day,
    season_curves,
    standing,
)
from gddcast.readers.temperature_file import read_temperatures
from gddcast.units import celsius_days, fahrenheit_days
from gddcast.weather.series import DailySeries, Place, season_of
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import heat_through

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)
ABOVE_50F = Counting(10.0)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.fixture(scope="module")
def table(larkhollow: DailySeries) -> Comparison:
    return compare_seasons(larkhollow, ABOVE_50F, TODAY, goals=(celsius_days(1000.0),))


def test_sums_and_days_are_those_added_up_by_hand(table: Comparison) -> None:
    days = read_by_hand(FILE)
    assert [row.season.name for row in table.rows] == [str(year) for year in range(2014, 2027)]
    for row in table.rows:
        year = row.season.first.year
        first, day = dt.date(year, 1, 1), dt.timedelta(days=1)
        for (month, date), own in zip(table.fixed, row.sums, strict=True):
            dawn = dt.date(year, month, date)
            if dawn > TODAY:
                assert own is None
                continue
            by_hand = heat_through(days, first, dawn - day)
            np.testing.assert_allclose(fahrenheit_days(own), by_hand, rtol=0, atol=1e-6)
        (reached,) = row.reached
        if year < 2026:
            assert reached is not None
            assert (
                heat_through(days, first, reached - day)
                < 1000
                <= heat_through(days, first, reached)
            )
        else:
            assert reached is None


def test_this_season_has_the_span_of_past_years_where_its_day_is_still_to_come(
    larkhollow: DailySeries,
) -> None:
    """Past Junes and Julys behind this year's 757 °F-days, within the warming the outlook adds."""
    goals = (celsius_days(500.0), celsius_days(1000.0))
    table = compare_seasons(larkhollow, ABOVE_50F, TODAY, goals=goals)
    this, before = table.rows[-1], table.rows[-2]
    assert this.reached[0] is not None
    assert this.reached[1] is None
    passed, ahead = this.ahead
    assert passed is None
    assert ahead is not None
    assert before.ahead == ()
    days = read_by_hand(FILE)
    so_far, by_hand = heat_through(days, dt.date(2026, 1, 1), dt.date(2026, 6, 10)), []
    for year in range(2014, 2026):
        day = dt.date(year, 6, 11)
        while so_far + heat_through(days, dt.date(year, 6, 11), day) < 1000:
            day += dt.timedelta(days=1)
        by_hand.append(day.replace(year=2026))
    assert (min(by_hand), max(by_hand)) == (dt.date(2026, 6, 18), dt.date(2026, 6, 26))
    assert ahead.fastest is not None
    assert ahead.slowest is not None
    assert abs((ahead.fastest - min(by_hand)).days) <= 2
    assert abs((ahead.slowest - max(by_hand)).days) <= 2
    later = compare_seasons(larkhollow, ABOVE_50F, dt.date(2026, 9, 1), goals=goals).rows[-1]
    assert later.ahead == (None, None)


def test_a_season_says_its_sum_in_a_word() -> None:
    """One whose first day is still to come has none."""
    season = season_of(dt.date(2026, 1, 1))
    nothing = SeasonHeat(season, np.empty(0), 0)
    assert repr(nothing) == "<SeasonHeat 2026: 0.0 °C·d by day 0>"
    assert repr(replace(nothing, heat=np.array([0.5, 2.5]))) == (
        "<SeasonHeat 2026: 2.5 °C·d by day 2>"
    )
    assert nothing.reached(1.0) is None


def test_the_lag_runs_from_the_last_goal_to_the_find(table: Comparison) -> None:
    """Days later than its sum are positive; without a sum or a find there is none."""
    row = next(each for each in table.rows if each.reached[0] is not None)
    (reached,) = row.reached
    assert reached is not None

    def found(days: int) -> Bracket:
        on = reached + dt.timedelta(days=days)
        return Bracket(None, on, Sighting("squash-bug", "eggs", on))

    assert [replace(row, bracket=found(days)).lag for days in (-3, 0, 5)] == [-3, 0, 5]
    both = (reached, reached + dt.timedelta(days=9))
    assert replace(row, reached=both, bracket=found(5)).lag == -4
    assert replace(row, bracket=None).lag is None
    assert replace(row, reached=(), bracket=found(5)).lag is None
    assert replace(row, reached=(reached, None), bracket=found(5)).lag is None


def test_rank_is_the_place_among_all_on_one_evening(table: Comparison) -> None:
    days = read_by_hand(FILE)
    sums = {
        row.season.first.year: heat_through(
            days, row.season.first, dt.date(row.season.first.year, 6, 10)
        )
        for row in table.rows
    }
    by_heat = sorted(sums, key=sums.__getitem__, reverse=True)
    assert table.ranked_on == dt.date(2026, 6, 10)
    assert {row.season.first.year: row.rank for row in table.rows} == {
        year: place for place, year in enumerate(by_heat, start=1)
    }


def test_a_season_with_an_unknown_day_is_left_out_and_named(larkhollow: DailySeries) -> None:
    low = larkhollow.tmin.copy()
    low[larkhollow.index(dt.date(2019, 5, 5))] = np.nan
    table = compare_seasons(replace(larkhollow, tmin=low, origin=None), ABOVE_50F, TODAY)
    assert table.left_out == (("2019", 1),)
    assert "2019" not in [row.season.name for row in table.rows]
    assert len(table.rows) == 12


def test_nothing_from_today_on_has_a_say(larkhollow: DailySeries, table: Comparison) -> None:
    cut = larkhollow.before(TODAY)
    assert compare_seasons(cut, ABOVE_50F, TODAY, goals=table.goals) == table


def test_a_southern_season_runs_over_the_new_year() -> None:
    days = (dt.date(2026, 6, 30) - dt.date(2023, 7, 1)).days + 1
    south = DailySeries(
        dt.date(2023, 7, 1), np.full(days, 12.0), np.full(days, 14.0),
        place=Place("south", -38.0, season_begins=(7, 1)),
    )  # fmt: skip
    table = compare_seasons(south, ABOVE_50F, dt.date(2026, 3, 2), goals=(600.0,))
    assert [row.season.name for row in table.rows] == ["2023/24", "2024/25", "2025/26"]
    assert table.fixed == ((11, 1), (12, 1), (1, 1), (2, 1))
    # Three °C-days a day: 123, 153, 184, 215 days before those mornings, no fall on 31 December.
    assert [row.sums for row in table.rows] == [(369.0, 459.0, 552.0, 645.0)] * 3
    # Through 1 March: 29 February stands only in 2023/24, so one day more of heat.
    assert [row.through for row in table.rows] == [735.0, 732.0, 732.0]
    assert [row.rank for row in table.rows] == [1, 2, 2]
    assert {row.reached[0] for row in table.rows} == {
        dt.date(2024, 1, 16), dt.date(2025, 1, 16), dt.date(2026, 1, 16),
    }  # fmt: skip


def steady(*a_day: float, last: dt.date = dt.date(2026, 2, 9)) -> DailySeries:
    """Years up to 2026, each of so many °C-days above 10 °C every day, through 9 February."""
    first = dt.date(2027 - len(a_day), 1, 1)
    days = np.datetime64(first) + np.arange((last - first).days + 1)
    year = days.astype("datetime64[Y]").astype(int) + 1970 - first.year
    flat = 10.0 + np.array(a_day)[year]
    return DailySeries(first, flat, flat)


def stands(*a_day: float) -> Standing:
    found = standing(steady(*a_day), ABOVE_50F, dt.date(2026, 2, 10))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("now", "rank", "ahead"),
    [
        (10.0, 3, 0),  # as warm as the middle year: warmer are two
        (12.0, 1, 8),  # 480: the middle year had them on its 48th day, this is the 40th
        (8.0, 5, -8),  # 320: on its 32nd
        (13.0, 1, 12),
        (7.0, 6, -12),
    ],
)
def test_this_season_stands_among_the_past_by_heat_and_by_days(
    now: float, rank: int, ahead: int
) -> None:
    """Past years of 8 to 12 °C-days a day; equal heat is an equal rank."""
    found = stands(8.0, 9.0, 10.0, 11.0, 12.0, now)
    assert (found.rank, found.compared, found.days_ahead) == (rank, 6, ahead)
    np.testing.assert_allclose((found.heat, found.middle), (40 * now, 400.0), rtol=0, atol=1e-9)
    assert found.left_out == ()


def test_days_ahead_are_told_where_more_than_half_of_the_years_ever_had_as_much() -> None:
    """A year of 0.1 a day comes to 36: of two and two the later middle one never had as much."""
    assert stands(0.1, 0.1, 10.0, 10.0, 10.0, 10.0).days_ahead == 0
    assert stands(0.1, 0.1, 10.0, 10.0, 10.0).days_ahead is None
    assert stands(0.1, 0.1, 0.1, 10.0, 10.0).days_ahead is None
    nothing_yet = stands(10.0, 0.0, 0.0)
    assert (nothing_yet.rank, nothing_yet.days_ahead) == (2, None)


def test_a_first_season_stands_alone() -> None:
    found = stands(10.0)
    assert (found.rank, found.compared, found.middle, found.days_ahead) == (None, 0, None, None)


def test_a_year_with_an_unknown_day_does_not_count_and_is_named() -> None:
    series = steady(8.0, 9.0, 12.0, 10.0)
    low = series.tmin.copy()
    low[series.index(dt.date(2024, 1, 5))] = np.nan
    found = standing(replace(series, tmin=low, origin=None), ABOVE_50F, dt.date(2026, 2, 10))
    assert found is not None
    assert (found.rank, found.compared, found.left_out) == (2, 3, ("2024",))


def test_fastest_and_slowest_are_whole_past_years_two_at_least() -> None:
    season = season_of(dt.date(2026, 2, 10))
    three = season_curves(steady(8.0, 12.0, 10.0, 9.0), ABOVE_50F, season, goal=400.0)
    assert three.fastest is not None
    assert three.slowest is not None
    assert (three.fastest.season.name, three.slowest.season.name) == ("2024", "2023")
    assert [each.season.name for each in three.past] == ["2023", "2024", "2025"]
    assert three.current is not None
    assert three.current.season == season
    two = season_curves(steady(8.0, 12.0, 9.0), ABOVE_50F, season)
    assert two.fastest is not None
    assert two.fastest.season.name == "2025"
    one = season_curves(steady(8.0, 9.0), ABOVE_50F, season)
    assert (one.fastest, one.slowest) == (None, None)


def test_seasons_that_never_had_as_much_come_after_all_that_had() -> None:
    """Nine past seasons of one heat a day each, the first half of the year; truth by hand.

    By the 100th day this one has 1,000. The past have 8 to 4 a day for 180 days: 1,440, 1,350,
    1,260, 1,170, 1,080, 990, 900, 810, 720. Five got there, after 125, 134, 143, 154 and 167 days;
    four never did. The middle of nine is the fifth, on the 167th: 67 days later than this one.
    """
    rows = []
    for daily in (8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.5, 4.0):
        year = 2001 + len(rows)
        days = (dt.date(year + 1, 1, 1) - dt.date(year, 1, 1)).days
        warm = np.where(np.arange(days) < 180, 10.0 + daily, 0.0)
        rows.append(warm)
    rows.append(np.full(100, 20.0))
    temperature = np.concatenate(rows)
    series = DailySeries(dt.date(2001, 1, 1), temperature, temperature)
    here = standing(series, Counting(10.0), dt.date(2010, 4, 11))
    assert here is not None
    assert here.heat == pytest.approx(1000.0, abs=1e-9)
    assert here.rank == 1
    assert here.days_ahead == 67


def test_a_season_that_never_got_there_is_later_than_all() -> None:
    """Three seasons had today's heat on days 180, 190, 200, two never: the middle is day 200.

    Of the three alone it would be day 190.
    """
    ends = (5.0, 5.0, 5.0, 1.0, 1.0, 6.0)
    starts = (0, 10, 20, 0, 0, 0)
    heat = []
    for year, (a_day, late) in enumerate(zip(ends, starts, strict=True), start=2021):
        length = (dt.date(year + 1, 1, 1) - dt.date(year, 1, 1)).days
        heat += [0.0] * late + [a_day] * (length - late)
    first = dt.date(2021, 1, 1)
    series = DailySeries(first, np.array(heat) + 10.0, np.array(heat) + 10.0)
    here = standing(series, ABOVE_50F, dt.date(2026, 5, 31))  # 150 days of 6: 900 by 30 May
    assert here is not None
    assert here.heat == pytest.approx(900.0, rel=0, abs=1e-9)
    # 900 takes 180 days of 5; the third season began its 20 days late: day 200, 19 July.
    assert here.days_ahead == (dt.date(2026, 7, 19) - dt.date(2026, 5, 30)).days


@pytest.mark.parametrize("years", [(8.0, 9.0, 10.0, 11.0, 12.0), (0.1, 0.1, 10.0, 10.0, 10.0)])
@pytest.mark.parametrize("now", [7.0, 10.0, 12.0])
def test_each_day_stands_where_it_stood_when_it_was_today(
    years: tuple[float, ...], now: float
) -> None:
    """By the standing of every tenth morning, worked out one at a time."""
    series = steady(*years, now)
    today = series.last + dt.timedelta(days=1)
    curves = season_curves(series, ABOVE_50F, season_of(series.last, (1, 1)))
    ahead = days_ahead_by_day(curves)
    first = dt.date(series.last.year, 1, 1)
    for morning in range(10, (today - first).days + 1, 10):
        stands = standing(series, ABOVE_50F, first + dt.timedelta(days=morning))
        assert stands is not None
        then = ahead[morning - 1]
        assert (None if np.isnan(then) else then) == stands.days_ahead


def test_no_day_is_ahead_of_nothing() -> None:
    curves = season_curves(steady(10.0), ABOVE_50F, season_of(steady(10.0).last, (1, 1)))
    assert np.isnan(days_ahead_by_day(curves)).all()
