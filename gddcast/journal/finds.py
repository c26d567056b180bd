"""What a find may be, and what follows from it before any forecast: order, doubt, the way back.

A find that cannot be is refused. One that may be a mistake is kept and marked, for a record that
drops what it doubts cannot be mended later.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.cards.model import Card, Number, crop_names
from gddcast.errors import Refusal
from gddcast.heat.counting import AS_PUBLISHED, Overrule
from gddcast.journal.entries import Journal, Sighting
from gddcast.weather.series import DailySeries, Season
from gddcast.words import day

#: Stages that fly or walk in from elsewhere, so that one alone may be a stray.
WANDERING = ("moths", "adults")


def refuse_impossible(sighting: Sighting, today: dt.date) -> None:
    """Refuse a find dated in the future, or not after its last clean look.

    Raises
    ------
    Refusal
    """
    seen, clean = sighting.seen_on, sighting.clean_on
    if seen > today:
        raise Refusal(
            f"the day {seen}",
            "it is in the future",
            f"Today is {day(today, year=True)} at this place.",
            "Give the day you saw it:  --seen DATE",
            slug="in-the-future",
        )
    if clean is not None and clean >= seen:
        raise Refusal(
            f"the clean look of {clean}",
            f"it is not before the find of {seen}",
            "A clean look is the last day you looked there and found none.",
            "Give that day:  --clean DATE     or leave it out.",
            slug="clean-not-before",
        )


def refuse_before_sowing(
    sighting: Sighting, card: Card, cards: Mapping[str, Card], journal: Journal, season: Season
) -> None:
    """Refuse a find on a crop that was not there yet, going by this season's sowings.

    Raises
    ------
    Refusal
    """
    hosts = [
        sowing
        for sowing in journal.sowings
        if season.first <= sowing.sown_on <= season.last
        and card.lives_on(crop_names(cards, sowing.crop))
    ]
    if not card.hosts or not hosts or sighting.kind != "saw":
        return
    first = min(hosts, key=lambda sowing: sowing.sown_on)
    if sighting.seen_on < first.sown_on:
        raise Refusal(
            f"the find of {sighting.seen_on}",
            f"its first {first.crop.replace('-', ' ')} was sown after it",
            f"Sowing {first.name} is of {day(first.sown_on, year=True)} (entry {first.entry}).",
            "Correct the day with --seen. If it was in a trap or on other plants:  --elsewhere",
            slug="before-sowing",
        )


def same_find(sighting: Sighting, journal: Journal) -> Sighting | None:
    """A sighting on record of the same stage on the same day at the same spot."""
    for other in journal.sightings:
        alike = ("kind", "organism", "event", "seen_on", "where")
        if all(getattr(other, name) == getattr(sighting, name) for name in alike):
            return other
    return None


def earlier_find(sighting: Sighting, journal: Journal, season: Season) -> Sighting | None:
    """The sure find of this stage that runs the clock already, if this is not the first."""
    bracket = journal.bracket(sighting.organism, [sighting.event], season.first, season.last)
    return bracket.sighting if bracket and bracket.found_on <= sighting.seen_on else None


def last_clean(sighting: Sighting, journal: Journal, since: dt.date) -> dt.date | None:
    """The last look before the find that found none: the person's own word, or the record's."""
    if sighting.clean_on is not None:
        return sighting.clean_on
    looks = [
        look.seen_on
        for look in journal.sightings
        if look.kind == "none"
        and look.organism in (sighting.organism, "")
        and look.event in (sighting.event, "")
        and since <= look.seen_on < sighting.seen_on
    ]
    return max(looks, default=None)


@dataclass(frozen=True, slots=True)
class WayBack:
    """When the stage before must have happened, for what was found to be there.

    ``first`` belongs to the high end of the published sum, ``last`` to the low end: had the find
    stood there unseen for some days, both would be that much earlier.
    """

    event: str
    first: dt.date
    last: dt.date


def way_back(
    series: DailySeries,
    card: Card,
    number: Number,
    found_on: dt.date,
    since: dt.date,
    overrule: Overrule = AS_PUBLISHED,
) -> WayBack | None:
    """Count a find back to the event its published sum starts from.

    Parameters
    ----------
    series : DailySeries
        Short gaps filled.
    card : Card
    number : Number
        The number of the stage found.
    found_on : datetime.date
    since : datetime.date
        First day of the season; nothing is counted back past it.
    overrule : Overrule, optional
        What stands in for the number's method.

    Returns
    -------
    WayBack or None
        None where the sum starts from no event, or an unknown day or the season's start is met
        on the way.
    """
    start = number.starts_from
    if start is None or start.event is None or number.goal_c is None:
        return None
    if number.of != "air" or number.lower is None:
        return None
    days = series.between(since, found_on)
    if not len(days) or (found_on - days.last).days > 1:
        return None
    heat = overrule.counting(number).daily(days)
    if days.last != found_on:  # found today: a day like the one before, as far as anyone knows
        heat = np.append(heat, heat[-1])
    behind = np.cumsum(heat[::-1])
    low, high = (_days_back(behind, goal) for goal in number.goal_c)
    event = card.event(start.event)
    if low is None or high is None or event is None:
        return None
    return WayBack(event.key, found_on - dt.timedelta(days=high), found_on - dt.timedelta(days=low))


def _days_back(behind: NDArray[np.float64], goal: float) -> int | None:
    """Days whose heat, counted from the find backwards, comes to the goal."""
    there = np.flatnonzero(behind >= goal)  # never true of NaN
    if not there.size or np.isnan(behind[: there[0]]).any():
        return None
    return int(there[0]) + 1
