"""Dates that past seasons can be asked to foretell: those of sums that start on a calendar day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gddcast.cards.model import Card
from gddcast.heat.counting import AS_PUBLISHED, Counting, Overrule
from gddcast.journal.clocks import calendar_start
from gddcast.weather.series import Place


@dataclass(frozen=True, slots=True)
class Target:
    """A date to be foretold: when ``goal`` is reached from ``start`` on.

    Parameters
    ----------
    name : str
    counting : Counting
    goal : float
        [°C·d]
    start : (int, int), default: 1 January
        Month and day from which heat is counted.
    stage : str, optional
        Of a card: the event alone.
    """

    name: str
    counting: Counting
    goal: float
    start: tuple[int, int] = (1, 1)
    stage: str = ""


def targets_of(
    cards: Iterable[Card], place: Place, overrule: Overrule = AS_PUBLISHED
) -> tuple[Target, ...]:
    """Dates of cards whose sums start on a calendar day, both ends of a printed range.

    Sums that start with a find or a sowing need a book of past finds, which temperatures are not.

    Parameters
    ----------
    cards : iterable of Card
    place : Place
        Sums whose start is not stated start with its seasons.
    overrule : Overrule, optional
        What stands in for the cards' methods.
    """
    targets = []
    for card in cards:
        for event in card.events:
            number = event.default
            if number is None or number.of != "air" or number.goal_c is None:
                continue
            if number.starts_from is not None and number.starts_from.date is None:
                continue
            if card.comes_from_elsewhere or number.lower is None:
                continue
            day = overrule.start or calendar_start(number, place) or place.season_begins
            name = f"{card.name}: {event.words}"
            counting = overrule.counting(number)
            ends = dict.fromkeys(number.goal_c)
            targets += [Target(name, counting, goal, day, event.words) for goal in ends]
    return tuple(targets)
