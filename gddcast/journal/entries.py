"""What people saw, sowed and did; and the bracket a first find puts round the true date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

#: A find, a look that found none, or somebody else's report.
Look = Literal["saw", "none", "heard"]


@dataclass(frozen=True, slots=True)
class Sighting:
    """One look for one stage of one organism.

    ``seen_on`` is the day of looking, never the day of writing. ``clean_on`` is the last day the
    person looked there and found none. A look into a trap is of another kind than one at plants:
    the two are never mixed.
    """

    organism: str
    event: str
    seen_on: dt.date
    kind: Look = "saw"
    clean_on: dt.date | None = None
    sure: bool = True
    where: str | None = None
    plants_looked: int | None = None
    plants_with: int | None = None
    note: str | None = None
    entry: str | None = None
    count: int | None = None  # how many of them, where somebody counted
    trap: bool = False
    nights: int | None = None  # that the trap had stood since it was last emptied
    by: str | None = None  # who looked

    @property
    def a_night(self) -> float | None:
        """Catch of a trap a night; None where count or nights are not known."""
        return None if self.count is None or not self.nights else self.count / self.nights


@dataclass(frozen=True, slots=True)
class Sowing:
    """One sowing or planting of one crop in one bed."""

    crop: str
    sown_on: dt.date
    bed: str | None = None
    variety: str | None = None
    planted_out: bool = False
    name: str | None = None
    entry: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One piece of work or event in a bed: up, first-pick, covered, dusted, pulled …"""

    job: str
    done_on: dt.date
    sowing: str | None = None
    bed: str | None = None
    note: str | None = None
    entry: str | None = None


@dataclass(frozen=True, slots=True)
class OwnGoal:
    """A heat sum fitted to a person's own finds, kept because they said so, with its method.

    ``low`` to ``high`` is the interval of ``goal``, ``spread`` how much years differ. [°C·d]
    The method is that of the fit; a book older than these columns does not know it (None).
    """

    organism: str
    event: str
    goal: float
    low: float
    high: float
    kept_on: dt.date
    spread: float | None = None
    seasons: int | None = None
    lower: float | None = None  # [°C]
    upper: float | None = None  # None where there is none [°C]
    shape: str | None = None
    cutoff: str | None = None
    starts: str | None = None  # month and day, "01-01"
    note: str | None = None
    entry: str | None = None


@dataclass(frozen=True, slots=True)
class Closing:
    """Nobody looks for a stage any more this season; no ``event`` is every stage."""

    organism: str
    event: str
    closed_on: dt.date
    note: str | None = None
    entry: str | None = None


@dataclass(frozen=True, slots=True)
class Bracket:
    """The true first day lies after ``clean_on`` and not after ``found_on``.

    ``clean_on`` is None where nobody looked before the find: then only the late end is known.
    """

    clean_on: dt.date | None
    found_on: dt.date
    sighting: Sighting

    @property
    def earliest(self) -> dt.date | None:
        """First day it may have happened."""
        return None if self.clean_on is None else self.clean_on + dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Journal:
    """Everything recorded at a place, withdrawn entries left out.

    Brackets and clean looks go by looks at plants, or where ``in_traps`` by those into traps.
    """

    sightings: tuple[Sighting, ...] = ()
    sowings: tuple[Sowing, ...] = ()
    jobs: tuple[Job, ...] = ()
    goals: tuple[OwnGoal, ...] = ()
    closings: tuple[Closing, ...] = ()
    in_traps: bool = False

    def of(self, organism: str, events: Sequence[str]) -> Iterator[Sighting]:
        """Sightings of any of these events, on plants or in traps, oldest first."""
        chosen = (
            each
            for each in self.sightings
            if each.organism == organism and each.event in events and each.trap is self.in_traps
        )
        yield from sorted(chosen, key=lambda each: each.seen_on)

    def bracket(
        self, organism: str, events: Sequence[str], since: dt.date, until: dt.date
    ) -> Bracket | None:
        """The first sure find from ``since`` to ``until``, bracketed by the last clean look.

        Unsure finds and hearsay never restart a clock.
        """
        for find in self.of(organism, events):
            if find.kind == "saw" and find.sure and since <= find.seen_on <= until:
                clean = [day for day in self._clean_days(organism, events) if day < find.seen_on]
                if find.clean_on is not None:
                    clean.append(find.clean_on)
                last = max((day for day in clean if day >= since), default=None)
                return Bracket(last, find.seen_on, find)
        return None

    def clean_looks(
        self, organism: str, events: Sequence[str], since: dt.date, until: dt.date
    ) -> int:
        """Number of looks that found none."""
        return len(self.clean_days(organism, events, since, until))

    def clean_days(
        self, organism: str, events: Sequence[str], since: dt.date, until: dt.date
    ) -> list[dt.date]:
        """Days of looks that found none, oldest first."""
        return sorted(day for day in self._clean_days(organism, events) if since <= day <= until)

    def last_clean(
        self, organism: str, events: Sequence[str], since: dt.date, before: dt.date
    ) -> dt.date | None:
        """The last look that found none, from ``since`` to the eve of ``before``."""
        days = self._clean_days(organism, events)
        return max((day for day in days if since <= day < before), default=None)

    def _clean_days(self, organism: str, events: Sequence[str]) -> list[dt.date]:
        # A look at the whole garden that found nothing is clean for everything watched.
        return [
            each.seen_on
            for each in self.sightings
            if each.kind == "none"
            and each.trap is self.in_traps
            and each.organism in (organism, "")
            and (each.event in events or not each.event)
        ]

    def own_goal(self, organism: str, event: str) -> OwnGoal | None:
        """The sum kept last for a stage."""
        own_goals = [
            each for each in self.goals if (each.organism, each.event) == (organism, event)
        ]
        return own_goals[-1] if own_goals else None

    def closing(self, organism: str, event: str, since: dt.date, until: dt.date) -> Closing | None:
        """The last time a stage was closed, unless it was found again later."""
        closed = [
            each
            for each in self.closings
            if each.organism == organism
            and each.event in (event, "")
            and since <= each.closed_on <= until
        ]
        if not closed:
            return None
        last = max(closed, key=lambda each: each.closed_on)
        again = (
            find.kind == "saw" and find.sure and last.closed_on < find.seen_on <= until
            for find in self.of(organism, [event])
        )
        return None if any(again) else last
