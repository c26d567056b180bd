"""The report's sections in their order; on one side of paper, what fits there."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from gddcast import words
from gddcast.outlook.season_so_far import record_on
from gddcast.outlook.seasons import SeasonCurves, season_curves
from gddcast.pages import paper
from gddcast.pages.report.ahead import Ahead, Moves, still_to_come
from gddcast.pages.report.due import DueSection, due_today
from gddcast.pages.report.finds import Finds, finds_section
from gddcast.pages.report.numbers import Numbers, Sources, numbers, sources
from gddcast.pages.report.one_side import one_side
from gddcast.pages.report.record import RecordSection, weather_record
from gddcast.pages.report.seasons import Seasons, past_seasons, this_season
from gddcast.pages.report.sowings import Sowings, sowings
from gddcast.text import weather_so_far
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class TwoSeasons:
    """The season over the past ones, and those by the same day."""

    season: Seasons
    past: Seasons


@dataclass(frozen=True, slots=True)
class Report:
    """What ``report.html`` shows: a section that is None is left out."""

    title: str
    day: str
    place: str
    known: str
    weather: str
    due: DueSection
    ahead: Ahead | None
    sowings: Sowings | None
    finds: Finds | None
    seasons: TwoSeasons
    record: RecordSection
    numbers: Numbers
    sources: Sources
    weather_only: str = words.WEATHER_ONLY
    away_from_home: str = words.AWAY_FROM_HOME
    cautions: str = words.CAUTIONS


def report_page(
    today: Today, show: Unit, *, since: dt.date | None = None, size: paper.Paper | None = None
) -> str:
    """The whole report as one HTML file.

    Parameters
    ----------
    today : Today
    show : {"F", "C"}
        What the person reads.
    since : datetime.date, optional
        A day that dates are held against.
    size : {"a4", "letter"}, optional
        One side of that paper, to pin up; else the page with every section.
    """
    if size is not None:
        return paper.fill("report_side.html", one_side(today, show, size), paper=size)
    plan, curves = today.plan, curves_of(today.plan)
    moves = Moves(since, {} if since is None else today.changes_since(since))
    report = Report(
        title=f"{plan.place.name}, {words.day(plan.today, year=True)}",
        day=words.day(plan.today, year=True),
        place=plan.place.name,
        known=weather_so_far.known_line(plan),
        weather=weather_so_far.weather_line(plan),
        due=due_today(today, show),
        ahead=still_to_come(today, show, moves),
        sowings=sowings(today, show),
        finds=finds_section(today, show),
        seasons=TwoSeasons(this_season(plan, curves, show), past_seasons(plan, curves, show)),
        record=weather_record(plan),
        numbers=numbers(plan, show),
        sources=sources(plan),
    )
    return paper.fill("report.html", report)


def curves_of(plan: SeasonPlan) -> SeasonCurves:
    """Every season of the record, counted the way the season is told of."""
    known, sum_ = record_on(plan.series, plan.today), plan.season_sum
    return season_curves(known, sum_.counting, plan.season, start=sum_.start)
