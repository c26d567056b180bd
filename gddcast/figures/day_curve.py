"""One day's curve with its heat above the line, and the curves g(y) of the day shapes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from gddcast.daily import floor_the_readings, single_sine, single_triangle
from gddcast.figures import BLUE, GREY, INK, PALE_BLUE, VERMILLION
from gddcast.lessons.curve_table import g_at

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_day(
    ax: Axes, low: float, high: float, lower: float, upper: float = np.inf, *, unit: str = "°F"
) -> Axes:
    """The day as a sine wave; its area above ``lower`` filled, that above ``upper`` hatched.

    Parameters
    ----------
    ax : matplotlib Axes
    low, high, lower, upper : float
        On one scale.
    unit : str
        Name of that scale.
    """
    hour = np.linspace(0.0, 24.0, 289)
    curve = (high + low) / 2 - (high - low) / 2 * np.cos(2 * np.pi * hour / 24)
    ax.fill_between(hour, lower, np.clip(curve, lower, upper), color=PALE_BLUE, lw=0)
    if high > upper:
        ax.fill_between(
            hour, upper, np.maximum(curve, upper), facecolor="none", edgecolor=INK, hatch="//", lw=0
        )
    ax.plot(hour, curve, color=INK, lw=2.2)
    levels = [(lower, "lower", BLUE, "--"), ((high + low) / 2, "mean", INK, ":")]
    if np.isfinite(upper):
        levels.append((upper, "upper", VERMILLION, "--"))
    for level, name, colour, dash in levels:
        ax.axhline(level, color=colour, ls=dash, lw=1.4)
        ax.text(24.4, level, f"{name} {level:g}", va="center", color=INK)
    ax.set(xlim=(0, 24), xticks=[0, 12, 24], ylabel=unit)
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
