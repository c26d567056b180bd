"""Sowings from seed to the end of picking: ages against the calendar, pests against the plan."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pytest

from gddcast.cards.model import Card
from gddcast.crops.last_sowing import SownBy
from gddcast.crops.succession import Rules
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.outlook.dates import outlook_of
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.sowing_courses import CropCourses, crop_courses, last_fits
from gddcast.weather.series import DailySeries

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)
ROW_2 = Sowing("summer-squash", dt.date(2026, 5, 21), bed="row 2", name="squash 1")
ROW_3 = Sowing("summer-squash", dt.date(2026, 6, 1), bed="row 3", name="squash 2")
DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(FILE).series.before(TODAY)


def plan_of(series: DailySeries, cards: dict[str, Card], journal: Journal) -> SeasonPlan:
    watch = ["squash-vine-borer", "squash-bug"]
    return season_plan(series, cards, TODAY, watch=watch, journal=journal)


def courses(
    series: DailySeries, cards: dict[str, Card], journal: Journal, **how: object
) -> tuple[CropCourses, ...]:
    plan = plan_of(series, cards, journal)
    return crop_courses(plan, cards, journal, **how)  # type: ignore[arg-type]


def test_ages_follow_one_another_by_the_calendar(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """35-45 days to flower on the card, 45-50 to the first pick and 21 of picking by rule."""
    (crop,) = courses(series, cards, Journal(sowings=(ROW_2,)))
    (course,) = crop.courses
    said = [(each.age, each.first, each.last) for each in course.ages]
    sown, flower, pick = ROW_2.sown_on, dt.date(2026, 6, 30), dt.date(2026, 7, 7)
    assert said == [
        ("small", sown, flower - DAY),
        ("in flower", flower, pick - DAY),
        ("bearing", pick, pick + dt.timedelta(days=20)),
    ]
    assert course.planned.pick is not None
    assert course.planned.pick.middle == pick


def test_what_is_on_record_is_not_foretold(series: DailySeries, cards: dict[str, Card]) -> None:
    jobs = (
        Job("first-flower", dt.date(2026, 6, 5), sowing="squash 1"),
        Job("first-pick", dt.date(2026, 6, 10), sowing="squash 1"),
        Job("first-pick", dt.date(2026, 6, 30), sowing="squash 2"),  # not yet, on 11 June
    )
    (crop,) = courses(series, cards, Journal(sowings=(ROW_2, ROW_3), jobs=jobs))
    one, two = crop.courses
    assert [each.first for each in one.ages] == [
        ROW_2.sown_on, dt.date(2026, 6, 5), dt.date(2026, 6, 10)
    ]  # fmt: skip
    assert one.planned.pick is not None
    assert one.planned.pick.dots == ()
    assert one.planned.pick.on_record
    assert two.ages[-1].first != dt.date(2026, 6, 30)


def test_a_pulled_sowing_ends_and_meets_nothing_later(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    pulled = dt.date(2026, 6, 9)
    jobs = (Job("pulled", pulled, sowing="squash 1"),)
    (crop,) = courses(series, cards, Journal(sowings=(ROW_2, ROW_3), jobs=jobs))
    one, two = crop.courses
    assert [each.age for each in one.ages] == ["small"]
    assert one.ages[-1].last == pulled == one.pulled
    assert one.planned.clashes == ()
    assert {clash.stage for clash in two.planned.clashes} >= {"first moths"}


def test_heat_of_own_sowings_gives_a_dot_a_past_year(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    """The same days as `plan_sowings` of that need; the bar begins with the middle one."""
    past = [
        Sowing("cucumber", dt.date(year, 5, 20), name=f"cucumber {year}")
        for year in range(2020, 2026)
    ]
    jobs = tuple(Job("first-pick", each.sown_on + 50 * DAY, sowing=each.name) for each in past)
    now = Sowing("cucumber", dt.date(2026, 5, 25), name="now")
    journal = Journal(sowings=(*past, now), jobs=jobs)
    (crop,) = courses(series, cards, journal)
    (course,) = crop.courses
    assert crop.need is not None
    assert crop.need.counting is not None
    assert crop.need.basis == "own sowings"
    pick = course.planned.pick
    assert pick is not None
    assert len(pick.dots) == 12
    days = sorted(dot.day for dot in pick.dots if dot.day)
    assert course.ages[-1].first == pick.middle == days[5]
    by_itself = outlook_of(
        plan_of(series, cards, journal).series, crop.need.counting, crop.need.used,
        start=now.sown_on, today=TODAY,
    )  # fmt: skip
    assert by_itself.dots == pick.dots


def test_a_planted_out_one_is_not_foretold_by_days_from_seed(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    (crop,) = courses(
        series, cards, Journal(sowings=(dataclasses.replace(ROW_2, planted_out=True),))
    )
    (course,) = crop.courses
    assert course.ages == ()
    assert course.planned.pick is None


def test_a_crop_without_a_card_goes_by_the_rule_of_days(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    unknown = Sowing("skirret", dt.date(2026, 6, 1), name="skirret 1")
    (crop,) = courses(
        series, cards, Journal(sowings=(unknown,)),
        rules=Rules(picking_days=10, first_pick_days=(60, 70)),
    )  # fmt: skip
    (course,) = crop.courses
    assert [each.age for each in course.ages] == ["green", "bearing"]
    pick = course.planned.pick
    assert pick is not None
    assert (pick.first, pick.last) == (dt.date(2026, 7, 31), dt.date(2026, 8, 10))
    assert course.ages[-1].last - course.ages[-1].first == 9 * DAY


def test_only_this_season_s_sowings(series: DailySeries, cards: dict[str, Card]) -> None:
    old = dataclasses.replace(ROW_3, sown_on=dt.date(2025, 6, 1))
    later = dataclasses.replace(ROW_3, sown_on=TODAY + DAY)  # the book has it, today has not
    (crop,) = courses(series, cards, Journal(sowings=(ROW_2, old, later)))
    assert [each.sowing.name for each in crop.courses] == ["squash 1"]
    assert courses(series, cards, Journal(sowings=(old,))) == ()


def test_a_find_is_met_on_its_own_days_and_told_once(
    series: DailySeries, cards: dict[str, Card]
) -> None:
    find = Sighting("squash-bug", "eggs", dt.date(2026, 6, 10), clean_on=dt.date(2026, 6, 8))
    (crop,) = courses(series, cards, Journal(sightings=(find,), sowings=(ROW_2,)))
    met = [each for each in crop.courses[0].planned.clashes if each.stage == "first egg masses"]
    assert [(each.span, each.began) for each in met] == [
        ((dt.date(2026, 6, 9), dt.date(2026, 6, 10)), True)
    ]
    ahead = [each for each in crop.courses[0].planned.clashes if each.stage == "first moths"]
    assert [each.began for each in ahead] == [False]
    assert len(ahead[0].days) == 12


def test_the_last_day_worth_it() -> None:
    rows = [SownBy(7, 1, 12, 12, ()), SownBy(7, 8, 12, 12, ()), SownBy(7, 15, 9, 12, ())]
    assert last_fits(rows) == rows[1]
    assert last_fits(rows[2:]) == rows[2]
    assert last_fits([SownBy(7, 1, 0, 12, ())]) is None
    assert last_fits([]) is None
