"""Whether heat alone allows a second brood: one full round of the life cycle after a first find.

Said only where the card prints every step of the round by one source, one kind and one method:
sums of different methods make no sum. It is never a date to look from; a find of each stage on
the way starts the next clock, and the card's own words on later broods stand beside it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast.cards.model import Card, Event, Number
from gddcast.heat.counting import Counting
from gddcast.journal.clocks import find_clock
from gddcast.journal.entries import Bracket
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.ensemble import FULL, Steps
from gddcast.units import to_celsius_days
from gddcast.weather.series import DailySeries, Season

#: What has to be alike for sums to be added.
_ALIKE = ("kind", "unit", "lower", "upper", "cutoff", "shape", "of", "source")


@dataclass(frozen=True, slots=True)
class Round:
    """The sum from an event to the same of the next brood, steps added; printed in its unit."""

    event: Event
    number: Number  # of the last step; the others are counted alike
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SecondBrood:
    """In how many past years the heat for a second brood was there by a day."""

    round: Round
    by: dt.date
    years: int
    total: int


def round_of(card: Card, key: str) -> Round | None:
    """The way from an event of the first brood to the first of the second, of two steps or more.

    One step has a clock of its own, which a find starts; None too where any step is not printed,
    or printed by another source or method.
    """
    found = card.event(key)
    stands_for = {key, found.same_time_as if found else None}
    stands_for |= {event.key for event in card.events if event.same_time_as == key}
    for target in card.events:
        if target.brood != 2 or found is None or found.brood != 1:
            continue
        steps = []
        event: Event | None = target
        while event is not None and event.key not in stands_for:
            number = event.default
            if number is None or number.goal is None or number.starts_from is None:
                break
            steps.append(number)
            event = card.event(number.starts_from.event or "")
        else:
            alike = {tuple(getattr(each, name) for name in _ALIKE) for each in steps}
            if event is not None and len(steps) > 1 and len(alike) == 1:
                low, high = (
                    sum((each.goal or (0.0, 0.0))[end] for each in steps) for end in (0, 1)
                )
                return Round(target, steps[0], low, high)
    return None


def second_brood(
    series: DailySeries,
    round_: Round,
    counting: Counting,
    bracket: Bracket,
    season: Season,
    today: dt.date,
    steps: Steps = FULL,
) -> SecondBrood | None:
    """Count the past years whose heat brings the round to its end by the end of September.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched.
    round_ : Round
    counting : Counting
        Of its numbers.
    bracket : Bracket
        The first find. The high end of the round is counted, from the day after it.
    season : Season
        By its ninth month: 30 September, or 31 March where it begins in July.
    today : datetime.date
    steps : Steps, default: FULL
        What is done to past years before they continue this one.

    Returns
    -------
    SecondBrood or None
        None where a gap or the lack of past years hides the answer.
    """
    by = season.on(9, 30) if season.first.month < 7 else season.on(3, 31)
    goal = to_celsius_days(round_.high, round_.number.unit)
    start = find_clock(bracket).latest
    if not season.first <= start <= season.last:
        return None
    one = outlook_of(series, counting, goal, start=start, today=today, steps=steps)
    if one.reached is not None or one.unknown is not None or not one.dots:
        return None
    return SecondBrood(round_, by, sum(day <= by for day in one.days), len(one.dots))
