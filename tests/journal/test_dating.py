"""Which looks date a stage: finds at plants, or catches of a trap."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.cards.model import Card, Catch, Event, Look, Sign
from gddcast.journal.dating import bracket_of, clean_looks_of, first_find, looks_that_date
from gddcast.journal.entries import Bracket, Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.weather.series import season_of

TODAY = dt.date(2026, 7, 25)
SEASON = season_of(TODAY)
TRAP = Look(picture="trap")
TWICE = Catch("invented", "from memory", visits=2)
NINE = Catch("invented", "from memory", at_least=9, nights=2)


def on(month: int, day: int) -> dt.date:
    return dt.date(2026, month, day)


def card_with(moths: Event) -> Card:
    return Card(
        "moth", "moth", "Moth moth", "pest", Look(),
        (moths, Event("eggs", "eggs", same_time_as="moths"), Event("egg-hatch", "hatch")),
        signs=(Sign("nymphs", "n", "egg-hatch", at_once=True), Sign("frass", "f", "egg-hatch")),
    )  # fmt: skip


PLAIN = card_with(Event("moths", "moths"))
FIRST = card_with(Event("moths", "moths", look=TRAP))
SUSTAINED = card_with(Event("moths", "moths", look=TRAP, catch=TWICE))
INTENSE = card_with(Event("moths", "moths", look=TRAP, catch=NINE))


def visit(month: int, day: int, count: int | None = 1, **more: object) -> Sighting:
    """A trap's visit; one with no catch is a clean look of the trap."""
    kind = "none" if count == 0 else "saw"
    look = Sighting("moth", "moths", on(month, day), kind, count=count or None, trap=True)
    return replace(look, **more)  # type: ignore[arg-type]


def plant(month: int, day: int, event: str = "moths", **more: object) -> Sighting:
    return replace(Sighting("moth", event, on(month, day)), **more)  # type: ignore[arg-type]


def dated(card: Card, *looks: Sighting, event: str = "moths") -> Bracket | None:
    stage = card.event(event)
    assert stage is not None
    return bracket_of(card, stage, Journal(looks), SEASON.first, TODAY)


def test_a_catch_dates_nothing_that_is_looked_for_at_plants() -> None:
    assert dated(PLAIN, visit(5, 1, 12)) is None
    bracket = dated(PLAIN, visit(5, 1, 12), plant(5, 20))
    assert bracket is not None
    assert bracket.found_on == on(5, 20)


def test_an_empty_trap_is_no_clean_look_at_plants_nor_the_other_way() -> None:
    bracket = dated(PLAIN, visit(5, 18, 0), plant(5, 10, kind="none"), plant(5, 20))
    assert bracket is not None
    assert bracket.clean_on == on(5, 10)
    bracket = dated(FIRST, visit(5, 8, 0), plant(5, 10, kind="none"), visit(5, 20))
    assert bracket is not None
    assert bracket.clean_on == on(5, 8)


def test_where_traps_date_a_stage_a_moth_on_a_leaf_stands_beside_them() -> None:
    bracket = dated(FIRST, plant(5, 1), visit(5, 20))
    assert bracket is not None
    assert bracket.found_on == on(5, 20)
    # No trap this season: what was seen is all there is.
    last_year = visit(5, 20, seen_on=dt.date(2025, 5, 20))
    bracket = dated(FIRST, last_year, plant(5, 1))
    assert bracket is not None
    assert bracket.found_on == on(5, 1)
    # A trap that has caught nothing yet is no reason to go by leaves.
    assert dated(FIRST, visit(4, 20, 0), plant(5, 1)) is None


def test_the_sustained_first_catch_is_the_first_of_two_visits_running() -> None:
    """As growers set it (common practice, no source): one stray moth, then none, is no flight."""
    stray = (visit(4, 20, 0), visit(4, 23), visit(4, 27, 0))
    assert dated(SUSTAINED, *stray) is None
    assert dated(SUSTAINED, *stray, visit(4, 30, 2)) is None
    flight = dated(SUSTAINED, *stray, visit(4, 30, 2), visit(5, 7, 12), visit(5, 14, 0))
    assert flight is not None
    assert (flight.clean_on, flight.found_on) == (on(4, 27), on(4, 30))


def test_two_traps_of_one_day_are_one_visit() -> None:
    twice = (visit(4, 30, where="a"), visit(4, 30, where="b"))
    assert dated(SUSTAINED, *twice) is None
    mixed = (visit(4, 30, where="a"), visit(5, 7, 0, where="a"), visit(5, 7, where="b"))
    bracket = dated(SUSTAINED, *mixed)
    assert bracket is not None
    assert bracket.found_on == on(4, 30)


@pytest.mark.parametrize("kept_beside", [{"sure": False}, {"kind": "heard"}])
def test_a_catch_that_nobody_is_sure_of_makes_no_run(kept_beside: dict[str, object]) -> None:
    unsure = visit(5, 7, **kept_beside)
    assert dated(SUSTAINED, visit(4, 30), unsure) is None
    bracket = dated(SUSTAINED, visit(4, 30), unsure, visit(5, 14))
    assert bracket is not None
    assert bracket.found_on == on(4, 30)


def test_an_intense_catch_is_so_many_in_so_few_nights() -> None:
    for count, nights, is_one in ((9, 2, True), (12, 1, True), (8, 1, False), (12, 7, False)):
        bracket = dated(INTENSE, visit(4, 30, count, nights=nights))
        assert (bracket is not None) is is_one
    assert dated(INTENSE, visit(4, 30, 12)) is None  # nobody said how many nights
    assert dated(INTENSE, visit(4, 30, None, nights=1)) is None  # nor how many moths


def test_a_sign_that_is_there_at_once_dates_its_event_and_one_that_comes_later_does_not() -> None:
    bracket = dated(PLAIN, plant(6, 1, "nymphs"), event="egg-hatch")
    assert bracket is not None
    assert bracket.sighting.event == "nymphs"
    assert dated(PLAIN, plant(6, 1, "frass"), event="egg-hatch") is None


def test_own_sums_are_of_one_kind_in_all_seasons() -> None:
    looks = (plant(5, 1, seen_on=dt.date(2025, 5, 1)), visit(5, 7))
    (moths, *_) = FIRST.events
    kept = looks_that_date(FIRST, moths, Journal(looks))
    assert [each.seen_on for each in kept.of("moth", ["moths"])] == [on(5, 7)]
    (moths, *_) = PLAIN.events
    kept = looks_that_date(PLAIN, moths, Journal(looks))
    assert [each.seen_on for each in kept.of("moth", ["moths"])] == [dt.date(2025, 5, 1)]


def test_clean_looks_are_counted_of_the_kind_that_dates() -> None:
    looks = Journal((visit(5, 1, 0), visit(5, 8, 0), plant(5, 9, kind="none")))
    for card, count in ((PLAIN, 1), (FIRST, 2)):
        assert clean_looks_of(card, card.events[0], looks, SEASON.first, TODAY) == count


def test_moths_stand_for_eggs_and_a_clean_look_of_either_brackets_both() -> None:
    looks = (plant(5, 10, "eggs", kind="none"), plant(5, 20))
    bracket = first_find(PLAIN, "eggs", SEASON, TODAY, Journal(looks))
    assert bracket is not None
    assert (bracket.clean_on, bracket.found_on) == (on(5, 10), on(5, 20))


def test_codling_moth_s_clock_waits_for_the_sustained_catch() -> None:
    """Its card's own caution: not at one stray moth, but at two visits running."""
    moths = load_cards()["codling-moth"].event("moths")
    assert moths is not None
    assert moths.dated_by_catch is not None
    assert moths.dated_by_catch.visits == 2
