"""The yearbook's sections in their order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.draw.due_rows import due_rows
from gddcast.draw.sowing_bars import called
from gddcast.journal.entries import Journal, Sighting, Sowing
from gddcast.outlook.seasons import SeasonCurves
from gddcast.pages import paper
from gddcast.pages.paper import Figure, PageTable
from gddcast.pages.yearbook.winter_plan import WinterPlan, row_of, winter_plan
from gddcast.text import sentences, weather_so_far
from gddcast.today.plan import SeasonPlan
from gddcast.today.stage_years import StageYear, StageYears
from gddcast.units import Unit
from gddcast.weather.series import Season

_NONE = "–"


@dataclass(frozen=True, slots=True)
class Yearbook:
    """What ``yearbook.html`` shows: a part that is None is left out."""

    title: str
    place: str
    season: str
    heat: str
    came: PageTable | None
    figure: Figure | None
    sowings: PageTable | None
    looks: PageTable | None
    plan: WinterPlan
    weather_only: str = words.WEATHER_ONLY
    away_from_home: str = words.AWAY_FROM_HOME
    cautions: str = words.CAUTIONS


def yearbook_page(
    plan: SeasonPlan,
    season: Season,
    stages: Sequence[StageYears],
    curves: SeasonCurves,
    journal: Journal,
    show: Unit,
) -> str:
    """The whole yearbook as one HTML file.

    Parameters
    ----------
    plan : SeasonPlan
        Of the day it is written on.
    season : Season
        The one it is about.
    stages : sequence of StageYears
        Of what is watched.
    curves : SeasonCurves
        By the season's sum.
    journal : Journal
    show : {"F", "C"}
    """
    known = [each for each in stages if each.of(season) or each.before(season)]
    book = Yearbook(
        title=f"{plan.place.name}: my year {season.name}",
        place=plan.place.name,
        season=season.name,
        heat=_heat(curves, season, plan, show),
        came=_came(known, season),
        figure=_figure(known, season),
        sowings=_sowings(journal, season, plan),
        looks=_looks(journal, season, plan, known),
        plan=winter_plan(stages, season, plan, show),
    )
    return paper.fill("yearbook.html", book)


def _heat(curves: SeasonCurves, season: Season, plan: SeasonPlan, show: Unit) -> str:
    """How warm it was, beside every other season by the same day."""
    season_heat = next((each for each in curves.every if each.season == season), None)
    if season_heat is None or not season_heat.heat.size or not np.isfinite(season_heat.heat[-1]):
        return f"The sum of {season.name} is not known: days of it are missing."
    last = season.first + dt.timedelta(days=season_heat.heat.size - 1)
    then = [each.through(last) for each in curves.every]
    sums = sorted((heat for heat in then if np.isfinite(heat)), reverse=True)
    rank = weather_so_far.rank_words(1 + sum(heat > season_heat.heat[-1] for heat in sums))
    first = words.day(plan.season.on(*plan.season_sum.start), weekday=False)
    how = f"{words.heat(float(season_heat.heat[-1]), show)} from {first} to {words.day(last)}"
    return f"{how}: {rank} of {words.count(len(sums), 'season')} by that day."


def _came(stages: Sequence[StageYears], season: Season) -> PageTable | None:
    """When each was due and came, beside the years before."""
    rows = []
    for each in stages:
        now = each.of(season)
        if now is None or (now.due is None and now.bracket is None):
            continue
        past = [year.due for year in each.before(season) if year.due]
        rows.append([
            _title(each),
            _due(now),
            _find_days(now),
            _apart(now),
            _span_of(past, season),
            words.listed([
                f"{_find_days(year)} ({year.season.name})"
                for year in each.years if year.bracket and year.season != season
            ]) or _NONE,
        ])  # fmt: skip
    if not rows:
        return None
    headings = ("stage", "due by its sum", "first seen", "days apart", "due in other years",
                "seen in other years")  # fmt: skip
    return PageTable("Due and seen, stage by stage", headings, rows, css="words")


def _title(sighting: StageYears) -> str:
    return f"{words.capital(sighting.card.name)}: {sighting.event.words}"


def _due(year: StageYear) -> str:
    return words.span(*year.due) if year.due else _NONE


def _find_days(year: StageYear) -> str:
    if year.bracket is None:
        return _NONE
    found = words.day(year.bracket.found_on, weekday=False)
    if year.bracket.earliest is None:
        return f"by {found}"
    return words.span(year.bracket.earliest, year.bracket.found_on)


def _apart(year: StageYear) -> str:
    """Days from the end of the sum to the find; nothing to say where either is not there."""
    if year.bracket is None or year.due is None:
        return _NONE
    days = (year.bracket.found_on - year.due[1]).days
    return (
        "0"
        if days == 0
        else f"{words.count(abs(days), 'day')} {'later' if days > 0 else 'earlier'}"
    )


def _span_of(past: Sequence[tuple[dt.date, dt.date]], season: Season) -> str:
    if not past:
        return _NONE
    first = min(_in_season(low, season) for low, _ in past)
    last = max(_in_season(high, season) for _, high in past)
    return f"{words.span(first, last)} ({words.count(len(past), 'year')})"


def _in_season(day: dt.date, season: Season) -> dt.date:
    """The same day of the calendar in another season."""
    return season.on(day.month, day.day)


def _figure(stages: Sequence[StageYears], season: Season) -> Figure | None:
    rows = [row_of(each, season, with_season=True) for each in stages]
    rows = [row for row in rows if row.days and (row.due or row.find)]
    if not rows:
        return None
    due, seen = (
        sum(map(bool, each)) for each in zip(*((r.due, r.find) for r in rows), strict=True)
    )
    many = words.count(len(rows), "stage")
    takeaway = f"{many} in {season.name}: {due} due by a sum, {seen} seen."
    return Figure(takeaway, due_rows(rows, f"Due and seen in {season.name}", season.name))


def _sowings(journal: Journal, season: Season, plan: SeasonPlan) -> PageTable | None:
    rows = [
        _sowing(each, journal, plan)
        for each in sorted(journal.sowings, key=lambda each: (each.sown_on, each.name or ""))
        if season.first <= each.sown_on <= season.last and each.sown_on <= plan.today
    ]
    headings = ("sowing", "first pick", "days to it", "pulled")
    return PageTable("Each sowing to its first pick", headings, rows, css="words") if rows else None


def _sowing(sowing: Sowing, journal: Journal, plan: SeasonPlan) -> list[str]:
    done = {
        job.job: job.done_on for job in journal.jobs
        if job.sowing == sowing.name and job.done_on <= plan.today
    }  # fmt: skip
    pick, pulled = done.get("first-pick"), done.get("pulled")
    crop = words.capital(sowing.crop.replace("-", " "))
    return [
        f"{crop}, {called(sowing)}",
        words.day(pick, weekday=False) if pick else _NONE,
        str((pick - sowing.sown_on).days) if pick else _NONE,
        words.day(pulled, weekday=False) if pulled else _NONE,
    ]


def _looks(
    journal: Journal, season: Season, plan: SeasonPlan, stages: Sequence[StageYears]
) -> PageTable | None:
    """Every find and report of the season, by day, as it was written down."""
    names = {(each.card.key, each.event.key): _title(each) for each in stages}
    names |= {(each.card.key, each.event.key): sentences.title(each) for each in plan.windows}
    rows = [
        [
            words.day(each.seen_on, weekday=False),
            names.get((each.organism, each.event), _plain(each)),
            _kind_of_find(each),
            "; ".join(part for part in (each.where, each.note) if part) or _NONE,
        ]
        for each in sorted(journal.sightings, key=lambda each: each.seen_on)
        if season.first <= each.seen_on <= min(season.last, plan.today) and each.kind != "none"
    ]
    headings = ("day", "what", "how", "where and note")
    return PageTable("Each find", headings, rows, css="words plain") if rows else None


def _plain(sighting: Sighting) -> str:
    return words.capital(f"{sighting.organism}: {sighting.event}".replace("-", " "))


def _kind_of_find(sighting: Sighting) -> str:
    said = "heard of" if sighting.kind == "heard" else "in a trap" if sighting.trap else "seen"
    return f"{said}, not sure" if sighting.kind == "saw" and not sighting.sure else said
