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


def trapped(*looks: Sighting) -> tuple[Sighting, ...]:
    return tuple(replace(each, trap=True, where="trap") for each in looks)


def test_a_season_of_catches_dates_nothing_that_is_looked_for_at_plants(
    series: DailySeries, card: Card
) -> None:
    """A trap sees it on another day: the season is named; one with both goes by plants."""
    early = Sighting(BORER, "moths", dt.date(2023, 6, 20), clean_on=dt.date(2023, 6, 18))
    both = replace(early, seen_on=dt.date(2024, 6, 10), clean_on=dt.date(2024, 6, 8))
    plants = gathered(series, card, OWN, dt.date(2026, 6, 11))
    mixed = Journal((*OWN.sightings, *trapped(early, both)))
    found = gathered(series, card, mixed, dt.date(2026, 6, 11))
    assert plants is not None
    assert found is not None
    assert found.sum == plants.sum
    assert found.not_used == (("2023", "it was caught in a trap, and finds at plants date it"),)


def test_a_stage_looked_for_in_a_trap_goes_by_its_catches_alone(series: DailySeries) -> None:
    """Of a codling moth's card, two visits running with a catch; a moth on a leaf is none."""
    card = load_cards()["codling-moth"]
    event = card.event("moths")
    assert event is not None
    assert event.default is not None

    def visit(month: int, day: int, kind: str) -> Sighting:
        on = dt.date(2024, month, day)
        return Sighting(card.key, event.key, on, kind, trap=True)  # type: ignore[arg-type]

    stray = (visit(4, 20, "saw"), visit(4, 27, "none"))
    flight = (visit(5, 4, "saw"), visit(5, 11, "saw"))
    leaf = Sighting(card.key, event.key, dt.date(2025, 5, 1), clean_on=dt.date(2025, 4, 28))
    record = Record(series, dt.date(2026, 3, 1))
    found = own_finds_of(
        record, Journal((*stray, *flight, leaf)), card, event, event.default, Practice()
    )
    assert found is not None
    (own,) = found.seasons
    assert (own.early_on, own.found_on) == (dt.date(2024, 4, 27), dt.date(2024, 5, 4))
    assert found.not_used == (("2025", "it was seen at plants, and catches in a trap date it"),)


def test_a_sign_that_is_there_at_once_is_a_find_of_its_event(series: DailySeries) -> None:
    """What the walk takes for the event, the place's own sum does too; a later sign it does not."""
    card = load_cards()["alfalfa-weevil"]
    (sign,) = (each for each in card.signs if each.at_once)
    event = card.event(sign.event)
    assert event is not None
    assert event.default is not None
    seen = Sighting(card.key, sign.key, dt.date(2025, 4, 20), clean_on=dt.date(2025, 4, 18))
    record = Record(series, dt.date(2026, 3, 1))
    for at_once in (True, False):
        one = replace(card, signs=(replace(sign, at_once=at_once),))
        found = own_finds_of(record, Journal((seen,)), one, event, event.default, Practice())
        assert found is not None
        assert found.finds == at_once
