"""One sowing after another: dates of days against the calendar, dates of heat against the past."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards.model import Card
from gddcast.crops.needs import PLAIN, Need
from gddcast.crops.succession import (
    Planned,
    Rules,
    Sown,
    needs_of,
    plan_sowings,
    planned_on,
    sown_of,
)
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.units import celsius_days
from tests.sine_by_hand import fahrenheit_days, single_sine

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 5, 21)
RULE = Need("your rule of days", 45, 50, 50)


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def season(cards: dict[str, Card]) -> SeasonPlan:
    series = read_temperatures(FILE).series.before(TODAY)
    return season_plan(series, cards, TODAY, watch=["squash-vine-borer"])


def planned(season: SeasonPlan, card: Card, need: Need, *days: dt.date) -> tuple[Planned, ...]:
    """Sowings laid out by one need to the first pick, the rest as the card says."""
    needs = needs_of(season.series, Journal(), card, "sowing") | {"first-pick": need}
    sowings = [planned_on(day, card) for day in days]
    return plan_sowings(season.series, card, {"sowing": needs}, sowings, season.windows, TODAY)


def test_days_are_counted_on_the_calendar(season: SeasonPlan, cards: dict[str, Card]) -> None:
    """45-50 days, side-dress after two weeks, the next after two to three: common practice."""
    (row,) = planned(season, cards["summer-squash"], RULE, dt.date(2026, 5, 20))
    assert row.pick is not None
    assert (row.pick.first, row.pick.middle, row.pick.last) == (
        dt.date(2026, 7, 4), dt.date(2026, 7, 6), dt.date(2026, 7, 9),
    )  # fmt: skip
    assert row.side_dress == dt.date(2026, 7, 20)
    assert row.sow_next == (dt.date(2026, 7, 20), dt.date(2026, 7, 27))
    up, flower = row.life["up"], row.life["first-flower"]
    assert (up.first, up.last) == (dt.date(2026, 5, 24), dt.date(2026, 6, 4))
    assert (flower.first, flower.last) == (dt.date(2026, 6, 24), dt.date(2026, 7, 4))
    assert row.pick.years is None


def test_a_next_one_is_sown_of_what_is_picked_for_weeks_and_in_time(
    season: SeasonPlan, cards: dict[str, Card]
) -> None:
    """The rule is from the first pick of a plant that goes on bearing: common practice."""
    may, july = dt.date(2026, 5, 20), dt.date(2026, 7, 10)
    (early, late) = planned(season, cards["summer-squash"], RULE, may, july)
    assert early.sow_next is not None
    assert late.sow_next is None  # 9–16 September
    for once in (replace(cards["summer-squash"], picked="once"),
                 replace(cards["summer-squash"], picked=None)):  # fmt: skip
        (row,) = planned(season, once, RULE, may)
        assert row.sow_next is None
        assert row.side_dress == early.side_dress


def test_heat_of_a_sowing_ahead_is_near_that_of_past_years_by_hand(
    season: SeasonPlan, cards: dict[str, Card]
) -> None:
    need = Need("your number", *[celsius_days(1003.0)] * 3, counting=PLAIN)
    (row,) = planned(season, cards["cucumber"], need, dt.date(2026, 6, 15))
    days, ready = fahrenheit_days(FILE), []
    for year in range(2014, 2026):
        day, heat = dt.date(year, 6, 15), 0.0
        while (heat := heat + single_sine(*days[day], 50.0)) < 1003:
            day += dt.timedelta(days=1)
        ready.append((day - dt.date(year, 6, 15)).days)
    assert row.pick is not None
    assert row.pick.years == (12, 12)
    found = (row.pick.first, row.pick.middle, row.pick.last)
    dots = [dot.day for dot in row.pick.dots]
    assert found == (dots[0], dots[5], dots[11])  # of two middle years the earlier
    ours = [(each - dt.date(2026, 6, 15)).days for each in found if each is not None]
    # The outlook moves past years by the warming since: a few days at most.
    by_hand = [min(ready), sorted(ready)[5], max(ready)]
    np.testing.assert_allclose(ours, by_hand, rtol=0, atol=4)


def test_too_late_is_said_with_its_count(season: SeasonPlan, cards: dict[str, Card]) -> None:
    need = Need("your number", *[celsius_days(1003.0)] * 3, counting=PLAIN)
    (row,) = planned(season, cards["cucumber"], need, dt.date(2026, 9, 20))
    assert row.pick is not None
    assert row.pick.first is None
    assert row.sow_next is None
    assert row.pick.years == (0, 12)


def test_a_pick_on_record_is_not_foretold(season: SeasonPlan, cards: dict[str, Card]) -> None:
    sown, picked = dt.date(2026, 4, 1), dt.date(2026, 5, 18)
    mine = Sowing("summer-squash", sown, name="a")
    journal = Journal(
        sowings=(mine, Sowing("beet", sown, name="b")),
        jobs=(
            Job("up", dt.date(2026, 4, 12), sowing="a"), Job("first-pick", picked, sowing="a"),
            Job("first-pick", TODAY, sowing="b"), Job("dusted", TODAY, sowing="a"),
        ),
    )  # fmt: skip
    one = sown_of(mine, journal)
    assert one == Sown(sown, "a", "sowing", {"up": dt.date(2026, 4, 12), "first-pick": picked})
    needs = needs_of(season.series, journal, cards["summer-squash"], "sowing")
    (row,) = plan_sowings(
        season.series, cards["summer-squash"], {"sowing": needs}, [one], season.windows, TODAY,
        Rules(sow_next_weeks=(1, 4)),
    )  # fmt: skip
    assert row.pick is not None
    assert (row.pick.first, row.pick.last, row.pick.on_record) == (picked, picked, True)
    assert row.life["up"].on_record
    assert not row.life["first-flower"].on_record
    assert row.sow_next == (dt.date(2026, 5, 25), dt.date(2026, 6, 15))
    planted = sown_of(Sowing("tomato", sown, planted_out=True, name="t"), journal)
    assert planted.start == "transplanting"
    assert planned_on(sown, cards["tomato"]).start == "transplanting"


def test_from_day_22_a_squash_attracts_squash_bugs(cards: dict[str, Card]) -> None:
    """Common practice, no source; a planted-out squash has no day of sowing to count from."""
    series = read_temperatures(FILE).series.before(TODAY)
    season = season_plan(series, cards, TODAY, watch=["squash-bug"])
    (row,) = planned(season, cards["summer-squash"], RULE, dt.date(2026, 5, 20))
    (bug,) = row.attracts
    assert (bug.pest.key, bug.day) == ("squash-bug", dt.date(2026, 6, 11))
    assert bug.cue.evidence == "common practice"
    (beet,) = planned(season, cards["beet"], RULE, dt.date(2026, 5, 20))
    assert beet.attracts == ()
    out = [Sown(dt.date(2026, 5, 20), start="transplanting")]
    (plant,) = plan_sowings(series, cards["summer-squash"], {}, out, season.windows, TODAY)
    assert plant.attracts == ()
    assert plant.life == {}


def test_flowers_come_by_heat_where_the_card_has_it(
    season: SeasonPlan, cards: dict[str, Card]
) -> None:
    """Cantaloupe, 357 °F-days above 55 °F, cut off at 86 °F (Soto-Ortiz et al. 2006), by hand."""
    sown, ready = dt.date(2026, 6, 15), []
    (row,) = planned(season, cards["cantaloupe"], RULE, sown)
    days = fahrenheit_days(FILE)
    for year in range(2014, 2026):
        day, heat = dt.date(year, 6, 15), 0.0
        while True:
            low, high = days[day]
            heat += single_sine(low, high, 55.0) - single_sine(low, high, 86.0)
            if heat >= 357:
                break
            day += dt.timedelta(days=1)
        ready.append((day - dt.date(year, 6, 15)).days)
    flower = row.life["first-flower"]
    assert flower.years == (12, 12)
    found = (flower.first, flower.middle, flower.last)
    ours = [(each - sown).days for each in found if each is not None]
    # The outlook moves past years by the warming since: a day or two.
    by_hand = [min(ready), sorted(ready)[5], max(ready)]
    np.testing.assert_allclose(ours, by_hand, rtol=0, atol=2)


def test_a_pest_meets_the_age_a_sowing_has_then(season: SeasonPlan, cards: dict[str, Card]) -> None:
    """Borer moths first fly 23 June to 6 July in past years, by the same plan."""
    moths = next(each for each in season.windows if each.event.key == "moths")
    assert moths.fastest is not None
    squash = cards["summer-squash"]
    rows = planned(
        season, squash, RULE,
        *(moths.fastest - dt.timedelta(days=age) for age in (60, 40, 10, -40)),
    )  # fmt: skip
    meets = [{clash.stage: clash.meets for clash in row.clashes} for row in rows]
    assert [each.get("first moths", ("",))[0] for each in meets] == [
        "harvest", "blossom", "small plants", "",
    ]  # fmt: skip


def test_a_pest_meets_a_harvest_on_its_first_and_on_its_last_day(
    season: SeasonPlan, cards: dict[str, Card]
) -> None:
    """Picked from 45 days on; three weeks from the middle, 47, are the last of it: 68."""
    moths = next(each for each in season.windows if each.event.key == "moths")
    assert moths.fastest is not None
    assert moths.slowest is not None
    for sown, harvest in (
        (moths.slowest - dt.timedelta(days=45), True),
        (moths.slowest - dt.timedelta(days=44), False),
        (moths.fastest - dt.timedelta(days=68), True),
        (moths.fastest - dt.timedelta(days=69), False),
    ):
        (row,) = planned(season, cards["summer-squash"], RULE, sown)
        assert any("harvest" in clash.meets for clash in row.clashes) is harvest, sown
