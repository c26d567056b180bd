"""The windows of stages that have a heat sum: from its outlook to a status and days to look."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gddcast.cards.model import Card, Event, Number, Start
from gddcast.heat.counting import Counting
from gddcast.journal.clocks import Clock
from gddcast.outlook.dates import Outlook, outlooks
from gddcast.outlook.effects import effects
from gddcast.outlook.mixture import mixture
from gddcast.outlook.sightings import InsectDates, insect_dates
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.scouting.reservations import last_promised, reservations
from gddcast.scouting.statuses import CLOSES_AFTER_DAYS, status_by_chance, status_of
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.across_gaps import across, gap_worth
from gddcast.today.day_counts import goes_by_days
from gddcast.today.garden import Garden
from gddcast.today.own_finds import own_finds_of
from gddcast.words import Status, day

#: What an outlook depends on, besides the garden: how heat is counted, from when, up to what.
_Question = tuple[Counting, dt.date, float]


@dataclass(frozen=True, slots=True)
class _Stage:
    """One stage to be looked at, its default number, and its clock if one has started.

    ``own_finds`` are finds whose sum stands in the number's place, ``finds_beside`` those that only
    stand beside it.
    """

    card: Card
    event: Event
    number: Number
    clock: Clock | None
    own_finds: OwnFinds | None = None
    finds_beside: OwnFinds | None = None

    @property
    def countable(self) -> bool:
        return self.number.of == "air" and self.number.lower is not None

    def ends(self) -> tuple[tuple[float, dt.date], tuple[float, dt.date]]:
        """Low goal from the earliest start, high goal from the latest."""
        if self.clock is None or self.number.goal_c is None:
            raise ValueError("a stage without a clock or a goal has no ends")
        low, high = (
            (self.own_finds.goal, self.own_finds.goal) if self.own_finds else self.number.goal_c
        )
        return (low, self.clock.earliest or self.clock.latest), (high, self.clock.latest)


def sum_windows(cards: Iterable[Card], garden: Garden) -> list[ScoutingWindow]:
    """A window for every stage of the cards that has a heat sum, and for each of its clocks."""
    stages = [stage for card in cards for stage in _stages(card, garden)]
    answers = _answers(stages, garden)
    return [_window(stage, answers, garden) for stage in stages]


def _stages(card: Card, garden: Garden) -> Iterator[_Stage]:
    for event in card.events:
        number = event.default
        if number is not None and number.goal is not None and not goes_by_days(card, event):
            clocks: list[Clock | None] = [*garden.clocks(card, number)]
            own_finds = _own_finds(card, event, number, garden) if clocks else None
            use = garden.practice.habits.own_finds == "use"
            finds, own_beside = (own_finds, None) if use else (None, own_finds)
            for clock in clocks or [None]:
                yield _Stage(card, event, number, clock, finds, own_beside)


def _own_finds(card: Card, event: Event, number: Number, garden: Garden) -> OwnFinds | None:
    """Own finds of earlier seasons, where there is one that has a say."""
    own_finds = own_finds_of(garden.record, garden.journal, card, event, number, garden.practice)
    before = own_finds.before(garden.season.first) if own_finds is not None else None
    return before if before is not None and before.finds else None


def _answers(stages: Sequence[_Stage], garden: Garden) -> dict[_Question, Outlook]:
    """The outlook of every goal, counted once for all stages that count alike."""
    goals: dict[tuple[Counting, dt.date], set[float]] = {}
    for stage in stages:
        if stage.countable and stage.clock is not None:
            for goal, start in stage.ends():
                goals.setdefault((garden.counting(stage.number), start), set()).add(goal)
    answers = {}
    for (counting, start), wanted in goals.items():
        ordered = sorted(wanted)
        found = outlooks(
            garden.record.series, counting, ordered, start=start, today=garden.today,
            climate=garden.record.climate, errors=garden.record.errors,
        )  # fmt: skip
        for goal, outlook in zip(ordered, found, strict=True):
            answers[counting, start, goal] = outlook
    return answers


def _window(stage: _Stage, answers: Mapping[_Question, Outlook], garden: Garden) -> ScoutingWindow:
    card, event, number, clock = stage.card, stage.event, stage.number, stage.clock
    bracket, begun = garden.bracket(card, event), garden.begun_by(card, event)
    clean = garden.clean_days(card, event)
    blank = ScoutingWindow(
        card=card,
        event=event,
        number=number,
        clock=clock,
        status=Status.CANT_SAY,
        look=card.look_at(event),
        bracket=bracket,
        begun=begun,
        clean_looks=len(clean),
        clean_on=clean[-1] if clean else None,
        notes=reservations(
            card,
            event,
            number,
            garden.season,
            garden.record.place,
            by_finds=stage.own_finds is not None,
        ),
        own_finds=stage.own_finds,
        finds_beside=stage.finds_beside,
        own_goal=garden.journal.own_goal(card.key, event.key),
    )
    if blank.is_answered:
        blank = replace(blank, status=Status.SEEN if bracket else Status.UNDER_WAY)
    if not stage.countable:
        no_threshold = "its source prints no lower threshold, so no heat can be counted"
        no_air = f"published for {number.of} temperatures, not for air"
        return replace(blank, reason=no_threshold if number.of == "air" else no_air)
    if clock is None:
        waits = replace(blank, reason=_waits_for(card, number))
        return waits if blank.is_answered else replace(waits, status=Status.QUIET)
    counting = garden.counting(number)
    early, late = (answers[counting, start, goal] for goal, start in stage.ends())
    clean_on = clean[-1] if clean else None
    insect = _insect(stage, clock, clean_on, garden)
    first, last = early.reached or early.fastest, late.reached or late.slowest
    lead = garden.practice.habits.lead_days
    opens = every = why = None
    if event.opens_looks:
        opens = first - dt.timedelta(days=lead) if first else None
        every, why = garden.looking_interval(card)
    status = status_of(
        early, late, garden.today,
        lead_days=lead, bracket=bracket, begun=begun, opens_looks=event.opens_looks,
    )  # fmt: skip
    closes = last + dt.timedelta(days=CLOSES_AFTER_DAYS) if last else None
    if stage.own_finds is not None and insect is not None and event.opens_looks:
        opens, closes = insect.tails
        looked = clean_on is not None and opens is not None and clean_on >= opens
        if not blank.is_answered:
            status = status_by_chance(insect, garden.today, looked=looked)
    too_late = last_promised(card, event, garden.season, garden.record.place)
    is_late = too_late is not None and first is not None and first >= too_late
    if too_late is not None and is_late and not blank.is_answered:
        status, reason = Status.NOT_THIS_SEASON, _days_too_short(too_late)
    else:
        reason = None
    return replace(
        blank,
        status=status,
        reason=reason,
        counting=counting,
        early=early,
        late=late,
        mixed=None if early is late else mixture(
            garden.record.series, counting, (early.goal, late.goal),
            (early.counted_from or clock.earliest or clock.latest,
             late.counted_from or clock.latest),
            today=garden.today, climate=garden.record.climate, errors=garden.record.errors,
        ),
        opens=opens,
        closes=closes,
        insect=insect,
        notes=(*blank.notes, *_counted_later(late)),
        every_days=every,
        every_words=why,
        gap_worth=gap_worth(late, garden.record.verdict.findings),
        bridged=across(stage.ends(), counting, garden) if status is Status.CANT_SAY else None,
        # A sum fitted with the stand-ins would be another one with others.
        moves=() if stage.own_finds else effects(
            garden.record.series, counting, clock, late, garden.season, garden.today,
            fields=number.not_stated, climate=garden.record.climate, errors=garden.record.errors,
        ),
    )  # fmt: skip


def _insect(
    stage: _Stage, clock: Clock, clean_on: dt.date | None, garden: Garden
) -> InsectDates | None:
    """When the insect is seen, by the place's own finds."""
    own_finds = stage.own_finds or stage.finds_beside
    if own_finds is None:
        return None
    return insect_dates(
        garden.record.series, garden.counting(stage.number), own_finds.sum, start=clock.latest,
        today=garden.today, climate=garden.record.climate, errors=garden.record.errors,
        clean_on=clean_on, usual=own_finds.usual(garden.season),
        tail=garden.practice.habits.tail,
    )  # fmt: skip


def _counted_later(outlook: Outlook) -> Iterator[str]:
    """Said where the record begins after the sum does, and what it lacks changes nothing."""
    if outlook.counted_from is not None:
        first = day(outlook.counted_from, weekday=False)
        yield f"Counted from {first}, when the record begins; before it, under a day’s worth."


def _days_too_short(from_day: dt.date) -> str:
    return (
        f"not promised: by heat alone it would come after {day(from_day, weekday=False)}, when "
        "days are too short for it"
    )


def _waits_for(card: Card, number: Number) -> str:
    start = number.starts_from or Start()
    if start.crop:
        return f"the clock starts at {start.crop}; none is on record"
    before = card.event(start.event or "")
    return f"the clock starts when you see {before.words if before else start.event}"
