"""Dates that people were told, and what a book remembers of the days they were told on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from gddcast.outlook.changes import Dates
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.scouting.windows import ScoutingWindow
from gddcast.today.beside_dates import Stage, stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.weather.series import DailySeries


@dataclass(frozen=True, slots=True)
class Announcement:
    """One date told: by which surface, when, of what, and from which weather."""

    surface: str
    moment: dt.datetime
    day: dt.date
    season: str
    organism: str
    event: str
    clock: str
    opens: dt.date | None
    earliest: dt.date | None
    latest: dt.date | None
    fingerprint: str

    @property
    def stage(self) -> Stage:
        """What it is of."""
        return self.organism, self.event, self.clock

    @property
    def dates(self) -> Dates:
        """Its dates; a latest day before the day it was told on is the day it came."""
        came = self.latest if self.latest is not None and self.latest < self.day else None
        return Dates(self.earliest, None, self.latest, self.latest, came)


class Memory(Protocol):
    """What a place's book remembers of earlier days."""

    def announced(self, surface: str | None, season: str) -> Sequence[Announcement]:
        """Dates one surface, or any, told of a season, oldest first."""

    def weather(
        self, day: dt.date, announcement: Announcement | None = None
    ) -> tuple[DailySeries | None, ForecastArchive]:
        """The record and the forecasts as they were kept when something was announced.

        Without an announcement, as at the end of a day. The record is None where the book is
        younger; its forecasts are then all there are.
        """


def latest_by_stage(announced: Iterable[Announcement]) -> dict[Stage, Announcement]:
    """What was last told of each stage."""
    return {each.stage: each for each in announced}


def by_moment(announced: Iterable[Announcement]) -> list[list[Announcement]]:
    """Those told at one moment together."""
    moments: dict[tuple[dt.date, dt.datetime], list[Announcement]] = {}
    for each in announced:
        moments.setdefault((each.day, each.moment), []).append(each)
    return list(moments.values())


def days_to_look(announced: Iterable[Announcement], today: dt.date) -> dict[Stage, dt.date]:
    """Days to start looking last told of each stage, by the evening of a day."""
    return {
        each.stage: each.opens for each in announced if each.opens is not None and each.day <= today
    }


def announcements_of(
    plan: SeasonPlan,
    windows: Iterable[ScoutingWindow],
    surface: str,
    moment: dt.datetime,
    fingerprint: str,
    before: Iterable[Announcement],
) -> Iterator[Announcement]:
    """The dates a surface tells now that it has not told in the same words already.

    Parameters
    ----------
    plan : SeasonPlan
    windows : iterable of ScoutingWindow
        Those it shows.
    surface : str
    moment : datetime.datetime
    fingerprint : str
        Of the weather they are made from.
    before : iterable of Announcement
        What the surface told of this season, oldest first.
    """
    last, told = latest_by_stage(before), set()
    for window in windows:
        stage = stage_of(window)
        if window.fastest is None or window.is_answered or stage in told:
            continue
        fresh = Announcement(
            surface, moment, plan.today, plan.season.name, *stage,
            window.opens, window.fastest, window.slowest, fingerprint,
        )  # fmt: skip
        earlier = last.get(stage)
        if earlier is None or replace(fresh, moment=earlier.moment) != earlier:
            told.add(stage)
            yield fresh
