"""Which looks date a stage: those at plants, or the catches of a trap, never both.

A card's number that starts from a trap was made by one: the day a moth is met on a leaf is another
day. So where a card looks for a stage in a trap, the catches of a season date it as the card asks;
without any, finds do, as they do for every other stage.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from gddcast.cards.model import Card, Catch, Event
from gddcast.journal.entries import Bracket, Journal, Sighting
from gddcast.weather.series import Season


def looks_that_date(
    card: Card,
    event: Event,
    journal: Journal,
    since: dt.date = dt.date.min,
    until: dt.date = dt.date.max,
) -> Journal:
    """The journal whose brackets and clean looks go by the kind that dates a stage.

    Parameters
    ----------
    card : Card
    event : Event
    journal : Journal
    since, until : datetime.date, optional
        Days that decide whether traps or plants date it.

    Returns
    -------
    Journal
        Of catches, only those that meet what the card asks for stand in it.
    """
    catch = event.dated_by_catch
    visits = [each for each in trap_visits(card, event, journal) if since <= each.seen_on <= until]
    if catch is not None and visits:
        kept = {id(each) for each in dating_catches(catch, visits)}
        return replace(
            journal,
            in_traps=True,
            sightings=tuple(
                each
                for each in journal.sightings
                if each.trap and (each.kind != "saw" or id(each) in kept)
            ),
        )
    return journal


def stage_keys(card: Card, event: Event) -> list[str]:
    """What a first find may be logged as to date a stage: its event, or a sign there at once."""
    return [event.key, *(s.key for s in card.signs if s.at_once and s.event == event.key)]


def trap_visits(card: Card, event: Event, journal: Journal) -> list[Sighting]:
    """Sure looks into traps for a stage, with a catch or without, oldest first."""
    visits = (
        each
        for each in journal.sightings
        if each.trap
        and each.sure
        and each.kind != "heard"
        and each.organism in (card.key, "")
        and each.event in (event.key, "")
    )
    return sorted(visits, key=lambda each: each.seen_on)


def dating_catches(catch: Catch, visits: Sequence[Sighting]) -> Iterator[Sighting]:
    """Catches that meet what a card asks for; the first of them dates the stage.

    Visits of one day are one, and a catch in any of its traps makes it one with a catch. A catch
    whose number is not known is one of one; one whose nights are not known meets no limit of them.
    """
    run: list[Sighting] = []
    length = 0
    for _, of_a_day in groupby(visits, key=lambda each: each.seen_on):
        caught = [each for each in of_a_day if _is_enough(each, catch)]
        if not caught:
            run, length = [], 0
            continue
        run, length = [*run, *caught], length + 1
        if length >= catch.visits:
            yield from run
            run = []


def _is_enough(visit: Sighting, catch: Catch) -> bool:
    number = 1 if visit.count is None else visit.count
    if visit.kind != "saw" or number < catch.at_least:
        return False
    return catch.nights is None or (visit.nights is not None and visit.nights <= catch.nights)


def bracket_of(
    card: Card, event: Event, journal: Journal, since: dt.date, until: dt.date
) -> Bracket | None:
    """The first find, or the first catch the card asks for, bracketed by the last clean look."""
    dated = looks_that_date(card, event, journal, since, until)
    return dated.bracket(card.key, stage_keys(card, event), since, until)


def clean_days_of(
    card: Card, event: Event, journal: Journal, since: dt.date, until: dt.date
) -> list[dt.date]:
    """Days of looks, of the kind that dates the stage, that found none, oldest first."""
    dated = looks_that_date(card, event, journal, since, until)
    return dated.clean_days(card.key, stage_keys(card, event), since, until)


def clean_looks_of(
    card: Card, event: Event, journal: Journal, since: dt.date, until: dt.date
) -> int:
    """Number of them."""
    return len(clean_days_of(card, event, journal, since, until))


def first_find(
    card: Card, key: str, season: Season, today: dt.date, journal: Journal
) -> Bracket | None:
    """First sure find this season of an event, or of one a find of which stands for it."""
    event = card.event(key)
    same = card.event(event.same_time_as or "") if event else None
    events = [each for each in (event, same) if each]
    brackets = [bracket_of(card, each, journal, season.first, today) for each in events]
    bracket = min((each for each in brackets if each), key=lambda each: each.found_on, default=None)
    if bracket is None or bracket.sighting.trap:
        return bracket
    clean = journal.last_clean(  # of either: they begin together
        card.key,
        [key for each in events for key in stage_keys(card, each)],
        season.first,
        bracket.found_on,
    )
    return replace(bracket, clean_on=max(filter(None, (bracket.clean_on, clean)), default=None))
