"""One sowing after another: when each comes up, flowers, is picked; what is next; what it meets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from gddcast.cards.model import Card, Cue
from gddcast.crops.last_sowing import SownBy, worth_sowing
from gddcast.crops.needs import From, Need, need_of, start_of
from gddcast.heat.counting import AS_PUBLISHED, Overrule
from gddcast.journal.entries import Journal, Sowing
from gddcast.outlook.dates import YearDot, outlook_of
from gddcast.outlook.ensemble import Climate
from gddcast.scouting.windows import ScoutingWindow
from gddcast.units import rounded
from gddcast.weather.calendar_day import Span
from gddcast.weather.series import DailySeries

Meets = Literal["small plants", "blossom", "harvest"]
#: A crop's life, as cards and jobs call it.
LIFE = ("up", "first-flower", "first-pick")


@dataclass(frozen=True, slots=True)
class Rules:
    """The grower's own; the defaults are common practice, no source."""

    picking_days: int = 21
    side_dress_weeks: int = 2
    sow_next_weeks: tuple[int, int] = (2, 3)
    first_pick_days: tuple[int, int] = (45, 50)  # from seed, where no card or record says more


@dataclass(frozen=True, slots=True)
class Sown:
    """One sowing, or planting out, done or planned; ``done`` are its events on record."""

    day: dt.date
    name: str | None = None
    start: From = "sowing"
    done: Mapping[str, dt.date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class EventDue:
    """When one event of a sowing comes: ``first`` to ``last`` of past years, and the middle one.

    ``last`` is None where some past year does not get there this season, ``first`` and
    ``middle`` where half of them do not. ``years`` are those that get there, of how many; None
    for days on the calendar and for what is on record.
    """

    key: str
    first: dt.date | None
    middle: dt.date | None
    last: dt.date | None
    years: tuple[int, int] | None = None
    on_record: bool = False
    dots: tuple[YearDot, ...] = ()  # one a past year, where heat foretells it


@dataclass(frozen=True, slots=True)
class Clash:
    """A pest's stage that begins, in some past year, while a sowing is at some age."""

    pest: str
    stage: str
    span: Span  # first days of the stage in past years, or of the find
    meets: tuple[Meets, ...]
    days: tuple[dt.date, ...] = ()  # of its sum: one a past year, or the day it came
    early: tuple[dt.date, ...] = ()  # the same for an early end that is still to come
    began: bool = False  # seen, or its sum reached: nothing of it is in doubt
    at_latest: bool = False  # by a find of a later stage, which gives no first day
    by_finds: bool = False  # the span by chance, the days those of the middle sum of own finds


@dataclass(frozen=True, slots=True)
class Attracts:
    """From that day on a pest is looked for on a sowing, by a cue that counts its age."""

    pest: Card
    cue: Cue
    day: dt.date


@dataclass(frozen=True, slots=True)
class Planned:
    """One sowing ahead; ``side_dress`` and ``sow_next`` count from the middle first pick.

    ``sow_next`` is None for a crop that is picked once, and where it is too late: `next_sowing`.
    """

    sown: Sown
    life: Mapping[str, EventDue]
    attracts: tuple[Attracts, ...]
    side_dress: dt.date | None
    sow_next: Span | None
    clashes: tuple[Clash, ...]
    before_frost: SownBy | None = None  # past years that leave the picking days wanted

    @property
    def pick(self) -> EventDue | None:
        """Its first pick."""
        return self.life.get("first-pick")


def needs_of(
    series: DailySeries,
    journal: Journal,
    card: Card,
    start: From,
    *,
    heat: float | None = None,
    rules: Rules | None = None,
    overrule: Overrule = AS_PUBLISHED,
) -> dict[str, Need]:
    """What the crop takes to each event of its life that anything is known of.

    Parameters
    ----------
    series : DailySeries
    journal : Journal
    card : Card
        Of the crop.
    start : {"sowing", "transplanting"}
    heat : float, optional
        A sum to the first pick that the person gives. [°C·d]
    rules : Rules, optional
        Their days from seed to the first pick stand in where neither records nor card say more.
    overrule : Overrule, optional
        What stands in for the method of the card's sums.
    """
    from_seed = rules is not None and start == start_of(card) == "sowing"
    rule_of_days = rules.first_pick_days if rules is not None and from_seed else None
    needs = {}
    for key in LIFE:
        is_pick = key == "first-pick"
        need = need_of(
            series, journal, card, key, start=start, overrule=overrule,
            heat=heat if is_pick else None, rule_of_days=rule_of_days if is_pick else None,
        )  # fmt: skip
        if need is not None:
            needs[key] = need
    return needs


def plan_sowings(
    series: DailySeries,
    card: Card,
    needs: Mapping[From, Mapping[str, Need]],
    sowings: Iterable[Sown],
    windows: Sequence[ScoutingWindow],
    today: dt.date,
    rules: Rules | None = None,
    climate: Climate | None = None,
) -> tuple[Planned, ...]:
    """Lay out sowings of one crop, past years continued from each.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched.
    card : Card
        Of the crop.
    needs : mapping of start to mapping of event to Need
        From `needs_of`.
    sowings : iterable of Sown
    windows : sequence of ScoutingWindow
        Of a season plan: those of the crop's pests are held against its age.
    today : datetime.date
    rules : Rules, optional
    climate : Climate, optional
        Of the season plan.
    """
    rules, planned = rules or Rules(), []
    for sown in sorted(sowings, key=lambda each: (each.day, each.name or "")):
        life = dict(life_of(series, needs.get(sown.start, {}), sown, today, climate))
        need = needs.get(sown.start, {}).get("first-pick")
        one = _planned(card, sown, life, windows, rules)
        pick = one.pick.middle if one.pick else None
        if pick is not None:
            one = replace(one, sow_next=next_sowing(series, card, need, pick, today, rules))
        planned.append(one)
    return tuple(planned)


def next_sowing(
    series: DailySeries,
    card: Card,
    need: Need | None,
    picked: dt.date,
    today: dt.date,
    rules: Rules,
) -> Span | None:
    """Days to sow the next one after a first pick, by the grower's own rule.

    Of a crop picked for weeks only, and only as far as five in six past years left such a sowing
    the picking days wanted.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched.
    card : Card
        Of the crop.
    need : Need, optional
        From the next sowing to its first pick; without it the days are not weighed.
    picked : datetime.date
        First pick, on record or expected.
    today : datetime.date
    rules : Rules
    """
    if card.picked != "repeatedly":
        return None
    first, last = (picked + dt.timedelta(weeks=weeks) for weeks in rules.sow_next_weeks)
    if need is None:
        return first, last
    return worth_sowing(series, need, today, (first, last), rules.picking_days)


def life_of(
    series: DailySeries,
    needs: Mapping[str, Need],
    sown: Sown,
    today: dt.date,
    climate: Climate | None = None,
) -> Iterator[tuple[str, EventDue]]:
    """Each event of one sowing: the day on record, else the days of past years.

    ``climate`` is that of the season plan, where there is one.
    """
    for key in LIFE:
        done = sown.done.get(key)
        if done is not None:
            yield key, EventDue(key, done, done, done, on_record=True)
        elif key in needs:
            yield key, _due(series, key, needs[key], sown.day, today, climate)


def _due(
    series: DailySeries,
    key: str,
    need: Need,
    sown: dt.date,
    today: dt.date,
    climate: Climate | None,
) -> EventDue:
    if need.counting is None:
        low, high = (sown + dt.timedelta(days=rounded(each)) for each in (need.low, need.high))
        return EventDue(key, low, low + (high - low) / 2, high)
    one = outlook_of(series, need.counting, need.used, start=sown, today=today, climate=climate)
    if one.reached is not None:
        return EventDue(key, one.reached, one.reached, one.reached)
    years = (len(one.days), len(one.dots))
    half = (len(one.dots) - 1) // 2
    if not one.dots or len(one.days) <= half:
        return EventDue(key, None, None, None, years, dots=one.dots)
    return EventDue(key, one.days[0], one.days[half], one.slowest, years, dots=one.dots)


def _planned(
    card: Card,
    sown: Sown,
    life: Mapping[str, EventDue],
    windows: Sequence[ScoutingWindow],
    rules: Rules,
) -> Planned:
    attracts = tuple(_attracts(card, sown, windows))
    pick, flower = life.get("first-pick"), life.get("first-flower")
    if pick is None or pick.first is None or pick.middle is None:
        return Planned(sown, life, attracts, None, None, ())
    over = pick.middle + dt.timedelta(days=rules.picking_days)
    ages = tuple(_ages(sown.day, flower.first if flower else None, pick.first, over))
    return Planned(
        sown, life, attracts, pick.middle + dt.timedelta(weeks=rules.side_dress_weeks),
        None, tuple(_clashes(card, windows, ages)),
    )  # fmt: skip


def _attracts(card: Card, sown: Sown, windows: Sequence[ScoutingWindow]) -> Iterator[Attracts]:
    """Cues of the crop's pests that count days from sowing."""
    if sown.start != "sowing":
        return
    for window in windows:
        cue = window.cue
        if cue and cue.after_sowing_days and window.card.lives_on(card.names):
            day = sown.day + dt.timedelta(days=cue.after_sowing_days)
            yield Attracts(window.card, cue, day)


def _ages(
    sown: dt.date, flower: dt.date | None, pick: dt.date, over: dt.date
) -> Iterator[tuple[Meets, Span]]:
    """Its ages one after another; without a day of flower the small plant lasts to the pick."""
    day = dt.timedelta(days=1)
    blossom = min(flower, pick) if flower else pick
    yield "small plants", (sown, blossom - day)
    if blossom < pick:
        yield "blossom", (blossom, pick - day)
    yield "harvest", (pick, over)


def _clashes(
    card: Card, windows: Sequence[ScoutingWindow], ages: Sequence[tuple[Meets, Span]]
) -> Iterator[Clash]:
    """Stages that meet a sowing; a find answers all sums of its stage, so it is told once."""
    told = set()
    for window in windows:
        if window.card.group != "pest" or not window.card.lives_on(card.names):
            continue
        bracket, begun = window.bracket, window.begun
        first, last = window.fastest, window.slowest or window.fastest
        by_finds = window.goes_by_finds and window.reached is None
        if by_finds and window.insect is not None and window.insect.middle is not None:
            first, end = window.insect.spans.get(0.8, (window.insect.middle, None))
            last = end or last
        if bracket is not None:
            first, last = bracket.earliest or bracket.found_on, bracket.found_on
        if begun is not None:
            first = last = begun.latest
        if first is None or last is None:
            continue
        meets = tuple(age for age, (begin, end) in ages if first <= end and last >= begin)
        which = window.card.name, window.event.words, (first, last)
        if meets and which not in told:
            told.add(which)
            began = window.is_answered or window.reached is not None
            at_latest, by_finds = begun is not None, by_finds and not began
            yield Clash(*which, meets, *_days_of(window), began, at_latest, by_finds)


def _days_of(window: ScoutingWindow) -> tuple[tuple[dt.date, ...], tuple[dt.date, ...]]:
    """Days on which a stage begins, one a past year: by the late end, and by the early one."""
    if window.bracket is not None:
        return (window.bracket.found_on,), ()
    if window.begun is not None:
        return (window.begun.latest,), ()
    early, late = window.early, window.late
    if early is None or late is None:
        return (), ()
    if late.reached is not None:
        return (late.reached,), ()
    # Once the early end has been reached, only the late one still lies ahead.
    return late.days, () if early.days == late.days else early.days


def sown_of(sowing: Sowing, journal: Journal) -> Sown:
    """A sowing of the journal with its events."""
    done = {
        job.job: job.done_on
        for job in journal.jobs
        if job.sowing == sowing.name and job.job in LIFE
    }
    start: From = "transplanting" if sowing.planted_out else "sowing"
    return Sown(sowing.sown_on, sowing.name, start, done)


def planned_on(day: dt.date, card: Card) -> Sown:
    """A sowing that is only thought of; a planting out, for a crop that is counted from one."""
    return Sown(day, start=start_of(card))
