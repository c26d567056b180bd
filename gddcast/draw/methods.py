"""Methods side by side: the day as each takes it, and how each misses the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from gddcast.draw import BLUE, GREEN, GREY, INK, VERMILLION
from gddcast.draw.day_curve import draw_wave
from gddcast.heat.daily import horizontal, no_cutoff
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worked_day import Day

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARKS = (("o", INK), ("^", BLUE), ("s", VERMILLION), ("D", GREEN))


def draw_methods(axes: Sequence[Axes], day: Day) -> Sequence[Axes]:
    """One day as each method takes it, with the heat each finds; all on one scale.

    Parameters
    ----------
    axes : sequence of matplotlib Axes
        As many as the day has shapes: six where the next night's low is known, else four.
    day : Day
    """
    lows = [day.low, day.lower] if day.next_low is None else [day.low, day.lower, day.next_low]
    room = 0.06 * (day.high - min(lows) or 1.0)
    for ax, shape in zip(axes, day.shapes, strict=True):
        draw_wave(ax, day, shape)
        ax.axhline(day.lower, color=BLUE, ls="--", lw=1.4)
        if np.isfinite(day.upper):
            ax.axhline(day.upper, color=VERMILLION, ls=":", lw=1.6)
        heat = day.heat(shape, no_cutoff if np.isinf(day.upper) else horizontal)
        ax.set_title(f"{shape.name}\n{heat_shown(heat, day.unit)} °{day.unit}-days")
        ax.set(xticks=[], ylim=(min(lows) - room, max(day.high, day.lower) + room))
        ax.set_yticks(*_marks(day))
    return axes


def _marks(day: Day) -> tuple[list[float], list[str]]:
    """Low, line and high on the axis, those that would run into a more telling one left out."""
    kept: list[float] = []
    for value in (day.lower, day.high, day.low):
        if all(abs(value - other) > 0.12 * (day.high - day.low) for other in kept):
            kept.append(value)
    return kept, [f"{value:g}" for value in kept]


def methods_takeaway(day: Day) -> str:
    """What the drawing shows: the day, and how far the methods lie apart."""
    cutoff = no_cutoff if np.isinf(day.upper) else horizontal
    heats = {shape.name: day.heat(shape, cutoff) for shape in day.shapes}
    least, most = (heat_shown(pick(heats.values()), day.unit) for pick in (min, max))
    said = f"High {day.high:g}, low {day.low:g}, line at {day.lower:g} °{day.unit}:"
    if least == most:
        return f"{said} every method gives {least} °{day.unit}-days."
    names = (pick(heats, key=heats.__getitem__) for pick in (min, max))
    low, high = names
    return (
        f"{said} from {least} °{day.unit}-days ({low}) to {most} ({high}). "
        "A published number only works with the method it came from."
    )


def draw_misses(
    ax: Axes, misses: Mapping[str, Mapping[str, float]], *, label: str, digits: int = 1
) -> Axes:
    """How far each method misses at each place, left of the line too little, right too much.

    Parameters
    ----------
    ax : matplotlib Axes
    misses : mapping of place to mapping of method to number
        Up to four places.
    label : str
        What the number is, with its unit.
    """
    methods = list(next(iter(misses.values())))
    ax.axvline(0.0, color=GREY, lw=1.2)
    for (_, found), (mark, colour) in zip(misses.items(), _MARKS, strict=False):
        rows = range(len(methods))
        ax.plot([found[name] for name in methods], rows, mark, color=colour, ms=8)
    _name_places(ax, {place: found[methods[0]] for place, found in misses.items()})
    ax.set_yticks(range(len(methods)), methods)
    ax.set_ylim(len(methods) - 0.5, -0.9 - 0.6 * len(misses))
    ax.set_xlabel(label)
    ax.xaxis.set_major_formatter(lambda value, _: f"{value:+.{digits}f}".replace("-", "−"))
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def _name_places(ax: Axes, first: Mapping[str, float]) -> None:
    """Each place's name above its mark in the first row, one line higher than the one before."""
    order = sorted(first, key=lambda place: -first[place])
    for step, place in enumerate(order):
        value, height = first[place], -0.7 - 0.6 * step
        ax.plot([value, value], [-0.25, height + 0.2], color=GREY, lw=0.8)
        ax.annotate(place, (value, height), ha="center", va="center")
