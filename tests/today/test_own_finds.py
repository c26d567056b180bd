"""Own finds of a stage: only where air at the place tells when it comes, and only up to a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.cards.model import Card
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.scouting.own_sums import PLACE_SD, place_sd
from gddcast.today.own_finds import own_finds_of
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.weather.series import DailySeries
from tests.today.test_plan import BORER, FILE, OWN


@pytest.fixture(scope="module")
def series() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.fixture(scope="module")
def card() -> Card:
    return load_cards()[BORER]


def gathered(series: DailySeries, card: Card, journal: Journal, today: dt.date) -> OwnFinds | None:
    event = card.event("moths")
    assert event is not None
    assert event.default is not None
    record = Record(series, today)
    return own_finds_of(record, journal, card, event, event.default, Practice())


def test_only_finds_up_to_the_day_count(series: DailySeries, card: Card) -> None:
    for today, seasons in ((dt.date(2025, 7, 4), 1), (dt.date(2025, 7, 6), 2)):
        found = gathered(series, card, OWN, today)
        assert found is not None
        assert found.finds == seasons
    none = gathered(series, card, Journal(), dt.date(2026, 6, 11))
    assert none is not None
    assert (none.seasons, none.not_used) == ((), ())


def test_an_insect_that_flies_in_has_none(series: DailySeries, card: Card) -> None:
    migrant = replace(card, comes_from_elsewhere="It comes with southerly winds.")
    assert gathered(series, migrant, OWN, dt.date(2026, 6, 11)) is None


def test_a_sum_of_soil_temperatures_has_none(series: DailySeries, card: Card) -> None:
    event = card.event("moths")
    assert event is not None
    assert event.default is not None
    soil = replace(event.default, of="soil 5 cm")
    record = Record(series, dt.date(2026, 6, 11))
    assert own_finds_of(record, OWN, card, event, soil, Practice()) is None


def test_numbers_printed_alike_narrow_what_is_thought_before(
    series: DailySeries, card: Card
) -> None:
    """Two of 1,000 and 1,100 agree; the Wisconsin one states no daily method and stays apart."""
    event = card.event("moths")
    assert event is not None
    number = event.default
    assert number is not None
    record = Record(series, dt.date(2026, 6, 11))

    def sd(*numbers: object) -> float:
        one = replace(event, numbers=numbers)  # type: ignore[type-var]
        found = own_finds_of(record, OWN, card, one, number, Practice())
        assert found is not None
        return found.place_sd

    second = replace(number, goal=(1100.0, 1100.0), default=False)
    assert sd(*event.numbers) == PLACE_SD
    assert sd(number, second) == place_sd([1000.0, 1100.0]) < PLACE_SD
    assert sd(number, replace(second, lower=48.0)) == PLACE_SD


def test_a_find_of_another_stage_is_none(series: DailySeries, card: Card) -> None:
    eggs = tuple(replace(each, event="eggs") for each in OWN.sightings)
    found = gathered(series, card, Journal(sightings=eggs), dt.date(2026, 6, 11))
    assert found is not None
    assert found.finds == 0
    hearsay = Sighting(BORER, "moths", dt.date(2025, 6, 20), "heard")
    found = gathered(series, card, Journal(sightings=(hearsay,)), dt.date(2026, 6, 11))
    assert found is not None
    assert found.finds == 0
