"""Ahead, Beds, Seasons: the sections of the report, each a screen of its own."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.draw.days_ahead import days_ahead
from gddcast.outlook.seasons import SeasonCurves, days_ahead_by_day
from gddcast.pages.paper import Figure
from gddcast.pages.report.ahead import Ahead, Moves, still_to_come
from gddcast.pages.report.finds import Finds, finds_section
from gddcast.pages.report.own_sums import OwnSumPart, own_sums
from gddcast.pages.report.page import TwoSeasons, curves_of
from gddcast.pages.report.seasons import past_seasons, this_season
from gddcast.text import weather_so_far
from gddcast.web.screen import Shown

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.web.season_book import SeasonBook

_A_WEEK = dt.timedelta(days=7)


@dataclass(frozen=True, slots=True)
class AheadPage:
    """What ``web/ahead.html`` shows."""

    place: str
    known: str
    ahead: Ahead | None
    title: str = "Ahead"
    weather_only: str = words.WEATHER_ONLY
    away_from_home: str = words.AWAY_FROM_HOME


def ahead(_: Request, book: SeasonBook) -> Shown:
    """Dots of all stages on one axis: four weeks, the season, the same as tables."""
    today, show = book.today(), book.show()
    since = None if today.plan.watches_all else today.day - _A_WEEK
    moves = Moves(since, {} if since is None else today.changes_since_last_week)
    page = AheadPage(
        today.plan.place.name, weather_so_far.known_line(today.plan),
        still_to_come(today, show, moves),
    )  # fmt: skip
    return Shown("ahead.html", page, "ahead")


@dataclass(frozen=True, slots=True)
class SeasonsPage:
    """What ``web/seasons.html`` shows."""

    place: str
    known: str
    headline: str
    ahead: Figure | None
    seasons: TwoSeasons
    finds: Finds | None
    own_sums: tuple[OwnSumPart, ...]
    title: str = "Seasons"


def seasons(_: Request, book: SeasonBook) -> Shown:
    """How the season stands beside the past ones, and what was seen."""
    today, show = book.today(), book.show()
    plan, curves = today.plan, curves_of(today.plan)
    page = SeasonsPage(
        plan.place.name, weather_so_far.known_line(plan),
        weather_so_far.in_days(plan.standing), _days_ahead(curves),
        TwoSeasons(this_season(plan, curves, show), past_seasons(plan, curves, show)),
        finds_section(today, show), own_sums(today, show),
    )  # fmt: skip
    return Shown("seasons.html", page, "seasons")


def _days_ahead(curves: SeasonCurves) -> Figure | None:
    said = "Day by day, so many days ahead of the middle past year, or behind it."
    drawn = days_ahead(days_ahead_by_day(curves), curves, said)
    return Figure(said, drawn) if drawn else None
