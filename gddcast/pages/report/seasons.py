"""How the season stands, and the past ones beside it: curves, dots, ranks."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.draw.season_curve import season_curve
from gddcast.draw.season_dots import MOST, season_dots
from gddcast.outlook.seasons import SeasonCurves, whole_sum
from gddcast.pages.paper import Figure, PageTable
from gddcast.text import numbers, weather_so_far
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class Seasons:
    """A drawing and its table, either of which may be missing, or a sentence why."""

    sentence: str = ""
    figure: Figure | None = None
    table: PageTable | None = None


def this_season(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Seasons:
    """The curve of this season over the past ones, and the same sums month by month."""
    takeaway = weather_so_far.season_line(plan, show)
    if not any(np.isfinite(each.heat).any() for each in curves.every):
        return Seasons(takeaway)
    if plan.standing and plan.standing.rank and not plan.standing.has_begun:
        return Seasons(takeaway)  # a drawing of nothing, its names on each other
    table = PageTable(
        "Heat month by month", month_headings(curves, plan), [*month_rows(curves, plan, show)],
        caption=f"°{show}-days, {counted(plan, show)}",
    )  # fmt: skip
    return Seasons("", Figure(takeaway, season_curve(curves, show, takeaway, plan.standing)), table)


def month_rows(curves: SeasonCurves, plan: SeasonPlan, show: Unit) -> Iterator[list[str]]:
    """The drawn sums at the end of each month: this season, middle, fastest, slowest."""
    for ahead in range(12):
        month = (plan.season.first.month - 1 + ahead) % 12 + 1
        year = plan.season.on(month, 1).year
        day = dt.date(year, month, calendar.monthrange(year, month)[1])
        then = [each.through(day) for each in curves.past]
        known = [each for each in then if np.isfinite(each)]
        now = curves.current.through(day) if curves.current and day < plan.today else float("nan")
        ends = (curves.fastest, curves.slowest)
        named = [each.through(day) if each else float("nan") for each in ends]
        sums = [now, float(np.median(known)) if known else float("nan"), *named]
        yield [words.day(day, weekday=False), *(shown(each, show) for each in sums)]


def month_headings(curves: SeasonCurves, plan: SeasonPlan) -> list[str]:
    """Over the columns of `month_rows`."""
    ends = (("fastest", curves.fastest), ("slowest", curves.slowest))
    named = [f"{kind} ({each.season.name})" if each else kind for kind, each in ends]
    return ["end of", plan.season.name, "middle past year", *named]


def shown(celsius_days: float | None, show: Unit) -> str:
    """A sum in the reader's scale, without its unit; a dash where it is not known."""
    if celsius_days is None or not np.isfinite(celsius_days):
        return "–"
    return words.heat(celsius_days, show, unit=False)


def counted(plan: SeasonPlan, show: Unit) -> str:
    """How the sums of the season are counted, in one phrase."""
    counting, start = plan.season_sum.counting, plan.season_sum.start
    first = words.day(plan.season.on(*start), weekday=False)
    return f"{numbers.counted(counting, show)}, from {first}"


def past_seasons(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Seasons:
    """Every season by the same day, ranked; when it had this season's heat; its whole sum."""
    if not curves.past:
        return Seasons("The record holds no past season.")
    day = plan.standing.through if plan.standing else plan.through
    until = words.day(day, weekday=False)
    heats = {each.season.name: each.through(day) for each in curves.every}
    order = sorted(
        ((name, heat) for name, heat in heats.items() if np.isfinite(heat)),
        key=lambda pair: -pair[1],
    )
    table = _ranked(plan, curves, show, heats, until)
    if len(order) < 2:
        unknown = "" if order else f"No season’s days are all known to {until}."
        return Seasons(unknown, None, table)
    latest = {each.season.name for each in curves.every[-MOST:]}
    drawn = [pair for pair in order if pair[0] in latest]
    many = words.count(len(order), "season")
    takeaway = f"To {until}, {order[0][0]} is the warmest of {many} whose days are all known."
    if order[0][1] == 0.0:
        return Seasons(f"To {until} no season had any heat.", None, table)
    if len(drawn) < len(order):
        takeaway += f" Drawn: the latest {len(drawn)}."
    dots = season_dots(drawn, plan.season.name, f"Heat to {until}", takeaway, show)
    return Seasons("", Figure(takeaway, dots), table)


def _ranked(
    plan: SeasonPlan, curves: SeasonCurves, show: Unit, heats: dict[str, float], until: str
) -> PageTable:
    sums = sorted((heat for heat in heats.values() if np.isfinite(heat)), reverse=True)
    now = plan.standing.heat if plan.standing else None
    rows = []
    for each in reversed(curves.every):
        heat, is_now = heats[each.season.name], each is curves.current
        same = each.reached(now) if now else None
        rows.append([
            each.season.name,
            shown(heat, show),
            str(sums.index(heat) + 1) if np.isfinite(heat) else "left out",
            "today" if is_now else words.day(same, weekday=False) if same else "–",
            "so far" if is_now else shown(whole_sum(each), show),
        ])  # fmt: skip
    so_much = f"{shown(now, show)} reached on" if now else "reached on"
    headings = ("season", f"to {until}", "rank", so_much, "whole season")
    caption = f"°{show}-days, {counted(plan, show)}"
    return PageTable("Seasons side by side", headings, rows, caption=caption)
