"""A day as a person with the printed table works it: nothing rounded, g from its 21 rows."""

from __future__ import annotations

import numpy as np

from gddcast.heat.daily import (
    Cutoff,
    Shape,
    floor_the_mean,
    floor_the_readings,
    no_cutoff,
    single_sine,
)
from gddcast.lessons.curve_table import printed_g
from gddcast.lessons.worked_day import Day, mean_excess


def y_of(day: Day, level: float | None = None) -> float | None:
    """Distance of a level from the mean in half ranges; None where the day doesn't cross it.

    Without a level it is that of the lower threshold.
    """
    at = day.lower if level is None else level
    if not day.low < at < day.high:
        return None
    return abs(day.mean - at) / day.half_range


def excess_by_hand(day: Day, shape: Shape, level: float) -> float:
    """Mean excess above a level, with g from the printed table. [°unit·d]"""
    y = y_of(day, level)
    if y is None or shape.g is None:
        return mean_excess(day, shape, level)
    return max(day.mean - level, 0.0) + day.half_range * printed_g(shape, y)


def heat_by_hand(day: Day, shape: Shape, cutoff: Cutoff = no_cutoff) -> float:
    """Degree-days of a day as a person with the printed table finds them. [°unit·d]

    Examples
    --------
    >>> heat_by_hand(Day(75, 45, 50, "F"), single_sine)
    10.882
    """
    if cutoff is no_cutoff or day.high <= day.upper:
        return excess_by_hand(day, shape, day.lower)
    if cutoff.caps_readings:
        capped = Day(min(day.high, day.upper), min(day.low, day.upper), day.lower, day.unit)
        return excess_by_hand(capped, shape, day.lower)
    return excess_by_hand(day, shape, day.lower) - excess_by_hand(day, shape, day.upper)


def readings_line(day: Day) -> str:
    """Floor the readings, written out; readings above an upper threshold are lowered to it."""
    high, low = (min(max(each, day.lower), day.upper) for each in (day.high, day.low))
    return _signed(f"({high:g} + {low:g}) / 2 − {day.lower:g} = {(high + low) / 2 - day.lower:g}")


def mean_line(day: Day) -> str:
    """Floor the mean, written out."""
    said = f"({day.high:g} + {day.low:g}) / 2 − {day.lower:g} = {day.mean - day.lower:g}"
    return _signed(said + (", below zero: 0" if day.mean < day.lower else ""))


def sine_line(day: Day, level: float) -> str:
    """The single sine's mean excess above one level, written out."""
    y = y_of(day, level)
    if y is None:
        if day.high <= level:
            return f"the day never passes {level:g}: 0"
        return (
            f"the whole day lies above {level:g}: {day.mean:g} − {level:g} = {day.mean - level:g}"
        )
    g, start = printed_g(single_sine, y), f"{max(day.mean - level, 0.0):g}"
    return (
        f"M = {day.mean:g}, W = {day.half_range:g}, "
        f"y = {abs(day.mean - level):g} / {day.half_range:g} = {y:.2f}, g = {g:.4f}; "
        f"{start} + {day.half_range:g} × {g:.4f} = {excess_by_hand(day, single_sine, level):.10g}"
    )


def _signed(text: str) -> str:
    return text.replace("= -", "= −").replace("(-", "(−").replace("+ -", "+ −")


def day_lines(day: Day) -> tuple[str, ...]:
    """The methods of a sheet worked on one day, with the printed table's g and nothing rounded."""
    if np.isinf(day.upper):
        sine = sine_line(day, day.lower)
        lines = ((floor_the_readings, readings_line(day)), (floor_the_mean, mean_line(day)))
        return tuple(f"{shape.name}: {line}" for shape, line in (*lines, (single_sine, sine)))
    open_above = Day(day.high, day.low, day.lower, day.unit)
    low, high = (excess_by_hand(day, single_sine, each) for each in (day.lower, day.upper))
    return (
        f"{floor_the_readings.name}: {readings_line(open_above)}",
        f"readings capped at {day.upper:g}: {readings_line(day)}",
        f"single sine above {day.lower:g}: {sine_line(day, day.lower)}",
        f"single sine above {day.upper:g}: {sine_line(day, day.upper)}",
        f"single sine, horizontal: {low:.10g} − {high:.10g} = {low - high:.10g}",
    )
