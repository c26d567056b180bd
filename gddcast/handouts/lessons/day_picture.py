"""Drawings for lessons: one day's curve with its heat above the line, and the curve g(y)."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from gddcast.handouts.drawings import svg
from gddcast.heat.daily import double_sine, floor_the_readings, single_sine
from gddcast.lessons.curve_table import g_at, printed_g
from gddcast.lessons.day_waves import takeaway, wave
from gddcast.lessons.worked_day import Day

Array = NDArray[np.float64]
#: From a temperature to its height in the drawing.
Scale = Callable[[float], float]

_WIDTH, _HEIGHT = 640, 330
_LEFT, _RIGHT, _TOP, _FLOOR = 56, 470, 24, 286


def day_picture(day: Day) -> str:
    """The day as one smooth wave, the area above the lower threshold filled.

    Parameters
    ----------
    day : Day

    Returns
    -------
    str
        SVG with title and description.
    """
    title = f"One day between {day.low:g} and {day.high:g} °{day.unit}"
    return svg.picture(_WIDTH, _HEIGHT, title, takeaway(day), _day_strokes(day))


def _day_strokes(day: Day) -> Iterator[str]:
    lowest = min(day.low, day.lower, day.low if day.next_low is None else day.next_low)
    highest = max(day.high, day.lower, day.upper if day.upper <= day.high + 8 else day.high)
    room = 0.08 * (highest - lowest) or 1.0
    scale = (_FLOOR - _TOP) / (highest - lowest + 2 * room)

    def down(temperature: float) -> float:
        return float(_FLOOR - (temperature - lowest + room) * scale)

    hours = np.linspace(0.0, 1.0, 145)
    across = _LEFT + hours * (_RIGHT - _LEFT)
    curve = wave(day, double_sine, hours)  # the single one where no next night is known
    yield svg.hatching("above-upper")
    yield from _heat_areas(day, across, curve, down)
    yield svg.line(
        list(zip(across.tolist(), [down(t) for t in curve], strict=True)), width=2.5
    )  # fmt: skip
    yield svg.line([(_LEFT, _TOP), (_LEFT, _FLOOR), (_RIGHT, _FLOOR)], width=1)
    for share, name in ((0.0, "night"), (0.5, "warmest hour"), (1.0, "next night")):
        x = _LEFT + share * (_RIGHT - _LEFT)
        yield svg.words(x, _FLOOR + 22, name, anchor="middle")
    yield from _levels(day, down)
    for value in (day.high, day.low):
        yield svg.words(_LEFT - 8, down(value) + 5, f"{value:g}", anchor="end")


def _heat_areas(day: Day, across: Array, curve: Array, down: Scale) -> Iterator[str]:
    for fill, outline, bottom, top in (
        (svg.PALE_BLUE, svg.BLUE, day.lower, day.upper),
        ("url(#above-upper)", svg.INK, day.upper, np.inf),
    ):
        if np.isinf(bottom) or curve.max() <= bottom:
            continue
        upper_edge = np.clip(curve, bottom, top)
        edge = [(x, down(t)) for x, t in zip(across.tolist(), upper_edge.tolist(), strict=True)]
        yield svg.area(
            [(_LEFT, down(bottom)), *edge, (_RIGHT, down(bottom))], fill=fill, outline=outline
        )  # fmt: skip


def _levels(day: Day, down: Scale) -> Iterator[str]:
    levels = [(day.lower, "lower threshold", svg.BLUE, "7 4")]
    if day.upper <= day.high + 8:
        levels.append((day.upper, "upper threshold", svg.VERMILLION, "7 4"))
    levels.append((day.mean, "mean", svg.INK, "2 4"))
    # Labels keep a line's height between them, so that close lines stay readable.
    placed: list[float] = []
    for value, name, colour, dash in levels:
        y = down(value)
        yield svg.line([(_LEFT, y), (_RIGHT + 8, y)], colour=colour, width=1.8, dash=dash)
        label = y + 5
        while any(abs(label - other) < 17 for other in placed):
            label += 17 if y >= placed[0] - 5 else -17
        placed.append(label)
        colour = svg.INK if colour == svg.VERMILLION else colour
        yield svg.words(_RIGHT + 14, label, f"{name} {value:g} °{day.unit}", colour=colour)


def g_picture() -> str:
    """The curve g(y) of the single sine, with the readings' straight line beside it."""
    width, height, left, right, top, floor = 400, 340, 56, 380, 14, 290

    def at(y: float, g: float) -> tuple[float, float]:
        return left + y * (right - left), floor - g / 0.5 * (floor - top)

    def strokes() -> Iterator[str]:
        for row in range(11):
            y = row / 10
            yield svg.line([at(y, 0), at(y, 0.5)], colour="#8C8C8C", width=0.6)
            yield svg.line([at(0, y / 2), at(1, y / 2)], colour="#8C8C8C", width=0.6)
            if row % 2 == 0:
                yield svg.words(at(y, 0)[0], floor + 20, f"{y:.1f}", anchor="middle", size=17)
                yield svg.words(left - 6, at(0, y / 2)[1] + 4, f"{y / 2:.1f}", anchor="end",
                                size=17)  # fmt: skip
        ys = np.linspace(0, 1, 101).tolist()
        yield svg.line([at(y, g_at(single_sine, y)) for y in ys], width=2.4)
        yield svg.line([at(y, g_at(floor_the_readings, y)) for y in (0.0, 1.0)], dash="5 4")
        for y in ys[::5]:
            yield svg.dot(*at(y, printed_g(single_sine, y)), radius=2.4)
        yield svg.words(*at(0.3, 0.41), "readings", size=17)
        yield svg.words(*at(0.06, 0.105), "single sine", size=17, bold=True)
        yield svg.words((left + right) / 2, floor + 40, "y = distance ÷ half the range",
                        anchor="middle", size=17)  # fmt: skip
        yield svg.words(4, at(0, 0.45)[1] + 5, "g", size=17, bold=True)

    description = (
        "g falls from 0.318 where the line lies at the day's mean to 0 where it touches the "
        "day's edge; the table beside it gives the same numbers."
    )
    return svg.picture(width, height, "The curve g(y)", description, strokes())
