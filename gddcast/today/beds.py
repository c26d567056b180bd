"""What is due by bed: beds in walking order, in each its pests from the ground up, its chores."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from gddcast.cards.model import Card
from gddcast.cards.values import PLACES, Picture
from gddcast.crops.standing import DUST_AGAIN, OwnChore, SowingToday
from gddcast.journal.entries import Journal
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.today.plan import SeasonPlan
from gddcast.today.plants_ahead import PlantAhead
from gddcast.words import Status

#: Statuses that send a person out, most pressing first.
DUE = (Status.LOOK_NOW, Status.OVERDUE, Status.SEEN, Status.UNDER_WAY)
#: So long a clean look before a find is told, and an unsure find or hearsay speaks for a stage that
#: is not due: two common intervals of scouting (common practice, no source). [d]
HINT_DAYS = 14


@dataclass(frozen=True, slots=True)
class Hints:
    """Last days of what starts no clock, as long as no sure find has answered it.

    Unsure finds and hearsay are those of the last `HINT_DAYS`.
    """

    clean: dt.date | None = None  # nothing found: a look of its own, or the one before a find
    unsure: dt.date | None = None
    heard: dt.date | None = None

    @property
    def speak(self) -> bool:
        """Whether somebody may have seen it lately."""
        return self.unsure is not None or self.heard is not None


@dataclass(frozen=True, slots=True)
class Block:
    """One pest to look for in one place, with every stage of it that is due."""

    windows: tuple[ScoutingWindow, ...]  # most pressing first
    sowings: tuple[SowingToday, ...]  # that it lives on there
    hints: Hints

    @property
    def card(self) -> Card:
        """The pest."""
        return self.windows[0].card

    @property
    def status(self) -> Status:
        """That of its most pressing stage."""
        return self.windows[0].status

    @property
    def place(self) -> Picture:
        """Where on the plant its most pressing stage is."""
        return self.windows[0].look.picture or "whole-plant"


@dataclass(frozen=True, slots=True)
class Bed:
    """One stop of the walk."""

    name: str
    sowings: tuple[SowingToday, ...]
    ahead: tuple[PlantAhead, ...]  # of each of them
    blocks: tuple[Block, ...]
    again: tuple[Block, ...]  # pests whose block stands in a bed before
    chores: tuple[OwnChore, ...]

    @property
    def flowering(self) -> tuple[SowingToday, ...]:
        """Its sowings in flower."""
        return tuple(each for each in self.sowings if each.in_flower)

    @property
    def to_uncover(self) -> tuple[SowingToday, ...]:
        """Those of them that bees cannot get at."""
        return tuple(each for each in self.flowering if each.covered)

    @property
    def asks(self) -> bool:
        """Whether there is a reason to stop."""
        plants = any(each.flowers_since or each.worn for each in self.ahead)
        return bool(self.blocks or self.again or self.chores or self.to_uncover or plants)


@dataclass(frozen=True, slots=True)
class Coming:
    """A stage that is not due yet, and why it is told."""

    window: ScoutingWindow
    hints: Hints


@dataclass(frozen=True, slots=True)
class NextLook:
    """The next stage to look for, and the day on which that begins."""

    day: dt.date
    window: ScoutingWindow


@dataclass(frozen=True, slots=True)
class BedWalk:
    """All stops of a walk, and when to come back."""

    beds: tuple[Bed, ...]
    anywhere: tuple[Block, ...]  # what lives on nothing that stands on record
    chores: tuple[OwnChore, ...]  # of every bed, or of one that is not on record
    coming: tuple[Coming, ...]
    unsaid: tuple[ScoutingWindow, ...]  # of which a gap in the weather hides the date
    next: NextLook | None
    warmth: tuple[ScoutingWindow, ...]  # cues that wait for a warm day

    @property
    def blocks(self) -> tuple[Block, ...]:
        """One a pest."""
        return *(block for bed in self.beds for block in bed.blocks), *self.anywhere

    @property
    def is_quiet(self) -> bool:
        """Whether there is nothing to look for and nothing to do."""
        return not (self.beds or self.anywhere or self.chores)

    @property
    def needs_caution(self) -> bool:
        """Whether something flowers where a pest is looked for, or dusting is due."""
        chores = (*self.chores, *(chore for bed in self.beds for chore in bed.chores))
        flowers = any(bed.flowering and (bed.blocks or bed.again) for bed in self.beds)
        return flowers or any(each.words == DUST_AGAIN for each in chores)

    @property
    def windows(self) -> tuple[ScoutingWindow, ...]:
        """Every stage it tells."""
        due = (window for block in self.blocks for window in block.windows)
        return *due, *(each.window for each in self.coming), *self.unsaid


def walk_by_bed(
    plan: SeasonPlan,
    journal: Journal,
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead] = (),
    chores: Sequence[OwnChore] = (),
    order: Sequence[str] = (),
    without_date: Sequence[ScoutingWindow] = (),
    statuses: Sequence[Status] = DUE,
) -> BedWalk:
    """Put what is due where it is met.

    Parameters
    ----------
    plan : SeasonPlan
    journal : Journal
        Its clean looks, unsure finds and hearsay stand beside what they are of.
    sowings : sequence of SowingToday
        In the ground.
    ahead : sequence of PlantAhead
        Of each of them, in their order.
    chores : sequence of OwnChore
    order : sequence of str
        Beds as their grower walks them; others follow, first sown first.
    without_date : sequence of ScoutingWindow
        Stages outside the plan, told only where somebody may have seen them.
    statuses : sequence of Status, default: `DUE`
        What is looked for, most pressing first.

    Returns
    -------
    BedWalk
        One block a pest: it stands in the first bed that holds a host of it.
    """
    scouting_windows = [each for each in without_repeats(plan.windows) if each.event.opens_looks]
    due = sorted(
        (each for each in scouting_windows if each.status in statuses),
        key=lambda each: _pressing(each, statuses),
    )
    beds, met = [], set[str]()
    for name, places in _beds(sowings, order).items():
        sowing_todays = tuple(sowings[place] for place in places)
        blocks = list(_blocks(due, sowing_todays, plan, journal))
        beds.append(
            Bed(
                name,
                sowing_todays,
                tuple(ahead[place] for place in places if place < len(ahead)),
                tuple(block for block in blocks if block.card.key not in met),
                tuple(block for block in blocks if block.card.key in met),
                tuple(chore for chore in chores if _is_done_in(chore, name, sowing_todays)),
            )
        )
        met |= {block.card.key for block in blocks}
    placed = {id(chore) for bed in beds for chore in bed.chores}
    return BedWalk(
        tuple(bed for bed in beds if bed.asks),
        tuple(_of_pests([each for each in due if each.card.key not in met], (), plan, journal)),
        tuple(each for each in chores if id(each) not in placed),
        tuple(_coming([*scouting_windows, *without_date], plan, journal)),
        tuple(
            each for each in scouting_windows if each.status is Status.CANT_SAY and _by_a_gap(each)
        ),
        _next(scouting_windows, sowings, plan.today),
        tuple(
            each
            for each in scouting_windows
            if each.status is Status.QUIET and _waits_for_warmth(each)
        ),
    )


def hosts_of(window: ScoutingWindow, sowings: Iterable[SowingToday]) -> tuple[SowingToday, ...]:
    """Sowings on which a stage is looked for: none where its card names no host.

    A stage that counts from a sowing is of that one; a cue by age waits for each to get there.
    """
    if not window.card.hosts:
        return ()
    hosts = [each for each in sowings if window.card.lives_on(each.names)]
    if window.bracket is None and window.clock is not None and window.clock.kind == "sowing":
        hosts = [each for each in hosts if each.sowing.sown_on == window.clock.latest]
    age = None if window.cue is None else window.cue.after_sowing_days
    if window.bracket is None and age is not None:
        hosts = [each for each in hosts if each.age_days >= age]
    return tuple(hosts)


def _beds(sowings: Sequence[SowingToday], order: Sequence[str]) -> dict[str, list[int]]:
    """Beds in walking order, each with its sowings by their place in the list."""
    beds: dict[str, list[int]] = {}
    spelled: dict[str, str] = {}
    for place, each in enumerate(sowings):  # oldest first
        name = each.sowing.bed or each.sowing.name or each.sowing.crop
        beds.setdefault(spelled.setdefault(name.casefold(), name), []).append(place)
    places = {name: place for place, name in enumerate(dict.fromkeys(map(str.casefold, order)))}
    return dict(sorted(beds.items(), key=lambda bed: places.get(bed[0].casefold(), len(places))))


def _is_done_in(chore: OwnChore, name: str, sowings: Iterable[SowingToday]) -> bool:
    called = {name.casefold()}
    for each in sowings:
        called |= {word.casefold() for word in (each.sowing.name, each.sowing.crop) if word}
    return chore.where.casefold() in called


def _pressing(window: ScoutingWindow, statuses: Sequence[Status]) -> tuple[int, dt.date]:
    """The most pressing first; of what was seen, the last to begin."""
    if window.bracket is not None:
        return statuses.index(window.status), dt.date.max - (window.bracket.found_on - dt.date.min)
    if window.begun is not None:
        return statuses.index(window.status), dt.date.max - (window.begun.latest - dt.date.min)
    return statuses.index(window.status), window.opens or dt.date.max


def _blocks(
    due: Iterable[ScoutingWindow],
    sowings: Sequence[SowingToday],
    plan: SeasonPlan,
    journal: Journal,
) -> Iterator[Block]:
    return _of_pests([each for each in due if hosts_of(each, sowings)], sowings, plan, journal)


def _of_pests(
    due: Sequence[ScoutingWindow],
    sowings: Sequence[SowingToday],
    plan: SeasonPlan,
    journal: Journal,
) -> Iterator[Block]:
    """One block a pest, from the ground up."""
    pests: dict[str, list[ScoutingWindow]] = {}
    for window in due:
        pests.setdefault(window.card.key, []).append(window)
    blocks = [
        Block(
            tuple(windows),
            tuple(each for each in sowings if windows[0].card.lives_on(each.names)),
            hints_of(windows, journal, plan),
        )
        for windows in pests.values()
    ]
    # Of one place the most pressing first, which is the order they come in.
    yield from sorted(blocks, key=lambda each: PLACES.index(each.place))


def hints_of(windows: Sequence[ScoutingWindow], journal: Journal, plan: SeasonPlan) -> Hints:
    """What is on record of some stages of a pest beside their first sure finds."""
    card, events = windows[0].card.key, {each.event.key for each in windows}
    entries = [
        each
        for each in journal.sightings
        if each.organism in (card, "")
        and (not each.event or each.event in events)
        and plan.season.first <= each.seen_on <= plan.today
    ]
    sure = {each.event for each in entries if each.kind == "saw" and each.sure}
    if not events - sure:
        return Hints()
    open_ = [each for each in entries if each.event not in sure]
    clean = [each.seen_on for each in open_ if each.kind == "none"]
    clean += [each.clean_on for each in open_ if each.clean_on is not None]
    late = [each for each in open_ if (plan.today - each.seen_on).days <= HINT_DAYS]
    return Hints(
        max(clean, default=None),
        max((each.seen_on for each in late if each.kind == "saw"), default=None),
        max((each.seen_on for each in late if each.kind == "heard"), default=None),
    )


def _coming(
    windows: Iterable[ScoutingWindow], plan: SeasonPlan, journal: Journal
) -> Iterator[Coming]:
    """What is near, or may have been seen, by the day to start looking."""
    comings, every = [], list(windows)
    answered = {(each.card.key, each.event.key) for each in every if each.status in DUE}
    for window in every:
        stage = window.card.key, window.event.key
        if stage in answered or window.status is Status.CLOSED:
            continue
        hints = hints_of([window], journal, plan)
        if window.status is Status.COMING_UP:
            comings.append(Coming(window, hints))
        elif hints.speak:
            answered.add(stage)  # by several cues or clocks it is told once
            comings.append(Coming(window, hints))
    yield from sorted(comings, key=lambda each: each.window.opens or plan.today)


def _by_a_gap(window: ScoutingWindow) -> bool:
    """Whether weather is missing; not where nothing was published for air temperatures."""
    return window.late is not None or window.cue is not None


def _next(
    windows: Iterable[ScoutingWindow], sowings: Sequence[SowingToday], today: dt.date
) -> NextLook | None:
    waiting = (Status.COMING_UP, Status.BUILDING, Status.QUIET)
    looks = [
        NextLook(day, each)
        for each in windows
        if each.status in waiting or (each.cue is not None and each.status is Status.LOOK_NOW)
        for day in _starts(each, sowings)
        if day > today
    ]
    return min(looks, key=lambda each: each.day, default=None)


def _waits_for_warmth(window: ScoutingWindow) -> bool:
    return window.cue is not None and window.cue.air_above is not None


def _starts(window: ScoutingWindow, sowings: Sequence[SowingToday]) -> Iterator[dt.date]:
    if window.opens is not None:
        yield window.opens
    age = None if window.cue is None else window.cue.after_sowing_days
    if age is not None:
        for each in sowings:
            if window.card.lives_on(each.names):
                yield each.sowing.sown_on + dt.timedelta(days=age)


def hosts_in_flower(
    window: ScoutingWindow, sowings: Iterable[SowingToday]
) -> tuple[SowingToday, ...]:
    """Sowings in flower on which this organism is looked for."""
    return tuple(each for each in sowings if each.in_flower and window.card.lives_on(each.names))


def first_of_week(days: Iterable[dt.date], today: dt.date) -> bool:
    """Whether no walk of an ISO week before today is among those remembered.

    Examples
    --------
    >>> tuesday = dt.date(2026, 6, 9)
    >>> first_of_week([tuesday], dt.date(2026, 6, 11)), first_of_week([tuesday], tuesday)
    (False, True)
    """
    week = today.isocalendar()[:2]
    return not any(day < today and day.isocalendar()[:2] == week for day in days)
