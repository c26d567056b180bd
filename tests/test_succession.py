"""One sowing after another: dates of days against the calendar, dates of heat against the past."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards import Card
from gddcast.journal import Job, Journal, Sowing
from gddcast.plan import SeasonPlan, season_plan
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.sowing import PLAIN, Need
from gddcast.succession import Planned, Rules, first_picks, plan_sowings
from gddcast.units import celsius_days
from tests.sine_by_hand import fahrenheit_days, single_sine

FILE = Path(__file__).parent / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
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
    return plan_sowings(season.series, card, need, days, season.windows, TODAY)


def test_days_are_counted_on_the_calendar(season: SeasonPlan, cards: dict[str, Card]) -> None:
    """45-50 days, side-dress after two weeks, the next after two to three: common practice."""
    (row,) = planned(season, cards["summer-squash"], RULE, dt.date(2026, 5, 20))
    assert row.pick == (dt.date(2026, 7, 4), dt.date(2026, 7, 9))
    assert row.middle == dt.date(2026, 7, 6)
    assert row.side_dress == dt.date(2026, 7, 20)
    assert row.sow_next == (dt.date(2026, 7, 20), dt.date(2026, 7, 27))
    assert row.flower == (dt.date(2026, 6, 24), dt.date(2026, 7, 4))
    assert row.ready is None


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
    assert row.ready == (12, 12)
    assert row.pick is not None
    assert row.pick[1] is not None
    assert row.middle is not None
    ours = [(each - dt.date(2026, 6, 15)).days for each in (row.pick[0], row.middle, row.pick[1])]
    # The outlook moves past years by the warming since: a few days at most.
    by_hand = [min(ready), sorted(ready)[5], max(ready)]
    np.testing.assert_allclose(ours, by_hand, rtol=0, atol=4)


def test_too_late_is_said_with_its_count(season: SeasonPlan, cards: dict[str, Card]) -> None:
    need = Need("your number", *[celsius_days(1003.0)] * 3, counting=PLAIN)
    (row,) = planned(season, cards["cucumber"], need, dt.date(2026, 9, 20))
    assert row.pick is None
    assert row.sow_next is None
    assert row.ready == (0, 12)


def test_a_pick_on_record_is_not_foretold(season: SeasonPlan, cards: dict[str, Card]) -> None:
    sown, picked = dt.date(2026, 4, 1), dt.date(2026, 5, 18)
    journal = Journal(
        sowings=(Sowing("summer-squash", sown, name="a"), Sowing("beet", sown, name="b")),
        jobs=(Job("first-pick", picked, sowing="a"), Job("first-pick", TODAY, sowing="b")),
    )
    picks = first_picks(journal, "summer-squash")
    assert picks == {sown: picked}
    (row,) = plan_sowings(
        season.series, cards["summer-squash"], RULE, [sown], season.windows, TODAY,
        Rules(sow_next_weeks=(1, 4)), picks,
    )  # fmt: skip
    assert row.pick == (picked, picked)
    assert row.sow_next == (dt.date(2026, 5, 25), dt.date(2026, 6, 15))


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
