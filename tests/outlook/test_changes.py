"""A move is told apart into its causes, and the causes add up."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.heat.shapes import floor_the_mean
from gddcast.outlook.changes import (
    CAUSES,
    Change,
    Dates,
    Morning,
    Move,
    Question,
    changed,
    dates_on,
    is_move,
    revised_days,
)
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.forecast_archive import ForecastArchive, with_forecasts
from gddcast.weather.series import DailySeries
from tests.skill_table import station

THEN, NOW = dt.date(2012, 5, 10), dt.date(2012, 5, 24)
START = dt.date(2012, 1, 1)
SINE = Counting(lower=10.0)
GOAL = 600.0  # °C-days: after the later morning, in every year


@pytest.fixture
def record() -> DailySeries:
    return station("Champion")


def asked(counting: Counting = SINE, low: float = GOAL, high: float = GOAL) -> Question:
    return Question(counting, (low, START), (high, START))


def morning(series: DailySeries, today: dt.date) -> Morning:
    """Days before it, and whatever forecast the series holds from it on."""
    return Morning(series.before(today), today)


def warmer(series: DailySeries, first: dt.date, last: dt.date, by: float) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    days = slice(series.index(first), series.index(last) + 1)
    low[days] += by
    high[days] += by
    return DailySeries(series.first, low, high, place=series.place)


def by_cause(change: Change) -> dict[str, Move]:
    assert tuple(move.cause for move in change.moves) == CAUSES
    return {move.cause: move for move in change.moves}


def test_only_time_passed(record: DailySeries) -> None:
    change = changed(morning(record, THEN), morning(record, NOW), asked())
    moved = [cause for cause, move in by_cause(change).items() if move.is_shift]
    assert moved == ["weather"]
    assert change.new_days == (THEN, NOW - dt.timedelta(days=1))
    assert (change.revised, change.announced, change.foretold) == ((), False, False)
    for dates, today in ((change.before, THEN), (change.after, NOW)):
        one = outlook_of(record, SINE, GOAL, start=START, today=today)
        assert (dates.fastest, dates.middle, dates.slowest) == (
            one.fastest, one.middle, one.slowest,
        )  # fmt: skip


def test_past_seasons_made_ready_once_serve_both_mornings(record: DailySeries) -> None:
    """The days since do not change what earlier seasons were: the very same dates."""
    now = morning(record, NOW).ready(START)
    then = replace(morning(record, THEN), climate=now.climate)
    assert dates_on(then, asked()) == dates_on(morning(record, THEN), asked())


@pytest.mark.parametrize(("by", "sign"), [(6.0, -1), (-6.0, 1)])
def test_warm_days_bring_it_forward(record: DailySeries, by: float, sign: int) -> None:
    since = warmer(record, THEN, NOW, by)
    change = changed(morning(since, THEN), morning(since, NOW).ready(START), asked())
    weather = by_cause(change)["weather"]
    assert weather.middle is not None
    assert weather.middle * sign > 0
    assert change.warmth is not None
    assert change.warmth * sign < 0


def test_a_record_that_begins_with_the_first_new_day_is_held_against_the_usual(
    record: DailySeries,
) -> None:
    """The first day counts as much as any; days unknown, or before a record begins, for nothing."""
    first = dt.date(2005, 1, 1)
    at = record.index(first)
    low = record.tmin[at:].copy()
    low[40:50] = np.nan
    later = DailySeries(first, low, record.tmax[at:], place=record.place)
    now = morning(later, NOW).ready(START)
    assert now.climate is not None
    unlike = now.climate.anomalies.mean(axis=0)[: (NOW - first).days]
    for then in (first, first - dt.timedelta(days=30)):
        change = changed(morning(record, then), now, asked())
        assert change.warmth == pytest.approx(np.nanmean(unlike), rel=0, abs=1e-12)


def test_revised_days_are_not_called_weather(record: DailySeries) -> None:
    first, last = dt.date(2012, 4, 1), dt.date(2012, 4, 20)
    revised = warmer(record, first, last, 5.0)
    change = changed(morning(record, THEN), morning(revised, THEN), asked())
    moves = by_cause(change)
    assert moves["revised days"].middle is not None
    assert moves["revised days"].middle < 0
    assert [cause for cause, move in moves.items() if move.is_shift] == ["revised days"]
    assert (change.new_days, change.warmth) == (None, None)
    assert (change.revised[0], change.revised[-1], len(change.revised)) == (first, last, 20)


def test_what_was_told_and_is_not_found_again_is_another_method(record: DailySeries) -> None:
    """People were told the dates of another method; nothing else has changed."""
    then = dates_on(
        morning(record, THEN), asked(Counting(lower=10.0, shape=floor_the_mean), high=620.0)
    )
    change = changed(morning(record, THEN), morning(record, THEN), asked(), then=then)
    moved = {cause: move for cause, move in by_cause(change).items() if move.is_shift}
    assert list(moved) == ["method or card"]
    assert change.announced
    assert change.before.fastest == then.fastest


def test_causes_add_up(record: DailySeries) -> None:
    """Another method, revised days, weather and a forecast at once."""
    revised = warmer(record, dt.date(2012, 4, 1), dt.date(2012, 5, 20), 3.0)
    told = dates_on(morning(record, THEN), asked(high=630.0, low=630.0))
    kept = ForecastArchive.of(
        [(str(NOW), str(NOW + dt.timedelta(days=n)), 14.0, 30.0) for n in range(8)]
    )
    now = Morning(with_forecasts(revised.before(NOW), kept, NOW), NOW)
    change = changed(morning(record, THEN), now, asked(), then=told)
    moves = by_cause(change)
    assert all(move.is_shift for move in moves.values())
    for name in ("fastest", "slowest"):
        before, after = getattr(change.before, name), getattr(change.after, name)
        assert (after - before).days == sum(getattr(move, name) for move in moves.values())


def test_days_that_came_as_foretold_move_little_and_are_held_against_the_forecast(
    record: DailySeries,
) -> None:
    """What the forecast of then had said is not news; two degrees more than it said is."""
    days = [THEN + dt.timedelta(days=n) for n in range(10)]
    for off in (0.0, 2.0):
        kept = ForecastArchive.of([
            (str(THEN), str(day), float(record.tmin[record.index(day)] - off),
             float(record.tmax[record.index(day)] - off))
            for day in days
        ])  # fmt: skip
        then = Morning(with_forecasts(record.before(THEN), kept, THEN), THEN)
        change = changed(then, morning(record, THEN + dt.timedelta(days=7)), asked())
        assert change.foretold
        assert change.warmth is not None
        np.testing.assert_allclose(change.warmth, off, rtol=0, atol=1e-9)
        # Three days of the old forecast still lie ahead: giving them up is the forecast's doing.
        assert by_cause(change)["forecast"].cause == "forecast"


def test_a_new_forecast_is_not_called_weather(record: DailySeries) -> None:
    """The same days known, a hotter week foretold."""

    def foretold(by: float) -> Morning:
        kept = ForecastArchive.of([
            (str(NOW), str(NOW + dt.timedelta(days=n)), 12.0 + by, 26.0 + by) for n in range(7)
        ])  # fmt: skip
        return Morning(with_forecasts(record.before(NOW), kept, NOW), NOW)

    change = changed(foretold(0.0), foretold(8.0), asked())
    assert [cause for cause, move in by_cause(change).items() if move.is_shift] == ["forecast"]
    assert change.new_days is None


def test_both_ends_of_a_range_are_asked(record: DailySeries) -> None:
    dates = dates_on(morning(record, THEN), asked(low=300.0, high=500.0))
    low, high = (outlook_of(record, SINE, goal, start=START, today=THEN) for goal in (300.0, 500.0))
    assert (dates.fastest, dates.slowest) == (low.fastest, high.slowest)


def test_goal_that_falls_out_of_the_season_moves_by_no_number(record: DailySeries) -> None:
    told = dates_on(morning(record, THEN), asked())
    change = changed(
        morning(record, THEN), morning(record, THEN), asked(low=9000.0, high=9000.0), then=told
    )
    move = by_cause(change)["method or card"]
    assert move.is_shift
    assert (move.fastest, move.slowest) == (None, None)
    assert change.after == Dates(None, None, None, None)


JUNE = dt.date(2026, 6, 1)


def few(low: list[float], first: dt.date = JUNE) -> Morning:
    tmin = np.array(low)
    return Morning(DailySeries(first, tmin, tmin + 10.0), first + dt.timedelta(days=len(low)))


def test_revised_days_see_what_is_gone_and_not_what_is_new() -> None:
    nan = float("nan")
    assert revised_days(few([1, 2, 3]), few([1, 2, 3, 4])) == ()
    assert revised_days(few([1, 2, 3]), few([1, 2.5, nan])) == (
        dt.date(2026, 6, 2), dt.date(2026, 6, 3),
    )  # fmt: skip
    assert revised_days(few([1, nan, 3]), few([1, 2, 3])) == ()
    assert revised_days(few([1, 2, 3]), few([2, 3], dt.date(2026, 6, 2))) == (JUNE,)


def change_of(before: Dates, after: Dates) -> Change:
    return Change(JUNE, before, after, ())


def test_a_date_that_came_when_foretold_has_not_moved() -> None:
    day = [dt.date(2026, 6, n) for n in range(1, 31)]
    span = Dates(day[10], day[14], day[18], day[18])
    for came, moved in ((10, False), (14, False), (18, False), (9, True), (19, True)):
        reached = Dates(day[came], day[came], day[came], day[came], day[came])
        assert is_move(change_of(span, reached)) is moved, came
        # Once it has come it stays, unless the days behind it were revised.
        assert not is_move(change_of(reached, reached))
        other = Dates(day[20], day[20], day[20], day[20], day[20])
        assert is_move(change_of(reached, other))
    open_end = Dates(day[10], None, None, day[18])
    late = Dates(day[25], day[25], day[25], day[25], day[25])
    assert not is_move(change_of(open_end, late))
