"""One day's curve with its heat above the line, and the curves g(y) of the day shapes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast.draw import BLUE, GREY, INK, PALE_BLUE, VERMILLION, svg
from gddcast.draw.line_ends import End, name_ends
from gddcast.heat.shapes import (
    Shape,
    double_sine,
    floor_the_readings,
    single_sine,
    single_triangle,
)
from gddcast.lessons.curve_table import ROWS, g_at, printed_g
from gddcast.lessons.day_waves import takeaway, wave
from gddcast.lessons.worked_day import Day
from gddcast.units import Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Array = NDArray[np.float64]

_WIDTH, _HEIGHT = 640, 330
_LEFT, _RIGHT, _TOP, _FLOOR = 56, 470, 24, 286
_NEAR = 8.0  # degrees above the day within which an upper threshold is drawn on a page


@dataclass(frozen=True, slots=True)
class DayCurve:
    """The temperature of a day as one method takes it, and the areas under it.

    Parameters
    ----------
    share : ndarray
        Of the day, 0 to 1 from one night to the next.
    temperature : ndarray
    heat, above : (float, ndarray) or None
        Level and upper edge of the area that counts, and of what lies above the upper threshold.
    """

    share: Array
    temperature: Array
    heat: tuple[float, Array] | None
    above: tuple[float, Array] | None


def day_curve(day: Day, shape: Shape, points: int) -> DayCurve:
    """The curve of a day at evenly spaced points of it."""
    share = np.linspace(0.0, 1.0, points)
    curve = wave(day, shape, share)
    warmest = curve.max()
    return DayCurve(
        share,
        curve,
        (day.lower, np.clip(curve, day.lower, day.upper)) if warmest > day.lower else None,
        (day.upper, np.maximum(curve, day.upper)) if warmest > day.upper else None,
    )


def levels(day: Day) -> list[tuple[float, str, str]]:
    """The lines a day is held against: where, their name and colour; the mean is dotted."""
    upper = [(day.upper, "upper", VERMILLION)] if np.isfinite(day.upper) else []
    return [(day.lower, "lower", BLUE), *upper, (day.mean, "mean", INK)]


def day_picture(day: Day) -> svg.Svg:
    """The day as one smooth wave, the area above the lower threshold filled.

    Returns
    -------
    Svg
        With title and description.
    """
    title = f"One day between {day.low:g} and {day.high:g} °{day.unit}"
    return svg.picture(_WIDTH, _HEIGHT, title, takeaway(day), _day_strokes(day))


def _day_strokes(day: Day) -> Iterator[str]:
    lines = [each for each in levels(day) if each[0] != day.upper or day.upper <= day.high + _NEAR]
    ends = [day.low, day.high, day.lower, *(value for value, _, _ in lines)]
    lowest = min(*ends, day.low if day.next_low is None else day.next_low)
    highest = max(ends)
    room = 0.08 * (highest - lowest) or 1.0
    scale = (_FLOOR - _TOP) / (highest - lowest + 2 * room)

    def down(temperature: float) -> float:
        return float(_FLOOR - (temperature - lowest + room) * scale)

    drawn = day_curve(day, double_sine, 145)  # the single one where no next night is known
    across = (_LEFT + drawn.share * (_RIGHT - _LEFT)).tolist()

    def along(temperatures: Array) -> list[svg.Point]:
        return list(zip(across, map(down, temperatures.tolist()), strict=True))

    yield svg.hatching("above-upper")
    fills = ((PALE_BLUE, BLUE), ("url(#above-upper)", INK))
    for area, (fill, outline) in zip((drawn.heat, drawn.above), fills, strict=True):
        if area is not None:
            foot = down(area[0])
            edge = [(_LEFT, foot), *along(area[1]), (_RIGHT, foot)]
            yield svg.area(edge, fill=fill, outline=outline)
    yield svg.line(along(drawn.temperature), width=2.5)
    yield svg.line([(_LEFT, _TOP), (_LEFT, _FLOOR), (_RIGHT, _FLOOR)], width=1)
    for share, name in ((0.0, "night"), (0.5, "warmest hour"), (1.0, "next night")):
        yield svg.words(_LEFT + share * (_RIGHT - _LEFT), _FLOOR + 22, name, anchor="middle")
    yield from _level_lines(lines, day.unit, down)
    for value in (day.high, day.low):
        yield svg.words(_LEFT - 8, down(value) + 5, f"{value:g}", anchor="end")


def _level_lines(
    lines: list[tuple[float, str, str]], unit: Unit, down: Callable[[float], float]
) -> Iterator[str]:
    # Labels keep a line's height between them, so that close lines stay readable.
    placed: list[float] = []
    for value, name, colour in lines:
        y, dash = down(value), "2 4" if name == "mean" else "7 4"
        yield svg.line([(_LEFT, y), (_RIGHT + 8, y)], colour=colour, width=1.8, dash=dash)
        label = y + 5
        while any(abs(label - other) < 17 for other in placed):
            label += 17 if y >= placed[0] - 5 else -17
        placed.append(label)
        colour = INK if colour == VERMILLION else colour
        what = name if name == "mean" else f"{name} threshold"
        yield svg.words(_RIGHT + 14, label, f"{what} {value:g} °{unit}", colour=colour)


def draw_day(
    ax: Axes,
    low: float,
    high: float,
    lower: float,
    upper: float = np.inf,
    *,
    unit: Unit = "F",
    next_low: float | None = None,
) -> Axes:
    """The day as a sine wave; its area above ``lower`` filled, that above ``upper`` hatched.

    Parameters
    ----------
    ax : matplotlib Axes
    low, high, lower, upper, next_low : float
        On one scale. The wave comes down to ``next_low`` where it is given.
    unit : {"F", "C"}
        That scale.
    """
    day = Day(high, low, lower, unit, upper, next_low)
    draw_wave(ax, day, double_sine)
    ends = []
    for value, name, colour in levels(day):
        ax.axhline(value, color=colour, ls=":" if name == "mean" else "--", lw=1.4)
        ends.append(End(24.0, value, f"{name} {value:g}"))
    ax.set_ylabel(f"°{unit}")
    name_ends(ax, ends)
    return ax


def draw_wave(ax: Axes, day: Day, shape: Shape) -> Axes:
    """The day as one method takes it, the area that is its heat filled."""
    drawn = day_curve(day, shape, 2401)
    hour = 24.0 * drawn.share
    if drawn.heat is not None:
        ax.fill_between(hour, *drawn.heat, fc=PALE_BLUE, ec=BLUE, lw=1.0)
    if drawn.above is not None:
        ax.fill_between(hour, *drawn.above, fc="none", ec=INK, hatch="//", lw=0)
    ax.plot(hour, drawn.temperature, color=INK, lw=2.2)
    ax.set(xlim=(0, 24), xticks=[0, 12, 24])
    ax.set_xticklabels(["night", "warmest", "night"])
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def g_curve(shape: Shape) -> list[svg.Point]:
    """The curve g(y) of a day shape, from the mean to the edge."""
    return [(y, g_at(shape, y)) for y in np.linspace(0.0, 1.0, 101).tolist()]


def g_picture(which: str = "") -> svg.Svg:
    """The curve g(y) of the single sine, with the readings' straight line beside it.

    Parameters
    ----------
    which : str, optional
        What tells it from the others of a page: ``of sheet 7``.
    """
    description = (
        "g falls from 0.318 where the line lies at the day’s mean to 0 where it touches the "
        "day’s edge; the table beside it gives the same numbers."
    )
    return svg.picture(400, 340, f"The curve g(y) {which}".strip(), description, _g_strokes())


def _g_strokes() -> Iterator[str]:
    left, right, top, floor = 56, 380, 14, 290

    def at(y: float, g: float) -> svg.Point:
        return left + y * (right - left), floor - g / 0.5 * (floor - top)

    for row in range(11):
        y = row / 10
        yield svg.line([at(y, 0), at(y, 0.5)], colour=GREY, width=0.6)
        yield svg.line([at(0, y / 2), at(1, y / 2)], colour=GREY, width=0.6)
        if row % 2 == 0:
            yield svg.words(at(y, 0)[0], floor + 20, f"{y:.1f}", anchor="middle", size=17)
            yield svg.words(left - 6, at(0, y / 2)[1] + 4, f"{y / 2:.1f}", anchor="end", size=17)
    yield svg.line([at(*point) for point in g_curve(single_sine)], width=2.4)
    readings = g_curve(floor_the_readings)
    yield svg.line([at(*readings[0]), at(*readings[-1])], dash="5 4")
    for y in ROWS:
        yield svg.dot(*at(y, printed_g(single_sine, y)), radius=2.4)
    yield svg.words(*at(0.3, 0.41), "readings", size=17)
    yield svg.words(*at(0.06, 0.105), "single sine", size=17, bold=True)
    axis = "y = distance ÷ half the range"
    yield svg.words((left + right) / 2, floor + 40, axis, anchor="middle", size=17)
    yield svg.words(4, at(0, 0.45)[1] + 5, "g", size=17, bold=True)


def draw_g(ax: Axes) -> Axes:
    """g(y) of every day shape: how fast the heat fades as the line moves from mean to edge."""
    dashes = {floor_the_readings: "--", single_sine: "-", single_triangle: "-."}
    for shape, dash in dashes.items():
        points = g_curve(shape)
        ax.plot(*zip(*points, strict=True), color=INK, ls=dash, lw=1.8)
        # Each name stands where its curve has room: the triangle's below, the others' above.
        below = shape is single_triangle
        at, shift, side, edge = (
            (30, (-6, -5), "right", "top") if below else (10, (5, 4), "left", "bottom")
        )
        ax.annotate(
            shape.name, points[at], xytext=shift, textcoords="offset points", ha=side, va=edge
        )
    ax.axhline(0.0, color=GREY, lw=1.8)
    ax.annotate("floor the mean", (0.02, 0.0), xytext=(6, 4), textcoords="offset points")
    ax.set(xlabel="y: distance of the line from the mean, in half ranges", ylabel="g(y)")
    ax.set(xlim=(0, 1), ylim=(-0.02, 0.52))
    ax.spines[["top", "right"]].set_visible(False)
    return ax
