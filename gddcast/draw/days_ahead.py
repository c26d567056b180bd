"""How far a season is ahead of the middle past one, day by day: above the line ahead, below behind.

Each day's distance is in days: from that day to the one on which the middle past season had as
much heat.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gddcast.draw import BLUE, GRID, svg
from gddcast.draw.scales import WIDTH
from gddcast.draw.season_curve import calendar_of
from gddcast.outlook.seasons import SeasonCurves

_HEIGHT, _LEFT, _RIGHT, _TOP, _BOTTOM = 170, 34.0, WIDTH - 74.0, 14.0, 142.0
#: Days drawn: what was further back is told by the sums. [d]
_ABOUT = 60
#: A line that never leaves so many days is no mountain range. [d]
_LEAST = 5


def days_ahead(ahead: NDArray[np.float64], curves: SeasonCurves, takeaway: str) -> svg.Svg | None:
    """Draw the last two months of it; None where no two days of them are known.

    Parameters
    ----------
    ahead : ndarray, shape (days,)
        Of each day of this season; NaN where it is not known. [d]
    curves : SeasonCurves
    takeaway : str
        What the drawing shows.
    """
    places = np.flatnonzero(np.isfinite(ahead))
    places = places[places >= ahead.size - _ABOUT]
    if places.size < 2 or curves.current is None:
        return None
    first, last = int(places[0]), int(places[-1])
    reach = max(_LEAST, float(np.abs(ahead[places]).max()))

    def at(place: float, days: float) -> svg.Point:
        return (_LEFT + (_RIGHT - _LEFT) * (place - first) / (last - first),
                (_TOP + _BOTTOM) / 2 - (_BOTTOM - _TOP) / 2 * days / reach)  # fmt: skip

    strokes = []
    for tick in _ticks(reach):
        _, y = at(first, tick)
        strokes.append(svg.line([(_LEFT, y), (_RIGHT, y)], colour=GRID, width=0.7))
        said = f"{tick:+d}".replace("-", "\N{MINUS SIGN}") if tick else "0"
        strokes.append(svg.words(_LEFT - 6, y + 4, said, anchor="end", size=12))
    (_, zero), (_, top), (_, floor) = at(first, 0), at(first, reach), at(first, -reach)
    strokes.append(svg.line([(_LEFT, zero), (_RIGHT, zero)], colour=BLUE, width=1.5, dash="4 3"))
    # What else is named on the right makes way for the season's own name.
    _, end = at(last, ahead[last])
    for y, said in ((top + 8, "ahead"), (floor, "behind")):
        if abs(end + 4 - y) > 14:
            strokes.append(svg.words(_RIGHT + 8, y, said, size=12))
    if abs(end - zero) > 28:
        strokes.append(svg.words(_RIGHT + 8, zero - 3, "middle", colour=BLUE, size=12))
        strokes.append(svg.words(_RIGHT + 8, zero + 11, "past year", colour=BLUE, size=12))
    for place, name in calendar_of(curves).months():
        if first <= place <= last:
            x, _ = at(place, 0)
            strokes.append(svg.line([(x, _BOTTOM), (x, _BOTTOM + 4)], width=1))
            strokes.append(svg.words(x, _BOTTOM + 18, name, size=12))
    strokes.append(svg.line([at(int(place), ahead[place]) for place in places], width=3))
    strokes.append(svg.dot(*at(last, ahead[last])))
    name = svg.words(_RIGHT + 8, end + 4, curves.current.season.name, bold=True, size=12)
    strokes.append(svg.rimmed(name))
    return svg.picture(WIDTH, _HEIGHT, "Days ahead and behind", takeaway, strokes)


def _ticks(reach: float) -> Sequence[int]:
    step = next(each for each in (2, 5, 10, 20, 50, 100, 200) if reach / each < 4)
    most = int(reach // step) * step
    return range(-most, most + 1, step)
