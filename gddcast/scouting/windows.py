"""The scouting window of one stage: from which day to look, how often, until when, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Annotated, Literal

import numpy as np

from gddcast.cards.model import Card, Cue, Days, Event, Look, Number
from gddcast.heat.counting import Counting
from gddcast.journal.begun import Begun
from gddcast.journal.clocks import Clock
from gddcast.journal.entries import Bracket, OwnGoal
from gddcast.outlook.bridging import BridgedDate
from gddcast.outlook.dates import InnerSpan, Outlook
from gddcast.outlook.effects import Effect
from gddcast.outlook.mixture import Mixture
from gddcast.outlook.season_so_far import OpenSpan
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.toml.rules import Rule, whole
from gddcast.toml.schema import Doc
from gddcast.units import rounded
from gddcast.words import Status, count

#: Looks wanted while one egg is an egg.
LOOKS_AN_EGG = 3
#: The common interval of scouting, never exceeded (common practice, no source).
WEEKLY = 7


@dataclass(frozen=True, slots=True)
class Habits:
    """How a person looks; the tool never asks for less.

    Parameters
    ----------
    lead_days : int
        Start looking that many days before the fastest year, while there is no find of one's own.
    every_days : int, optional
        Own habit, in days; never lengthened.
    plants_all_below : int
        Below that many plants, all of them are looked at.
    look_again_days : int, optional
        Own rule: look again so many days after scraping or dusting.
    dust_again_days : int, optional
        Own rule: dust again so many days later, or after rain.
    water_every_days : int, optional
        Own rule: water every so many days.
    own_finds : {"use", "beside"}
        Whether dates go by one's own finds from the first on, or they only stand beside.
    chance : {"1 in 5", "1 in 10", "1 in 20"}
        From the first own find on: start looking on the day by which the chance that it has begun
        is that great, and put it away when the chance that it has not is as small.
    """

    lead_days: Annotated[
        int,
        Rule(whole(0, 30)),
        Doc(hint="start looking so many days before the fastest past year"),
    ] = 3
    every_days: Annotated[
        int | None, Rule(whole(1, 30)), Doc(example="2", hint="your own habit; never lengthened")
    ] = None
    plants_all_below: Annotated[
        int, Rule(whole(1, 10_000)), Doc(hint="look at all plants when there are fewer")
    ] = 10
    look_again_days: Annotated[
        int | None,
        Rule(whole(1, 30)),
        Doc(example="2", hint="your own rule, after scraping or dusting"),
    ] = None
    dust_again_days: Annotated[
        int | None,
        Rule(whole(1, 60)),
        Doc(example="7", hint="your own rule; rain ends it early"),
    ] = None
    water_every_days: Annotated[
        int | None,
        Rule(whole(1, 30)),
        Doc(example="2", hint="your own rule: the days the sheet has a box for"),
    ] = None
    own_finds: Annotated[
        Literal["use", "beside"],
        Doc(hint="from your first find on dates go by your finds, or show them beside"),
    ] = "use"
    chance: Annotated[
        Literal["1 in 5", "1 in 10", "1 in 20"],
        Doc(hint="by your finds: look from that chance that it has begun; or 1 in 5, 1 in 20"),
    ] = "1 in 10"

    @property
    def tail(self) -> float:
        """The chance as a number."""
        return {"1 in 5": 0.2, "1 in 10": 0.1, "1 in 20": 0.05}[self.chance]


@dataclass(frozen=True, slots=True)
class ScoutingWindow:
    """One stage of one organism at one place, today.

    ``early`` is the outlook of the low end of the published goal from the earliest clock,
    ``late`` that of the high end from the latest: the same object where both ends agree.
    ``mixed`` is what lies between where they do not, and is still to come. A stage that only
    ``days`` were printed for has a count of them instead, ``by_days``, once it can be started.
    """

    card: Card
    event: Event
    status: Status
    look: Look
    number: Number | None = None
    counting: Counting | None = None
    clock: Clock | None = None
    early: Outlook | None = None
    late: Outlook | None = None
    mixed: Mixture | None = None
    opens: dt.date | None = None
    closes: dt.date | None = None
    every_days: int | None = None
    every_words: str | None = None
    reason: str | None = None
    bracket: Bracket | None = None
    begun: Begun | None = None  # by a find of a later stage, where it has none of its own
    clean_looks: int = 0
    clean_on: dt.date | None = None  # the last of them
    cue: Cue | None = None
    days: Days | None = None
    by_days: DayCount | None = None
    own_finds: OwnFinds | None = None  # first finds whose sum is counted instead of the card's
    finds_beside: OwnFinds | None = None  # those of a person who goes by the card all the same
    insect: InsectDates | None = None  # when it is seen by either
    own_goal: OwnGoal | None = None  # a number that an older book kept; nothing is counted by it
    closed_on: dt.date | None = None  # when a person closed it
    over: str | None = None  # what ended it, where its card says no end
    gap_worth: int | None = None  # days that the unknown days would move the next event
    bridged: tuple[BridgedDate, BridgedDate] | None = None  # both ends, across those days
    moves: tuple[Effect, ...] = field(default=())  # of what the source does not state
    notes: tuple[str, ...] = field(default=())

    def __repr__(self) -> str:
        opens = f", look from {self.opens}" if self.opens else ""
        return f"<ScoutingWindow {self.card.key} {self.event.key}: {self.status.word}{opens}>"

    @property
    def is_answered(self) -> bool:
        """Whether a find of it, or of a later stage, says more than its date."""
        return self.bracket is not None or self.begun is not None

    @property
    def goes_by_finds(self) -> bool:
        """Whether its days to look are those of a chance, by own finds of earlier seasons.

        Its year dots then say only when the middle of their sums is reached.
        """
        return self.own_finds is not None and self.insect is not None and self.event.opens_looks

    @property
    def looked(self) -> bool:
        """Whether a clean look is on record since the day to start looking."""
        clean, opens = self.clean_on, self.opens
        return clean is not None and opens is not None and clean >= opens

    @property
    def waits(self) -> bool:
        """Whether its clock has not started and only a find or a sowing can start it."""
        if self.days is not None:
            return self.by_days is None and not self.is_answered
        return self.number is not None and self.clock is None and not self.is_answered

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of what it rests on, as its card lists them."""
        rests_on = (self.cue, self.days, self.number)
        keys = [each.source for each in rests_on if each is not None]
        keys += [each for each in (self.number and self.number.primary,) if each]
        keys += [each for each in (self.cue and self.cue.dates_source,) if each]
        return tuple(keys)

    @property
    def fastest(self) -> dt.date | None:
        """Earliest day any past year, or the fewest days, give."""
        if self.by_days is not None:
            return self.by_days.earliest
        return self.early.fastest if self.early else None

    @property
    def slowest(self) -> dt.date | None:
        """Latest day any past year, or the most days, give; None where one never gets there."""
        if self.by_days is not None:
            return self.by_days.latest
        return self.late.slowest if self.late else None

    @property
    def first_possible(self) -> dt.date | None:
        """Earliest day of all: the one that came, where it has."""
        return (self.early.reached if self.early else None) or self.fastest

    @property
    def inner(self) -> InnerSpan | None:
        """The middle of the year dots, of all that a range and a bracket leave open."""
        if self.early is not self.late:
            return self.mixed.inner if self.mixed else None
        return self.late.inner if self.late else None

    @property
    def spans(self) -> dict[float, OpenSpan]:
        """Calibrated central spans, of all that a range and a bracket leave open."""
        if self.early is not self.late:
            return self.mixed.spans if self.mixed else {}
        return (self.late.spans if self.late else None) or {}

    @property
    def never(self) -> float | None:
        """Share of what past years make of it that does not come this season."""
        if self.mixed is not None or self.late is None or not self.late.dots:
            return self.mixed.never if self.mixed else None
        return 1.0 - len(self.late.days) / len(self.late.dots)

    @property
    def goes_on_until(self) -> tuple[dt.date, dt.date] | None:
        """Last days of a stage that was found, by how long its card says it lasts."""
        lasts = self.event.lasts
        if self.bracket is None or lasts is None:
            return None
        first, last = (dt.timedelta(days=rounded(days) - 1) for days in lasts.days)
        return self.bracket.found_on + first, self.bracket.found_on + last

    @property
    def reached(self) -> dt.date | None:
        """Day on which the whole of the published range had been reached."""
        return self.late.reached if self.late else None


def without_repeats(windows: Iterable[ScoutingWindow]) -> list[ScoutingWindow]:
    """The windows without repeats: a find answers every sum and every cue of its stage.

    A cue beside a date is told only while it says to look and the date is not past; of the cues of
    a stage that say to look, the first.
    """
    every = list(windows)
    dated = {
        (each.card.key, each.event.key): each.status
        for each in every
        if each.late is not None or each.by_days is not None
    }
    told: dict[object, ScoutingWindow] = {}
    for window in every:
        status = dated.get((window.card.key, window.event.key))
        adds = window.status is Status.LOOK_NOW and status is not Status.CLOSED
        beside = window.cue is not None and not window.is_answered
        if beside and status is not None and not adds:
            continue
        which: object = (window.clock, window.cue)
        if window.is_answered or window.over:
            which = None
        elif window.cue is not None and window.status is Status.LOOK_NOW:
            which = Status.LOOK_NOW
        told.setdefault((window.card.key, window.event.key, which), window)
    return list(told.values())


def looking_interval(
    egg_goal: float | None, pace: float, habits: Habits, weather: str
) -> tuple[int, str]:
    """How often to look, in days, and why.

    Parameters
    ----------
    egg_goal : float or None
        Least heat from laying to hatch, as published. [°C·d]
    pace : float
        Degree-days of a day, counted as the egg's number is; NaN where unknown. [°C·d]
    habits : Habits
    weather : str
        Where that pace comes from: "at this week's warmth".

    Returns
    -------
    days, words : int, str
        Days between looks, one at least, and the reason.
    """
    if egg_goal is None:
        days, words = WEEKLY, "the common interval; no egg time published as a heat sum"
    elif pace > 0.0:
        egg_days = egg_goal / pace
        days = int(np.clip(egg_days / LOOKS_AN_EGG, 1, WEEKLY))
        chances = count(max(int(egg_days // days), 1), "chance")
        words = f"eggs take about {egg_days:.0f} days {weather}: {chances} at each"
    else:
        cold = "too cold for eggs to grow" if pace == 0.0 else "no weather known to time eggs by"
        days, words = WEEKLY, f"the common interval; {cold}"
    if habits.every_days is not None and habits.every_days <= days:
        return habits.every_days, "your habit"
    return days, words
