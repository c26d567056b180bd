"""What a place's own finds say of a stage's sum, made from its record and journal on a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gddcast.cards.model import Card, Event, Number
from gddcast.journal.clocks import calendar_start
from gddcast.journal.dating import looks_that_date, stage_keys
from gddcast.journal.entries import Journal
from gddcast.scouting.own_seasons import OwnFinds, own_finds
from gddcast.scouting.own_sums import place_sd
from gddcast.today.practice import Practice
from gddcast.today.record import Record


def own_finds_of(
    record: Record, journal: Journal, card: Card, event: Event, number: Number, practice: Practice
) -> OwnFinds | None:
    """The first finds of a stage beside its printed sum, up to a day.

    Parameters
    ----------
    record : Record
    journal : Journal
    card, event, number
        What the stage is counted by.
    practice : Practice

    Returns
    -------
    OwnFinds or None
        None where its sum counts from no date, is not of air, or the organism comes from
        elsewhere: heat at this place tells nothing of it.
    """
    if number.kind != "calendar" or number.of != "air" or number.lower is None:
        return None
    if number.goal_c is None or card.comes_from_elsewhere:
        return None
    counting, printed = practice.overrule.counting(number), sum(number.goal_c) / 2.0
    start = practice.overrule.start or calendar_start(number, record.place)
    dated, keys = looks_that_date(card, event, journal), stage_keys(card, event)
    others = _of_the_other_kind(record, replace(journal, in_traps=dated.in_traps), card, keys)
    if not any(dated.of(card.key, keys)):
        return OwnFinds(printed, not_used=others)
    found = own_finds(
        record.known, dated, card.key, keys, counting, printed, start,
        record.verdict.findings, until=record.today,
        place_sd=place_sd(_alike(event, number, practice)),
    )  # fmt: skip
    said = {*(each.season for each in found.seasons), *(name for name, _ in found.not_used)}
    left_out = (each for each in others if each[0] not in said)
    return replace(found, not_used=tuple(sorted((*found.not_used, *left_out))))


def _of_the_other_kind(
    record: Record, journal: Journal, card: Card, keys: Sequence[str]
) -> tuple[tuple[str, str], ...]:
    """Seasons found in only by what does not date the stage: a trap sees it on another day."""
    other = replace(journal, in_traps=not journal.in_traps)
    why = "it was caught in a trap, and finds at plants date it"
    if journal.in_traps:
        why = "it was seen at plants, and catches in a trap date it"
    return tuple(
        (each.name, why)
        for each in record.known.seasons()
        if other.bracket(card.key, keys, each.first, min(each.last, record.today))
    )


def _alike(event: Event, number: Number, practice: Practice) -> list[float]:
    """Every sum printed for the event that counts like this number, in one list."""
    counting = practice.overrule.counting(number)
    return [
        sum(each.goal_c) / 2.0
        for each in event.numbers
        if each.goal_c is not None
        and each.lower is not None
        and (each.of, each.kind, each.starts_from) == (number.of, number.kind, number.starts_from)
        and practice.overrule.counting(each) == counting
    ]
