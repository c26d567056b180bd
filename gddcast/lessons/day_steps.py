"""Each step of a worked day, as a person would write it down."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast.heat.cutoffs import Cutoff, no_cutoff
from gddcast.heat.shapes import (
    Shape,
    double_sine,
    floor_the_mean,
    floor_the_readings,
    single_sine,
    single_triangle,
)
from gddcast.lessons.curve_table import FORMULA, g_at
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worked_day import Day, mean_excess, share_above


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
    The curve g(y) = (√(1 − y²) − y·arccos y) / π gives g(0.692) = 0.0521.
    Above 50: the mean is 9 above the line, so 9 + 13 × 0.0521 = 9.7.
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
            f"Minus the line: {day.mean:g} − {day.lower:g} = {heat_shown(above, day.unit)}; "
            f"below zero is {heat_shown(0.0, day.unit)}."
        )
    return f"Minus the line: {day.mean:g} − {day.lower:g} = {heat_shown(above, day.unit)}."


def _floored_readings(day: Day) -> Iterator[str]:
    high, low = max(day.high, day.lower), max(day.low, day.lower)
    for name, reading in (("high", day.high), ("low", day.low)):
        if reading < day.lower:
            yield f"The {name}, {reading:g}, is below the line: it is raised to {day.lower:g}."
    mean = (high + low) / 2
    yield f"Mean of the two: ({high:g} + {low:g}) / 2 = {mean:g}."
    heat = heat_shown(mean - day.lower, day.unit)
    yield f"Minus the line: {mean:g} − {day.lower:g} = {heat}."


def _area(day: Day, shape: Shape, level: float) -> Iterator[str]:
    """Steps to the mean excess above one level."""
    heat = heat_shown(mean_excess(day, shape, level), day.unit)
    if day.low >= level:
        yield (
            f"The whole day lies above {level:g}: "
            f"its mean less the line, {day.mean:g} − {level:g} = {heat}."
        )
        return
    if day.high <= level:
        yield f"The whole day lies at or below {level:g}: {heat}."
        return
    if shape.g is None:
        less = f"{day.mean:g} − {level:g}" if day.mean > level else f"{day.mean:g} is not above it"
        yield f"All day at its mean, less {level:g}: {less}, so {heat}."
        return
    away = abs(day.mean - level)
    y = away / day.half_range
    yield (
        f"The line at {level:g} lies {away:g} from the mean: "
        f"y = {away:g} / {day.half_range:g} = {y:.3f}."
    )
    g = g_at(shape, y)
    yield f"The curve g(y) = {FORMULA[shape]} gives g({y:.3f}) = {g:.4f}."
    if day.mean > level:
        yield (
            f"Above {level:g}: the mean is {away:g} above the line, "
            f"so {away:g} + {day.half_range:g} × {g:.4f} = {heat}."
        )
    else:
        yield (
            f"Above {level:g}: the mean is not above the line, "
            f"so 0 + {day.half_range:g} × {g:.4f} = {heat}."
        )


def _cut_steps(day: Day, shape: Shape, cutoff: Cutoff) -> Iterator[str]:
    """Area above the lower line, less what the cut-off takes away."""
    levels = [day.lower, day.upper]
    if cutoff.name == "intermediate":
        levels.append(2 * day.upper - day.lower)
    yield from _opening(day)
    for level in levels:
        yield from _area(day, shape, level)
    above = [mean_excess(day, shape, level) for level in levels]
    answer = heat_shown(day.heat(shape, cutoff), day.unit)
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
    yield f"With this night’s low, {day.low:g}, the {single.name} gives {parts[0]:.2f}."
    yield f"With the next night’s low, {following:g}, it gives {parts[1]:.2f}."
    heat = heat_shown(day.heat(shape, cutoff), day.unit)
    yield f"Half of each: ({parts[0]:.2f} + {parts[1]:.2f}) / 2 = {heat}."
