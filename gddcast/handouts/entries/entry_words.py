"""One entry of a book in a few words."""

from __future__ import annotations

from typing import Protocol

from gddcast.crops.chores import in_words
from gddcast.journal.entries import Closing, Job, OwnGoal, Sighting, Sowing
from gddcast.units import Unit
from gddcast.words import day, heat


class Entry(Protocol):
    """What an entry is about: one thing, or weather from a source."""

    @property
    def item(self) -> Sighting | Sowing | Job | OwnGoal | Closing | None: ...  # noqa: D102

    @property
    def source(self) -> str | None: ...  # noqa: D102


def said(entry: Entry, show: Unit = "F") -> str:
    """What it was, where and when."""
    item = entry.item
    if item is None:
        return f"weather from {entry.source}"
    if isinstance(item, Sighting):
        return _sighting(item)
    if isinstance(item, Sowing):
        verb = "planted out" if item.planted_out else "sown"
        return f"{item.name} {verb} {day(item.sown_on, year=True)}"
    if isinstance(item, Job):
        said = in_words(item.job, item.sowing or item.bed)
        return f"{said}, {day(item.done_on, year=True)}"
    if isinstance(item, Closing):
        what = f"{item.organism} {item.event}".strip().replace("-", " ")
        return f"{what} closed, {day(item.closed_on, year=True)}"
    stage = f"{item.organism} {item.event}".replace("-", " ")
    return f"your own number for {stage}, {heat(item.goal, show)}"


def _sighting(item: Sighting) -> str:
    what = " ".join(part for part in (item.organism, item.event) if part).replace("-", " ")
    where = f", {item.where}" if item.where else ""
    when = day(item.seen_on, year=True)
    if item.kind == "none":
        return f"clean look for {what or 'everything watched'}{where}, {when}"
    verb = "heard of " if item.kind == "heard" else ""
    return f"{verb}{what}{where}, {when}"
