"""What to do today, bed by bed: the first screen of the page, and the head of the one side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.text import weather_so_far
from gddcast.text.dates.bed_words import (
    ANYWHERE,
    PestWords,
    again_words,
    bed_title,
    coming_words,
    pest_words,
    to_do,
)
from gddcast.text.dates.date_news import change_lines
from gddcast.text.dates.nothing_due import nothing_due
from gddcast.text.dates.plants import chore_words, picked_too_long, uncover_words
from gddcast.text.watching import watch_hint
from gddcast.today.beds import Bed, BedWalk, Block
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import capital

#: With more pests than these each has one line, and the last ones stand behind a line that opens.
ROOMY = 8
#: So many lines of what comes up or has moved: all of it stands on the axis below.
_MOST_COMING, _MOST_MOVED = 6, 3


@dataclass(frozen=True, slots=True)
class Item:
    """One pest, with a number of the page that names its drawing."""

    number: str
    pest: PestWords


@dataclass(frozen=True, slots=True)
class BedPart:
    """One bed, or what stands in none: its pests, what is met again, what else it asks."""

    title: str
    items: tuple[Item, ...]
    rest: tuple[Item, ...]  # behind a line that opens
    again: str
    asks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DueSection:
    """The section."""

    about_record: tuple[str, ...]
    to_do: str
    stops: tuple[BedPart, ...]
    chores: tuple[str, ...]
    roomy: bool
    coming: tuple[tuple[str, str], ...]
    more_coming: int
    nothing_due: tuple[str, ...]
    changes: tuple[str, ...]
    watches_all: bool


def due_today(today: Today, show: Unit) -> DueSection:
    """The section, in the order of walking."""
    plan, walk = today.plan, today.by_bed
    return DueSection(
        tuple(_about_record(today)),
        to_do(plan, walk),
        tuple(_stops(walk, today, show)),
        tuple(capital(chore_words(each)) for each in walk.chores),
        len(walk.blocks) <= ROOMY,
        tuple(
            (each.window.status.shape, coming_words(each, today, show))
            for each in walk.coming[:_MOST_COMING]
        ),
        max(len(walk.coming) - _MOST_COMING, 0),
        () if walk.blocks else tuple(nothing_due(plan, show)),
        tuple(each.text for each in change_lines(today, _MOST_MOVED)),
        plan.watches_all,
    )


def _about_record(today: Today) -> Iterator[str]:
    plan = today.plan
    if late := weather_so_far.behind(plan):
        yield late
    yield from weather_so_far.doubts(plan, patched=False)
    if said := watch_hint(plan.watching):
        yield said


def _stops(walk: BedWalk, today: Today, show: Unit) -> Iterator[BedPart]:
    first_bed = {block.card.key: bed.name for bed in walk.beds for block in bed.blocks}
    number = 1
    for bed in walk.beds:
        items = _items(bed.blocks, number, today, show)
        number += len(items)
        asks = tuple(map(capital, _asks(bed, today)))
        yield BedPart(bed_title(bed), items, (), again_words(bed, first_bed), asks)
    if walk.anywhere:
        items = _items(walk.anywhere, number, today, show)
        most = len(items) if len(walk.blocks) <= ROOMY else ROOMY
        yield BedPart(ANYWHERE, items[:most], items[most:], "", ())


def _items(blocks: Sequence[Block], first: int, today: Today, show: Unit) -> tuple[Item, ...]:
    habits = today.practice.habits
    return tuple(
        Item(str(number), pest_words(block, habits, today.day, show))
        for number, block in enumerate(blocks, first)
    )


def _asks(bed: Bed, today: Today) -> Iterator[str]:
    yield from map(chore_words, bed.chores)
    yield from map(uncover_words, bed.to_uncover)
    for each, coming in zip(bed.sowings, bed.ahead, strict=False):
        called = words.capital(each.called)
        if coming.flowers_since is not None:
            since = words.day(coming.flowers_since)
            yield f"{called}: may be in flower since {since}; put nothing on open flowers."
        if coming.worn is not None:
            yield f"{called}: {picked_too_long(coming.worn, today.practice.rules.picking_days)}"
    if bed.blocks or bed.again:
        for each in bed.flowering:
            yield (
                f"{words.capital(each.called)}: in flower. Nothing on flowers; stem base and outer "
                "leaves only."
            )
