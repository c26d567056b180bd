"""From a real record to dated windows; every date recomputed here, day by day, by plain loops.

Clemson SC 1930-2020 (°F, with its real faults) and Champion NE 1986-2018 (°C).
"""

from __future__ import annotations

import datetime as dt
import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad

from gddcast.quality.verdict import judge
from gddcast.readers.card_files import load_cards
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.weather.gaps import patch_short
from gddcast.weather.series import DailySeries
from gddcast.words import Status
from tests.real_records import champion, clemson

CARDS = load_cards()
WATCH = (
    "seedcorn-maggot",
    "squash-vine-borer",
    "codling-moth",
    "japanese-beetle",
    "cabbage-maggot",
)
ISSUES = [
    pytest.param(clemson, dt.date(1975, 5, 20), id="Clemson in May"),
    pytest.param(clemson, dt.date(2010, 6, 15), id="Clemson in June"),
    pytest.param(champion, dt.date(2005, 6, 15), id="Champion in June"),
    pytest.param(champion, dt.date(2012, 5, 1), id="Champion in May"),
]


def day_heat(low: float, high: float, window: ScoutingWindow) -> float:
    """One day's degree-days from its definition: the curve drawn and added up, or the mean."""
    counting = window.counting
    assert counting is not None
    lower, upper = counting.lower, counting.upper
    if counting.cutoff.name == "cap the readings":
        low, high = min(low, upper), min(high, upper)
    stop = upper if counting.cutoff.name == "horizontal" else math.inf

    def rate(temperature: float) -> float:
        return min(max(temperature - lower, 0.0), stop - lower)

    if counting.shape.name == "floor the mean":
        return rate((low + high) / 2)
    assert counting.shape.name == "single sine"
    middle, half = (low + high) / 2, (high - low) / 2
    bends = [
        math.asin((level - middle) / half) / math.pi + 0.5
        for level in (lower, stop)
        if half > 0 and abs(level - middle) < half
    ]
    edges = [0.0, *sorted(bends), 1.0]
    return sum(
        quad(lambda t: rate(middle + half * math.sin(math.pi * (t - 0.5))), a, b)[0]
        for a, b in itertools.pairwise(edges)
    )


def walked(series: DailySeries, window: ScoutingWindow, goal: float, until: dt.date):
    """Sum through the day before ``until``, and the day the goal was reached, if it was."""
    assert window.clock is not None
    total, reached, day = 0.0, None, window.clock.latest
    while day < until:
        index = series.index(day)
        total += day_heat(series.tmin[index], series.tmax[index], window)
        if reached is None and total >= goal - 1e-9:
            reached = day
        day += dt.timedelta(days=1)
    return total, reached


def planned(record, today: dt.date) -> tuple[SeasonPlan, DailySeries]:
    series = record()
    known = patch_short(judge(series.before(today)).judged)
    return season_plan(series, CARDS, today, watch=WATCH), known


@pytest.mark.parametrize(("record", "today"), ISSUES)
def test_heat_and_dates_reached_equal_a_walk_through_the_days(record, today: dt.date) -> None:
    """Every window on a calendar clock: the sum so far, and the day it was reached."""
    plan, known = planned(record, today)
    checked = 0
    for window in plan.windows:
        if window.early is None or window.late is None or window.late.unknown is not None:
            continue
        for outlook in (window.early, window.late):
            total, reached = walked(known, window, outlook.goal, today)
            np.testing.assert_allclose(outlook.heat, total, rtol=0, atol=1e-6)
            assert outlook.reached == reached
            checked += 1
    assert checked >= 8


@pytest.mark.parametrize(("record", "today"), ISSUES)
def test_every_window_has_a_date_or_a_plain_reason(record, today: dt.date) -> None:
    """A date with its dots, a cue, or the reason why there is none."""
    plan, _ = planned(record, today)
    assert {window.card.key for window in plan.windows} == set(WATCH)
    for window in plan.windows:
        dated = window.reached or window.fastest
        assert dated or window.reason or window.status in (Status.NOT_THIS_SEASON, Status.CANT_SAY)
        if window.late is not None and window.late.reached is None and window.late.dots:
            assert len(window.late.dots) >= 5
            assert all(dot.day is None or dot.day >= today for dot in window.late.dots)


def test_one_dot_a_past_season_and_faulty_seasons_named() -> None:
    """Clemson's absent September 1962 and February 2005 cost those seasons, by name."""
    plan, _ = planned(clemson, dt.date(2010, 6, 15))
    lost = {
        name
        for window in plan.windows
        if window.late is not None
        for name, _ in window.late.left_out
    }
    assert lost <= {str(year) for year in range(1930, 2010)}
    window = next(each for each in plan.windows if each.event.key == "moths" and each.late)
    assert window.late is not None
    if window.late.reached is None:
        seasons = [dot.season for dot in window.late.dots]
        assert len(seasons) == len(set(seasons))


def test_days_after_today_are_never_peeked_at() -> None:
    """The plan of a day is the same whether or not the record goes on after it."""
    today = dt.date(2005, 6, 15)
    whole = season_plan(champion(), CARDS, today, watch=WATCH)
    cut = season_plan(champion().before(today), CARDS, today, watch=WATCH)
    assert [
        (each.card.key, each.event.key, each.status, each.fastest, each.slowest, each.reached)
        for each in whole.windows
    ] == [
        (each.card.key, each.event.key, each.status, each.fastest, each.slowest, each.reached)
        for each in cut.windows
    ]


def test_a_long_gap_says_so_and_is_never_counted_as_zero() -> None:
    """Dates that cross an unpatched gap can't be said."""
    series = champion()
    first, last = series.index(dt.date(2005, 5, 1)), series.index(dt.date(2005, 5, 14))
    low, high = series.tmin.copy(), series.tmax.copy()
    low[first : last + 1] = high[first : last + 1] = np.nan
    holed = DailySeries(series.first, low, high)
    plan = season_plan(holed, CARDS, dt.date(2005, 6, 15), watch=["squash-vine-borer"])
    moths = next(each for each in plan.windows if each.event.key == "moths" and each.late)
    assert moths.status is Status.CANT_SAY
    assert moths.late is not None
    assert moths.late.unknown == (dt.date(2005, 5, 1), dt.date(2005, 5, 14))


@pytest.mark.parametrize(("up_to", "status"), [(3, False), (2, True)])
def test_a_gap_is_patched_only_as_far_as_its_people_say(up_to: int, status: bool) -> None:
    """Three unknown days are a straight line at 3, and can't be said at 2."""
    series = champion()
    hole = slice(series.index(dt.date(2005, 5, 10)), series.index(dt.date(2005, 5, 13)))
    low, high = series.tmin.copy(), series.tmax.copy()
    low[hole] = high[hole] = np.nan
    plan = season_plan(
        DailySeries(series.first, low, high), CARDS, dt.date(2005, 6, 15),
        watch=["squash-vine-borer"], patch_up_to=up_to,
    )  # fmt: skip
    moths = next(each for each in plan.windows if each.event.key == "moths" and each.late)
    assert (moths.status is Status.CANT_SAY) is status
    assert plan.patched == (0 if status else 3)
