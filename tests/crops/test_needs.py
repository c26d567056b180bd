"""What a crop takes: own sowings by hand, else the card, each event from its own beginning."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.cards.model import Card
from gddcast.crops.needs import PLAIN, heat_of_own_sowings, need_of, start_of
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.units import fahrenheit_days
from gddcast.weather.series import DailySeries
from tests.sine_by_hand import fahrenheit_days as read_by_hand
from tests.sine_by_hand import heat_through

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
DAY = dt.timedelta(days=1)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


def three_sowings() -> Journal:
    """Sowings picked on the first day on which 965, 975 and 1,069 °F-days were there."""
    days = read_by_hand(FILE)
    sowings, jobs = [], []
    for name, sown, heat in (
        ("a", dt.date(2023, 5, 20), 965.0),
        ("b", dt.date(2024, 6, 1), 975.0),
        ("c", dt.date(2025, 6, 20), 1069.0),
    ):
        picked = sown
        while heat_through(days, sown, picked) < heat:
            picked += DAY
        sowings.append(Sowing("cucumber", sown, name=name))
        jobs.append(Job("first-pick", picked, sowing=name))
    return Journal(sowings=tuple(sowings), jobs=tuple(jobs))


def test_own_sowings_are_used_from_three_on(
    larkhollow: DailySeries, cards: dict[str, Card]
) -> None:
    journal, days = three_sowings(), read_by_hand(FILE)
    expected = [
        heat_through(days, sowing.sown_on, job.done_on)
        for sowing, job in zip(journal.sowings, journal.jobs, strict=True)
    ]
    own = heat_of_own_sowings(larkhollow, journal, "cucumber")
    np.testing.assert_allclose([fahrenheit_days(each) for each in own], expected, rtol=0, atol=1e-6)
    need = need_of(larkhollow, journal, cards["cucumber"])
    assert need is not None
    assert (need.basis, need.sowings) == ("own sowings", 3)
    np.testing.assert_allclose(fahrenheit_days(need.used), np.mean(expected), rtol=0, atol=1e-6)
    two = replace(journal, sowings=journal.sowings[:2])
    fallback = need_of(larkhollow, two, cards["cucumber"])
    assert fallback is not None
    assert (fallback.basis, fallback.sowings) == ("card days", 2)


@pytest.mark.parametrize(
    ("crop", "basis", "low", "high"),
    [("sweet-corn", "card heat", None, None), ("summer-squash", "card days", 45.0, 50.0)],
)
def test_without_records_the_card_speaks(
    larkhollow: DailySeries, cards: dict[str, Card], crop: str, basis: str,
    low: float | None, high: float | None,
) -> None:  # fmt: skip
    need = need_of(larkhollow, Journal(), cards[crop])
    assert need is not None
    assert need.basis == basis
    if low is not None:
        assert (need.low, need.used, need.high) == (low, high, high)
        assert need.counting is None


@pytest.mark.parametrize("crop", ["asparagus", "strawberry"])
def test_a_perennial_is_not_picked_so_many_days_after_its_seed(
    larkhollow: DailySeries, cards: dict[str, Card], crop: str
) -> None:
    """The rule of 45-50 days, for crops of which nothing is known, is not for them."""
    rule = (45.0, 50.0)
    assert need_of(larkhollow, Journal(), cards[crop], rule_of_days=rule) is None
    bare = replace(cards[crop], events=())
    assert need_of(larkhollow, Journal(), bare, rule_of_days=rule) is not None


def test_transplants_and_unknown_days_are_no_measure_of_seed(larkhollow: DailySeries) -> None:
    journal = three_sowings()
    planted = replace(journal.sowings[0], planted_out=True)
    low = larkhollow.tmin.copy()
    low[larkhollow.index(journal.sowings[1].sown_on) + 3] = np.nan
    gappy = replace(larkhollow, tmin=low, origin=None)
    rest = replace(journal, sowings=(planted, *journal.sowings[1:]))
    assert len(heat_of_own_sowings(gappy, rest, "cucumber")) == 1


def test_each_event_has_a_need_of_its_own(larkhollow: DailySeries, cards: dict[str, Card]) -> None:
    """Flowers by heat where the card has heat, by days where it has days, else not at all."""
    melon, squash, corn = (cards[each] for each in ("cantaloupe", "summer-squash", "sweet-corn"))
    flower = need_of(larkhollow, Journal(), melon, "first-flower")
    assert flower is not None
    assert (flower.basis, round(fahrenheit_days(flower.used))) == ("card heat", 357)
    days = need_of(larkhollow, Journal(), squash, "first-flower")
    assert days is not None
    assert (days.basis, days.low, days.high) == ("card days", 35.0, 45.0)
    assert need_of(larkhollow, Journal(), corn, "first-flower") is None
    journal = three_sowings()
    flowers = tuple(replace(job, job="first-flower") for job in journal.jobs)
    own = need_of(larkhollow, replace(journal, jobs=flowers), cards["cucumber"], "first-flower")
    pick = need_of(larkhollow, journal, cards["cucumber"])
    assert own is not None
    assert pick is not None
    assert (own.basis, own.used) == ("own sowings", pick.used)
    assert need_of(larkhollow, replace(journal, jobs=flowers), cards["cucumber"]) != own


def test_plants_set_out_are_counted_from_that_day(
    larkhollow: DailySeries, cards: dict[str, Card]
) -> None:
    """A tomato's 70-75 days (Missouri G6201) start at planting out; seed in place has none."""
    tomato = cards["tomato"]
    assert start_of(tomato) == "transplanting"
    assert start_of(cards["cucumber"]) == "sowing"
    need = need_of(larkhollow, Journal(), tomato, start="transplanting")
    assert need is not None
    assert (need.basis, need.low, need.high, need.start) == (
        "card days", 70.0, 75.0, "transplanting",
    )  # fmt: skip
    assert need_of(larkhollow, Journal(), tomato) is None
    rule = need_of(larkhollow, Journal(), tomato, rule_of_days=(45.0, 50.0))
    assert rule is not None
    assert rule.basis == "your rule of days"
    journal = three_sowings()
    out = replace(journal, sowings=tuple(replace(s, planted_out=True) for s in journal.sowings))
    kept_apart = heat_of_own_sowings(larkhollow, out, "cucumber", PLAIN, start="transplanting")
    assert kept_apart == heat_of_own_sowings(larkhollow, journal, "cucumber")
    assert heat_of_own_sowings(larkhollow, out, "cucumber") == ()
