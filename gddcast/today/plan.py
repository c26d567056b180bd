"""From a record made ready, cards and a journal to the scouting windows of a season.

Nothing here does arithmetic of its own; it hands each thing to the room that knows it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from gddcast.cards.library import called, guess
from gddcast.cards.model import Card, Cue, Event, Number, Start, crop_names
from gddcast.errors import ArgumentRefusal
from gddcast.heat.counting import AS_PUBLISHED, Counting, Overrule
from gddcast.journal.clocks import Clock, clocks_of
from gddcast.journal.entries import Journal, OwnGoal, Sowing
from gddcast.journal.own_goals import is_counted_alike
from gddcast.outlook.current_week import LATE_DAYS, CurrentWeek
from gddcast.outlook.dates import Outlook, outlooks
from gddcast.outlook.effects import Effect, effects
from gddcast.outlook.ensemble import Climate
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.outlook.mixture import mixture
from gddcast.outlook.seasons import Standing, standing
from gddcast.quality.findings import Finding
from gddcast.quality.verdict import Verdict
from gddcast.scouting.reservations import last_promised, reservations
from gddcast.scouting.windows import (
    CLOSES_AFTER_DAYS,
    Habits,
    ScoutingWindow,
    cue_holds,
    looking_interval,
    status_of,
)
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.season_sum import SeasonSum, sum_of_season
from gddcast.weather.gaps import SHORT
from gddcast.weather.series import (
    DailySeries,
    DateLike,
    HasSeries,
    Origin,
    Place,
    Season,
    date_of,
    series_of,
)
from gddcast.words import Status, day, of_past_years, span

if TYPE_CHECKING:
    import pandas as pd

#: What an outlook depends on, besides the garden: how heat is counted, from when, up to what.
_Question = tuple[Counting, dt.date, float]


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """Everything the faces show of one place on one day."""

    place: Place
    season: Season
    today: dt.date
    through: dt.date
    series: DailySeries
    verdict: Verdict
    windows: tuple[ScoutingWindow, ...]
    standing: Standing | None
    season_sum: SeasonSum  # what ``standing`` is counted by
    watched: tuple[str, ...]
    watches_all: bool
    overrule: Overrule
    patched: int  # days of this season so far
    forecast: int  # days from today on
    missing: int  # days of this season so far
    week: CurrentWeek = field(repr=False)  # the seven days before today
    notes: tuple[str, ...] = field(default=())
    climate: Climate | None = field(default=None, repr=False)  # past seasons, to look ahead with
    errors: ForecastErrors | None = field(default=None, repr=False)  # of its forecast

    @property
    def days_behind(self) -> int:
        """Days before today that its weather has yet to reach. [d]"""
        return max((self.today - self.through).days - 1, 0)

    @property
    def is_stale(self) -> bool:
        """Whether too many days are not in yet to say that nothing is due."""
        return self.days_behind > LATE_DAYS

    def __repr__(self) -> str:
        now = sum(each.status in (Status.LOOK_NOW, Status.OVERDUE) for each in self.windows)
        return (
            f"<SeasonPlan of {self.place.name} on {self.today}: "
            f"{len(self.windows)} stages, {now} to look for now>"
        )

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a stage, most pressing first; a day that can't be said is NaT."""
        import pandas as pd

        table = pd.DataFrame(
            [
                {
                    "organism": each.card.key, "stage": each.event.key,
                    "status": each.status.word, "look_from": each.opens,
                    "fastest": each.fastest, "slowest": each.slowest,
                    "past_years": len(each.late.dots) if each.late else 0,
                    "reason": each.reason,
                }
                for each in self.windows
            ]
        )  # fmt: skip
        for name in ("look_from", "fastest", "slowest"):
            if name in table:
                table[name] = pd.to_datetime(table[name])
        return table


@dataclass(frozen=True, slots=True)
class _Garden:
    """What every window of one plan shares."""

    record: Record
    cards: Mapping[str, Card]
    journal: Journal
    practice: Practice

    @property
    def today(self) -> dt.date:
        return self.record.today

    @property
    def season(self) -> Season:
        return self.record.season

    def counting(self, number: Number) -> Counting:
        return self.practice.overrule.counting(number)

    def clocks(self, card: Card, number: Number) -> list[Clock]:
        start = self.practice.overrule.start
        place = self.record.place
        return clocks_of(card, number, place, self.season, self.today, self.journal, start)


@dataclass(frozen=True, slots=True)
class _Stage:
    """One stage to be looked at, its default number, and its clock if one has started.

    ``own`` is the person's own sum in the number's place, ``own_unused`` one that does not fit it.
    """

    card: Card
    event: Event
    number: Number
    clock: Clock | None
    own: OwnGoal | None = None
    own_unused: OwnGoal | None = None

    @property
    def countable(self) -> bool:
        return self.number.of == "air" and self.number.lower is not None

    def ends(self) -> tuple[tuple[float, dt.date], tuple[float, dt.date]]:
        """Low goal from the earliest start, high goal from the latest."""
        if self.clock is None or self.number.goal_c is None:
            raise ValueError("a stage without a clock or a goal has no ends")
        low, high = (self.own.goal, self.own.goal) if self.own else self.number.goal_c
        return (low, self.clock.earliest or self.clock.latest), (high, self.clock.latest)


def season_plan(
    series: DailySeries | HasSeries,
    cards: Mapping[str, Card],
    today: DateLike,
    *,
    watch: str | Iterable[str] | None = None,
    journal: Journal | None = None,
    habits: Habits | None = None,
    overrule: Overrule | None = None,
    patch_up_to: int = SHORT,
    forecasts: ForecastArchive | None = None,
) -> SeasonPlan:
    """Scouting windows of every watched stage.

    Parameters
    ----------
    series : DailySeries
        Days measured, patched or forecast. Days measured on or after ``today`` are hidden.
    cards : mapping of str to Card
        By key.
    today : datetime.date
        Today at the place.
    watch : str or iterable of str, optional
        Cards by key or by name; default every card that has a date or a cue.
    journal : Journal, optional
        Finds, clean looks, sowings, jobs.
    habits : Habits, optional
    overrule : Overrule, optional
    patch_up_to : int, default: 5
        Longest gap filled by a straight line and marked; longer ones stay unknown. [d]
    forecasts : ForecastArchive, optional
        Past forecasts of this place: how far they were off is what its forecast is trusted by.

    Returns
    -------
    SeasonPlan

    Raises
    ------
    ArgumentRefusal
        If a name in ``watch`` is of no card.
    """
    practice = Practice(
        watch=(watch,) if isinstance(watch, str) else None if watch is None else tuple(watch),
        habits=habits or Habits(),
        overrule=overrule or AS_PUBLISHED,
    )
    record = Record(series_of(series), date_of(today), patch_up_to, forecasts)
    return plan_of(record, cards, journal or Journal(), practice)


def plan_of(
    record: Record, cards: Mapping[str, Card], journal: Journal, practice: Practice
) -> SeasonPlan:
    """The plan of a record made ready; see `season_plan`."""
    watches_all = practice.watch is None
    chosen = (
        list(cards.values()) if practice.watch is None else watched_cards(cards, practice.watch)
    )
    garden = _Garden(record, cards, journal, practice)
    stages = [stage for card in chosen for stage in _stages(card, garden)]
    answers = _answers(stages, garden)
    windows = [_window(stage, answers, garden) for stage in stages]
    windows += [_cue_window(card, cue, garden) for card in chosen for cue in card.cues]
    windows = [_closed(window, garden) for window in windows]
    sum_ = sum_of_season(None if watches_all else chosen, record.place, journal, practice.overrule)
    so_far = record.known.between(record.season.first, record.known.last)
    return SeasonPlan(
        place=record.place,
        season=record.season,
        today=record.today,
        through=record.through,
        series=record.series,
        verdict=record.verdict,
        windows=tuple(sorted(windows, key=_pressing)),
        standing=standing(record.known, sum_.counting, record.today, sum_.start),
        season_sum=sum_,
        watched=tuple(card.key for card in chosen),
        watches_all=watches_all,
        overrule=practice.overrule,
        patched=so_far.count(Origin.PATCHED),
        forecast=record.series.count(Origin.FORECAST),
        missing=so_far.missing,
        week=record.week,
        climate=record.climate,
        errors=record.errors,
    )


def watched_cards(cards: Mapping[str, Card], watch: Iterable[str]) -> list[Card]:
    """The cards meant."""
    chosen = []
    for name in watch:
        card = cards.get(name) or called(cards.values(), name)
        if card is None:
            raise ArgumentRefusal(
                f"the name '{name}' in watch", "no card has that name",
                guess(cards.values(), name) or f"There are {len(cards)} cards.",
                "Use a key of load_cards().", slug="unknown-card",
            )  # fmt: skip
        chosen.append(card)
    return chosen


def other_readings(plan: SeasonPlan, window: ScoutingWindow) -> tuple[Effect, ...]:
    """What every other start, day shape and cut-off would do to a window's date.

    Nothing for an own number: it would have been fitted to the other reading.
    """
    if window.counting is None or window.clock is None or window.late is None or window.own:
        return ()
    return effects(
        plan.series, window.counting, window.clock, window.late, plan.season, plan.today,
        climate=plan.climate, errors=plan.errors,
    )  # fmt: skip


def _stages(card: Card, garden: _Garden) -> Iterator[_Stage]:
    for event in card.events:
        number = event.default
        if number is not None and number.goal is not None:
            clocks: list[Clock | None] = [*garden.clocks(card, number)]
            for clock in clocks or [None]:
                stage = _Stage(card, event, number, clock)
                kept = garden.journal.own_goal(card.key, event.key)
                if kept is None or clock is None or not stage.countable:
                    yield stage
                elif is_counted_alike(
                    kept, garden.counting(number), (clock.latest.month, clock.latest.day)
                ):
                    yield replace(stage, own=kept)
                else:
                    yield replace(stage, own_unused=kept)


def _answers(stages: Sequence[_Stage], garden: _Garden) -> dict[_Question, Outlook]:
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


def _window(stage: _Stage, answers: Mapping[_Question, Outlook], garden: _Garden) -> ScoutingWindow:
    card, event, number, clock = stage.card, stage.event, stage.number, stage.clock
    blank = ScoutingWindow(
        card=card, event=event, number=number, clock=clock, status=Status.CANT_SAY,
        look=card.look_at(event),
        notes=reservations(
            card, event, number, garden.season, garden.record.place, own=stage.own is not None
        ),
        own=stage.own, own_unused=stage.own_unused,
    )  # fmt: skip
    if not stage.countable:
        no_threshold = "its source prints no lower threshold, so no heat can be counted"
        no_air = f"published for {number.of} temperatures, not for air"
        return replace(blank, reason=no_threshold if number.of == "air" else no_air)
    if clock is None:
        return replace(blank, status=Status.QUIET, reason=_waits_for(card, number))
    counting = garden.counting(number)
    early, late = (answers[counting, start, goal] for goal, start in stage.ends())
    found = garden.journal.bracket(card.key, [event.key], garden.season.first, garden.today)
    clean = garden.journal.clean_looks(card.key, [event.key], garden.season.first, garden.today)
    first, last = early.reached or early.fastest, late.reached or late.slowest
    lead = garden.practice.habits.lead_days
    opens = every = why = None
    if event.opens_looks:
        opens = first - dt.timedelta(days=lead) if first else None
        every, why = looking_interval(
            *_egg_time(card, counting, garden), garden.practice.habits, garden.record.week.words
        )
    status = status_of(
        early, late, garden.today, lead_days=lead, found=found, opens_looks=event.opens_looks
    )
    too_late = last_promised(card, event, garden.season, garden.record.place)
    if too_late is not None and first is not None and first >= too_late and found is None:
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
        closes=last + dt.timedelta(days=CLOSES_AFTER_DAYS) if last else None,
        notes=(*blank.notes, *_counted_later(late)),
        every_days=every,
        every_words=why,
        found=found,
        clean_looks=clean,
        gap_worth=_gap_worth(late, garden.record.verdict.findings),
        # A sum fitted with the stand-ins would be another one with others.
        moves=() if stage.own else effects(
            garden.record.series, counting, clock, late, garden.season, garden.today,
            fields=number.not_stated, climate=garden.record.climate, errors=garden.record.errors,
        ),
    )  # fmt: skip


def _counted_later(outlook: Outlook) -> Iterator[str]:
    """Said where the record begins after the sum does, and what it lacks changes nothing."""
    if outlook.counted_from is not None:
        first = day(outlook.counted_from, weekday=False)
        yield f"Counted from {first}, when the record begins; before it, under a day's worth."


def _closed(window: ScoutingWindow, garden: _Garden) -> ScoutingWindow:
    """The window, put away where a person closed its stage, or it has lasted its time."""
    until, over = window.goes_on_until, _over(window, garden)
    if over or (until is not None and until[1] < garden.today):
        window = replace(window, status=Status.CLOSED, over=over)
    closing = garden.journal.closing(
        window.card.key, window.event.key, garden.season.first, garden.today
    )
    if closing is None:
        return window
    return replace(window, status=Status.CLOSED, closed_on=closing.closed_on)


def _over(window: ScoutingWindow, garden: _Garden) -> str | None:
    """Why a stage that was found, or goes by a cue, is over though its card says no end."""
    found, freeze = window.found, garden.record.freeze
    if found is None and window.cue is None:
        return None
    pulled = _hosts_pulled(window.card, garden)
    if found is not None and pulled is not None and pulled >= found.found_on:
        return f"the last of the plants it lives on was pulled on {day(pulled)}"
    if freeze is None or (found is not None and found.found_on >= freeze.day):
        return None
    if freeze.years is None:
        return f"hard frost on {day(freeze.day)}"
    return f"{of_past_years(*freeze.years)} had a hard frost by {day(freeze.day, weekday=False)}"


def _hosts_pulled(card: Card, garden: _Garden) -> dt.date | None:
    """Day on which the last of this season's sowings that it lives on was pulled, if all were."""
    jobs = garden.journal.jobs
    pulled = {each.sowing: each.done_on for each in jobs if each.job == "pulled"}
    days = [pulled.get(each.name) for each in _hosts(card, garden)]
    known = [each for each in days if each is not None and each < garden.today]
    return max(known) if known and len(known) == len(days) else None


def _days_too_short(from_day: dt.date) -> str:
    return (
        f"not promised: by heat alone it would come after {day(from_day, weekday=False)}, when "
        "days are too short for it"
    )


def _gap_worth(outlook: Outlook, findings: Sequence[Finding]) -> int | None:
    """Days that the run of unknown days hiding a date would move it, if they were left out."""
    if outlook.unknown is None:
        return None
    first, last = outlook.unknown
    for finding in findings:
        if finding.effect_days and finding.first <= last and finding.last >= first:
            return max(round(abs(finding.effect_days)), 1)
    return None


def _waits_for(card: Card, number: Number) -> str:
    start = number.starts_from or Start()
    if start.crop:
        return f"the clock starts at {start.crop}; none is on record"
    before = card.event(start.event or "")
    return f"the clock starts when you see {before.words if before else start.event}"


def _egg_time(card: Card, counting: Counting, garden: _Garden) -> tuple[float | None, float]:
    """Least heat from egg to hatch, and that of a day of this week counted the same way."""
    goal = None
    hatch = card.event("egg-hatch")
    number = hatch.default if hatch else None
    if number is not None and number.goal_c is not None and number.of == "air":
        goal, counting = number.goal_c[0], garden.counting(number)
    return goal, garden.record.week.pace(counting)


def _cue_window(card: Card, cue: Cue, garden: _Garden) -> ScoutingWindow:
    week, reason = garden.record.week, cue.sentence
    holds = cue_holds(cue, week.tmin, week.tmax, _host_ages(card, garden))
    event = card.event(cue.event or "") or Event(key="cue", words="no published heat sum")
    seen = (card.key, [event.key], garden.season.first, garden.today)
    found = garden.journal.bracket(*seen)
    due = Status.LOOK_NOW if holds and event.opens_looks else Status.QUIET
    if cue.air_above is not None and week.of_past_years:
        due, missing = Status.CANT_SAY, span(week.first, week.last)
        reason = f"can't say: the weather of {missing} is not on record. The cue: {cue.sentence}"
    return ScoutingWindow(
        card=card,
        event=event,
        status=due if found is None else Status.SEEN,
        look=card.look_at(event),
        reason=reason,
        cue=cue,
        found=found,
        clean_looks=garden.journal.clean_looks(*seen),
    )


def _host_ages(card: Card, garden: _Garden) -> list[int]:
    """Age of every standing sowing of this season that the organism lives on. [d]"""
    jobs = garden.journal.jobs
    pulled = {job.sowing for job in jobs if job.job == "pulled" and job.done_on < garden.today}
    return [
        (garden.today - sowing.sown_on).days
        for sowing in _hosts(card, garden)
        if sowing.name not in pulled
    ]


def _hosts(card: Card, garden: _Garden) -> Iterator[Sowing]:
    """Sowings of this season that an organism lives on."""
    for sowing in garden.journal.sowings:
        if garden.season.first <= sowing.sown_on <= garden.today and card.lives_on(
            crop_names(garden.cards, sowing.crop)
        ):
            yield sowing


def _pressing(window: ScoutingWindow) -> tuple[int, dt.date, str]:
    """Most pressing first: status, then day, then name."""
    day = window.opens or dt.date.max
    return list(Status).index(window.status), day, window.card.key
