"""One day's curve with its heat above the line, and the curves g(y) of the day shapes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from gddcast.figures import BLUE, GREY, INK, PALE_BLUE, VERMILLION
from gddcast.figures.line_ends import End, name_ends
from gddcast.heat.daily import Shape, double_sine, floor_the_readings, single_sine, single_triangle
from gddcast.lessons.curve_table import g_at
from gddcast.lessons.day_waves import wave
from gddcast.lessons.worked_day import Day
from gddcast.units import Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes


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
    levels = [(lower, "lower", BLUE, "--"), (day.mean, "mean", INK, ":")]
    if np.isfinite(upper):
        levels.append((upper, "upper", VERMILLION, "--"))
    for level, _, colour, dash in levels:
        ax.axhline(level, color=colour, ls=dash, lw=1.4)
    ax.set_ylabel(f"°{unit}")
    name_ends(ax, [End(24.0, level, f"{name} {level:g}") for level, name, _, _ in levels])
    return ax


def draw_wave(ax: Axes, day: Day, shape: Shape) -> Axes:
    """The day as one method takes it, the area that is its heat filled."""
    share = np.linspace(0.0, 1.0, 2401)
    hour, curve = 24.0 * share, wave(day, shape, share)
    if curve.max() > day.lower:
        counted = np.clip(curve, day.lower, day.upper)
        ax.fill_between(hour, day.lower, counted, fc=PALE_BLUE, ec=BLUE, lw=1.0)
    if curve.max() > day.upper:
        over = np.maximum(curve, day.upper)
        ax.fill_between(hour, day.upper, over, fc="none", ec=INK, hatch="//", lw=0)
    ax.plot(hour, curve, color=INK, lw=2.2)
    ax.set(xlim=(0, 24), xticks=[0, 12, 24])
    ax.set_xticklabels(["night", "warmest", "night"])
    ax.spines[["top", "right"]].set_visible(False)
    return ax


def draw_g(ax: Axes) -> Axes:
    """g(y) of every day shape: how fast the heat fades as the line moves from mean to edge."""
    y = np.linspace(0.0, 1.0, 201)
    dashes = {floor_the_readings: "--", single_sine: "-", single_triangle: "-."}
    for shape, dash in dashes.items():
        g = np.array([g_at(shape, each) for each in y.tolist()])
        ax.plot(y, g, color=INK, ls=dash, lw=1.8)
        # Each name stands where its curve has room: the triangle's below, the others' above.
        below = shape is single_triangle
        at, shift, side, edge = (
            (60, (-6, -5), "right", "top") if below else (20, (5, 4), "left", "bottom")
        )
        ax.annotate(
            shape.name, (y[at], g[at]), xytext=shift, textcoords="offset points", ha=side, va=edge
        )
    ax.axhline(0.0, color=GREY, lw=1.8)
    ax.annotate("floor the mean", (0.02, 0.0), xytext=(6, 4), textcoords="offset points")
    ax.set(xlabel="y: distance of the line from the mean, in half ranges", ylabel="g(y)")
    ax.set(xlim=(0, 1), ylim=(-0.02, 0.52))
    ax.spines[["top", "right"]].set_visible(False)
    return ax
