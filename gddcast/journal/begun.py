"""What a find says of the days before it: earlier stages had begun, and when at the latest.

Larvae were eggs. So a find of any stage, or of a sign such as frass, says that every earlier stage
of its broods had begun by that day; where the card prints how long one takes from another, by heat
or by days, it is counted back. Each step is counted by its own published method: a date is carried
from step to step, sums of different methods are never added. It is a latest day, no more: what was
found may have been there a while.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.cards.model import ANY_STAGE, Card, Event, Number
from gddcast.heat.counting import AS_PUBLISHED, Overrule
from gddcast.journal.dating import bracket_of, looks_that_date
from gddcast.journal.entries import Journal, Sighting
from gddcast.weather.series import DailySeries, Season


@dataclass(frozen=True, slots=True)
class Begun:
    """An event that nobody logged, and that had begun by ``latest``, by a find of a later stage.

    ``counted`` says whether heat or days were counted back from the find, or its own day stands;
    ``clean_on`` is the last clean look before ``latest``, where that was counted.
    """

    event: str
    latest: dt.date
    by: Sighting
    counted: bool = False
    clean_on: dt.date | None = None


def begun_before(
    card: Card,
    journal: Journal,
    season: Season,
    today: dt.date,
    series: DailySeries | None = None,
    overrule: Overrule = AS_PUBLISHED,
) -> dict[str, Begun]:
    """Events of a card without a find of their own that later finds say had begun.

    Parameters
    ----------
    card : Card
    journal : Journal
    season : Season
        Only its finds count.
    today : datetime.date
    series : DailySeries, optional
        Short gaps filled. Without it only days are counted back.
    overrule : Overrule, optional
        What stands in for a number's method.

    Returns
    -------
    dict of str to Begun
        By key of the event.
    """
    logged = {}
    for event in card.finds:
        bracket = bracket_of(card, event, journal, season.first, today)
        if bracket is not None:
            logged[event.key] = Begun(event.key, bracket.found_on, bracket.sighting)
    begun = logged | {}
    for find in _finds_of_signs(card, journal, season, today):
        _note(begun, Begun(card.first_begun(find.event), find.seen_on, find))
    for event in reversed(card.events):  # later ones first, so that each knows its own day
        known = begun.get(event.key)
        if known is None:
            continue
        for before in card.begun_with(event.key)[:-1]:
            _note(begun, Begun(before.key, known.latest, known.by, known.counted))
        if (step := _step_back(event, known.latest, season, series, overrule)) is not None:
            start, latest = step
            _note(begun, Begun(start, latest, known.by, counted=True))
        if event.same_time_as is not None:
            _note(begun, Begun(event.same_time_as, known.latest, known.by, known.counted))
    return {
        key: _with_clean_look(card, each, journal, season)
        for key, each in begun.items()
        if key not in logged
    }


def _finds_of_signs(card: Card, journal: Journal, season: Season, today: dt.date) -> list[Sighting]:
    """Sure finds at plants of what is no event: signs that come later, and any stage."""
    keys = [sign.key for sign in card.signs if not sign.at_once]
    return [
        find
        for find in journal.of(card.key, [*keys, ANY_STAGE])
        if find.kind == "saw" and find.sure and season.first <= find.seen_on <= today
    ]


def _note(begun: dict[str, Begun], one: Begun) -> None:
    """Keep the earlier of two latest days."""
    if one.event and (one.event not in begun or one.latest < begun[one.event].latest):
        begun[one.event] = one


def _step_back(
    event: Event,
    latest: dt.date,
    season: Season,
    series: DailySeries | None,
    overrule: Overrule,
) -> tuple[str, dt.date] | None:
    """The event that one is counted from, and its latest day: by heat, else by days."""
    number = event.default
    if number is not None and series is not None:
        back = _counted_back(series, number, latest, season.first, overrule)
        start = number.starts_from.event if number.starts_from else None
        if start is not None and back is not None and back[0] is not None:
            return start, latest - dt.timedelta(days=back[0])
    printed = [each for each in event.days if each.starts_from.event]
    if not printed:
        return None
    least = min(printed, key=lambda each: each.days[0])
    earlier = latest - dt.timedelta(days=int(least.days[0]))
    return (least.starts_from.event or "", earlier) if earlier >= season.first else None


def _with_clean_look(card: Card, begun: Begun, journal: Journal, season: Season) -> Begun:
    """With the clean look that says it had not begun, where it was counted back past the find."""
    event = card.event(begun.event)
    if event is None or not begun.counted:
        return begun
    clean = looks_that_date(card, event, journal, season.first, begun.latest).last_clean(
        card.key, [event.key], season.first, begun.latest
    )
    return Begun(begun.event, begun.latest, begun.by, begun.counted, clean)


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
    back = _counted_back(series, number, found_on, since, overrule)
    start = card.event(number.starts_from.event or "") if number.starts_from else None
    if back is None or back[0] is None or back[1] is None or start is None:
        return None
    last, first = (found_on - dt.timedelta(days=days) for days in (back[0], back[1]))
    return WayBack(start.key, first, last)


def _counted_back(
    series: DailySeries, number: Number, found_on: dt.date, since: dt.date, overrule: Overrule
) -> tuple[int | None, int | None] | None:
    """Days back to both ends of a sum that starts from an event; None where nothing is counted."""
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
    low, high = number.goal_c
    return _days_back(behind, low), _days_back(behind, high)


def _days_back(behind: NDArray[np.float64], goal: float) -> int | None:
    """Days whose heat, counted from the find backwards, comes to the goal."""
    there = np.flatnonzero(behind >= goal)  # never true of NaN
    if not there.size or np.isnan(behind[: there[0]]).any():
        return None
    return int(there[0]) + 1
