"""Dots, gaps, goals reached and spans: the plain graft against printed dots and a slow count."""

import csv
import datetime as dt
import math
from pathlib import Path

import numpy as np
import pytest

from gddcast.errors import ArgumentRefusal
from gddcast.heat.counting import Counting
from gddcast.heat.shapes import floor_the_mean
from gddcast.outlook.dates import InnerSpan, Outlook, YearDot, outlook_of, outlooks
from gddcast.outlook.ensemble import PLAIN_GRAFT, Steps, climate_of
from gddcast.outlook.season_so_far import known_on
from gddcast.units import celsius, celsius_days
from gddcast.weather.series import DailySeries, Origin, Place, season_of

SINE = Counting(lower=celsius(50.0))
NEW_YEAR = dt.date(2026, 1, 1)
THOUSAND = celsius_days(1000.0)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    path = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
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
    one = outlook_of(
        larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11), steps=PLAIN_GRAFT
    )
    assert one.days == DOTS
    assert (one.fastest, one.slowest) == june(18, 26)
    assert one.inner == InnerSpan(*june(20, 25), 10 / 12, total=12, years=10)
    assert one.through == dt.date(2026, 6, 10)
    # 756.6 °F-days: printed as 757.
    np.testing.assert_allclose(one.heat * 1.8, 757, rtol=0, atol=0.5)


def test_reached_is_a_measured_day(larkhollow: DailySeries) -> None:
    one = outlook_of(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 7, 2))
    assert one.reached == one.fastest == one.slowest == dt.date(2026, 6, 23)
    assert one.dots == ()


def test_floor_the_mean_is_later(larkhollow: DailySeries) -> None:
    mean = Counting(lower=celsius(50.0), shape=floor_the_mean)
    ahead = outlook_of(
        larkhollow, mean, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11), steps=PLAIN_GRAFT
    )
    assert (ahead.fastest, ahead.slowest) == june(20, 29)
    later = outlook_of(larkhollow, mean, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 7, 2))
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
    one = outlook_of(
        gappy, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11), steps=PLAIN_GRAFT
    )
    assert math.isnan(one.heat)
    assert one.dots == ()
    assert one.unknown == (dt.date(2026, 5, 12), dt.date(2026, 5, 25))


def test_goal_reached_before_the_gap_stands(larkhollow: DailySeries) -> None:
    gappy = hole(larkhollow, dt.date(2026, 5, 12), 14)
    goal = celsius_days(100.0)
    start, today = NEW_YEAR, dt.date(2026, 6, 11)
    whole = outlook_of(larkhollow, SINE, goal, start=start, today=today, steps=PLAIN_GRAFT)
    assert (
        outlook_of(gappy, SINE, goal, start=start, today=today, steps=PLAIN_GRAFT).reached
        == whole.reached
    )
    assert whole.reached is not None


def test_a_card_is_no_counting(larkhollow: DailySeries) -> None:
    """It says so in words, and how to get one."""
    with pytest.raises(ArgumentRefusal, match="this dict: it is no Counting"):
        outlook_of(larkhollow, {}, THOUSAND, start=NEW_YEAR)  # type: ignore[arg-type]


def test_days_between_the_record_and_today_are_no_gap(larkhollow: DailySeries) -> None:
    short = larkhollow.before(dt.date(2026, 6, 7))
    one = outlook_of(
        short, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11), steps=PLAIN_GRAFT
    )
    assert one.unknown is None
    assert one.through == dt.date(2026, 6, 6)
    assert len(one.days) == 12


def test_past_year_with_an_unknown_day_is_left_out_and_named(larkhollow: DailySeries) -> None:
    today = dt.date(2026, 6, 11)
    gappy = hole(hole(larkhollow, dt.date(2019, 5, 3), 10), dt.date(2022, 9, 1), 3)
    one = outlook_of(gappy, SINE, THOUSAND, start=NEW_YEAR, today=today, steps=PLAIN_GRAFT)
    assert one.left_out == (("2019", "3 May to 12 May are unknown"),)
    assert len(one.dots) == 11  # 2022 had got there before its hole


def test_file_that_begins_after_the_start(larkhollow: DailySeries) -> None:
    late = larkhollow.between(dt.date(2026, 4, 9), larkhollow.last)
    one = outlook_of(
        late, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 6, 11), steps=PLAIN_GRAFT
    )
    assert one.unknown == (NEW_YEAR, dt.date(2026, 4, 8))


def test_winter_outlook_is_the_past_years_themselves(larkhollow: DailySeries) -> None:
    one = outlook_of(
        larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=dt.date(2026, 1, 1), steps=PLAIN_GRAFT
    )
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


# From here on: the whole outlook, every step on.


def slowly(series: DailySeries, today: dt.date, goal: float) -> dict[str, dt.date]:
    """The plain graft once more, a day at a time, with nothing shared with the program."""
    year, found = today.year, {}
    heat = sum(SINE.daily(series.between(dt.date(year, 1, 1), today - dt.timedelta(days=1))))
    for past in range(series.first.year, year):
        total, day = heat, today
        while total < goal:
            same = day.replace(year=past)
            total += float(SINE.daily(series.between(same, same))[0])
            day += dt.timedelta(days=1)
        found[str(past)] = day - dt.timedelta(days=1)
    return found


@pytest.mark.parametrize("today", [(3, 1), (4, 20), (5, 31), (6, 20)])
def test_graft_counted_a_day_at_a_time(larkhollow: DailySeries, today: tuple[int, int]) -> None:
    on = dt.date(2025, *today)
    known = larkhollow.before(on)
    one = outlook_of(known, SINE, THOUSAND, start=dt.date(2025, 1, 1), today=on, steps=PLAIN_GRAFT)
    assert {dot.season: dot.day for dot in one.dots} == slowly(known, on, THOUSAND)


def test_full_outlook_moves_the_worked_example_by_so_much(larkhollow: DailySeries) -> None:
    today = dt.date(2026, 6, 11)
    one = outlook_of(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=today)
    plain = outlook_of(larkhollow, SINE, THOUSAND, start=NEW_YEAR, today=today, steps=PLAIN_GRAFT)
    assert 0.01 < one.slope < 0.045
    assert plain.slope == 0.0
    # 7 to 10 June ran warm, and warmth lasts: no date moves later, none by more than three days.
    moved = [(late - early).days for early, late in zip(one.days, plain.days, strict=True)]
    assert all(0 <= days <= 3 for days in moved)
    assert one.spans is not None
    ends = [one.spans[share] for share in (0.9, 0.8, 0.5)]
    assert one.middle is not None
    assert all(low <= one.middle <= high for low, high in ends if high)
    assert ends[0][0] <= ends[1][0] <= ends[2][0]
    assert one.chance == 1.0


def test_same_answer_twice_and_with_a_shared_climate(larkhollow: DailySeries) -> None:
    today = dt.date(2026, 6, 11)
    record = known_on(larkhollow, today)
    climate = climate_of(record, season_of(NEW_YEAR))
    goals = [celsius_days(each) for each in (600.0, 1000.0, 1400.0)]
    alone = outlooks(larkhollow, SINE, goals, start=NEW_YEAR, today=today)
    shared = outlooks(record, SINE, goals, start=NEW_YEAR, climate=climate)
    assert alone == shared
    assert alone == outlooks(larkhollow, SINE, goals, start=NEW_YEAR, today=today)


def test_forecast_days_move_dates_and_are_counted(larkhollow: DailySeries) -> None:
    today = dt.date(2026, 6, 11)
    known = larkhollow.before(today)

    def with_forecast(warmer: float) -> DailySeries:
        low = np.append(known.tmin, np.full(7, 12.0 + warmer))
        high = np.append(known.tmax, np.full(7, 26.0 + warmer))
        origin = np.append(known.origin, np.full(7, Origin.FORECAST))
        return DailySeries(known.first, low, high, origin, known.place)

    cold, warm = (
        outlook_of(with_forecast(by), SINE, THOUSAND, start=NEW_YEAR, today=today) for by in (-8, 8)
    )
    assert cold.forecast_days == warm.forecast_days == 7
    assert cold.through == warm.through == dt.date(2026, 6, 10)
    assert cold.heat == warm.heat
    assert cold.middle is not None
    assert warm.middle is not None
    assert (cold.middle - warm.middle).days >= 3
    without = outlook_of(
        with_forecast(8), SINE, THOUSAND, start=NEW_YEAR, today=today, steps=Steps(forecast=False)
    )
    assert without == outlook_of(known, SINE, THOUSAND, start=NEW_YEAR, today=today)


def test_southern_season_runs_over_new_year() -> None:
    days = (dt.date(2026, 2, 1) - dt.date(2020, 7, 1)).days
    date = np.datetime64("2020-07-01") + np.arange(days)
    turn = np.cos(2 * np.pi * (date - np.datetime64("2020-01-15")).astype(float) / 365.25)
    place = Place("south", latitude=-38.0, season_begins=(7, 1))
    south = DailySeries(dt.date(2020, 7, 1), 8 + 6 * turn, 20 + 7 * turn, place=place)
    one = outlook_of(south, Counting(lower=10.0), 1200.0, start=dt.date(2025, 7, 1))
    assert [dot.season for dot in sorted(one.dots, key=lambda dot: dot.season)] == [
        "2020/21", "2021/22", "2022/23", "2023/24", "2024/25",
    ]  # fmt: skip
    # The same weather every year, so every dot falls on the same day, next year's warming aside.
    assert one.slowest is not None
    assert one.fastest is not None
    assert (one.slowest - one.fastest).days <= 2


def test_no_past_season_no_dots(larkhollow: DailySeries) -> None:
    short = larkhollow.between(NEW_YEAR, dt.date(2026, 5, 1))
    one = outlook_of(short, SINE, THOUSAND, start=NEW_YEAR)
    assert (one.dots, one.spans, one.middle, one.chance) == ((), None, None, None)


def _with_dots(*days: int) -> Outlook:
    """One past year for each day of June."""
    dots = tuple(
        YearDot(str(2000 + day), day_of, 0.0, 0.0)
        for day, day_of in zip(days, june(*days), strict=True)
    )
    return Outlook(goal=500.0, heat=400.0, through=NEW_YEAR, dots=dots, reached=None, unknown=None)


@pytest.mark.parametrize(
    ("years", "dropped"), [(5, 1), (12, 1), (16, 1), (19, 1), (20, 2), (29, 2), (30, 3)]
)
def test_the_inner_span_leaves_a_tenth_at_each_end(years: int, dropped: int) -> None:
    """One at least."""
    inner = _with_dots(*range(1, years + 1)).inner
    assert inner is not None
    assert (inner.years, inner.total) == (years - 2 * dropped, years)
    assert inner.first == june(1 + dropped)[0]


def test_four_years_have_no_inner_span() -> None:
    """Too few to call anything a middle."""
    assert _with_dots(1, 2, 3, 4).inner is None
