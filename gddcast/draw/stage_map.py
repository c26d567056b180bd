"""A map of days: when half of the seasons have reached a stage, pixel by pixel."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast import words
from gddcast.draw import GREY, INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Array = NDArray[np.float64]
_TICKS = 7  # days named beside the scale, at most
_STEPS = (1, 2, 5, 7, 14, 30, 61, 92)  # days from name to name


def draw_stage_map(ax: Axes, longitude: Array, latitude: Array, days: Array) -> Axes:
    """Early days light, late ones dark; hatched where it is never reached, blank where unknown.

    Parameters
    ----------
    ax : matplotlib Axes
    longitude, latitude : ndarray, shape (x,) and (y,), or both (y, x)
        Centres of the pixels. [°]
    days : ndarray, shape (y, x)
        From 1 January of the season; infinite where it is not reached, NaN where unknown. [d]
    """
    from matplotlib.colors import ListedColormap
    from matplotlib.patches import Rectangle

    reached = np.isfinite(days)
    # The hatching lies under everything: what is unknown covers it with white.
    unknown = np.ma.masked_where(~np.isnan(days), np.zeros(days.shape))
    ax.pcolormesh(
        longitude, latitude, unknown, cmap=ListedColormap(["white"]), zorder=1, rasterized=True
    )
    shown = ax.pcolormesh(
        longitude, latitude, np.ma.masked_where(~reached, days), cmap="cividis_r", zorder=2,
        rasterized=True,
    )  # fmt: skip
    (west, east), (south, north) = ax.get_xlim(), ax.get_ylim()
    under = Rectangle(
        (west, south), east - west, north - south, fc="white", ec=GREY, hatch="////", lw=0.0,
        zorder=0,
    )  # fmt: skip
    ax.add_patch(under)
    ax.set(xlim=(west, east), ylim=(south, north))
    ax.set_aspect(1.0 / max(np.cos(np.radians(np.mean([south, north]))), 0.2))
    ax.xaxis.set_major_formatter(lambda value, _: _degrees(value, "E", "W"))
    ax.yaxis.set_major_formatter(lambda value, _: _degrees(value, "N", "S"))
    ax.tick_params(color=INK)
    if reached.any():
        ticks = _ticks(float(days[reached].min()), float(days[reached].max()))
        scale = ax.figure.colorbar(shown, ax=ax, ticks=ticks, shrink=0.9)
        scale.ax.set_yticklabels([_named(tick) for tick in ticks])
        scale.ax.invert_yaxis()
    return ax


def map_height(longitude: Array, latitude: Array, width: float) -> float:
    """Height at which a map fills a width, its scale beside it. [mm]"""
    east, north = np.ptp(longitude), np.ptp(latitude)
    shrunk = max(np.cos(np.radians(np.mean(latitude))), 0.2)
    return float(np.clip((width - 50.0) * north / max(east * shrunk, 1e-9), 40.0, width))


def _degrees(value: float, positive: str, negative: str) -> str:
    side = positive if value > 0 else negative if value < 0 else ""
    return f"{abs(value):g}° {side}".strip()


def _ticks(low: float, high: float) -> list[float]:
    """Whole days to name, no more than fit."""
    span = max(high - low, 1.0)
    step = next((each for each in _STEPS if span / each <= _TICKS - 1), 183)
    first = np.ceil(low / step) * step
    ticks = [float(each) for each in np.arange(first, high + 1e-9, step)]
    return ticks or [float(np.floor(low))]


def _named(day: float) -> str:
    """A day of the season as people say it; the year after it is said."""
    date = dt.date(2025, 1, 1) + dt.timedelta(days=int(day))
    return words.short_day(date) + (" after" if date.year > 2025 else "")


def map_takeaway(days: Array, stage: str) -> str:
    """What the map shows, in a sentence.

    Examples
    --------
    >>> map_takeaway(np.array([[150.4, 171.0, np.inf]]), "First moths")
    'First moths: in the middle season 31 May where it is earliest, 21 June where it is latest.'
    """
    reached = days[np.isfinite(days)]
    if not reached.size:
        return f"{stage}: not reached in half of the seasons anywhere."
    early, late = (
        words.day(dt.date(2025, 1, 1) + dt.timedelta(days=int(end)), weekday=False)
        for end in (reached.min(), reached.max())
    )
    return f"{stage}: in the middle season {early} where it is earliest, {late} where it is latest."
