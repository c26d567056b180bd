"""What a place says on a day: the one composition every command and page takes its dates from.

It is made from the record as it is kept, the cards, the journal and what the place's people chose.
Faces render its parts; none of them prepares a record, chooses a method or counts for itself.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from gddcast.cards.model import Card, Event
from gddcast.crops.frost import FREEZING_C, SpringFrosts, spring_frosts
from gddcast.crops.standing import (
    OwnChore,
    SowingToday,
    chores_again,
    not_put_away,
    rule_chores,
    sowings_today,
    water_days,
)
from gddcast.crops.succession import Sown
from gddcast.journal.begun import Begun, WayBack, begun_before, way_back
from gddcast.journal.entries import Journal, Sighting
from gddcast.outlook.changes import Change
from gddcast.outlook.seasons import Comparison, SeasonCurves
from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.scouting.second_broods import SecondBrood, round_of, second_brood
from gddcast.scouting.windows import ScoutingWindow
from gddcast.skill.backtest import Protocol
from gddcast.skill.track_record import LeadRecord
from gddcast.today.announcements import Memory, days_to_look
from gddcast.today.beds import BedWalk, first_of_week, walk_by_bed
from gddcast.today.beside_dates import Stage, insect_dates_of, records
from gddcast.today.changes import changes_since, changes_since_announced, morning_remembered
from gddcast.today.foretelling import BacktestSummary, backtest_of
from gddcast.today.own_finds import own_finds_of
from gddcast.today.plan import SeasonPlan, plan_of
from gddcast.today.plants_ahead import PlantAhead, plants_ahead
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.season_sum import (
    SeasonSum,
    comparison_by,
    curves_by,
    sum_of_card,
    sum_of_season,
)
from gddcast.today.sowing_courses import CropCourses, crop_courses
from gddcast.today.sowing_days import (
    LastSowing,
    SowingPlan,
    last_sowing,
    no_past_season,
    sowing_plan,
)
from gddcast.today.stage_years import StageYears, stage_years
from gddcast.today.walk_week import OF_WEEK, WalkWeek, due_in_week, is_of_week, windows_in_week
from gddcast.today.watching import WatchList, watch_list
from gddcast.today.without_sum import stages_without_sum
from gddcast.weather.calendar_day import Span
from gddcast.words import Status


@dataclass(frozen=True, eq=False)
class Today:
    """What a place says on a day; each part is worked out once, when it is asked for.

    Parameters
    ----------
    record : Record
        Its weather on that morning.
    cards : mapping of str to Card
        By key.
    journal : Journal, optional
        Finds, clean looks, sowings, jobs.
    practice : Practice, optional
        What its people chose.
    memory : Memory, optional
        What its book remembers of earlier days. None where only a file is given.
    """

    record: Record
    cards: Mapping[str, Card]
    journal: Journal = field(default_factory=Journal)
    practice: Practice = field(default_factory=Practice)
    memory: Memory | None = None

    def watching(self, names: Iterable[str]) -> Today:
        """The same place with another watch list; its record is not prepared again."""
        only = replace(self.practice, watch=tuple(names), grow=None, leave_out=())
        return replace(self, practice=only)

    @property
    def day(self) -> dt.date:
        """The day."""
        return self.record.today

    @cached_property
    def watch(self) -> WatchList:
        """The cards watched, and why."""
        return watch_list(self.practice, self.cards, self.journal, self.record.season)

    @cached_property
    def plan(self) -> SeasonPlan:
        """Scouting windows of every watched stage."""
        return plan_of(self.record, self.cards, self.journal, self.practice)

    def windows(self, card: Card, stage: str | None = None) -> tuple[ScoutingWindow, ...]:
        """Windows of a card's stages, or one of them; where none has a sum, what is known instead.

        Parameters
        ----------
        card : Card
            On the watch list.
        stage : str, optional
            Key of a stage.
        """
        scouting_windows = tuple(
            each for each in self.plan.windows if stage in (None, each.event.key)
        )
        if scouting_windows:
            return scouting_windows
        rest = stages_without_sum(self.plan, card, self.journal)
        return tuple(each for each in rest if stage in (None, each.event.key))

    # Beside its dates.

    @cached_property
    def insects(self) -> dict[Stage, InsectDates]:
        """When each insect itself is seen, where its source prints a spread."""
        return insect_dates_of(self.plan)

    @cached_property
    def track_records(self) -> Mapping[Stage, LeadRecord]:
        """How outlooks like each near date have done here; left out where every card is watched.

        A record takes a moment a date: for a watch list it is worth it, for every card it is not.
        """
        return {} if self.plan.watches_all else records(self.plan)

    def track_records_of_all(self) -> Mapping[Stage, LeadRecord]:
        """The same of every date, however far ahead."""
        return records(self.plan, near=tuple(Status))

    @cached_property
    def changes(self) -> dict[Stage, Change]:
        """What has moved each date since it was last told; nothing without a book."""
        if self.memory is None:
            return {}
        return changes_since_announced(self.plan, self.record, self.memory)

    def changes_since_last(self, surface: str) -> dict[Stage, Change]:
        """What has moved each date since one surface told it."""
        if self.memory is None:
            return {}
        return changes_since_announced(self.plan, self.record, self.memory, surface)

    def changes_since(self, day: dt.date) -> dict[Stage, Change]:
        """What has moved each date since a day, held against the book as it was then, if any."""
        before = None
        if self.memory is not None:
            before = morning_remembered(self.plan, self.record, self.memory, day)
        return changes_since(self.plan, day, before=before)

    @cached_property
    def changes_since_last_week(self) -> dict[Stage, Change]:
        """What has moved each date in a week, held against the book as it was then."""
        return self.changes_since(self.day - dt.timedelta(days=7))

    @cached_property
    def in_calendar(self) -> dict[Stage, dt.date]:
        """Days to start looking that a calendar was last told."""
        if self.memory is None:
            return {}
        announcements = self.memory.announced("calendar", self.record.season.name)
        return days_to_look(announcements, self.day)

    # Plants and chores.

    @cached_property
    def sowings(self) -> tuple[SowingToday, ...]:
        """Sowings of the season that stand today."""
        return sowings_today(self.journal, self.cards, self.record.season, self.day)

    @cached_property
    def plants(self) -> tuple[PlantAhead, ...]:
        """What comes next of each of them."""
        practice = self.practice
        return plants_ahead(
            self.sowings, self.plan, self.journal, self.cards, practice.rules,
            every_days=practice.habits.every_days,
        )  # fmt: skip

    @cached_property
    def courses(self) -> tuple[CropCourses, ...]:
        """The season's sowings, each from seed to the end of its picking."""
        return crop_courses(self.plan, self.cards, self.journal, rules=self.practice.rules)

    @cached_property
    def chores(self) -> tuple[OwnChore, ...]:
        """What the grower's own rules ask for today."""
        season, rules = self.record.season, self.practice.rules
        sown = [each for each in self.journal.sowings if each.sown_on >= season.first]
        by_age = rule_chores(
            self.sowings, sown, self.day,
            side_dress_weeks=rules.side_dress_weeks, sow_next_weeks=rules.sow_next_weeks,
            sow_next=self.sow_next,
        )  # fmt: skip
        return not_put_away(by_age, self.journal, self.day) + self.chores_again(self.day)

    @cached_property
    def sow_next(self) -> Mapping[str | None, Span]:
        """Days to sow the next one, by the name of the sowing it follows; see `next_sowing`."""
        pairs = zip(self.sowings, self.plants, strict=True)
        return {each.sowing.name: ahead.sow_next for each, ahead in pairs if ahead.sow_next}

    @cached_property
    def by_bed(self) -> BedWalk:
        """What is due, in the order of walking."""
        doubtful = {each.organism for each in self.journal.sightings
                    if each.kind == "heard" or not each.sure}  # fmt: skip
        without_date = [window for key in self.plan.watched if key in doubtful
                        for window in stages_without_sum(self.plan, self.cards[key], self.journal)
                        ]  # fmt: skip
        return walk_by_bed(
            self.plan, self.journal, self.sowings, self.plants, self.chores, self.practice.beds,
            without_date,
        )  # fmt: skip

    def by_bed_in(self, week: WalkWeek) -> BedWalk:
        """The same for a week: what is due when it begins, and what comes up in it."""
        lead_days = self.practice.habits.lead_days
        windows = windows_in_week(self.plan, week, self.sowings, lead_days=lead_days)
        plan = replace(self.plan, windows=tuple(w for w in windows if is_of_week(w, week)))
        later = (week.last - self.day).days
        sowings = [replace(each, age_days=each.age_days + later) for each in self.sowings]
        return walk_by_bed(
            plan, self.journal, sowings, self.plants, self.chores_again(week.last),
            self.practice.beds, statuses=OF_WEEK,
        )  # fmt: skip

    @cached_property
    def is_first_walk_of_week(self) -> bool:
        """Whether the book remembers no walk of this week that had a date to look from."""
        if self.memory is None:
            return True
        announcements = self.memory.announced("walk", self.record.season.name)
        due = (each.day for each in announcements if each.opens and each.opens <= each.day)
        return first_of_week(due, self.day)

    def chores_again(self, day: dt.date) -> tuple[OwnChore, ...]:
        """What they ask for by a day, after what was done before."""
        chores = chores_again(self.journal, self.practice.habits, self.record.season, day)
        return not_put_away(chores, self.journal, self.day)

    def water_days(self, week: WalkWeek) -> tuple[dt.date, ...]:
        """Days of a week to water on."""
        every = self.practice.habits.water_every_days
        return water_days(self.journal, every, self.record.season, week.days)

    def due_in(self, week: WalkWeek) -> tuple[ScoutingWindow, ...]:
        """Windows to look for in a week."""
        lead_days = self.practice.habits.lead_days
        return due_in_week(self.plan, week, self.sowings, lead_days=lead_days)

    # Days to sow.

    def spring_frosts(self, at: float = FREEZING_C) -> SpringFrosts:
        """The last spring frost of every past year."""
        frosts = spring_frosts(self.record.known, self.day, at)
        if not frosts.last:
            raise no_past_season(self.record.as_read.source)
        return frosts

    def last_sowing(self, card: Card, **asked: Any) -> LastSowing:
        """In how many past years a sowing was still worth it; see `last_sowing`."""
        return last_sowing(self.record, card, self.journal, self.practice, **asked)

    def of_pests_on(self, crop: Card) -> Today:
        """The same place, watching the pests of one crop; of a list of names, those named."""
        practice = self.practice
        by_name = practice.watch and not practice.grow
        among = self.watch.cards if by_name else self.cards.values()
        return self.watching(
            card.key for card in among
            if card.group == "pest" and card.lives_on(crop.names)
            and card.key not in practice.leave_out
        )  # fmt: skip

    def sowing_plan(
        self, card: Card, sowings: Sequence[Sown], heat: float | None = None
    ) -> SowingPlan:
        """Sowings of a crop one after another; its pests are those watched."""
        return sowing_plan(self.plan, card, self.journal, self.practice, sowings, heat=heat)

    # Seasons, and how good the dates are.

    @cached_property
    def season_sum(self) -> SeasonSum:
        """The sum its seasons are told by, where nobody asks for another."""
        named = sum_of_season(self.watch.named, self.record.place, self.practice.overrule)
        return self._with_own_finds(named)

    def sum_of(self, card: Card, stage: str | None = None) -> SeasonSum:
        """The sum of a card's stage, by default its first that counts from a date."""
        sum_ = sum_of_card(card, stage, self.record.place, self.practice.overrule)
        return self._with_own_finds(sum_)

    def _with_own_finds(self, sum_: SeasonSum) -> SeasonSum:
        if sum_.card is None or sum_.event is None or self.practice.habits.own_finds != "use":
            return sum_
        own_finds = self.own_finds(sum_.card, sum_.event)
        return (
            replace(sum_, own_finds=own_finds)
            if own_finds is not None and own_finds.finds
            else sum_
        )

    @cached_property
    def stage_years(self) -> tuple[StageYears, ...]:
        """When each watched stage was due in every season, and when it was seen."""
        seasons = self.record.series.before(self.day).seasons()
        return stage_years(self.watch.cards, self.journal, seasons, self.sum_of, self.curves)

    def comparison(self, by: SeasonSum) -> Comparison:
        """Its seasons beside each other."""
        return comparison_by(by, self.record, self.journal)

    def curves(self, by: SeasonSum) -> SeasonCurves:
        """The running sums of its seasons."""
        return curves_by(by, self.record)

    def backtest(
        self,
        keys: Iterable[str] | None = None,
        protocol: Protocol = "past only",
        progress: Callable[[int, int], None] | None = None,
    ) -> BacktestSummary:
        """How outlooks of cards, of all by default, would have done in its past seasons."""
        cards = [self.cards[key] for key in (self.cards if keys is None else keys)]
        return backtest_of(self.record, cards, self.practice.overrule, protocol, progress)

    def own_finds(self, card: Card, event: Event) -> OwnFinds | None:
        """A stage's own first finds, up to this day, beside its published sum."""
        number = event.default
        if number is None:
            return None
        return own_finds_of(self.record, self.journal, card, event, number, self.practice)

    # What follows from a find.

    def second_brood(self, card: Card, find: Sighting) -> SecondBrood | None:
        """Whether heat alone allows one, where the find started a clock of a watched stage."""
        round_ = round_of(card, find.event)
        brackets = [each.bracket for each in self.plan.windows
               if each.bracket and each.bracket.sighting.entry == find.entry]  # fmt: skip
        if round_ is None or not brackets:
            return None
        counting = self.practice.overrule.counting(round_.number)
        return second_brood(
            self.record.series, round_, counting, brackets[0], self.record.season, self.day
        )

    def begun(self, card: Card) -> dict[str, Begun]:
        """Stages of a card that nobody logged and that later finds say had begun."""
        return begun_before(
            card, self.journal, self.record.season, self.day, self.record.series,
            self.practice.overrule,
        )  # fmt: skip

    def way_back(self, card: Card, find: Sighting) -> WayBack | None:
        """The stage before a find, counted back, where nobody saw that one begin."""
        event = card.event(find.event)
        number = event.default if event else None
        if number is None:
            return None
        season, overrule = self.record.season, self.practice.overrule
        return way_back(self.record.series, card, number, find.seen_on, season.first, overrule)
