"""What a book says on a day, and what it remembers of the days before."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gddcast.book.fingerprints import fingerprint
from gddcast.book.opening import Book
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.today.announcements import Announcement, announcements_of
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import DailySeries

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.scouting.windows import ScoutingWindow


def today_of(
    book: Book,
    day: dt.date,
    cards: Mapping[str, Card],
    watch: Iterable[str] | None = None,
    grow: Iterable[str] | None = None,
) -> Today:
    """What a book says on a day.

    Parameters
    ----------
    book : Book
    day : datetime.date
        Today at the place.
    cards : mapping of str to Card
    watch : iterable of str, optional
        Default: the book's own watch list.
    grow : iterable of str, optional
        Crops whose pests are watched, in place of the book's own lists.

    Raises
    ------
    Refusal
        If it has no weather yet, or its watch list names no card.
    """
    practice = book.practice(cards)
    if watch is not None or grow is not None:
        only = None if grow is None else tuple(grow)
        practice = replace(practice, watch=tuple(watch or ()), grow=only, leave_out=())
    record = Record(book.series(day), day, practice.patch_up_to, book.forecasts())
    return Today(record, cards, book.journal(), practice, BookMemory(book))


@dataclass(frozen=True, slots=True)
class BookMemory:
    """What a book told, and its weather as it was kept then."""

    book: Book

    def announced(self, surface: str | None, season: str) -> list[Announcement]:
        """Dates one surface, or any, told of a season, oldest first."""
        return self.book.announced(surface, season)

    def weather(
        self, day: dt.date, announcement: Announcement | None = None
    ) -> tuple[DailySeries | None, ForecastArchive]:
        """The record and the forecasts when something was announced, else at the end of a day.

        Moments are kept to the second: of what was written in the very same one, the fingerprint
        says whether it had been read when it was announced.
        """
        book = self.book
        moment = self._evening(day) if announcement is None else announcement.moment
        then = book.weather(as_of=moment)
        if announcement and then is not None and fingerprint(then) != announcement.fingerprint:
            before = book.weather(as_of=moment - dt.timedelta(seconds=1))
            if before is not None and fingerprint(before) == announcement.fingerprint:
                then = before
        return then, book.forecasts(as_of=None if then is None else moment)

    def _evening(self, day: dt.date) -> dt.datetime:
        """The end of a day at the place."""
        from zoneinfo import ZoneInfo

        timezone = self.book.place.timezone
        zone = ZoneInfo(timezone) if timezone else None
        late = dt.datetime.combine(day, dt.time(23, 59, 59))
        return late.replace(tzinfo=zone) if zone else late.astimezone()


def announce(
    book: Book,
    today: Today,
    windows: Iterable[ScoutingWindow],
    surface: str,
    now: dt.datetime,
    *,
    trust_clock: bool = False,
) -> None:
    """Let a book remember the dates that a surface tells; once a day is enough.

    Surfaces that people act on, or hand on, are remembered. What is looked up as often as
    somebody likes, and every answer for programs, writes nothing.

    Raises
    ------
    Refusal
        If the book takes no writing. It can be read all the same.
    """
    plan = today.plan
    before = book.announced(surface, plan.season.name)
    fresh = list(announcements_of(plan, windows, surface, now, fingerprint(book.series()), before))
    if fresh:
        with book.writing(now, today.day, trust_clock=trust_clock) as pen:
            for announcement in fresh:
                pen.announce(announcement)
