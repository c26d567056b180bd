"""Lessons as pages to print: a worked day, a worksheet and its key, rearing jars."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.draw.day_curve import day_picture, g_picture
from gddcast.draw.rates import rate_picture, takeaway
from gddcast.heat.daily import CUTOFFS, no_cutoff, single_sine
from gddcast.lessons import day_waves
from gddcast.lessons.curve_table import table as curve_rows
from gddcast.lessons.worked_day import (
    IN_WORDS,
    Day,
    day_title,
    moral,
    short_sum,
    side_by_side,
    steps,
)
from gddcast.lessons.worksheet import (
    ROUNDING,
    SHEET_METHODS,
    Worksheet,
    day_steps,
    heat_by_hand,
    order_of,
    rules_of,
    y_of,
)
from gddcast.pages.paper import Figure, PageTable, Paper, fill
from gddcast.rearing.curves import NoCurve, RateCurve
from gddcast.rearing.fit import Rearing, ThresholdLine
from gddcast.rearing.orthogonal import SecondOpinion
from gddcast.text.rearing import curve_words, with_error


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
        figure=Figure(day_waves.takeaway(day), day_picture(day)),
        methods=PageTable(
            "Every method",
            ("method", "sum", f"°{day.unit}-days"),
            [(each.name, short_sum(day, each), f"{day.heat(each):.1f}") for each in day.shapes],
        ),
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


def _cutoffs(day: Day) -> PageTable:
    rows = [
        (name, *(f"{heat:.1f}" for heat in by_cutoff.values()))
        for name, by_cutoff in side_by_side(day).items()
    ]
    return PageTable("Every cut-off", (f"°{day.unit}-days", *CUTOFFS), rows)


@dataclass(frozen=True, slots=True)
class Exercise:
    """What ``worksheet.html`` and ``worksheet_key.html`` show."""

    title: str
    seed: int
    line: str
    unit: str
    rounding: str
    days: PageTable
    rules: Sequence[tuple[str, str]] = ()
    figure: Figure | None = None
    curve: PageTable | None = None
    by_day: Sequence[WorkedSteps] = ()
    order: str = ""


def sheet_page(sheet: Worksheet, *, size: Paper = "a4") -> str:
    """The sheet: readings, empty columns, three rules, the curve and its table; no answers."""
    page = Exercise(
        f"Heat of a week, sheet {sheet.seed}", sheet.seed, f"{sheet.line:g}", sheet.unit, ROUNDING,
        _columns([[*_readings(sheet, row), *[""] * 7] for row in range(len(sheet.days))]),
        rules=rules_of(sheet),
        figure=Figure("How g falls from the mean (y = 0) to the edge (y = 1)", g_picture()),
        curve=PageTable("The curve", ("y", "g(y)"),
                    [(f"{y:.2f}", f"{g:.4f}") for y, g in curve_rows(single_sine)]),
    )  # fmt: skip
    return fill("worksheet.html", page, paper=size)


def key_page(sheet: Worksheet, *, size: Paper = "a4") -> str:
    """The key: the filled table, then every step of every day."""
    totals = [f"{sheet.total(shape):.1f}" for shape in SHEET_METHODS]
    page = Exercise(
        f"Heat of a week, key {sheet.seed}", sheet.seed, f"{sheet.line:g}", sheet.unit, ROUNDING,
        _columns([_answers(sheet, row) for row in range(len(sheet.days))], totals),
        by_day=[
            WorkedSteps(f"{words.day(sheet.date(row))}: high {day.high:g}, low {day.low:g}",
                  day_steps(day))
            for row, day in enumerate(sheet.days)
        ],
        order=order_of(sheet),
    )  # fmt: skip
    return fill("worksheet_key.html", page, paper=size)


def _columns(rows: Sequence[Sequence[str]], totals: Sequence[str] = ("", "", "")) -> PageTable:
    first, second, third = (shape.name for shape in SHEET_METHODS)
    headings = ("day", "high", "low", first, second, "M", "W", "y", "g", third)
    foot = ("total", "", "", totals[0], totals[1], "", "", "", "", totals[2])
    return PageTable("The days", headings, rows, css="write", foot=foot)


def _readings(sheet: Worksheet, row: int) -> list[str]:
    day = sheet.days[row]
    return [words.day(sheet.date(row)), f"{day.high:g}", f"{day.low:g}"]


def _answers(sheet: Worksheet, row: int) -> list[str]:
    day, y = sheet.days[row], y_of(sheet.days[row])
    by_hand = [f"{heat_by_hand(day, shape):.10g}" for shape in SHEET_METHODS]
    curve = dict(curve_rows(single_sine))
    looked_up = ["–", "–"] if y is None else [f"{y:.2f}", f"{curve[round(y, 2)]:.4f}"]
    columns = [f"{day.mean:g}", f"{day.half_range:g}", *looked_up]
    return [*_readings(sheet, row), by_hand[0], by_hand[1], *columns, by_hand[2]]


@dataclass(frozen=True, slots=True)
class Jars:
    """What ``rearing.html`` shows."""

    title: str
    source: str
    figure: Figure
    threshold: PageTable
    jars: PageTable
    notes: Sequence[str]


def rate_page(
    rearing: Rearing, line: ThresholdLine, opinion: SecondOpinion, curve: RateCurve | NoCurve,
    *, size: Paper = "a4",
) -> str:  # fmt: skip
    """Rearing jars: the rates, the line to its zero, the rate curve, the numbers beside."""
    headings = ("how found", "lower threshold, °C", "heat sum, °C-days")
    page = Jars(
        f"Thresholds from {rearing.source}",
        rearing.source,
        Figure(takeaway(line), rate_picture(rearing, line, curve)),
        PageTable("Threshold and heat sum", headings, _threshold(line, opinion)),
        PageTable("The jars", ("temperature, °C", "days", "rate", "used"), _jars(rearing, line)),
        (*curve_words(curve), *line.notes),
    )
    return fill("rearing.html", page, paper=size)


def _threshold(line: ThresholdLine, opinion: SecondOpinion) -> list[tuple[str, str, str]]:
    lower, heat = line.lower, line.heat
    return [
        ("x-intercept", f"{lower.value:.2f}", f"{heat.value:.1f}"),
        ("standard error", f"{lower.error:.2f}", f"{heat.error:.1f}"),
        (
            "95 % interval, delta method",
            f"{lower.low:.1f} to {lower.high:.1f}",
            f"{heat.low:.0f} to {heat.high:.0f}",
        ),
        (
            "95 % interval, bootstrap",
            f"{lower.boot_low:.1f} to {lower.boot_high:.1f}",
            f"{heat.boot_low:.0f} to {heat.boot_high:.0f}",
        ),
        (
            "second opinion, orthogonal line",
            with_error(opinion.lower, opinion.lower_error, 2),
            with_error(opinion.heat, opinion.heat_error, 1),
        ),
    ]


def _jars(rearing: Rearing, line: ThresholdLine) -> list[tuple[str, str, str, str]]:
    reasons = {(jar.temperature, jar.days): jar.reason for jar in line.left_out}
    jars = zip(rearing.temperature.tolist(), rearing.days.tolist(), strict=True)
    return [
        (
            f"{temperature:.1f}",
            f"{days:.1f}" if np.isfinite(days) else "–",
            f"{1 / days:.4f}",
            reasons.get((temperature, days), "on the line"),
        )
        for temperature, days in jars
    ]
