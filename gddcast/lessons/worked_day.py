"""One day worked by hand: every method side by side, each step as a person would write it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gddcast.errors import ArgumentRefusal
from gddcast.heat.cutoffs import CUTOFFS, Cutoff, no_cutoff
from gddcast.heat.daily import degree_days
from gddcast.heat.shapes import (
    SHAPES,
    Shape,
    double_sine,
    double_triangle,
    floor_the_mean,
    floor_the_readings,
    single_sine,
    single_triangle,
)
from gddcast.lessons.rounding import heat_shown
from gddcast.units import Unit

#: Order of the methods on every surface, from the most heat to the least.
METHODS = (floor_the_readings, single_sine, single_triangle, floor_the_mean)


@dataclass(frozen=True, slots=True)
class Day:
    """A day and the two lines it is held against, all in one scale.

    Parameters
    ----------
    high, low : float
        Readings of the thermometer. [°unit]
    lower : float
        Lower threshold. [°unit]
    unit : {"F", "C"}
    upper : float, default: none
        Upper threshold. [°unit]
    next_low : float, optional
        Low of the following night: the double shapes need it. [°unit]

    Raises
    ------
    ArgumentRefusal
        If the low is above the high, or the lower threshold not below the upper.
    """

    high: float
    low: float
    lower: float
    unit: Unit
    upper: float = np.inf
    next_low: float | None = None

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ArgumentRefusal(
                "this day",
                f"its low, {self.low:g}, is above its high, {self.high:g}",
                "The low is the coldest reading of the day.",
                "Swap the two numbers.",
                slug="low-above-high",
            )
        if not self.lower < self.upper:
            raise ArgumentRefusal(
                "these thresholds",
                f"the lower, {self.lower:g}, is not below the upper, {self.upper:g}",
                "Heat counts from the lower threshold up to the upper.",
                "Swap the two numbers, or check them against their source.",
                slug="thresholds-crossed",
            )

    @property
    def mean(self) -> float:
        """Middle of the two readings."""
        return (self.high + self.low) / 2

    @property
    def half_range(self) -> float:
        """Half the way from low to high."""
        return (self.high - self.low) / 2

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """Day shapes this day can be worked by."""
        if self.next_low is None:
            return METHODS
        return (*METHODS[:2], double_sine, METHODS[2], double_triangle, METHODS[3])

    def heat(self, shape: Shape, cutoff: Cutoff = no_cutoff) -> float:
        """Degree-days of the day by one method. [°unit·d]"""
        following = self.low if self.next_low is None else self.next_low
        upper = np.inf if cutoff is no_cutoff else self.upper
        heat = degree_days(
            [self.low, following], [self.high, max(self.high, following)],
            lower=self.lower, upper=upper, shape=shape, cutoff=cutoff,
        )  # fmt: skip
        return float(heat[0])


def day_title(day: Day) -> str:
    """The day in one line.

    Examples
    --------
    >>> day_title(Day(72, 46, 50, "F"))
    'High 72, low 46, line at 50 °F'
    """
    upper = "" if np.isinf(day.upper) else f", upper threshold at {day.upper:g} °{day.unit}"
    following = "" if day.next_low is None else f", next night’s low {day.next_low:g}"
    return (
        f"High {day.high:g}, low {day.low:g}{following}, line at {day.lower:g} °{day.unit}{upper}"
    )


def short_sum(day: Day, shape: Shape) -> str:
    """The method in one line, without an upper threshold.

    Examples
    --------
    >>> short_sum(Day(72, 46, 50, "F"), floor_the_readings)
    '(72 + 50) / 2 − 50'
    """
    line = f"{day.lower:g}"
    if shape is floor_the_mean:
        plain = f"({day.high:g} + {day.low:g}) / 2 − {line}"
        return f"{plain}, not below 0" if day.mean < day.lower else plain
    if shape is floor_the_readings:
        return f"({max(day.high, day.lower):g} + {max(day.low, day.lower):g}) / 2 − {line}"
    if shape is single_triangle:
        return "area of a straight-sided day above"
    if shape.halves:
        half = "sine" if shape is double_sine else "triangle"
        return f"half a {half} with each night’s low"
    return "area of the day’s curve above"


def mean_excess(day: Day, shape: Shape, level: float) -> float:
    """Mean excess of the day above any level: A(c). [°unit·d]"""
    return float(degree_days(day.low, day.high, lower=level, shape=shape, cutoff=no_cutoff))


def share_above(day: Day, shape: Shape, level: float) -> float:
    """Share of the day spent above a level: F(c)."""
    if day.high <= level or day.low >= level or shape.s is None:
        return float(day.mean >= level and day.high > level)
    part = float(shape.s(np.array([abs(day.mean - level) / day.half_range]))[0])
    return 1.0 - part if day.mean >= level else part


def side_by_side(day: Day) -> dict[str, dict[str, float]]:
    """Degree-days by every method and, with an upper threshold, every cut-off.

    Examples
    --------
    >>> answers = side_by_side(Day(95, 70, 50, "F", upper=86))
    >>> sine = answers["single sine"]
    >>> [round(sine[name], 1) for name in ("none", "horizontal", "vertical")]
    [32.5, 30.1, 15.4]
    """
    cutoffs = [no_cutoff] if np.isinf(day.upper) else list(CUTOFFS.values())
    return {
        shape.name: {cutoff.name: day.heat(shape, cutoff) for cutoff in cutoffs}
        for shape in day.shapes
    }


def moral(day: Day) -> str:
    """The sentence the day teaches; with an upper threshold that is passed, what it does too.

    Examples
    --------
    >>> moral(Day(85, 60, 50, "F"))
    'The whole day lies above the line, so every method agrees. Cool days part them.'
    >>> moral(Day(95, 70, 50, "F", upper=86))  # doctest: +NORMALIZE_WHITESPACE
    'The whole day lies above the line: without an upper threshold every method agrees, on 32.5.
    Where warmth above 86 °F counts less, they give 10.0 to 32.5.'
    """
    answers = {heat_shown(day.heat(shape), day.unit) for shape in day.shapes}
    cut = ""
    if day.high > day.upper:
        cuts = [each for each in CUTOFFS.values() if each is not no_cutoff]
        every = [day.heat(shape, each) for shape in day.shapes for each in cuts]
        least, most = (heat_shown(pick(every), day.unit) for pick in (min, max))
        warm = f"warmth above {day.upper:g} °{day.unit}"
        cut = f" Where {warm} counts less, they give {least} to {most}."
    if len(answers) > 1:
        words = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}[len(answers)]
        return (
            f"Same day, {words} answers.{cut} "
            "A published number only works with the method it came from."
        )  # fmt: skip
    if day.low < day.lower:
        return "The day never passes the line, so every method gives nothing."
    if cut:
        (same,) = answers
        return (
            "The whole day lies above the line: without an upper threshold every method agrees, "
            f"on {same}.{cut}"
        )
    return "The whole day lies above the line, so every method agrees. Cool days part them."


#: What each method takes the day to be, in plain words.
IN_WORDS = {
    floor_the_readings.name: "half the day at the high, half at the low, each raised to the line",
    single_sine.name: "one smooth wave from low to high and back",
    double_sine.name: "half a wave from this night’s low, half to the next night’s",
    single_triangle.name: "straight up to the high and straight down again",
    double_triangle.name: "straight up from this night’s low, straight down to the next night’s",
    floor_the_mean.name: "the whole day at its mean",
}
assert IN_WORDS.keys() == SHAPES.keys()
