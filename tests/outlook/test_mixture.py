"""A range and a bracket mixed with past years' weather, against insects drawn by the thousand."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.heat.counting import Counting
from gddcast.heat.shapes import floor_the_mean
from gddcast.outlook.dates import InnerSpan, outlook_of, outlooks
from gddcast.outlook.ensemble import FULL, PLAIN_GRAFT, Climate, Steps, climate_of
from gddcast.outlook.mixture import mixture
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text.sentences import inner_years
from gddcast.units import celsius, celsius_days
from gddcast.weather.series import DailySeries, Origin, season_of
from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD
from tests.acceptance.terminal import WHOLE

COUNTING = Counting(celsius(50.0), shape=floor_the_mean)
DRAWN = 2000


@dataclass(frozen=True)
class Case:
    """Sums in °F-days above 50 °F, by the mean of the day."""

    sums: tuple[float, float]
    first: dt.date
    days: int  # of the bracket, both ends counted
    today: dt.date

    @property
    def goal(self) -> tuple[float, float]:
        """The sums in °C-days."""
        low, high = self.sums
        return celsius_days(low), celsius_days(high)

    @property
    def start(self) -> tuple[dt.date, dt.date]:
        """First and last day of the bracket."""
        return self.first, self.first + dt.timedelta(days=self.days - 1)

    def insects(self) -> tuple[np.ndarray, np.ndarray]:
        """Sums even over the range, days after the first even over the bracket."""
        chance = np.random.default_rng(39)
        return chance.uniform(*self.sums, DRAWN), chance.integers(0, self.days, DRAWN)


CASES = {
    # Squash vine borer, South Dakota State University Extension, 2021: hatch 245 to 300 after
    # laying; found on 24 June, none on the 22nd.
    "hatch after a find": Case((245, 300), dt.date(2026, 6, 23), 3, dt.date(2026, 6, 25)),
    # Peachtree borer, flight at its peak, as its card prints it: a range of weeks.
    "a wide range": Case((506, 1494), dt.date(2026, 1, 1), 1, dt.date(2026, 6, 11)),
    # One sum, and nobody had looked for a fortnight.
    "a long bracket": Case((245, 245), dt.date(2026, 6, 11), 15, dt.date(2026, 6, 26)),
    "some of it behind": Case((245, 300), dt.date(2026, 6, 18), 8, dt.date(2026, 7, 2)),
    # The record ends before the find: the days up to the latest start are foretold too.
    "starts ahead": Case((245, 300), dt.date(2026, 6, 8), 9, dt.date(2026, 6, 12)),
}


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(WHOLE).series


@cache
def climate_on(series: DailySeries, today: dt.date, steps: Steps = FULL) -> Climate:
    """Past seasons, laid out once."""
    return climate_of(series.before(today), season_of(today), steps=steps)


def worded(inner: InnerSpan) -> int:
    """The per cent people read."""
    return int(inner_years(inner).removesuffix(" %"))


def share_within(days: np.ndarray, inner: InnerSpan) -> float:
    """Per cent of days of the year that an inner span holds, both ends included."""
    low, high = (each.timetuple().tm_yday for each in (inner.first, inner.last))
    return 100.0 * float(((days >= low) & (days <= high)).mean())


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_share_of_drawn_insects_by_the_plain_graft(case: Case, series: DailySeries) -> None:
    """Past years' own days behind this season's, added up apart from the program."""
    heat = CARD.heat(second_opinion.read(WHOLE)).sort_index()
    now = heat["2026"].to_numpy()[: case.today.timetuple().tm_yday - 1]
    years = [heat[str(year)].to_numpy() for year in range(2014, 2026)]
    years = [np.delete(year, 59) if year.size == 366 else year for year in years]
    sums = [np.concatenate([[0.0], np.cumsum([*now, *year[now.size :]])]) for year in years]
    begin = case.first.timetuple().tm_yday - 1
    days = []
    for goal, later in zip(*case.insects(), strict=True):
        for total in sums:
            wanted = total[begin + later] + goal
            days.append(np.searchsorted(total, wanted - 1e-9))
    mixed = mixture(
        series, COUNTING, case.goal, case.start, today=case.today, steps=PLAIN_GRAFT
    )  # fmt: skip
    assert mixed is not None
    assert mixed.inner is not None
    assert abs(share_within(np.array(days), mixed.inner) - worded(mixed.inner)) <= 5
    assert worded(mixed.inner) < 96


@pytest.mark.parametrize("name", ["hatch after a find", "a wide range", "a long bracket"])
def test_share_of_drawn_insects_by_every_step(name: str, series: DailySeries) -> None:
    """Each insect's own outlook, from its own day and sum: what one end says is far off."""
    case = CASES[name]
    goals, later = case.insects()
    days: list[int] = []
    for each in range(case.days):
        start = case.first + dt.timedelta(days=each)
        drawn = [celsius_days(goal) for goal in goals[later == each]]
        for one in outlooks(
            series, COUNTING, drawn, start=start, today=case.today,
            climate=climate_on(series, case.today),
        ):  # fmt: skip
            reached = one.days or 12 * (one.reached,)
            days += [day.timetuple().tm_yday for day in reached if day]
    mixed = mixture(series, COUNTING, case.goal, case.start, today=case.today)
    late = outlook_of(series, COUNTING, case.goal[1], start=case.start[1], today=case.today)
    assert mixed is not None
    assert mixed.inner is not None
    assert late.inner is not None
    assert abs(share_within(np.array(days), mixed.inner) - worded(mixed.inner)) <= 5
    # Of the late end alone "10 of 12" would be said.
    assert share_within(np.array(days), late.inner) < 50
    # Calibrated spans allow for few years, so they hold no less than they say.
    first, last = mixed.spans[0.8]
    assert last is not None
    assert share_within(np.array(days), InnerSpan(first, last, 0.8, 12)) > 75


@settings(max_examples=15, deadline=None)
@given(
    sum_=st.floats(100.0, 2500.0), day=st.integers(0, 150),
    steps=st.sampled_from([FULL, PLAIN_GRAFT]),
)  # fmt: skip
def test_without_range_and_bracket_it_is_the_outlook(
    series: DailySeries, sum_: float, day: int, steps: Steps
) -> None:
    start, today = dt.date(2026, 1, 1) + dt.timedelta(days=day), dt.date(2026, 6, 11)
    goal = celsius_days(sum_)
    climate = climate_on(series, today, steps)
    one = outlook_of(series, COUNTING, goal, start=start, today=today, steps=steps, climate=climate)
    mixed = mixture(
        series, COUNTING, (goal, goal), (start, start), today=today, steps=steps, climate=climate
    )
    if one.reached:
        assert mixed is None
        return
    assert mixed is not None
    assert mixed.of == ()
    assert mixed.never == pytest.approx(1.0 - len(one.days) / len(one.dots), rel=0, abs=1e-12)
    if one.inner is None:
        assert mixed.inner is None
    else:
        assert mixed.inner is not None
        assert (mixed.inner.first, mixed.inner.last) == (one.inner.first, one.inner.last)
        assert mixed.inner.share == pytest.approx(one.inner.share, rel=0, abs=1e-12)
    for share, (first, last) in mixed.spans.items():
        assert one.spans is not None
        here, there = one.spans[share]
        assert abs((first - here).days) <= 1
        assert (last is None) == (there is None) or share == 0.9
        assert last is None or there is None or abs((last - there).days) <= 1


def test_a_range_the_season_does_not_end(series: DailySeries) -> None:
    """Half of the sums are never reached: no late end, and the share that does not come is said."""
    first, today = dt.date(2026, 1, 1), dt.date(2026, 8, 31)
    most = max(dot.heat for dot in outlook_of(series, COUNTING, 9e3, start=first, today=today).dots)
    least = outlook_of(series, COUNTING, 9e3, start=first, today=today).heat
    mixed = mixture(
        series, COUNTING, (least + 20.0, 2 * most - least), (first, first), today=today
    )  # fmt: skip
    assert mixed is not None
    assert mixed.inner is None
    assert mixed.never > 0.5


def test_unknown_days_hide_it(series: DailySeries) -> None:
    first, today = dt.date(2026, 6, 1), dt.date(2026, 6, 25)
    at = series.index(dt.date(2026, 6, 5))
    low = np.copy(series.tmin)
    low[at] = np.nan
    origin = np.copy(series.origin)
    origin[at] = Origin.UNKNOWN
    holed = replace(
        series, tmin=low, tmax=np.where(np.isnan(low), np.nan, series.tmax), origin=origin
    )
    assert mixture(holed, COUNTING, (100.0, 200.0), (first, first), today=today) is None
    one_year = series.between(dt.date(2026, 1, 1), today)
    assert mixture(one_year, COUNTING, (900.0, 950.0), (first, first), today=today) is None


def test_a_bracket_that_lies_ahead_of_today(series: DailySeries) -> None:
    """Nothing is counted yet: every member begins at nought, each of its shifts too."""
    start = (dt.date(2026, 5, 1), dt.date(2026, 5, 11))
    today = dt.date(2026, 1, 1)
    mixed = mixture(series, COUNTING, (200.0, 200.0), start, today=today)
    alone = [outlook_of(series, COUNTING, 200.0, start=each, today=today) for each in start]
    assert mixed is not None
    assert mixed.inner is not None
    assert alone[0].fastest is not None
    assert alone[1].slowest is not None
    assert alone[0].fastest <= mixed.inner.first <= mixed.inner.last <= alone[1].slowest
