"""What a find may be, and what stands beside it on record: order, doubt, an earlier one.

A find that cannot be is refused. One that may be a mistake is kept and marked, for a record that
drops what it doubts cannot be mended later.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from gddcast.cards.model import Card, crop_names
from gddcast.errors import Refusal
from gddcast.journal.dating import bracket_of
from gddcast.journal.entries import Journal, Sighting
from gddcast.weather.series import Season
from gddcast.words import day

#: Stages that fly or walk in from elsewhere, so that one alone may be a stray.
WANDERING = ("moths", "adults")


def refuse_impossible(sighting: Sighting, today: dt.date) -> None:
    """Refuse a find dated in the future, or not after its last clean look.

    Raises
    ------
    Refusal
    """
    seen, clean = sighting.seen_on, sighting.clean_on
    if seen > today:
        raise Refusal(
            f"the day {seen}",
            "it is in the future",
            f"Today is {day(today, year=True)} at this place.",
            "Give the day you saw it:  --seen DATE",
            slug="in-the-future",
        )
    if clean is not None and clean >= seen:
        raise Refusal(
            f"the clean look of {clean}",
            f"it is not before the find of {seen}",
            "A clean look is the last day you looked there and found none.",
            "Give that day:  --clean DATE     or leave it out.",
            slug="clean-not-before",
        )


def refuse_before_sowing(
    sighting: Sighting, card: Card, cards: Mapping[str, Card], journal: Journal, season: Season
) -> None:
    """Refuse a find on a crop that was not there yet, going by this season's sowings.

    Raises
    ------
    Refusal
    """
    hosts = [
        sowing
        for sowing in journal.sowings
        if season.first <= sowing.sown_on <= season.last
        and card.lives_on(crop_names(cards, sowing.crop))
    ]
    if not card.hosts or not hosts or sighting.kind != "saw":
        return
    first = min(hosts, key=lambda sowing: sowing.sown_on)
    if sighting.seen_on < first.sown_on:
        raise Refusal(
            f"the find of {sighting.seen_on}",
            f"its first {first.crop.replace('-', ' ')} was sown after it",
            f"Sowing {first.name} is of {day(first.sown_on, year=True)} (entry {first.entry}).",
            "Correct the day with --seen. If it was in a trap or on other plants:  --elsewhere",
            slug="before-sowing",
        )


def same_find(sighting: Sighting, journal: Journal) -> Sighting | None:
    """A sighting on record of the same stage on the same day at the same spot, of the same kind."""
    for other in journal.sightings:
        alike = ("kind", "organism", "event", "seen_on", "where", "trap")
        if all(getattr(other, name) == getattr(sighting, name) for name in alike):
            return other
    return None


def contrary_look(sighting: Sighting, journal: Journal) -> Sighting | None:
    """What says the opposite of the same organism on the same day at the same spot, if anything.

    A find of one stage beside a look that found none of another is no contradiction.
    """
    for other in journal.sightings:
        alike = all(getattr(other, name) == getattr(sighting, name)
                    for name in ("organism", "seen_on", "where", "trap"))  # fmt: skip
        of_one_stage = other.event == sighting.event or "" in (other.event, sighting.event)
        if alike and of_one_stage and {other.kind, sighting.kind} == {"saw", "none"}:
            return other
    return None


def earlier_find(
    sighting: Sighting, card: Card, journal: Journal, season: Season
) -> Sighting | None:
    """The sure find of this stage that runs the clock already, if this is not the first."""
    event = card.event_of(sighting.event)
    if event is None:
        return None
    bracket = bracket_of(card, event, journal, season.first, season.last)
    return bracket.sighting if bracket and bracket.found_on <= sighting.seen_on else None


def last_clean(sighting: Sighting, card: Card, journal: Journal, since: dt.date) -> dt.date | None:
    """The last look before the find that found none: the person's own word, or the record's."""
    if sighting.clean_on is not None:
        return sighting.clean_on
    event = card.event_of(sighting.event)
    if event is None:
        return None
    alike = replace(journal, in_traps=sighting.trap)
    return alike.last_clean(card.key, [event.key], since, sighting.seen_on)
