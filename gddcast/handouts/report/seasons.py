"""How the season stands, and the past ones beside it: curves, dots, ranks."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.drawings.season_curve import (
    month_headings,
    month_rows,
    season_curve,
    shown,
)
from gddcast.handouts.drawings.season_dots import MOST, season_dots
from gddcast.outlook.seasons import SeasonCurves, whole_sum
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit


def this_season(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Iterator[str]:
    """The curve of this season over the past ones, and the same sums month by month."""
    takeaway = sentences.season_line(plan, show)
    heats = [*curves.past, *([curves.current] if curves.current else [])]
    if not any(np.isfinite(each.heat).any() for each in heats):
        yield paper.paragraph(takeaway)
        return
    table = paper.table(
        month_headings(curves, plan), month_rows(curves, plan, show),
        caption=f"°{show}-days, {counted(plan, show)}",
    )  # fmt: skip
    yield _side_by_side(
        paper.figure(takeaway, season_curve(curves, show, takeaway)),
        paper.wide(table, "Heat month by month"),
    )


def _side_by_side(drawing: str, table: str) -> str:
    return f'<div class="side">{drawing}\n{table}</div>'


def counted(plan: SeasonPlan, show: Unit) -> str:
    """How the sums of the season are counted, in one phrase."""
    counting, start = plan.season_sum.counting, plan.season_sum.start
    lower = words.temperature(counting.lower, show, 1).replace(".0", "")
    first = words.day(plan.season.on(*start), weekday=False)
    said = f"above {lower}, {counting.shape.name}, from {first}"
    if np.isfinite(counting.upper):
        upper = words.temperature(counting.upper, show, 1).replace(".0", "")
        said += f"; {counting.cutoff.name} at {upper}"
    return said


def past_seasons(plan: SeasonPlan, curves: SeasonCurves, show: Unit) -> Iterator[str]:
    """Every season by the same day, ranked; when it had this season's heat; its whole sum."""
    if not curves.past:
        yield paper.paragraph("The record holds no past season.")
        return
    day = plan.standing.through if plan.standing else plan.through
    until = words.day(day, weekday=False)
    seasons = [*curves.past, *([curves.current] if curves.current else [])]
    then = {each.season.name: each.through(day) for each in seasons}
    order = sorted(
        ((name, heat) for name, heat in then.items() if np.isfinite(heat)),
        key=lambda pair: -pair[1],
    )
    if not order:
        yield paper.paragraph(f"No season’s days are all known to {until}.")
    sums = [heat for _, heat in order]
    now = plan.standing.heat if plan.standing else None
    rows = []
    for each in reversed(seasons):
        heat, is_now = then[each.season.name], each is curves.current
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
    table = paper.wide(paper.table(headings, rows, caption=caption), "Seasons side by side")
    if len(order) < 2:
        yield table
        return
    latest = {each.season.name for each in seasons[-MOST:]}
    drawn = [pair for pair in order if pair[0] in latest]
    many = words.count(len(order), "season")
    takeaway = f"To {until}, {order[0][0]} is the warmest of {many} whose days are all known."
    if len(drawn) < len(order):
        takeaway += f" Drawn: the latest {len(drawn)}."
    dots = season_dots(drawn, plan.season.name, f"Heat to {until}", takeaway, show)
    yield _side_by_side(paper.figure(takeaway, dots), table)
