"""What a packaged card owes its reader is found when it is taken away again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from gddcast.cards.audit import wanting
from gddcast.cards.model import Card, Event, Number
from gddcast.readers.card_files import load_cards

CARDS = load_cards()


@pytest.mark.parametrize("card", CARDS.values(), ids=CARDS.keys())
def test_no_packaged_card_owes_anything(card: Card) -> None:
    assert list(wanting(card)) == []


def test_every_source_has_a_year_or_is_called_undated() -> None:
    years = {source.year for card in CARDS.values() for source in card.sources.values()}
    assert all(year == "undated" or (year.isdigit() and len(year) == 4) for year in years)


def _bug(event: str = "egg-hatch", **changes: Any) -> Card:
    """The squash bug with its first number of an event changed."""
    card = CARDS["squash-bug"]
    events = tuple(
        replace(each, numbers=(replace(each.numbers[0], **changes), *each.numbers[1:]))
        if each.key == event
        else each
        for each in card.events
    )
    return replace(card, events=events)


def _source(**changes: Any) -> Card:
    card = CARDS["squash-bug"]
    key, source = next((k, s) for k, s in card.sources.items() if s.url and s.year.isdigit())
    return replace(card, sources=card.sources | {key: replace(source, **changes)})


@pytest.mark.parametrize(
    ("card", "field", "found"),
    [
        (_source(year="not stated"), "year", '"not stated"'),
        (_source(year="1980s"), "year", '"1980s"'),
        (_source(year="undated"), "lacks", "no year, not in lacks"),
        (_source(url=None), "lacks", "no address, not in lacks"),
        (_source(lacks=("address",)), "lacks", "an address, and in lacks"),
        (_bug(note="Printed in °F."), "note", "°F of a number in °C"),
        (_bug(note="Counted in °C above 12."), "note", "a base of 12"),
        (_bug(doubt="The day is a single sine."), "doubt", '"single sine"'),
        (_bug(inferred=("lower",)), "inferred", "compiled, doubt: none"),
        (replace(CARDS["squash-bug"], look_alikes=()), "not_known", "look-alikes: no answer"),
        (replace(CARDS["squash-bug"], not_known=("when",)), "not_known", "when: answered, and in"),
        (replace(CARDS["melon-aphid"], not_known=()), "not_known", "how often: no answer"),
        (
            replace(CARDS["squash-bug"], look=replace(CARDS["squash-bug"].look, time_of_day=None)),
            "time_of_day",
            "nothing",
        ),
    ],
)
def test_a_debt_is_found(card: Card, field: str, found: str) -> None:
    faults = list(wanting(card))
    assert [fault.path[-1] for fault in faults] == [field]
    assert faults[0].problem.startswith(found)
    assert faults[0].cure


def test_disagreement_asks_for_a_word_and_one_number_for_none() -> None:
    card = CARDS["squash-bug"]
    silent = replace(card, events=tuple(replace(event, reading=None) for event in card.events))
    asked = [card.events[int(fault.path[1])].key for fault in wanting(silent)]
    assert asked == ["egg-hatch", "second-adults"]
    hatch = card.event("egg-hatch")
    assert hatch is not None
    lonely = replace(card, events=(replace(hatch, numbers=hatch.numbers[:1]),))
    assert [fault.path[-1] for fault in wanting(lonely)] == ["reading"]


def test_another_sum_in_a_note_keeps_its_own_base() -> None:
    """A refit printed beside the number is no slip: only the number's own base is held to it."""
    assert list(wanting(_bug(note="A refit gives 107.1 above 12.6 °C."))) == []


def test_what_a_referee_corrected() -> None:
    """European corn borer, Wisconsin table after Apple: 374, not the guideline's 375.

    Peachtree borer, first catch at Geneva, New York, June 2008: 450-842 above 50 °F and 788-1,360
    above 43 °F (the referee's reading).
    """
    assert _default("european-corn-borer", "moths").goal == (374, 374)
    larvae = _default("european-corn-borer", "larvae")
    assert (larvae.goal, larvae.source) == ((800, 1000), "uw-ecb")
    catches = _event("peachtree-borer", "moths").numbers
    assert [(number.lower, number.goal) for number in catches] == [
        (50, (450, 842)),
        (43, (788, 1360)),
    ]
    assert _default("seedcorn-maggot", "adults").inferred == ("unit", "lower")
    assert _default("grape-berry-moth", "third-eggs").evidence == "seen"
    told = [rule for rule in CARDS["colorado-potato-beetle"].day_length if rule.hours[0] == 15.8]
    assert [(rule.definition, rule.events) for rule in told] == [(None, ())]
    assert CARDS["tomato-leafminer"].latin.startswith("Phthorimaea absoluta")


def _event(card: str, key: str) -> Event:
    event = CARDS[card].event(key)
    assert event is not None
    return event


def _default(card: str, key: str) -> Number:
    number = _event(card, key).default
    assert number is not None
    return number
