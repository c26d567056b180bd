"""When to look next season: each stage's past years, and what has been due week by week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.due_rows import DueRow, due_rows
from gddcast.outlook.spans import inner_places
from gddcast.pages.paper import Figure, PageTable
from gddcast.text import numbers
from gddcast.today.plan import SeasonPlan
from gddcast.today.stage_years import FEWEST, StageYear, StageYears
from gddcast.units import Unit
from gddcast.weather.series import Season, season_of

_NONE = "–"
_WEEK = dt.timedelta(days=7)
_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class WinterPlan:
    """The section; ``why`` where there is nothing to plan from."""

    season: str
    sentence: str
    figure: Figure | None = None
    weeks: PageTable | None = None
    stages: PageTable | None = None


def winter_plan(
    stages: Sequence[StageYears], season: Season, plan: SeasonPlan, show: Unit
) -> WinterPlan:
    """What has been due when, of the season after one: for pencilling in.

    Parameters
    ----------
    stages : sequence of StageYears
    season : Season
        The last one that counts.
    plan : SeasonPlan
        Of the day it is written on.
    show : {"F", "C"}
    """
    after = season_of(season.last + _DAY, plan.place.season_begins)
    usable = [(each, _known(each, after)) for each in stages if each.sum is not None]
    usable = [(each, years) for each, years in usable if any(year.due for year in years)]
    if not usable:
        return WinterPlan(
            after.name, "No past season on record has all its days: nothing to plan from."
        )
    many = max(len(years) for _, years in usable)
    few = " Too few to call a span: the dots are all there is." if many < FEWEST else ""
    rows = [row_of(each, after) for each, _ in usable]
    drawn = sorted((row for row in rows if row.days), key=lambda row: sorted(row.days)[0])
    return WinterPlan(
        after.name,
        f"By {words.count(many, 'whole past season')}, each as its own weather went.{few} Stages "
        "that count from a find of yours have no day until you see it.",
        Figure(
            "A dot a past year, on the day its sum was reached; of a printed range, its low end.",
            due_rows(drawn, f"Due in past years, for {after.name}", ""),
        ),
        _weeks(usable, after),
        PageTable(
            "Past years, stage by stage",
            ("stage", "earliest", "in most years", "middle", "latest", "whole years",
             "counted, and whose number"),
            [_row(each, years, after, show) for each, years in usable], css="words",
        ),
    )  # fmt: skip


def _known(sighting: StageYears, after: Season) -> tuple[StageYear, ...]:
    """Whole seasons before the one planned."""
    return sighting.before(after)


def row_of(sighting: StageYears, season: Season, *, with_season: bool = False) -> DueRow:
    """A row of the drawing: past years moved into a season, its own days where wanted."""
    stage_year = sighting.of(season) if with_season else None
    seen = stage_year.bracket.found_on if stage_year and stage_year.bracket else None
    return DueRow(
        f"{words.capital(sighting.card.name)}: {sighting.event.words}",
        [
            (year.season.name, season.on(year.due[0].month, year.due[0].day))
            for year in sighting.before(season) if year.due
        ],
        stage_year.due[0] if stage_year and stage_year.due else None,
        seen,
    )  # fmt: skip


def _weeks(usable: Sequence[tuple[StageYears, Sequence[StageYear]]], season: Season) -> PageTable:
    """Monday by Monday, in how many years each stage became due in that week."""
    due: dict[dt.date, dict[str, int]] = {}
    totals = {}
    for each, years in usable:
        name = f"{words.capital(each.card.name)}: {each.event.words}"
        totals[name] = len(years)
        for year in years:
            if year.due:
                day = season.on(year.due[0].month, year.due[0].day)
                week = due.setdefault(day - dt.timedelta(days=day.weekday()), {})
                week[name] = week.get(name, 0) + 1
    rows = [
        [
            words.span(monday, monday + _WEEK - _DAY),
            "; ".join(f"{name} ({years} of {totals[name]})" for name, years in week.items()),
            "",
        ]
        for monday, week in sorted(due.items())
    ]
    return PageTable(
        f"Week by week, {season.name}", ("week", "became due in so many past years", "my notes"),
        rows, css="words plain weeks",
    )  # fmt: skip


def _row(sighting: StageYears, years: Sequence[StageYear], season: Season, show: Unit) -> list[str]:
    lows = sorted((season.on(y.due[0].month, y.due[0].day), y.season.name) for y in years if y.due)
    highs = sorted((season.on(y.due[1].month, y.due[1].day), y.season.name) for y in years if y.due)
    named = [f"{words.day(day, weekday=False)} ({name})" for day, name in (lows[0], highs[-1])]
    inner, middle = _NONE, _NONE
    if len(years) >= FEWEST:
        places = [int(place) for place in inner_places(len(lows))]
        first, last = lows[places[0]][0], highs[places[1]][0]
        # Of a range the same year need not be the earliest at both of its ends.
        held = sum(
            first <= season.on(y.due[0].month, y.due[0].day)
            and season.on(y.due[1].month, y.due[1].day) <= last
            for y in years if y.due
        )  # fmt: skip
        inner = f"{words.span(first, last)} ({held} of {len(years)})"
        middle = words.day(lows[(len(lows) - 1) // 2][0], weekday=False)
    missed = sum(year.due is None for year in years)
    return [
        f"{words.capital(sighting.card.name)}: {sighting.event.words}",
        named[0], inner, middle, named[1],
        f"{len(years)}, {missed} not reached" if missed else str(len(years)),
        "; ".join(_counted(sighting, show)),
    ]  # fmt: skip


def _counted(sighting: StageYears, show: Unit) -> Iterator[str]:
    by, number = sighting.sum, sighting.event.default
    if by is None:
        return
    low, high = by.goals[0], by.goals[-1]
    goal = words.heat(high, show)
    if low != high:
        goal = f"{words.heat(low, show, unit=False)} to {goal}"
    start = words.day(dt.date(2024, *by.start), weekday=False)
    yield f"{goal} {numbers.counted(by.counting, show)}, from {start}"
    if by.goals != tuple(dict.fromkeys((number.goal_c if number else None) or ())):
        yield "by your finds"
    elif number is not None:
        yield f"{numbers.cited(sighting.card, number.source)}, {number.evidence}"
