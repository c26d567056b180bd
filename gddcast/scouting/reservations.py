"""What a careful reader should hear beside a date: doubt, distance, migrants, short days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from gddcast.cards.model import Card, DayLength, Event, Number
from gddcast.scouting.day_length import no_more_broods
from gddcast.weather.series import Place, Season
from gddcast.words import day

#: Farther than this from where a number was found is worth a word. [° latitude]
_FAR_DEGREES = 5.0


def reservations(
    card: Card,
    event: Event,
    number: Number,
    season: Season,
    place: Place,
    *,
    by_finds: bool = False,
) -> tuple[str, ...]:
    """Sentences to stand beside every date made with a number.

    Parameters
    ----------
    card, event, number
        What the date is made with.
    season : Season
    place : Place
        Without a latitude, neither distance nor day length can be judged.
    by_finds : bool, default: False
        A sum of the person's own stands in for the number's: the number's doubt and its distance
        do not touch it.
    """
    return tuple(_sentences(card, event, number, season, place, by_finds))


def _sentences(
    card: Card, event: Event, number: Number, season: Season, place: Place, by_finds: bool
) -> Iterator[str]:
    if number.doubt and not by_finds:
        yield number.doubt
    if event.caution:
        yield event.caution
    if card.comes_from_elsewhere:
        yield card.comes_from_elsewhere
    if place.latitude is None:
        return
    if (
        not by_finds
        and number.latitude is not None
        and abs(place.latitude - number.latitude) > _FAR_DEGREES
    ):
        away = abs(place.latitude - number.latitude)
        yield f"Found in {number.found_in}, {away:.0f}° of latitude from you."
    for rule in _rules(card, event):
        begins, ends = _short_days(rule, season, place.latitude)
        if begins is not None:
            until = f" to {day(ends, weekday=False)}" if ends and ends != begins else ""
            yield f"From {day(begins, weekday=False)}{until} days grow too short: {rule.words}."


def last_promised(card: Card, event: Event, season: Season, place: Place) -> dt.date | None:
    """Day from which an event is no longer promised, because days are shorter than any printed.

    None where no rule of the card names the event, or where nobody said how far north it is.
    """
    if place.latitude is None:
        return None
    ends = [_short_days(rule, season, place.latitude)[1] for rule in _rules(card, event)]
    return min((day for day in ends if day is not None), default=None)


def _rules(card: Card, event: Event) -> list[DayLength]:
    return [rule for rule in card.day_length if event.key in rule.events]


def _short_days(
    rule: DayLength, season: Season, latitude: float
) -> tuple[dt.date | None, dt.date | None]:
    return no_more_broods(rule, latitude=latitude, first=season.first, last=season.last)
