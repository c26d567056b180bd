"""A worksheet's week: readings drawn from a seed so that hand and table give the exact total.

Readings stand on a grid of 2.5 °C = 4.5 °F, so the °F and the °C sheet of one seed are the same
week to the last digit, and every y falls on a row of the printed table: nobody rounds before the
total. The rule on the sheet is "round only the total".
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from gddcast.errors import ArgumentRefusal
from gddcast.heat.daily import Shape, floor_the_mean, floor_the_readings, single_sine
from gddcast.lessons.curve_table import on_a_row, printed_g, table
from gddcast.lessons.worked_day import Day, mean_excess
from gddcast.units import Unit, from_celsius

#: The three methods of the sheet, in the order of its columns.
SHEET_METHODS = (floor_the_readings, floor_the_mean, single_sine)
#: The one rounding rule of every sheet.
ROUNDING = "Keep every digit on the way; round only the total, to one decimal."
#: Lower threshold of every sheet: 50 °F. [°C]
LINE_C = 10.0
_GRID_C = 2.5
#: First day of every sheet: a Monday in May.
FIRST_DAY = dt.date(2026, 5, 4)
#: A sheet is for a lesson, not for a year.
MOST_DAYS = 31


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One sheet and its key.

    Parameters
    ----------
    seed : int
    unit : {"F", "C"}
    days : tuple of Day
        The readings, in the sheet's unit.
    """

    seed: int
    unit: Unit
    days: tuple[Day, ...]

    @property
    def line(self) -> float:
        """Lower threshold. [°unit]"""
        return float(from_celsius(LINE_C, self.unit))

    def date(self, index: int) -> dt.date:
        """Day of a row."""
        return FIRST_DAY + dt.timedelta(days=index)

    def total(self, shape: Shape) -> float:
        """Exact total of one method. [°unit·d]"""
        return sum(day.heat(shape) for day in self.days)

    def total_by_hand(self, shape: Shape) -> float:
        """The same with g from the printed table. [°unit·d]"""
        return sum(heat_by_hand(day, shape) for day in self.days)


def y_of(day: Day) -> float | None:
    """Distance of the line from the mean in half ranges; None where the day doesn't cross it."""
    if not day.low < day.lower < day.high:
        return None
    return abs(day.mean - day.lower) / day.half_range


def heat_by_hand(day: Day, shape: Shape) -> float:
    """Degree-days of a day as a person with the printed table finds them. [°unit·d]"""
    y = y_of(day)
    if y is None or shape.g is None:
        return mean_excess(day, shape, day.lower)
    return max(day.mean - day.lower, 0.0) + day.half_range * printed_g(shape, y)


def make_worksheet(seed: int, days: int = 7, unit: Unit = "F") -> Worksheet:
    """Draw a week; the same seed gives the same week, in °F or in °C.

    Parameters
    ----------
    seed : int
        Zero or more.
    days : int, default: 7
    unit : {"F", "C"}

    Raises
    ------
    ArgumentRefusal
        If the seed is negative, or the days do not fit a lesson.

    Examples
    --------
    >>> fahrenheit, celsius = (make_worksheet(7, unit=unit) for unit in ("F", "C"))
    >>> round(fahrenheit.total(single_sine) / celsius.total(single_sine), 9)
    1.8
    """
    if not 1 <= days <= MOST_DAYS or seed < 0:
        raise ArgumentRefusal(
            "this worksheet",
            f"it asks for {days} days and seed {seed}",
            f"A sheet has 1 to {MOST_DAYS} days, and a seed is a whole number of 0 or more.",
            "Give numbers in that range.",
            slug="worksheet-size",
        )
    rng = np.random.default_rng(seed)
    crossing, warm = _pairs()
    while True:
        drawn = _draw(rng, crossing, warm, days)
        sheets = [Worksheet(seed, each, _as_days(drawn, each)) for each in ("F", "C")]
        if all(_agrees(sheet) for sheet in sheets):
            return sheets[0] if unit == "F" else sheets[1]


def _draw(
    rng: np.random.Generator,
    crossing: list[tuple[float, float]],
    warm: list[tuple[float, float]],
    days: int,
) -> list[tuple[float, float]]:
    """Days of which one in five lies wholly above the line, where all methods agree."""
    kinds = [warm if rng.random() < 0.2 else crossing for _ in range(days)]
    return [kind[int(rng.integers(len(kind)))] for kind in kinds]


def _pairs() -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Low and high of every day a sheet may hold, in °C: crossing the line, and above it."""
    crossing, warm = [], []
    for low in np.arange(0.0, 17.6, _GRID_C).tolist():
        for high in np.arange(low + 5.0, min(low + 20.1, 32.6), _GRID_C).tolist():
            day = Day(high, low, LINE_C, "C")
            y = y_of(day)
            if y is not None and on_a_row(y):
                crossing.append((low, high))
            elif low >= LINE_C:
                warm.append((low, high))
    return crossing, warm


def _as_days(pairs: list[tuple[float, float]], unit: Unit) -> tuple[Day, ...]:
    line = float(from_celsius(LINE_C, unit))
    return tuple(
        Day(float(from_celsius(high, unit)), float(from_celsius(low, unit)), line, unit)
        for low, high in pairs
    )


def _agrees(sheet: Worksheet) -> bool:
    """Whether table and exact sum round to the same tenth, well away from the edge."""
    for shape in SHEET_METHODS:
        exact, by_hand = sheet.total(shape), sheet.total_by_hand(shape)
        # Whole twentieths would be rounded up by some and down by others.
        if round(exact, 1) != round(by_hand, 1) or abs(exact * 10 % 1 - 0.5) < 0.05:
            return False
    return len({f"{sheet.total(shape):.1f}" for shape in SHEET_METHODS}) == len(SHEET_METHODS)


def rules_of(sheet: Worksheet) -> tuple[tuple[str, str], ...]:
    """Each method's name and its rule, as the sheet states them."""
    line = f"{sheet.line:g}"
    return (
        (
            floor_the_readings.name,
            f"raise a low (or high) below {line} to {line}; then (high + low) / 2 − {line}.",
        ),
        (floor_the_mean.name, f"(high + low) / 2 − {line}; write 0 where that is below zero."),
        (single_sine.name, _SINE_RULE.format(line=line)),
    )


_SINE_RULE = (
    "M = (high + low) / 2, W = (high − low) / 2. Low at or above {line}: M − {line}. "
    "Otherwise y = distance from {line} to M, divided by W; read g(y) in the table; "
    "heat = (M − {line}, or 0 where M is below {line}) + W × g."
)


def day_steps(day: Day) -> tuple[str, ...]:
    """The three methods of one day, with the printed table's g and nothing rounded."""
    line, y = f"{day.lower:g}", y_of(day)
    high, low = max(day.high, day.lower), max(day.low, day.lower)
    raised = f"({high:g} + {low:g}) / 2 − {line} = {heat_by_hand(day, floor_the_readings):g}"
    mean = f"({day.high:g} + {day.low:g}) / 2 − {line} = {day.mean - day.lower:g}"
    if day.mean < day.lower:
        mean += ", below zero: 0"
    heat = heat_by_hand(day, single_sine)
    if y is None:
        sine = f"the whole day lies above {line}: {day.mean:g} − {line} = {heat:g}"
    else:
        g = dict(table(single_sine))[round(y, 2)]
        start = f"{max(day.mean - day.lower, 0.0):g}"
        sine = (
            f"M = {day.mean:g}, W = {day.half_range:g}, "
            f"y = {abs(day.mean - day.lower):g} / {day.half_range:g} = {y:.2f}, g = {g:.4f}; "
            f"{start} + {day.half_range:g} × {g:.4f} = {heat:.10g}"
        )
    methods = zip(SHEET_METHODS, (raised, mean, sine), strict=True)
    return tuple(f"{shape.name}: {text}".replace("= -", "= −") for shape, text in methods)


def order_of(sheet: Worksheet) -> str:
    """The command that makes the sheet again."""
    numbers = f"--seed {sheet.seed} --days {len(sheet.days)} --unit {sheet.unit}"
    return f"gddcast lesson worksheet {numbers}"
