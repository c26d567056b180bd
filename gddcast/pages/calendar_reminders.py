"""Reminders of a calendar, and which of them is the same as one before.

Dates may move, reminders must not nag or double: a stage keeps its UID for a season, and is left as
it was told until its day or its span moves by `NEWS_DAYS` or its state changes. Only then does its
SEQUENCE rise. What is no longer due is cancelled, not left behind.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from gddcast.text.dates.nothing_due import NEWS_DAYS
from gddcast.text.hidden_characters import visible
from gddcast.today.plan import SeasonPlan

Kind = Literal["VEVENT", "VTODO"]
Category = Literal["look", "again", "sow", "side-dress", "last-sowing"]
#: What a calendar may hold, as its CATEGORIES say it.
CATEGORIES: dict[Category, str] = {
    "look": "SCOUTING", "again": "LOOK AGAIN", "sow": "SOWING", "side-dress": "SIDE-DRESSING",
    "last-sowing": "LAST SOWING",
}  # fmt: skip

#: Names of reminders are made in this space of our own, so they are the same on every machine.
_OURS = uuid.uuid5(uuid.NAMESPACE_DNS, "gddcast.invalid")
#: Statuses of a reminder that still asks to look.
OPEN = ("TENTATIVE", "NEEDS-ACTION")


@dataclass(frozen=True, slots=True)
class Reminder:
    """One stage in a calendar; ``last`` is the last day of it, itself included."""

    uid: str
    kind: Kind
    first: dt.date
    last: dt.date
    title: str
    about: str
    status: str
    stage: tuple[str, str, str]  # organism, event, and what tells one of its clocks from another
    earliest: dt.date | None = None
    latest: dt.date | None = None
    sequence: int = 0
    was: dt.date | None = None
    over: bool = False  # stays in a calendar that has it, comes into none
    category: Category = "look"
    every: int | None = None  # comes again after so many days
    until: dt.date | None = None  # and no later than then

    def __post_init__(self) -> None:
        object.__setattr__(self, "title", as_calendar_text(self.title))
        object.__setattr__(self, "about", as_calendar_text(self.about))

    @property
    def visible(self) -> tuple[object, ...]:
        """What a person would notice to have moved."""
        return self.first, self.last, self.title, self.status, self.every, self.until


@dataclass(frozen=True, slots=True)
class Reminders:
    """What goes into a file, and what it changes there."""

    items: tuple[Reminder, ...]
    cancelled: tuple[Reminder, ...] = field(default=())
    moves: int = 0


@dataclass(frozen=True, slots=True)
class AnnouncedDays:
    """The days a reminder was last told with: to start looking, and the span."""

    first: dt.date
    earliest: dt.date | None
    latest: dt.date | None

    def is_news(self, other: AnnouncedDays) -> bool:
        """Whether other days are worth moving a reminder for."""
        mine = (self.first, self.earliest, self.latest)
        for here, there in zip(mine, (other.first, other.earliest, other.latest), strict=True):
            if here is None or there is None:
                if here is not there:
                    return True
            elif abs((here - there).days) >= NEWS_DAYS:
                return True
        return False


def uid_of(plan: SeasonPlan, stage: tuple[str, str, str], kind: Kind) -> str:
    """The lasting name of one stage at one place in one season."""
    parts = (plan.place.name, plan.season.name, *stage, kind)
    return f"{uuid.uuid5(_OURS, chr(31).join(parts))}@gddcast.invalid"


def as_calendar_text(text: str) -> str:
    """A text as a calendar takes it: no control character but the end of a line (RFC 5545, 3.1)."""
    return visible(text.replace("\r\n", "\n"))


def announced_days(in_file: Mapping[str, Reminder]) -> dict[str, AnnouncedDays]:
    """The days told by the reminders of a file, by UID."""
    return {
        each.uid: AnnouncedDays(each.first, each.earliest, each.latest)
        for each in in_file.values()
        if each.status in OPEN
    }


def updated(
    coming: tuple[Reminder, ...],
    in_file: Mapping[str, Reminder],
    plan: SeasonPlan,
    least: Mapping[str, int] | None = None,
) -> Reminders:
    """Reminders numbered so that a calendar takes them for the same ones, moved or not.

    Parameters
    ----------
    coming : tuple of Reminder
    in_file : mapping of str to Reminder
        What the file holds, by UID.
    plan : SeasonPlan
        Reminders of earlier seasons are let go.
    least : mapping of str to int, optional
        Revisions the book knows of, by UID; a SEQUENCE is never below.
    """
    least = least or {}
    items, moved = [], 0
    for each in coming:
        before = in_file.get(each.uid)
        if each.over:
            items += [] if before is None else [before]
            continue
        if before is not None and before.visible == each.visible:
            least_now = max(before.sequence, least.get(each.uid, 0))
            items.append(replace(before, sequence=least_now))
            continue
        sequence, was = (0, None) if before is None else (before.sequence, before.was)
        if before is not None:
            sequence, moved = sequence + 1, moved + 1
            was = before.first if before.first != each.first else was
        each = replace(each, sequence=max(sequence, least.get(each.uid, 0)), was=was)
        items.append(each)
    gone = [
        before if before.status == "CANCELLED" else
        replace(before, status="CANCELLED", sequence=before.sequence + 1)
        for uid, before in in_file.items()
        if uid not in {each.uid for each in coming} and before.first >= plan.season.first
    ]  # fmt: skip
    return Reminders(tuple(items), tuple(gone), moved)
