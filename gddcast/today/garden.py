"""What every window of one plan shares: record, cards, what was sown, how heat is counted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from gddcast.cards.model import Card, Days, Event, Number, crop_names
from gddcast.heat.counting import Counting
from gddcast.journal.begun import Begun, begun_before
from gddcast.journal.clocks import Clock, clocks_of
from gddcast.journal.dating import bracket_of, clean_days_of
from gddcast.journal.entries import Bracket, Journal, Sowing
from gddcast.scouting.windows import looking_interval
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.weather.series import Place, Season


@dataclass(frozen=True, slots=True)
class Garden:
    """A place on a day, before anything is asked of it."""

    record: Record
    cards: Mapping[str, Card]
    journal: Journal
    practice: Practice
    _begun: dict[str, dict[str, Begun]] = field(default_factory=dict)

    @property
    def today(self) -> dt.date:
        """The day."""
        return self.record.today

    @property
    def season(self) -> Season:
        """Its season."""
        return self.record.season

    @property
    def place(self) -> Place:
        """Where it lies."""
        return self.record.place

    def counting(self, number: Number) -> Counting:
        """How a number is counted here."""
        return self.practice.overrule.counting(number)

    def clocks(self, card: Card, number: Number | Days) -> list[Clock]:
        """The clocks a number, or a count of days, runs on; empty while none has started."""
        start = self.practice.overrule.start
        return clocks_of(
            card, number, self.place, self.season, self.today, self.journal, start,
            self.begun(card),
        )  # fmt: skip

    def begun(self, card: Card) -> dict[str, Begun]:
        """Its stages that had begun by a find of a later one; worked out once a card."""
        if card.key not in self._begun:
            self._begun[card.key] = begun_before(
                card, self.journal, self.season, self.today, self.record.series,
                self.practice.overrule,
            )  # fmt: skip
        return self._begun[card.key]

    def begun_by(self, card: Card, event: Event) -> Begun | None:
        """The later find that says a stage had begun, where it has none of its own."""
        return self.begun(card).get(event.key)

    def bracket(self, card: Card, event: Event) -> Bracket | None:
        """The first sure find of a stage this season."""
        return bracket_of(card, event, self.journal, self.season.first, self.today)

    def clean_days(self, card: Card, event: Event) -> list[dt.date]:
        """Days of looks for a stage this season that found none, oldest first."""
        return clean_days_of(card, event, self.journal, self.season.first, self.today)

    def clean_looks(self, card: Card, event: Event) -> int:
        """Number of them."""
        return len(self.clean_days(card, event))

    def hosts(self, card: Card) -> Iterator[Sowing]:
        """Sowings of this season that an organism lives on."""
        for sowing in self._sown():
            if card.lives_on(crop_names(self.cards, sowing.crop)):
                yield sowing

    def hosts_sown(self, card: Card) -> list[dt.date] | None:
        """Days on which those of them that stand were sown; None where nobody keeps sowings."""
        if next(self._sown(), None) is None:
            return None
        jobs = self.journal.jobs
        pulled = {job.sowing for job in jobs if job.job == "pulled" and job.done_on < self.today}
        return [each.sown_on for each in self.hosts(card) if each.name not in pulled]

    def hosts_pulled(self, card: Card) -> dt.date | None:
        """Day on which the last of them was pulled, if all were."""
        jobs = self.journal.jobs
        pulled = {each.sowing: each.done_on for each in jobs if each.job == "pulled"}
        days = [pulled.get(each.name) for each in self.hosts(card)]
        known = [each for each in days if each is not None and each < self.today]
        return max(known) if known and len(known) == len(days) else None

    def looking_interval(self, card: Card) -> tuple[int, str]:
        """How often to look, in days, and why: by the time of its eggs in this week's warmth."""
        week, goal, pace = self.record.week, None, float("nan")
        hatch = card.event("egg-hatch")
        number = hatch.default if hatch else None
        if number is not None and number.goal_c is not None and number.of == "air":
            goal, pace = number.goal_c[0], week.pace(self.counting(number))
        return looking_interval(goal, pace, self.practice.habits, week.words)

    def _sown(self) -> Iterator[Sowing]:
        first = self.season.first
        return (each for each in self.journal.sowings if first <= each.sown_on <= self.today)
