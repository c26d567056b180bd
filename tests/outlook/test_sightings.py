"""The spread of a published number, mixed exactly, against goals drawn by the thousand."""

import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlook_of, outlooks
from gddcast.outlook.ensemble import PLAIN_GRAFT
from gddcast.outlook.sightings import PrintedSums, insect_dates
from gddcast.weather.series import DailySeries
from tests.skill_table import station

# Codling moth, first catch: 96 ± 14.4 °C-days (Jones, Doerr & Brunner 2008, J. Econ. Entomol. 101,
# 1651), above 10 °C from 1 January.
GOAL, SPREAD = 96.0, 14.4
COUNTING = Counting(lower=10.0)
START, TODAY = dt.date(2015, 1, 1), dt.date(2015, 3, 12)


@pytest.fixture(scope="module")
def record() -> DailySeries:
    return station("Champion")


def test_agrees_with_drawn_goals(record: DailySeries) -> None:
    mixed = insect_dates(
        record, COUNTING, PrintedSums(GOAL, SPREAD), start=START, today=TODAY, steps=PLAIN_GRAFT
    )
    assert mixed is not None
    drawn = np.random.default_rng(8).normal(GOAL, SPREAD, 2000)
    times = []
    for one in outlooks(record, COUNTING, drawn, start=START, today=TODAY, steps=PLAIN_GRAFT):
        times += [dot.day for dot in one.dots] if one.dots else [one.reached] * 29
    days = np.sort([(day - START).days for day in times if day is not None])
    for share, (low, high) in mixed.spans.items():
        ends = np.quantile(days, [0.5 - share / 2, 0.5 + share / 2])
        assert high is not None
        np.testing.assert_allclose(
            [(low - START).days, (high - START).days], ends, rtol=0, atol=1.01
        )


def test_spread_widens_and_keeps_the_middle(record: DailySeries) -> None:
    sum_reached = outlook_of(record, COUNTING, GOAL, start=START, today=TODAY)
    narrow, wide = (
        insect_dates(record, COUNTING, PrintedSums(GOAL, each), start=START, today=TODAY)
        for each in (0.01, SPREAD)
    )
    assert narrow is not None
    assert wide is not None
    assert sum_reached.middle is not None
    assert narrow.middle is not None
    assert abs((narrow.middle - sum_reached.middle).days) <= 1

    def width(span: tuple[dt.date, dt.date | None]) -> int:
        assert span[1] is not None
        return (span[1] - span[0]).days

    assert width(wide.spans[0.8]) > width(narrow.spans[0.8])


def test_sum_reached_is_not_insect_seen(record: DailySeries) -> None:
    reached = outlook_of(record, COUNTING, GOAL, start=START, today=dt.date(2015, 12, 1)).reached
    assert reached is not None
    found = insect_dates(
        record,
        COUNTING,
        PrintedSums(GOAL, SPREAD),
        start=START,
        today=reached + dt.timedelta(days=1),
    )
    assert found is not None
    # On the day the mean is reached about half of the fields still wait.
    assert 0.45 < found.by_now < 0.8
    assert found.in_season > 0.999


def test_gap_hides_it(record: DailySeries) -> None:
    low = record.tmin.copy()
    low[record.index(dt.date(2015, 2, 2))] = np.nan
    gappy = DailySeries(record.first, low, record.tmax)
    assert (
        insect_dates(gappy, COUNTING, PrintedSums(GOAL, SPREAD), start=START, today=TODAY) is None
    )


def test_without_a_past_season_nothing_is_said(record: DailySeries) -> None:
    young = record.between(START, TODAY)
    assert (
        insect_dates(young, COUNTING, PrintedSums(GOAL, SPREAD), start=START, today=TODAY) is None
    )


def test_a_chance_the_season_does_not_reach_has_no_day(record: DailySeries) -> None:
    """A season's whole heat as goal: half of the years do not come to it."""
    whole = outlook_of(record, COUNTING, 5000.0, start=START, today=TODAY)
    sums = sorted(dot.heat for dot in whole.dots)
    found = insect_dates(
        record, COUNTING, PrintedSums(sums[len(sums) // 2], SPREAD), start=START, today=TODAY
    )
    assert found is not None
    assert 0.35 < found.in_season < 0.65
    first, last = found.spans[0.8]
    assert first.year == 2015
    assert last is None


def test_behind_a_clean_look_only_later_days_are_left(record: DailySeries) -> None:
    """Bayes' rule by hand: the days before it are struck out, the rest is scaled to one."""
    sums, later = PrintedSums(GOAL, 30.0), TODAY + dt.timedelta(days=60)
    clean = later - dt.timedelta(days=10)
    free, bound = (
        insect_dates(record, COUNTING, sums, start=START, today=later, clean_on=each)
        for each in (None, clean)
    )
    assert free is not None
    assert bound is not None
    heat = np.cumsum(COUNTING.daily(record.between(START, later - dt.timedelta(days=1))))
    before, now = sums.begun(heat[[(clean - START).days, -1]])
    assert 0.05 < before < now < 1.0
    assert free.by_now == pytest.approx(now, rel=0, abs=1e-9)
    assert bound.by_now == pytest.approx((now - before) / (1.0 - before), rel=0, abs=1e-9)
    assert all(first > clean for first, _ in bound.spans.values())
    assert bound.tails == free.tails  # the days to look do not wander with each look


def test_the_tails_are_days_by_which_so_many_have_begun(record: DailySeries) -> None:
    """A chance of 1 in 10 on either side is the middle 80 %, whole days holding a little more."""
    for tail, share in ((0.1, 0.8), (0.05, 0.9)):
        found = insect_dates(
            record, COUNTING, PrintedSums(GOAL, SPREAD), start=START, today=TODAY, tail=tail
        )
        assert found is not None
        (opens, closes), (first, last) = found.tails, found.spans[share]
        assert closes is not None
        assert last is not None
        assert opens == first
        assert last <= closes <= last + dt.timedelta(days=1)


def test_dates_lean_on_the_calendar_but_not_into_what_is_over(record: DailySeries) -> None:
    """Three tenths of the way to a mean date 20 days off are 6 days, either way."""
    sums, twenty = PrintedSums(GOAL, 30.0), dt.timedelta(days=20)
    plain = insect_dates(record, COUNTING, sums, start=START, today=TODAY)
    assert plain is not None
    assert plain.middle is not None
    for days in (twenty, -twenty):
        leaning = insect_dates(
            record, COUNTING, sums, start=START, today=TODAY, usual=plain.middle + days
        )
        assert leaning is not None
        assert leaning.middle == max(plain.middle + days * 0.3, TODAY)
        assert leaning.by_now <= plain.by_now
        assert leaning.spans[0.5][1] == plain.spans[0.5][1] + days * 0.3  # type: ignore[operator]
