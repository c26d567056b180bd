"""The sum a season is told by: one way of counting, from one day, the same on every surface."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gddcast.cards.model import Card, Event, Number
from gddcast.errors import Refusal, shell
from gddcast.heat.counting import Counting, Overrule
from gddcast.heat.shapes import single_sine
from gddcast.journal.clocks import calendar_start
from gddcast.journal.dating import bracket_of
from gddcast.journal.entries import Bracket, Journal
from gddcast.outlook.season_so_far import known_on, record_on
from gddcast.outlook.seasons import (
    Comparison,
    SeasonCurves,
    compare_seasons,
    season_curves,
    season_heats,
)
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.today.record import Record
from gddcast.units import celsius
from gddcast.weather.series import Origin, Place, Season

#: Counted where no card on the watch list has a sum from a date: above 50 °F, single sine.
PLAIN = Counting(lower=celsius(50.0), shape=single_sine)


@dataclass(frozen=True, slots=True)
class SeasonSum:
    """What seasons are held beside each other by.

    Parameters
    ----------
    counting : Counting
    start : (int, int)
        Month and day on which it starts.
    goals : tuple of float
        Of the card's event as printed, or a person's; none where only sums are wanted. [°C·d]
    own_finds : OwnFinds, optional
        Own finds of that event, where its dates go by them.
    card, event : Card, Event, optional
        Whose sum it is.
    """

    counting: Counting
    start: tuple[int, int]
    goals: tuple[float, ...] = ()
    own_finds: OwnFinds | None = None
    card: Card | None = None
    event: Event | None = None

    @property
    def for_a_picture(self) -> SeasonSum:
        """The same with one goal or range: own finds take the place of the printed one."""
        return (
            replace(self, goals=(self.own_finds.goal,), own_finds=None) if self.own_finds else self
        )


def calendar_number(card: Card, stage: str | None = None) -> tuple[Event, Number]:
    """The stage meant, and a number of it that counts from a date.

    Parameters
    ----------
    card : Card
    stage : str, optional
        Key of a stage. Default: the first that has one.

    Raises
    ------
    Refusal
        If there is none.
    """
    for event in card.events:
        number = event.default
        if stage in (None, event.key) and number and number.kind == "calendar" and number.goal:
            return event, number
    raise Refusal(
        f"{card.name}, {stage or 'any stage'}",
        "its card has no heat sum that counts from a date",
        "Seasons are compared by sums that start on the same day of each.",
        f"Read the card:  gddcast {card.group}s {shell(card.key)}     "
        "Or:  gddcast seasons --lower 50F",
        slug="no-calendar-sum",
    )


def sum_of_card(card: Card, stage: str | None, place: Place, overrule: Overrule) -> SeasonSum:
    """The sum of a card's stage as printed, by default its first that counts from a date."""
    event, number = calendar_number(card, stage)
    counting = overrule.counting(number)
    start = overrule.start or calendar_start(number, place) or place.season_begins
    goals = tuple(dict.fromkeys(number.goal_c or ()))
    return SeasonSum(counting, start, goals, None, card, event)


def sum_of_season(named: Iterable[Card], place: Place, overrule: Overrule) -> SeasonSum:
    """That of the first card watched by name that has one; above 50 °F where none is named."""
    for card in named:
        try:
            return sum_of_card(card, None, place, overrule)
        except Refusal:  # none from a date, or not of air
            continue
    return SeasonSum(PLAIN, place.season_begins)


def comparison_by(sum_: SeasonSum, record: Record, journal: Journal) -> Comparison:
    """The seasons of a record beside each other, with what was seen in them."""
    card, event = sum_.card, sum_.event

    def find_of(year: Season) -> Bracket | None:
        if card is None or event is None:
            return None
        return bracket_of(card, event, journal, year.first, year.last)

    goals = (*sum_.goals, sum_.own_finds.goal) if sum_.own_finds else sum_.goals
    return compare_seasons(
        record.series, sum_.counting, record.today,
        goals=tuple(dict.fromkeys(goals)), start=sum_.start, find_of=find_of,
    )  # fmt: skip


def curves_by(sum_: SeasonSum, record: Record) -> SeasonCurves:
    """The seasons' running sums, from the same days their comparison is made of."""
    curves = season_curves(
        record_on(record.series, record.today), sum_.counting, record.season,
        start=sum_.start, goal=sum_.goals[-1] if sum_.goals else None,
    )  # fmt: skip
    if not record.series.count(Origin.FORECAST):
        return curves
    ahead = season_heats(known_on(record.series, record.today), sum_.counting, sum_.start)
    forecast = next((each for each in ahead if each.season == record.season), None)
    return replace(curves, forecast=forecast)
