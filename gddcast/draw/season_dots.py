"""Seasons side by side: the heat of each by the same day, one dot a season, warmest first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GRID, INK, svg
from gddcast.draw.scales import WIDTH
from gddcast.units import Unit, from_celsius_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_ROW, _LEFT, _RIGHT, _SMALL = 17.0, 60.0, WIDTH - 58.0, 12
#: More seasons than these make a drawing too tall to be read at a glance.
MOST = 30


def season_dots(
    heats: Sequence[tuple[str, float]], current: str, title: str, takeaway: str, show: Unit
) -> svg.Svg:
    """Draw them over one line of heat; this season stands out, the middle past one is marked.

    Parameters
    ----------
    heats : sequence of (str, float)
        Seasons by name, warmest first, and their heat. [°C·d]
    current : str
        Name of this season.
    title, takeaway : str
    show : {"F", "C"}
    """
    sums = [heat for _, heat in heats]
    low, high = min(sums), max(sums)
    reach = max(high - low, 1.0)

    def across(heat: float) -> float:
        return _LEFT + (heat - low) / reach * (_RIGHT - _LEFT)

    floor = 22 + _ROW * len(heats)
    strokes = []
    past = [heat for name, heat in heats if name != current]
    if past:
        x = across(float(np.median(past)))
        strokes.append(svg.line([(x, 16), (x, floor)], colour=BLUE, width=1.5, dash="4 3"))
        strokes.append(
            svg.words(
                min(max(x, 56), WIDTH - 56),
                12,
                "middle past year",
                anchor="middle",
                colour=BLUE,
                size=_SMALL,
            )
        )
    for row, (name, heat) in enumerate(heats):
        y, is_now = 22 + _ROW * (row + 0.5), name == current
        strokes.append(svg.line([(_LEFT, y), (_RIGHT, y)], colour=GRID, width=0.7))
        strokes.append(svg.words(_LEFT - 10, y + 4, name, anchor="end", size=_SMALL, bold=is_now))
        strokes.append(svg.dot(across(heat), y, hollow=not is_now, radius=6 if is_now else 4.5))
        said = words.heat(heat, show, unit=False)
        strokes.append(svg.words(_RIGHT + 12, y + 4, said, size=_SMALL, bold=is_now))
    return svg.picture(WIDTH, round(floor + 4), title, takeaway, strokes)


def draw_season_dots(
    ax: Axes, heats: Sequence[tuple[str, float]], current: str, show: Unit
) -> Axes:
    """The same on Matplotlib's axes; see `season_dots`."""
    sums = [float(from_celsius_days(heat, show)) for _, heat in heats]
    pad = 0.04 * max(max(sums) - min(sums), 1.0)
    ax.set(xlim=(min(sums) - pad, max(sums) + pad))
    ax.set(ylim=(len(heats) - 0.5, -0.5), xlabel=f"°{show}-days")
    past = [from_celsius_days(heat, show) for name, heat in heats if name != current]
    if past:
        middle = float(np.median(past))
        ax.axvline(middle, color=BLUE, lw=1.5, ls=(0, (4, 3)), zorder=2)
        ax.annotate(
            "middle past year", (middle, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 3),
            textcoords="offset points", ha="center", color=BLUE, annotation_clip=False,
        )  # fmt: skip
    for row, (name, heat) in enumerate(heats):
        is_now, at = name == current, float(from_celsius_days(heat, show))
        ax.axhline(row, color=GRID, lw=0.7, zorder=1)
        ax.plot(
            at, row, "o", ms=9 if is_now else 6.5, mec=INK, mfc=INK if is_now else "white", zorder=4
        )
        ax.annotate(
            words.heat(heat, show, unit=False), (1.0, row), xycoords=("axes fraction", "data"),
            xytext=(6, 0), textcoords="offset points", va="center", annotation_clip=False,
            weight="bold" if is_now else "normal",
        )  # fmt: skip
    ax.set_yticks(range(len(heats)), [name for name, _ in heats])
    for (name, _), label in zip(heats, ax.get_yticklabels(), strict=True):
        label.set_fontweight("bold" if name == current else "normal")
    ax.tick_params(axis="y", length=0)
    ax.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax
