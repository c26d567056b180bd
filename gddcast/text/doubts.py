"""What a person is asked to be sure of before it is written: each doubt with its evidence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast.cards.model import Card
from gddcast.errors import shell
from gddcast.journal.entries import Sighting
from gddcast.quality.month_range import OutsideMonth
from gddcast.text.logged import LoggedEntry, WeatherDays, entry_words
from gddcast.today.early_finds import EarlyFind
from gddcast.units import Unit
from gddcast.words import capital, count, day, listed, month, temperature


@dataclass(frozen=True, slots=True)
class EntryDoubt:
    """What may be a slip: what it is about, what is odd of it, by which evidence, what else."""

    where: str
    problem: str
    evidence: str
    otherwise: str = ""


def early_find(card: Card, find: Sighting, early: EarlyFind) -> EntryDoubt:
    """A find long before any past year's weather would bring it."""
    event = card.event(find.event)
    stage = event.words if event else find.event
    return EntryDoubt(
        f"the find of {day(find.seen_on, year=True)}",
        f"that is {count(early.days, 'day')} before the fastest past year has {stage}",
        f"With past years’ weather {card.name} comes from {day(early.fastest)} on.",
        "Another day is said by  --seen DATE",
    )


def same_again(same: Sighting) -> EntryDoubt:
    """A find or a look that is on record already."""
    return EntryDoubt(
        "this entry", "the same is on record already",
        f"Entry {same.entry} is of the same day, stage and spot.",
        f"If this one is better:  {shell('gddcast', 'undo', same.entry)}",
    )  # fmt: skip


def unseen_readings(outside: Sequence[OutsideMonth], typed: Unit) -> EntryDoubt:
    """Readings that their month has never shown in this record."""
    other: Unit = "C" if typed == "F" else "F"
    first = outside[0]
    read = listed([f"a {each.end} of {temperature(each.value, typed)}" for each in outside])
    return EntryDoubt(
        f"the reading of {day(first.day, year=True)}",
        f"{read} is what no {month(first.day.month)} of this record has shown",
        capital(listed(list(_extremes(outside, typed)))) + ".",
        f"If you read °{other}:  {shell('--unit', other)}",
    )


def _extremes(outside: Sequence[OutsideMonth], typed: Unit) -> Iterator[str]:
    for each in outside:
        side = "lowest" if each.value < each.extreme else "highest"
        when = day(each.on, weekday=False, year=True)
        shown = f"{temperature(each.extreme, typed)}, {when}"
        yield f"the {side} {each.end} of {count(each.known, 'day')} is {shown}"


def withdrawal(
    entry: LoggedEntry, days: WeatherDays | None, written: dt.date | None, show: Unit
) -> EntryDoubt:
    """An entry of another day, or of many days, about to be withdrawn.

    Parameters
    ----------
    entry : LoggedEntry
    days : WeatherDays or None
        Of the weather it brought.
    written : datetime.date or None
        The day it was written, where that is not today.
    show : {"F", "C"}
    """
    many = f"it is {count(days.count, 'day')} of weather" if days and days.count > 1 else ""
    old = f"it was written on {day(written, year=True)}" if written else ""
    return EntryDoubt(
        f"this undo of entry {entry.name}",
        " and ".join(filter(None, (many, old))),
        f"It would withdraw: {entry_words(entry, show, days)}.",
        "Another one is named:  gddcast undo ENTRY",
    )
