"""What a week of walks has to look for, and at which status."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.crops.standing import sowings_today
from gddcast.journal.entries import Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.walk_week import WalkWeek, due_in_week
from gddcast.weather.series import DailySeries
from gddcast.words import Status
from tests.real_records import SAMPLES

CARDS = load_cards()
TODAY = dt.date(2026, 6, 11)
DUE = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP)


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv", today=TODAY).series


@pytest.fixture(scope="module")
def plan(series: DailySeries) -> SeasonPlan:
    return season_plan(series, CARDS, TODAY)


@given(st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1)))
def test_a_week_is_monday_to_sunday_and_holds_its_day(day: dt.date) -> None:
    week = WalkWeek.of(day)
    assert day in week.days
    assert [each.isoweekday() for each in week.days] == [1, 2, 3, 4, 5, 6, 7]
    assert (week.days[0], week.days[-1]) == (week.first, week.last)


def test_this_week_is_what_the_plan_says_today(plan: SeasonPlan) -> None:
    """Same windows and statuses of what is looked for; look now before what comes up."""
    due = due_in_week(plan, WalkWeek.of(TODAY), (), lead_days=3)
    assert {id(each) for each in due} == {
        id(each) for each in plan.windows if each.status in DUE and each.event.opens_looks
    }  # fmt: skip
    later = [each.status is Status.COMING_UP for each in due]
    assert later == sorted(later)
    assert any(later)
    assert not all(later)


def test_a_later_week_moves_statuses_and_no_date(plan: SeasonPlan) -> None:
    """Recomputed by the words of the rule: fastest less three days, and ten days."""
    week = WalkWeek.of(dt.date(2026, 6, 25))
    today = {(each.card.key, each.event.key, each.clock): each for each in plan.windows}
    due = due_in_week(plan, week, (), lead_days=3)
    came_up = 0
    for each in due:
        before = today[each.card.key, each.event.key, each.clock]
        assert each.early is before.early
        assert each.late is before.late
        if each.cue is not None:
            continue
        assert each.fastest is not None
        if each.status is Status.COMING_UP:
            assert 3 < (each.fastest - week.first).days <= 10
        else:
            assert (each.fastest - week.first).days <= 3
        came_up += before.status not in DUE
    assert came_up
    keys = {(each.card.key, each.event.key, each.clock) for each in due}
    for key, each in today.items():
        near = each.fastest is not None and dt.date(2026, 6, 22) <= each.fastest
        if near and each.fastest and each.fastest <= week.first + dt.timedelta(days=10):
            kept = each.status in (Status.SEEN, Status.CANT_SAY, Status.NOT_THIS_SEASON)
            kept |= not each.event.opens_looks
            assert (key in keys) is not kept


def test_a_find_a_gap_and_a_closed_stage_stay(series: DailySeries) -> None:
    find = Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 10))
    plan = season_plan(
        series, CARDS, TODAY, watch=["squash-vine-borer"], journal=Journal(sightings=(find,))
    )
    due = due_in_week(plan, WalkWeek.of(dt.date(2026, 6, 25)), (), lead_days=3)
    assert all(each.event.key != "moths" for each in due)
    closed = replace(plan, windows=tuple(replace(w, status=Status.CLOSED) for w in plan.windows))
    assert due_in_week(closed, WalkWeek.of(dt.date(2026, 6, 25)), (), lead_days=3) == ()


def test_a_cue_by_age_comes_up_in_the_week_a_sowing_gets_that_old(series: DailySeries) -> None:
    """Any packaged card with such a cue; a sowing of a host reaches the age next Thursday."""
    card, cue = next(
        (card, cue) for card in CARDS.values() for cue in card.cues if cue.by_age_alone
    )
    crop = next(
        crop.key for crop in CARDS.values() if crop.group == "crop" and card.lives_on(crop.names)
    )
    thursday = dt.date(2026, 6, 18)
    assert cue.after_sowing_days is not None
    sown = thursday - dt.timedelta(days=cue.after_sowing_days)
    journal = Journal(sowings=(Sowing(crop, sown, name="a"),))
    plan = season_plan(series, CARDS, TODAY, watch=[card.key], journal=journal)
    there = sowings_today(journal, CARDS, plan.season, TODAY)
    by_cue = [each for each in plan.windows if each.cue == cue]
    assert [each.status for each in by_cue] == [Status.QUIET]
    this_week = due_in_week(plan, WalkWeek.of(TODAY), there, lead_days=3)
    next_week = due_in_week(plan, WalkWeek.of(thursday), there, lead_days=3)
    assert cue not in [each.cue for each in this_week]
    assert Status.COMING_UP in [each.status for each in next_week if each.cue == cue]


def test_without_a_watch_list_what_lives_on_something_sown_comes_first(
    series: DailySeries,
) -> None:
    journal = Journal(sowings=(Sowing("cucumber", dt.date(2026, 5, 20), name="a"),))
    plan = season_plan(series, CARDS, TODAY, journal=journal)
    there = sowings_today(journal, CARDS, plan.season, TODAY)
    due = due_in_week(plan, WalkWeek.of(TODAY), there, lead_days=3)
    now = [each for each in due if each.status is not Status.COMING_UP]
    on_it = [bool(each.card.hosts) and each.card.lives_on(("cucumber",)) for each in now]
    assert on_it == sorted(on_it, reverse=True)
    assert any(on_it)
    assert not all(on_it)
