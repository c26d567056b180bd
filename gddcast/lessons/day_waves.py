"""How a day runs as each method takes it: the temperature whose area above a line is its heat."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.cutoffs import horizontal
from gddcast.heat.shapes import (
    Shape,
    double_sine,
    double_triangle,
    floor_the_mean,
    floor_the_readings,
    single_sine,
    single_triangle,
)
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worked_day import Day

Array = NDArray[np.float64]


def _flat(share: Array) -> Array:
    return np.zeros_like(share)


def _steps(share: Array) -> Array:
    return np.where((share >= 0.25) & (share < 0.75), 1.0, -1.0)


def _straight(share: Array) -> Array:
    return 1.0 - 4.0 * np.abs(share - 0.5)


def _sine(share: Array) -> Array:
    return -np.cos(2.0 * np.pi * share)


# From −1 at the low to 1 at the high.
_RUNS: dict[Shape, Callable[[Array], Array]] = {
    floor_the_mean: _flat,
    floor_the_readings: _steps,
    single_triangle: _straight,
    double_triangle: _straight,
    single_sine: _sine,
    double_sine: _sine,
}


def wave(day: Day, shape: Shape, share: Array) -> Array:
    """Temperature of a day at shares of it, from one night to the next.

    Parameters
    ----------
    day : Day
        With the low of the next night where the shape is a double one.
    shape : Shape
    share : ndarray
        0 to 1.

    Returns
    -------
    ndarray
        Its mean excess over the lower threshold is the heat of the day by that method. [°unit]

    Examples
    --------
    >>> wave(Day(72, 46, 50, "F"), single_triangle, np.array([0.0, 0.25, 0.5]))
    array([46., 59., 72.])
    """
    following = day.low if day.next_low is None or not shape.halves else day.next_low
    low = np.where(share < 0.5, day.low, following)
    return np.asarray((day.high + low) / 2 + (day.high - low) / 2 * _RUNS[shape](share))


def takeaway(day: Day) -> str:
    """What the drawing shows, in one sentence."""
    drawn = single_sine if day.next_low is None else double_sine
    heat, unit = day.heat(drawn), f"°{day.unit}-days"
    said = f"The shaded area above the line at {day.lower:g} °{day.unit} is the day’s heat"
    if np.isinf(day.upper) or day.high <= day.upper:
        return f"{said}: {heat_shown(heat, day.unit)} {unit} by the {drawn.name}."
    levelled = day.heat(drawn, horizontal)
    return (
        f"{said}; the hatched cap above {day.upper:g} °{day.unit} adds nothing more where "
        f"development levels off: {heat_shown(levelled, day.unit)} {unit} "
        f"instead of {heat_shown(heat, day.unit)}."
    )
