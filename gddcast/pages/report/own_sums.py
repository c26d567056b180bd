"""Own finds beside the published sum, a stage each: what is known, season by season, the hits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gddcast.pages.paper import PageTable
from gddcast.text.seasons import own_finds
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import capital


@dataclass(frozen=True, slots=True)
class OwnSumPart:
    """One stage that own finds say something of."""

    headline: str
    hits: tuple[str, ...]
    table: PageTable
    legend: tuple[str, ...]


def own_sums(today: Today, show: Unit) -> tuple[OwnSumPart, ...]:
    """Every watched stage with a find that counts, in the cards' order."""
    return tuple(_own_sums(today, show))


def _own_sums(today: Today, show: Unit) -> Iterator[OwnSumPart]:
    chance = today.practice.habits.tail
    for card in today.watch.cards:
        for event in card.events:
            finds = today.own_finds(card, event)
            if finds is None or not finds.finds:
                continue
            counting = today.sum_of(card, event.key).counting
            foretold = finds.foretold(chance)
            headings, *rows = own_finds.rows_told(foretold, show)
            hits = own_finds.record_of_hits(finds, foretold, chance)
            yield OwnSumPart(
                own_finds.headline(finds, card, event, show),
                tuple(filter(None, hits)),
                PageTable(f"{capital(card.name)}, {event.words}: your seasons", headings, rows),
                tuple(own_finds.legend(foretold, counting, show)),
            )
