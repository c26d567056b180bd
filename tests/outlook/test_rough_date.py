"""Rough dates of a season that stands alone, against the days on which the sums really came."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import Outlook, outlook_of
from gddcast.outlook.rough_date import FURTHEST, RoughCourse, rough_course, rough_date
from gddcast.weather.series import DailySeries
from tests.real_records import brussels, champion, clemson, seattle

ABOVE_10 = Counting(10.0)


def stations() -> dict[str, DailySeries]:
    return {
        "Champion": champion(), "Brussels": brussels(), "Seattle": seattle(),
        "Clemson": clemson().between(dt.date(1940, 1, 1), dt.date(1975, 12, 31)),
    }  # fmt: skip


def alone(series: DailySeries, first: dt.date, goal: float, today: dt.date) -> Outlook:
    """The outlook from this season's days only."""
    own = series.between(first, dt.date(first.year, 12, 31))
    return outlook_of(own, ABOVE_10, goal, start=dt.date(first.year, 1, 1), today=today)


@pytest.mark.parametrize(("lead", "most"), [((1, 30), 5.0), ((31, FURTHEST), 10.0)])
def test_it_misses_by_days_not_weeks_and_its_span_holds(lead: tuple[int, int], most: float) -> None:
    off, held = [], []
    for series in stations().values():
        for year in range(series.first.year, series.last.year, 3):
            whole = series.between(dt.date(year, 1, 1), dt.date(year, 12, 31))
            if whole.missing or len(whole) < 365:
                continue
            sums = np.cumsum(ABOVE_10.daily(whole))
            for month in (4, 5, 6):
                for goal in (150.0, 300.0, 600.0):
                    one = alone(whole, whole.first, goal, dt.date(year, month, 15))
                    if one.rough is None or sums[-1] < goal:
                        continue
                    if lead[0] <= (one.rough.day - one.through).days <= lead[1]:
                        true = whole.date(int(np.argmax(sums >= goal)))
                        off.append(abs((one.rough.day - true).days))
                        held.append(one.rough.first <= true <= one.rough.last)
    assert len(off) > 50
    assert np.mean(off) < most
    assert 0.70 < np.mean(held) < 0.92


def test_a_record_with_past_years_is_never_rough() -> None:
    one = outlook_of(
        champion(), ABOVE_10, 600.0, start=dt.date(2016, 1, 1), today=dt.date(2016, 5, 15)
    )
    assert one.dots
    assert one.rough is None


def test_a_winter_too_cold_to_count_is_not_missed() -> None:
    """Above 15 °C Champion has next to nothing before 10 March; a later start is said."""
    whole = champion().between(dt.date(2013, 1, 1), dt.date(2013, 12, 31))
    above = Counting(15.0)
    one = outlook_of(
        whole.between(dt.date(2013, 3, 10), whole.last), above, 300.0,
        start=whole.first, today=dt.date(2013, 7, 1),
    )  # fmt: skip
    known = outlook_of(whole, above, 300.0, start=whole.first, today=dt.date(2013, 7, 1))
    assert one.counted_from == dt.date(2013, 3, 10)
    assert one.unknown is None
    assert one.reached is not None
    assert known.reached is not None
    assert abs((one.reached - known.reached).days) <= 1


def test_a_mild_winter_is_missed_and_only_a_rough_date_is_given() -> None:
    """Clemson, above 4 °C: January and February bring weeks' worth of spring heat."""
    whole = clemson().between(dt.date(1950, 1, 1), dt.date(1950, 12, 31))
    one = outlook_of(
        whole.between(dt.date(1950, 3, 10), whole.last), Counting(4.0), 1200.0,
        start=whole.first, today=dt.date(1950, 5, 1),
    )  # fmt: skip
    assert one.counted_from is None
    assert one.unknown == (dt.date(1950, 1, 1), dt.date(1950, 3, 9))
    assert one.rough is not None
    sums = np.cumsum(Counting(4.0).daily(whole))
    true = whole.date(int(np.argmax(sums >= 1200.0)))
    assert one.rough.first <= true <= one.rough.last


def test_nothing_rough_from_few_days_far_ahead_or_between_the_tropics() -> None:
    whole = champion().between(dt.date(2016, 1, 1), dt.date(2016, 12, 31))
    assert alone(whole, dt.date(2016, 5, 1), 600.0, dt.date(2016, 5, 20)).rough is None
    assert alone(whole, whole.first, 1500.0, dt.date(2016, 4, 15)).rough is None
    place = dataclasses.replace(whole.place, latitude=17.4)
    assert rough_course(dataclasses.replace(whole, place=place)) is None


def test_a_hole_in_the_season_stays_unsaid() -> None:
    whole = champion().between(dt.date(2016, 1, 1), dt.date(2016, 12, 31))
    low, high = whole.tmin.copy(), whole.tmax.copy()
    low[100:120] = high[100:120] = np.nan
    one = alone(DailySeries(whole.first, low, high), whole.first, 300.0, dt.date(2016, 6, 15))
    assert one.unknown is not None
    assert one.rough is None


def test_however_little_is_missing_it_is_still_ahead() -> None:
    course = rough_course(champion().between(dt.date(2016, 1, 1), dt.date(2016, 5, 31)))
    assert course is not None
    soon = rough_date(course, ABOVE_10, 0.5)
    assert soon is not None
    assert soon.day == dt.date(2016, 6, 1)
    assert rough_date(course, ABOVE_10, 0.0) is None


def test_the_furthest_day_is_still_told_and_none_beyond_it() -> None:
    """Days of 11 °C without a wave bring one degree-day each above 10 °C."""
    even = RoughCourse(dt.date(2016, 5, 31), 11.0, 0.0, 201, np.zeros((2, 40)))
    # The days are counted a hair below the goal: only one a hair above takes the whole of them.
    for missing in (float(FURTHEST), float(np.nextafter(FURTHEST, np.inf))):
        last = rough_date(even, ABOVE_10, missing)
        assert last is not None
        assert last.day == dt.date(2016, 7, 30)
    assert rough_date(even, ABOVE_10, FURTHEST + 0.001) is None
