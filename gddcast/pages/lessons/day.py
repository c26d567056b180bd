"""A worked day as a page: its picture, every method side by side, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast.draw.day_curve import day_picture
from gddcast.heat.daily import CUTOFFS, no_cutoff, single_sine
from gddcast.lessons import day_waves
from gddcast.lessons.day_steps import steps
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worked_day import (
    IN_WORDS,
    Day,
    day_title,
    moral,
    short_sum,
    side_by_side,
)
from gddcast.pages.paper import Figure, PageTable, Paper, fill


@dataclass(frozen=True, slots=True)
class WorkedSteps:
    """One method, or one day, step by step."""

    heading: str
    steps: Sequence[str]
    about: str = ""


@dataclass(frozen=True, slots=True)
class WorkedDay:
    """What ``worked_day.html`` shows."""

    title: str
    day: str
    figure: Figure
    methods: PageTable
    moral: str
    upper: str
    cutoffs: PageTable | None
    by_method: Sequence[WorkedSteps]
    by_cutoff: Sequence[WorkedSteps]


def day_page(day: Day, *, size: Paper = "a4") -> str:
    """A self-contained page of one worked day."""
    has_upper = not np.isinf(day.upper)
    cut = [each for each in CUTOFFS.values() if each is not no_cutoff and day.high > day.upper]
    title = day_title(day)
    page = WorkedDay(
        title=f"One day by hand: {title}",
        day=f"{title}.",
        figure=day_figure(day),
        methods=methods_table(day),
        moral=moral(day),
        upper=f"{day.upper:g} °{day.unit}",
        cutoffs=_cutoffs(day) if has_upper else None,
        by_method=[
            WorkedSteps(each.name, steps(day, each), f"It takes the day as {IN_WORDS[each.name]}.")
            for each in day.shapes
        ],
        by_cutoff=[
            WorkedSteps(f"single sine, {each.name}", steps(day, single_sine, each)) for each in cut
        ],
    )
    return fill("worked_day.html", page, paper=size)


def day_figure(day: Day) -> Figure:
    """The day's curve, its heat filled."""
    return Figure(day_waves.takeaway(day), day_picture(day))


def methods_table(day: Day) -> PageTable:
    """Every method side by side, without an upper threshold."""
    return PageTable(
        "Every method",
        ("method", "sum", f"°{day.unit}-days"),
        [
            (each.name, short_sum(day, each), heat_shown(day.heat(each), day.unit))
            for each in day.shapes
        ],
    )


def _cutoffs(day: Day) -> PageTable:
    rows = [
        (name, *(heat_shown(heat, day.unit) for heat in by_cutoff.values()))
        for name, by_cutoff in side_by_side(day).items()
    ]
    return PageTable("Every cut-off", (f"°{day.unit}-days", *CUTOFFS), rows)
