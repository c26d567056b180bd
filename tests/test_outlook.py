"""Dots, gaps and goals already reached: the plain graft counted again, day by day, from scratch."""

import csv
import datetime as dt
import math
from pathlib import Path

import numpy as np
import pytest

from gddcast.counting import Counting
from gddcast.daily import floor_the_mean
from gddcast.outlook import outlook, outlooks
from gddcast.series import DailySeries, Place
from gddcast.units import celsius, celsius_days

SINE = Counting(lower=celsius(50.0))
NEW_YEAR = dt.date(2026, 1, 1)
THOUSAND = celsius_days(1000.0)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    path = Path(__file__).parent / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    low, high = (np.array([float(row[name]) for row in rows]) for name in ("min_f", "max_f"))
    return DailySeries(
        dt.date(2014, 1, 1), celsius(low), celsius(high), place=Place("Larkhollow Patch"), unit="F"
    )


def june(*days: int) -> tuple[dt.date, ...]:
    return tuple(dt.date(2026, 6, day) for day in days)


# The dots printed with the worked example of our own specification, made by a separate program.
DOTS = june(18, 20, 20, 20, 21, 22, 22, 24, 24, 25, 25, 26)


def test_worked_example(larkhollow: DailySeries) -> None:
    one = outlook(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11))
    assert one.days == DOTS
    assert (one.fastest, one.slowest) == june(18, 26)
    assert one.inner == (*june(20, 25), 10)
    assert one.through == dt.date(2026, 6, 10)
    # 756.6 °F-days: printed as 757.
    np.testing.assert_allclose(one.heat * 1.8, 757, rtol=0, atol=0.5)


def test_reached_is_a_measured_day(larkhollow: DailySeries) -> None:
    one = outlook(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 7, 2))
    assert one.reached == one.fastest == one.slowest == dt.date(2026, 6, 23)
    assert one.dots == ()


def test_floor_the_mean_is_later(larkhollow: DailySeries) -> None:
    mean = Counting(lower=celsius(50.0), shape=floor_the_mean)
    ahead = outlook(larkhollow, mean, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11))
    assert (ahead.fastest, ahead.slowest) == june(20, 29)
    later = outlook(larkhollow, mean, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 7, 2))
    assert later.reached == dt.date(2026, 6, 25)


def test_not_reached_is_not_unknown(larkhollow: DailySeries) -> None:
    some, none = outlooks(
        larkhollow, SINE, [celsius_days(3050.0), 9000.0], start=NEW_YEAR, today=dt.date(2026, 6, 11)
    )
    assert 0 < len(some.days) < 12 == len(some.dots)
    assert some.slowest is None
    assert math.isinf(none.dots[0].time)
    assert none.dots[0].day is None
    assert 0 < none.dots[-1].heat <= none.dots[0].heat < 9000


def hole(series: DailySeries, first: dt.date, days: int) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    low[series.index(first) :][:days] = np.nan
    return DailySeries(series.first, low, high, place=series.place)


def test_gap_before_the_goal_is_never_counted_as_zero(larkhollow: DailySeries) -> None:
    gappy = hole(larkhollow, dt.date(2026, 5, 12), 14)
    one = outlook(gappy, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11))
    assert math.isnan(one.heat)
    assert one.dots == ()
    assert one.unknown == (dt.date(2026, 5, 12), dt.date(2026, 5, 25))


def test_goal_reached_before_the_gap_stands(larkhollow: DailySeries) -> None:
    gappy = hole(larkhollow, dt.date(2026, 5, 12), 14)
    goal = celsius_days(100.0)
    start, today = NEW_YEAR, dt.date(2026, 6, 11)
    whole = outlook(larkhollow, SINE, goal, start=start, today=today)
    assert outlook(gappy, SINE, goal, start=start, today=today).reached == whole.reached
    assert whole.reached is not None


def test_days_between_the_record_and_today_are_no_gap(larkhollow: DailySeries) -> None:
    short = larkhollow.before(dt.date(2026, 6, 7))
    one = outlook(short, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11))
    assert one.unknown is None
    assert one.through == dt.date(2026, 6, 6)
    assert len(one.days) == 12


def test_past_year_with_an_unknown_day_is_left_out_and_named(larkhollow: DailySeries) -> None:
    today = dt.date(2026, 6, 11)
    gappy = hole(hole(larkhollow, dt.date(2019, 5, 3), 10), dt.date(2022, 9, 1), 3)
    one = outlook(gappy, SINE, THOUSAND, start=NEW_YEAR, today=today)
    assert one.left_out == (("2019", "3 May to 12 May are unknown"),)
    assert len(one.dots) == 11  # 2022 had got there before its hole


def test_file_that_begins_after_the_start(larkhollow: DailySeries) -> None:
    late = larkhollow.between(dt.date(2026, 4, 9), larkhollow.last)
    one = outlook(late, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11))
    assert one.unknown == (NEW_YEAR, dt.date(2026, 4, 8))


def test_winter_outlook_is_the_past_years_themselves(larkhollow: DailySeries) -> None:
    one = outlook(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 1, 1))
    # The seasons' own dates, printed in our specification: 2022 20 June, 2023 9 July,
    # 2024 20 June, 2025 1 July.
    found = {dot.season: dot.day for dot in one.dots if dot.season >= "2022"}
    assert found == {
        "2022": dt.date(2026, 6, 20),
        "2023": dt.date(2026, 7, 9),
        "2024": dt.date(2026, 6, 20),
        "2025": dt.date(2026, 7, 1),
    }
    assert one.heat == 0.0
