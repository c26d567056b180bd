"""One day worked by hand: every method side by side, each step as a person would write it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gddcast.errors import ArgumentRefusal
from gddcast.heat.daily import (
    CUTOFFS,
    SHAPES,
    Cutoff,
    Shape,
    degree_days,
    double_sine,
    double_triangle,
    floor_the_mean,
    floor_the_readings,
    no_cutoff,
    single_sine,
    single_triangle,
)
from gddcast.lessons.curve_table import g_at
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
    following = "" if day.next_low is None else f", next night's low {day.next_low:g}"
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
        return f"half a {half} with each night's low"
    return "area of the day's curve above"


def steps(day: Day, shape: Shape, cutoff: Cutoff = no_cutoff) -> tuple[str, ...]:
    """Each step of one method, in words and numbers, as a person would write it down.

    Returns
    -------
    tuple of str
        The last one ends in the answer.

    Examples
    --------
    >>> for step in steps(Day(72, 46, 50, "F"), single_sine):
    ...     print(step)
    Mean of the day: (72 + 46) / 2 = 59.
    Half the range: (72 − 46) / 2 = 13.
    The line at 50 lies 9 from the mean: y = 9 / 13 = 0.692.
    The curve gives g(0.692) = 0.052.
    Above 50: the mean is 9 above the line, so 9 + 13 × 0.052 = 9.7.
    """
    if shape.halves:
        return tuple(_both_halves(day, shape, cutoff))
    if cutoff.caps_readings:
        return tuple(_capped(day, shape))
    if cutoff is no_cutoff or day.high <= day.upper:
        return tuple(_excess_steps(day, shape))
    return tuple(_cut_steps(day, shape, cutoff))


def _opening(day: Day) -> Iterator[str]:
    yield f"Mean of the day: ({day.high:g} + {day.low:g}) / 2 = {day.mean:g}."
    yield f"Half the range: ({day.high:g} − {day.low:g}) / 2 = {day.half_range:g}."


def _excess_steps(day: Day, shape: Shape) -> Iterator[str]:
    if shape is floor_the_mean:
        yield f"Mean of the day: ({day.high:g} + {day.low:g}) / 2 = {day.mean:g}."
        yield _over_the_line(day)
    elif shape is floor_the_readings:
        yield from _floored_readings(day)
    else:
        yield from _opening(day)
        yield from _area(day, shape, day.lower)


def _over_the_line(day: Day) -> str:
    above = day.mean - day.lower
    if above < 0:
        return (
            f"Minus the line: {day.mean:g} − {day.lower:g} = {_signed(above)}; below zero is 0.0."
        )
    return f"Minus the line: {day.mean:g} − {day.lower:g} = {above:.1f}."


def _floored_readings(day: Day) -> Iterator[str]:
    high, low = max(day.high, day.lower), max(day.low, day.lower)
    for name, reading in (("high", day.high), ("low", day.low)):
        if reading < day.lower:
            yield f"The {name}, {reading:g}, is below the line: it is raised to {day.lower:g}."
    mean = (high + low) / 2
    yield f"Mean of the two: ({high:g} + {low:g}) / 2 = {mean:g}."
    yield f"Minus the line: {mean:g} − {day.lower:g} = {mean - day.lower:.1f}."


def _area(day: Day, shape: Shape, level: float) -> Iterator[str]:
    """Steps to the mean excess above one level."""
    heat = mean_excess(day, shape, level)
    if day.low >= level:
        yield (
            f"The whole day lies above {level:g}: "
            f"its mean less the line, {day.mean:g} − {level:g} = {heat:.1f}."
        )
        return
    if day.high <= level:
        yield f"The whole day lies at or below {level:g}: 0.0."
        return
    away = abs(day.mean - level)
    y = away / day.half_range
    yield (
        f"The line at {level:g} lies {away:g} from the mean: "
        f"y = {away:g} / {day.half_range:g} = {y:.3f}."
    )
    g = g_at(shape, y)
    yield f"The curve gives g({y:.3f}) = {g:.3f}."
    if day.mean > level:
        yield (
            f"Above {level:g}: the mean is {away:g} above the line, "
            f"so {away:g} + {day.half_range:g} × {g:.3f} = {heat:.1f}."
        )
    else:
        yield (
            f"Above {level:g}: the mean is not above the line, "
            f"so 0 + {day.half_range:g} × {g:.3f} = {heat:.1f}."
        )


def mean_excess(day: Day, shape: Shape, level: float) -> float:
    """Mean excess of the day above any level: A(c). [°unit·d]"""
    return float(degree_days(day.low, day.high, lower=level, shape=shape, cutoff=no_cutoff))


def share_above(day: Day, shape: Shape, level: float) -> float:
    """Share of the day spent above a level: F(c)."""
    if day.high <= level or day.low >= level or shape.s is None:
        return float(day.mean >= level and day.high > level)
    part = float(shape.s(np.array([abs(day.mean - level) / day.half_range]))[0])
    return 1.0 - part if day.mean >= level else part


def _cut_steps(day: Day, shape: Shape, cutoff: Cutoff) -> Iterator[str]:
    """Area above the lower line, less what the cut-off takes away."""
    levels = [day.lower, day.upper]
    if cutoff.name == "intermediate":
        levels.append(2 * day.upper - day.lower)
    yield from _opening(day)
    for level in levels:
        yield from _area(day, shape, level)
    above = [mean_excess(day, shape, level) for level in levels]
    answer = f"{day.heat(shape, cutoff):.1f}"
    if cutoff.name == "horizontal":
        yield (
            f"Warmth above {day.upper:g} adds nothing: {above[0]:.2f} − {above[1]:.2f} = {answer}."
        )
    elif cutoff.name == "intermediate":
        yield (
            f"Each degree above {day.upper:g} takes one away, down to nothing at {levels[2]:g}: "
            f"{above[0]:.2f} − 2 × {above[1]:.2f} + {above[2]:.2f} = {answer}."
        )
    else:
        share = share_above(day, shape, day.upper)
        yield (
            f"Nothing counts while it is above {day.upper:g}, {share:.1%} of the day: "
            f"{above[0]:.2f} − {above[1]:.2f} − {day.upper - day.lower:g} × {share:.4f} = {answer}."
        )


def _capped(day: Day, shape: Shape) -> Iterator[str]:
    for name, reading in (("high", day.high), ("low", day.low)):
        if reading > day.upper:
            yield f"The {name}, {reading:g}, is lowered to {day.upper:g}, the upper threshold."
    lowered = Day(min(day.high, day.upper), min(day.low, day.upper), day.lower, day.unit)
    yield from steps(lowered, shape)


def _both_halves(day: Day, shape: Shape, cutoff: Cutoff) -> Iterator[str]:
    """Half a day with each night's low, each half worked as a whole day."""
    single = single_sine if shape is double_sine else single_triangle
    following = day.low if day.next_low is None else day.next_low
    second = Day(
        max(day.high, following), min(day.high, following), day.lower, day.unit, day.upper
    )  # fmt: skip
    first = Day(day.high, day.low, day.lower, day.unit, day.upper)
    parts = [each.heat(single, cutoff) for each in (first, second)]
    yield f"With this night's low, {day.low:g}, the {single.name} gives {parts[0]:.2f}."
    yield f"With the next night's low, {following:g}, it gives {parts[1]:.2f}."
    yield f"Half of each: ({parts[0]:.2f} + {parts[1]:.2f}) / 2 = {day.heat(shape, cutoff):.1f}."


def _signed(value: float) -> str:
    return f"{value:.1f}".replace("-", "−")


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
    """The sentence the day teaches.

    Examples
    --------
    >>> moral(Day(85, 60, 50, "F"))
    'The whole day lies above the line, so every method agrees. Cool days part them.'
    """
    answers = {f"{day.heat(shape):.1f}" for shape in day.shapes}
    if len(answers) == 1:
        if day.low >= day.lower:
            return "The whole day lies above the line, so every method agrees. Cool days part them."
        return "The day never passes the line, so every method gives nothing."
    words = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}[len(answers)]
    return (
        f"Same day, {words} answers. "
        "A published number only works with the method it came from."
    )  # fmt: skip


#: What each method takes the day to be, in plain words.
IN_WORDS = {
    floor_the_readings.name: "half the day at the high, half at the low, each raised to the line",
    single_sine.name: "one smooth wave from low to high and back",
    double_sine.name: "half a wave from this night's low, half to the next night's",
    single_triangle.name: "straight up to the high and straight down again",
    double_triangle.name: "straight up from this night's low, straight down to the next night's",
    floor_the_mean.name: "the whole day at its mean",
}
assert IN_WORDS.keys() == SHAPES.keys()
