"""Seasons side by side: the heat of each by the same day, one dot a season, warmest first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GRID, svg
from gddcast.draw.scales import WIDTH
from gddcast.units import Unit

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
