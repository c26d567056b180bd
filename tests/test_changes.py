"""A move is told apart into its causes, and the causes add up."""

import datetime as dt

import numpy as np
import pytest

from gddcast.changes import Basis, changed, since
from gddcast.counting import Counting
from gddcast.daily import floor_the_mean
from gddcast.outlook import outlook
from gddcast.series import DailySeries
from tests.skill_table import station

THEN, NOW = dt.date(2012, 5, 10), dt.date(2012, 5, 24)
START = dt.date(2012, 1, 1)
SINE = Counting(lower=10.0)


@pytest.fixture
def record() -> DailySeries:
    return station("Champion")


def warmer(series: DailySeries, first: dt.date, last: dt.date, by: float) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    days = slice(series.index(first), series.index(last) + 1)
    low[days] += by
    high[days] += by
    return DailySeries(series.first, low, high, place=series.place)


def by_cause(change: object) -> dict[str, object]:
    return {move.cause: move for move in change.moves}  # type: ignore[attr-defined]


def test_only_time_passed(record: DailySeries) -> None:
    change = since(Basis(record, NOW, SINE, 400.0, START), THEN)
    moves = by_cause(change)
    assert not moves["revised days"].moved  # type: ignore[attr-defined]
    assert not moves["method or card"].moved  # type: ignore[attr-defined]
    assert change.new_days == (THEN, NOW - dt.timedelta(days=1))
    assert change.before == outlook(record, SINE, 400.0, start=START, today=THEN)
    assert change.after == outlook(record, SINE, 400.0, start=START, today=NOW)


@pytest.mark.parametrize(("by", "sign"), [(6.0, -1), (-6.0, 1)])
def test_warm_days_bring_it_forward(record: DailySeries, by: float, sign: int) -> None:
    change = since(Basis(warmer(record, THEN, NOW, by), NOW, SINE, 400.0, START), THEN)
    weather = change.moves[1]
    assert weather.cause == "weather"
    assert weather.middle is not None
    assert weather.middle * sign > 0
    assert change.warmth is not None
    assert change.warmth * sign < 0


def test_revised_days_are_not_called_weather(record: DailySeries) -> None:
    then = Basis(record, THEN, SINE, 400.0, START)
    revised = warmer(record, dt.date(2012, 4, 1), dt.date(2012, 4, 20), 5.0)
    change = changed(then, Basis(revised, THEN, SINE, 400.0, START))
    moves = by_cause(change)
    assert moves["revised days"].middle < 0  # type: ignore[attr-defined]
    assert not moves["weather"].moved  # type: ignore[attr-defined]
    assert change.new_days is None
    assert change.warmth is None


def test_another_method_is_not_called_weather(record: DailySeries) -> None:
    then = Basis(record, THEN, SINE, 400.0, START)
    mean = Counting(lower=10.0, shape=floor_the_mean)
    change = changed(then, Basis(record, THEN, mean, 420.0, START))
    assert [move.moved for move in change.moves] == [False, False, True]
    assert change.moves[2].middle > 0  # type: ignore[operator]


def test_causes_add_up(record: DailySeries) -> None:
    then = Basis(record, THEN, SINE, 400.0, START)
    revised = warmer(record, dt.date(2012, 4, 1), dt.date(2012, 5, 20), 3.0)
    change = changed(then, Basis(revised, NOW, Counting(lower=9.0), 450.0, START))
    for name in ("fastest", "slowest"):
        before, after = getattr(change.before, name), getattr(change.after, name)
        assert (after - before).days == sum(getattr(move, name) for move in change.moves)


def test_goal_that_falls_out_of_the_season_moves_by_no_number(record: DailySeries) -> None:
    then = Basis(record, THEN, SINE, 400.0, START)
    change = changed(then, Basis(record, THEN, SINE, 9000.0, START))
    assert change.moves[2].moved
    assert change.moves[2].middle is None
    assert np.isinf(change.after.dots[0].time)
