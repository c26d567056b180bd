"""The report's sections in their order."""

from __future__ import annotations

from dataclasses import dataclass

from gddcast import words
from gddcast.outlook.season_so_far import record_on
from gddcast.outlook.seasons import SeasonCurves, season_curves
from gddcast.pages import paper
from gddcast.pages.report.ahead import Ahead, still_to_come
from gddcast.pages.report.beside import Beside
from gddcast.pages.report.finds import Finds, finds_section
from gddcast.pages.report.numbers import Numbers, Sources, numbers, sources
from gddcast.pages.report.record import RecordSection, weather_record
from gddcast.pages.report.seasons import Seasons, past_seasons, this_season
from gddcast.pages.report.sowings import Sowings, sowings
from gddcast.pages.report.week import Week, this_week
from gddcast.text import weather_so_far
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class Report:
    """What ``report.html`` shows: a section that is None is left out."""

    title: str
    place: str
    weather: str
    week: Week
    ahead: Ahead | None
    season: Seasons
    seen: Finds | None
    sowings: Sowings | None
    past: Seasons
    record: RecordSection
    numbers: Numbers
    sources: Sources
    weather_only: str = words.WEATHER_ONLY
    away_from_home: str = words.AWAY_FROM_HOME
    cautions: str = words.CAUTIONS


def report_page(plan: SeasonPlan, show: Unit, beside: Beside | None = None) -> str:
    """The whole report as one HTML file.

    Parameters
    ----------
    plan : SeasonPlan
    show : {"F", "C"}
        What the person reads.
    beside : Beside, optional
        What is known beside the plan.
    """
    beside, curves = beside or Beside(), curves_of(plan)
    report = Report(
        title=f"{plan.place.name}, {words.day(plan.today, year=True)}",
        place=plan.place.name,
        weather=weather_so_far.weather_line(plan),
        week=this_week(plan, show, beside),
        ahead=still_to_come(plan, show, beside),
        season=this_season(plan, curves, show),
        seen=finds_section(plan, show, beside),
        sowings=sowings(plan, show, beside),
        past=past_seasons(plan, curves, show),
        record=weather_record(plan),
        numbers=numbers(plan, show),
        sources=sources(plan),
    )
    return paper.fill("report.html", report)


def curves_of(plan: SeasonPlan) -> SeasonCurves:
    """Every season of the record, counted the way the season is told of."""
    known, sum_ = record_on(plan.series, plan.today), plan.season_sum
    return season_curves(known, sum_.counting, plan.season, start=sum_.start)
