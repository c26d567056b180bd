"""Cards as plain data for programs: numbers as printed, each with its unit, nothing converted."""

from __future__ import annotations

import math
from typing import Any

from gddcast.cards.model import NOT_STATED, Card, Cue, Days, Event, Number, Start
from gddcast.text.cards.card_words import event_kind


def card_brief(card: Card) -> dict[str, Any]:
    """A card as an entry of a list."""
    return {
        "key": card.key,
        "name": card.name,
        "latin": card.latin,
        "group": card.group,
        "cue_card": card.is_cue_card,
        "comes_from_elsewhere": card.comes_from_elsewhere is not None,
        "own_file": card.own_file,
        "events": [
            {"key": event.key, "words": event.words, "dated_by": event_kind(event)}
            for event in card.events
        ],
    }


def card_whole(card: Card) -> dict[str, Any]:
    """Everything a card holds."""
    frost = card.frost_kills
    return card_brief(card) | {
        "replaces_packaged": card.replaces_packaged,
        "hosts": list(card.hosts),
        "look": _plain(card.look),
        "overwinters": card.overwinters,
        "second_brood": card.second_brood,
        "comes_from_elsewhere_note": card.comes_from_elsewhere,
        "frost_kills_at": _quantity(frost.celsius if frost else None, "degC"),
        "frost_source": frost and frost.source,
        "frost_evidence": frost and frost.evidence,
        "events": [_event(event) for event in card.events],
        "signs": [_plain(sign) for sign in card.signs],
        "cues": [_cue(cue) for cue in card.cues],
        "commercial_figures": [_plain(action) for action in card.actions],
        "day_length": [_plain(rule) for rule in card.day_length],
        "look_alikes": [_plain(other) for other in card.look_alikes],
        "notes": list(card.notes),
        "cautions": list(card.cautions),
        "not_known": list(card.not_known),
        "sources": {key: _plain(source) for key, source in card.sources.items()},
    }


def _event(event: Event) -> dict[str, Any]:
    return {
        "key": event.key,
        "words": event.words,
        "dated_by": event_kind(event),
        "for": event.purpose,
        "brood": event.brood,
        "same_time_as": event.same_time_as,
        "caution": event.caution,
        "reading": event.reading,
        "look": _plain(event.look),
        "catch": event.dated_by_catch and _plain(event.dated_by_catch),
        "numbers": [_number(number) for number in event.numbers],
        "days": [_days(days) for days in event.days],
        "lasts": event.lasts
        and _days(Days(starts_from=Start(event=event.key), **_plain(event.lasts))),
    }


def _number(number: Number) -> dict[str, Any]:
    degree = f"deg{number.unit}"
    return {
        "kind": number.kind,
        "lower": _quantity(number.lower, degree) or NOT_STATED,
        "upper": "none"
        if number.upper == math.inf
        else _quantity(number.upper, degree) or NOT_STATED,
        "cutoff": number.cutoff or NOT_STATED,
        "shape": number.shape or NOT_STATED,
        "of": number.of,
        "starts_from": _start(number.starts_from),
        "goal": _range(number.goal, f"{degree}-day") if number.goal else NOT_STATED,
        "spread": _quantity(number.spread, f"{degree}-day"),
        "found_in": number.found_in,
        "latitude": number.latitude,
        "source": number.source,
        "primary": number.primary,
        "evidence": number.evidence,
        "confidence": number.confidence,
        "default": number.default,
        "reason": number.reason,
        "note": number.note,
        "doubt": number.doubt,
        "inferred": list(number.inferred),
        "emergence": number.emergence
        and _plain(number.emergence) | {"parameters": dict(number.emergence.parameters)},
    }


def _days(days: Days) -> dict[str, Any]:
    return _plain(days) | {
        "days": _range(days.days, "day"),
        "starts_from": _start(days.starts_from),
    }


def _cue(cue: Cue) -> dict[str, Any]:
    days = {"earliest": cue.earliest, "latest": cue.latest}
    return _plain(cue) | {name: day and _day_of_year(*day) for name, day in days.items()}


def _day_of_year(month: int, day: int) -> str:
    return f"--{month:02d}-{day:02d}"  # ISO 8601: a day of any year


def _start(start: Start | None) -> dict[str, Any] | str:
    if start is None:
        return NOT_STATED
    if start.date is not None:
        return {"date": _day_of_year(*start.date)}
    return {"event": start.event} if start.event else {"crop": start.crop}


def _quantity(value: float | None, unit: str) -> dict[str, Any] | None:
    return None if value is None else {"value": value, "unit": unit}


def _range(ends: tuple[float, float], unit: str) -> dict[str, Any]:
    return {"low": ends[0], "high": ends[1], "unit": unit}


def _plain(record: Any) -> dict[str, Any]:
    """Fields of a frozen record, as they are."""
    return {name: getattr(record, name) for name in record.__slots__}
