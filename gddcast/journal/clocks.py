"""Where a sum starts: a date, a find with its bracket, or a sowing."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from gddcast.cards.model import Card, Days, Number, Start
from gddcast.journal.begun import Begun
from gddcast.journal.dating import first_find
from gddcast.journal.entries import Bracket, Journal, Sowing
from gddcast.weather.calendar_day import date_in
from gddcast.weather.series import Place, Season
from gddcast.words import day

ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Clock:
    """The first day counted: one day, or the two ends of a find's bracket.

    ``earliest`` is None where a find has no clean look before it. ``starts`` says the day;
    ``remark``, how the card's own start differs from it.
    """

    earliest: dt.date | None
    latest: dt.date
    starts: str
    kind: Literal["date", "find", "sowing", "stand-in"]
    bracket: Bracket | None = None
    remark: str = ""
    is_late: bool = False  # of an event that only a later stage's find tells of: the latest day

    @property
    def words(self) -> str:
        """The day, and what is to be said of it."""
        return f"{self.starts} ({self.remark})" if self.remark else self.starts


def clocks_of(
    card: Card,
    number: Number | Days,
    place: Place,
    season: Season,
    today: dt.date,
    journal: Journal,
    overrule: tuple[int, int] | None = None,
    begun: Mapping[str, Begun] = MappingProxyType({}),
) -> list[Clock]:
    """The clocks a published number runs on in a season; empty while none has started.

    Parameters
    ----------
    card : Card
    number : Number or Days
        A number, or a count of days, of the card.
    place : Place
    season : Season
    today : datetime.date
    journal : Journal
        A find of the event the number starts from starts its clock; so does each sowing of the
        season, whose own day counts.
    overrule : tuple of int, optional
        Month and day a person counts from instead of the card's date.
    begun : mapping of str to Begun, optional
        Events that nobody saw begin, and had by a day at the latest: their clocks run from it.
    """
    start = number.starts_from
    if start is None or start.date is not None:
        here = calendar_start(number, place)
        clock = calendar_clock(Start(date=here) if here else None, season, overrule)
        if start and start.date and start.date != here and overrule is None:
            printed = day(date_in(season.first.year, *start.date), weekday=False)
            side = "north" if place.is_south else "south"
            clock = replace(clock, remark=f"{printed} {side} of the equator")
        return [clock]
    if start.event is not None:
        bracket = first_find(card, start.event, season, today, journal)
        if bracket is not None:
            return [find_clock(bracket)]
        return [late_clock(card, begun[start.event])] if start.event in begun else []
    return [
        Clock(sown, sown, sown_words(sowing), "sowing")
        for sowing in journal.sowings
        if sowing.crop == card.key
        and season.first <= sowing.sown_on <= season.last
        and start.crop == ("transplanting" if sowing.planted_out else "sowing")
        for sown in [sowing.sown_on]
    ]


def sown_words(sowing: Sowing) -> str:
    """What a sowing is called as the start of a count."""
    done = "planted out" if sowing.planted_out else "sown"
    return f"{done} {day(sowing.sown_on, weekday=False)}"


def calendar_clock(
    start: Start | None, season: Season, overrule: tuple[int, int] | None = None
) -> Clock:
    """The clock of a date in the season; its first day where the source states none."""
    if overrule is not None:
        first = season.on(*overrule)
        return Clock(first, first, day(first, weekday=False), "date", remark="your choice")
    if start is None or start.date is None:
        first = season.first
        starts = day(first, weekday=False)
        return Clock(first, first, starts, "stand-in", remark="start not stated")
    first = season.on(*start.date)
    return Clock(first, first, day(first, weekday=False), "date")


def calendar_start(number: Number | Days, place: Place) -> tuple[int, int] | None:
    """Month and day a number counts from; half a year on where it was found beyond the equator.

    "1 January" of a northern source means the dead of winter; taken by the letter it would stand
    at midsummer in the south (our own rule, no source: the half year is said beside the date). A
    source whose latitude is not stated is taken for a northern one. None where
    the source states no date.
    """
    printed = number.starts_from.date if number.starts_from else None
    latitude = number.latitude if isinstance(number, Number) else None
    found_south = latitude is not None and latitude < 0.0
    return None if printed is None else day_of_year_at(place, printed, is_south=found_south)


def day_of_year_at(
    place: Place, printed: tuple[int, int], *, is_south: bool = False
) -> tuple[int, int]:
    """Month and day printed on one side of the equator, half a year on at a place on the other.

    Examples
    --------
    >>> day_of_year_at(Place("Córdoba", -31.4, -64.2), (4, 21))
    (10, 21)
    """
    if is_south == place.is_south:
        return printed
    month = (printed[0] + 5) % 12 + 1
    return month, min(printed[1], calendar.monthrange(2023, month)[1])


def find_clock(bracket: Bracket) -> Clock:
    """From the day after the last clean look to the day after the find, both counted."""
    earliest, latest = bracket.earliest, bracket.found_on + ONE_DAY
    find, first = (day(each, weekday=False) for each in (bracket.found_on, latest))
    looked, saw = ("empty trap", "catch") if bracket.sighting.trap else ("clean look", "find")
    words = f"{first}, the day after your {saw} of {find}"
    if earliest is not None and bracket.clean_on is not None:
        begin, clean = (day(each, weekday=False) for each in (earliest, bracket.clean_on))
        words = f"{begin} or {first}, after your {looked} of {clean} and your {saw} of {find}"
    return Clock(earliest, latest, words, "find", bracket)


def late_clock(card: Card, begun: Begun) -> Clock:
    """From the day after an event had begun at the latest, by a find of a later stage."""
    bracket = Bracket(begun.clean_on, begun.latest, begun.by)
    first = day(begun.latest + ONE_DAY, weekday=False)
    event, seen = card.event(begun.event), day(begun.by.seen_on, weekday=False)
    what = event.words if event else begun.event
    back = "counted back from" if begun.counted else "by"
    words = f"{first} at the latest ({what}: {back} {card.stage_words(begun.by.event)}, {seen})"
    late = bracket.earliest is None
    return Clock(bracket.earliest, begun.latest + ONE_DAY, words, "find", bracket, is_late=late)
