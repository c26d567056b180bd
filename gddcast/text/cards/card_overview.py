"""All cards in one Markdown table: kept beside them as ``data/OVERVIEW.md``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gddcast.cards.library import evidence_counts
from gddcast.cards.model import Card, Days, Event, Number
from gddcast.text.cards import card_words as words
from gddcast.words import count, listed

_OPENING = """# All cards, and what each rests on

Written from the cards by `gddcast pests overview -o data/OVERVIEW.md`; edit the cards, not this.
One row is the number used for one event; other published numbers stand in the card beside it.
Temperatures and sums are as printed. *date*: counted from a date; *find*: from a find or a crop
stage; *lab*: duration of a stage at constant temperatures."""


def overview(cards: Sequence[Card]) -> str:
    """The page of all cards, pests first."""
    numbers = sum(len(event.numbers) for card in cards for event in card.events)
    told = listed([f"{n} {kind}" for kind, n in evidence_counts(cards).items() if n])
    parts = [
        _OPENING,
        f"{count(len(cards), 'card')}, {count(numbers, 'published number')}: {told}.",
    ]
    for group in ("pest", "crop"):
        of_group = [card for card in cards if card.group == group]
        rows = [row for card in of_group for row in _rows(card)]
        parts.append(f"## {group.capitalize()}s ({len(of_group)})")
        parts.append(
            "| card | event | kind | thresholds | day shape, cut-off | from | goal | source "
            "| evidence |\n|---|---|---|---|---|---|---|---|---|\n" + "\n".join(rows)
        )
    return "\n\n".join(parts) + "\n"


def _rows(card: Card) -> Iterator[str]:
    folder = f"{card.group}s"
    link = f"[{card.name}]({folder}/{card.key}.toml), *{' '.join(card.latin.split()[:2])}*"
    rows = [_row(card, event) for event in card.events]
    rows += [("", "cue", "", "", "", cue.sentence, *_cited(card, cue)) for cue in card.cues]
    for first, row in enumerate(rows):
        yield "| " + " | ".join((link if first == 0 else "", *map(_cell, row))) + " |"


def _row(card: Card, event: Event) -> tuple[str, ...]:
    if number := event.default:
        return (
            event.key,
            words.event_kind(event),
            _thresholds(number),
            f"{number.shape or 'not stated'}, {number.cutoff or 'not stated'}",
            words.start_in_words(number.starts_from, card),
            f"{words.ends(*number.goal)} °{number.unit}-days" if number.goal else "not stated",
            *_cited(card, number),
        )
    if event.days:
        days = event.days[0]
        start = words.start_in_words(days.starts_from, card)
        return event.key, "days", "", "", start, words.days_in_words(days.days), *_cited(card, days)
    return event.key, words.event_kind(event), "", "", event.same_time_as or "", "", "", ""


def _thresholds(number: Number) -> str:
    """Both thresholds as printed."""
    lower, upper = (words.temperature(end, number.unit) for end in (number.lower, number.upper))
    return lower if lower == upper else f"{lower}, upper {upper}"


def _cited(card: Card, entry: Number | Days | object) -> tuple[str, str]:
    key, evidence = getattr(entry, "source", ""), getattr(entry, "evidence", "")
    source = card.sources.get(key)
    return (source.short if source else key), evidence


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
