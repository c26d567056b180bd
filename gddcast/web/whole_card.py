"""All that is on a card, its numbers folded behind the one that is used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.text.cards.card_page import Block, card_blocks
from gddcast.text.terminal import Line
from gddcast.web.cards import HasCards, card_of
from gddcast.web.screen import Shown
from gddcast.web.trial import Trial, day_tried
from gddcast.web.why import facts
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.requests import Request

_ITEM = "●"
#: Facts that compare the numbers of a stage, and stand with them.
_AMONG_NUMBERS = ("Side by side",)
#: A card with more notes folds them.
_NOTES = 3

Facts = tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Item:
    """A number, a cue, a source; what is said of it, and who printed it."""

    says: str
    more: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """A block of a card: what stands open, and what is behind the line ``fold``."""

    title: str
    about: str
    facts: Facts
    items: tuple[Item, ...]
    fold: str = ""
    folded_facts: Facts = ()
    folded: tuple[Item, ...] = ()


@dataclass(frozen=True, slots=True)
class CardPage:
    """What ``web/card.html`` shows."""

    title: str
    latin: str
    organism: str
    known: Part  # what it looks like and where
    trial: Trial | None
    parts: tuple[Part, ...]
    alike: tuple[tuple[str, str], ...]  # key and name of what it may be taken for


def screen(request: Request, book: HasCards) -> Shown:
    """The card asked for."""
    card = card_of(book, request.query_params.get("organism", ""))
    known, *parts = map(_part, card_blocks(card, commands=False))
    page = CardPage(
        capital(card.name),
        card.latin,
        card.key,
        known,
        day_tried(card, request.query_params),
        tuple(each for each in parts if each.facts or each.items or each.fold),
        tuple((each.card, each.name) for each in card.look_alikes if each.card),
    )
    return Shown("card.html", page)


def _part(block: Block) -> Part:
    labelled, items = _parted(block.lines)
    title, about = capital(block.title), "" if block.key else capital(block.about)
    if block.key:
        return _stage(title, labelled, items)
    if block.title == "Sources" or (block.title == "Notes" and len(items) > _NOTES):
        fold = words.count(len(items), block.title.lower().removesuffix("s"))
        return Part(title, about, labelled, (), fold, (), items)
    return Part(title, about, labelled, items)


def _stage(title: str, labelled: Facts, items: tuple[Item, ...]) -> Part:
    """The number it goes by with its source; the method of it, and all others, behind a line."""
    if not items:
        return Part(title, "", labelled, ())
    first, *others = items
    more = f", and {len(others)} more published" if others else ""
    return Part(
        title,
        "",
        tuple(each for each in labelled if each[0] not in _AMONG_NUMBERS),
        (Item(first.says, (), first.source),),
        f"How it is counted{more}",
        tuple(each for each in labelled if each[0] in _AMONG_NUMBERS),
        items,
    )


def _parted(lines: Iterable[Line]) -> tuple[Facts, tuple[Item, ...]]:
    """Facts, which have a label; and items, each with the lines without one that follow it."""
    labelled, items, of_item = list[Line](), list[Item](), False
    for line in lines:
        lead = line.first.strip()
        of_item = lead == _ITEM or (of_item and not lead)
        if not of_item:
            labelled.append(line)
        elif lead:
            items.append(Item(line.text))
        elif line.weight == "dim":
            items[-1] = replace(items[-1], source=line.text)
        else:
            items[-1] = replace(items[-1], more=(*items[-1].more, line.text))
    return tuple(facts(labelled)), tuple(items)
