"""What a crop takes, here, from seed or planting to each of its events, and how that is known.

The best knowledge at hand is used, and named: the heat of one's own sowings where there are
three, else the card's heat sum, else days on the calendar.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from gddcast.cards.model import Card, Event, Number
from gddcast.heat.counting import AS_PUBLISHED, Counting, Overrule
from gddcast.journal.entries import Journal
from gddcast.weather.series import DailySeries

Basis = Literal["own sowings", "your number", "card heat", "card days", "your rule of days"]
#: What a crop is counted from.
From = Literal["sowing", "transplanting"]

#: Sums of one's own are counted so where the card has none. Common practice, no source.
PLAIN = Counting(10.0)
#: Fewer sowings of one's own than this say too little. Common practice, no source.
ENOUGH_SOWINGS = 3


@dataclass(frozen=True, slots=True)
class Need:
    """What a crop takes from sowing, or planting out, to an event, and how that is known.

    ``low``, ``used`` and ``high`` are heat [°C·d] where ``counting`` is given, else days.
    """

    basis: Basis
    low: float
    used: float
    high: float
    counting: Counting | None = None
    sowings: int = 0
    source: str = ""
    start: From = "sowing"


def start_of(card: Card) -> From:
    """What the card's first pick is counted from: planting out where nothing is printed from seed.

    Examples
    --------
    >>> from gddcast.cards.model import Days, Look, Start
    >>> planted = Days((70.0, 80.0), Start(crop="transplanting"), "a", "seen")
    >>> pick = Event("first-pick", "first pick", days=(planted,))
    >>> start_of(Card("tomato", "tomato", "x", "crop", Look(), (pick,), {}))
    'transplanting'
    """
    event = card.event("first-pick")
    numbers, days = (event.numbers, event.days) if event else ((), ())
    starts = {each.starts_from.crop for each in numbers if each.starts_from}
    starts |= {each.starts_from.crop for each in days}
    return "transplanting" if "transplanting" in starts and "sowing" not in starts else "sowing"


def heat_of_own_sowings(
    series: DailySeries,
    journal: Journal,
    crop: str,
    counting: Counting = PLAIN,
    *,
    job: str = "first-pick",
    start: From = "sowing",
) -> tuple[float, ...]:
    """Heat from sowing through an event of every own sowing that has both days. [°C·d]

    Seed sown in place and plants set out are kept apart; a sum with an unknown day is left out.
    """
    daily = counting.daily(series)
    days = {each.sowing: each.done_on for each in journal.jobs if each.job == job}
    sums = []
    for sowing in journal.sowings:
        came = days.get(sowing.name) if sowing.name else None
        if sowing.crop != crop or sowing.planted_out != (start == "transplanting") or came is None:
            continue
        begin, end = series.index(sowing.sown_on), series.index(came) + 1
        if 0 <= begin < end <= len(series):
            sums.append(float(daily[begin:end].sum()))
    return tuple(sum_ for sum_ in sums if np.isfinite(sum_))


def need_of(
    series: DailySeries,
    journal: Journal,
    card: Card,
    key: str = "first-pick",
    *,
    start: From = "sowing",
    heat: float | None = None,
    rule_of_days: tuple[float, float] | None = None,
    overrule: Overrule = AS_PUBLISHED,
) -> Need | None:
    """What a crop takes here, by the best knowledge there is; None where there is none.

    Parameters
    ----------
    series : DailySeries
    journal : Journal
    card : Card
        Of a crop.
    key : str, default: "first-pick"
        The event, as cards and jobs call it.
    start : {"sowing", "transplanting"}
    heat : float, optional
        A sum the person gives, counted as their own would be. [°C·d]
    rule_of_days : tuple of float, optional
        Used where neither records nor card say more; never where the card counts from a stage of
        a plant that is years old. [d]
    overrule : Overrule, optional
        What stands in for the method of the card's sums.
    """
    event = card.event(key)
    number = next(_heat_sums(event, start), None) if event else None
    counting = overrule.counting(number) if number else PLAIN
    if heat is not None:
        return Need("your number", heat, heat, heat, counting, start=start)
    own = heat_of_own_sowings(series, journal, card.key, counting, job=key, start=start)
    if len(own) >= ENOUGH_SOWINGS:
        mean = float(np.mean(own))
        return Need("own sowings", min(own), mean, max(own), counting, len(own), start=start)
    if number is not None and number.goal_c is not None:
        low, high = number.goal_c
        source = _short(card, number.source)
        return Need("card heat", low, (low + high) / 2, high, counting, len(own), source, start)
    for days in event.days if event else ():
        if days.starts_from.crop == start:
            low, high = days.days
            source = _short(card, days.source)
            return Need("card days", low, high, high, None, len(own), source, start)
    if rule_of_days is None or (event and _of_an_old_plant(event)):
        return None
    low, high = rule_of_days
    source = "common practice, no source"
    return Need("your rule of days", low, high, high, None, len(own), source, start)


def _heat_sums(event: Event, start: From) -> Iterator[Number]:
    """Sums of air counted from there, the default first."""
    for number in sorted(event.numbers, key=lambda each: not each.default):
        counted = number.of == "air" and number.lower is not None and number.goal is not None
        if counted and number.starts_from and number.starts_from.crop == start:
            yield number


def _of_an_old_plant(event: Event) -> bool:
    """Whether its card counts it from a stage of the plant alone: a perennial has no seed day."""
    starts = [each.starts_from for each in event.days]
    starts += [number.starts_from for number in event.numbers if number.starts_from]
    return bool(starts) and not any(each.crop in get_args(From) for each in starts)


def _short(card: Card, source: str) -> str:
    """Author and year, or the words that say there is no source."""
    return card.sources[source].short if source in card.sources else source
