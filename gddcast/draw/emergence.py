"""Share of a population that is out, by day: this season's curve, and one dot a past year."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import GREY, INK
from gddcast.draw.scales import days_between
from gddcast.draw.year_dots import Dot, draw_dots, height, placed
from gddcast.outlook.dates import Outlook
from gddcast.text.sentences import years_say
from gddcast.today.emergence_ahead import EmergenceAhead

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_DOT = 5.5  # [points]
_MARGIN = 3  # days beside the outermost mark
_WORTH_DRAWING = 0.005  # share from which this season's line is drawn


def draw_emergence(ax: Axes, ahead: EmergenceAhead, *, room: int = 6) -> Axes:
    """Draw this season bold, its endings as past years had them thin, dots at the shares told.

    Parameters
    ----------
    ax : matplotlib Axes
    ahead : EmergenceAhead
    room : int, default: 6
        Days that fit on the axis.
    """
    begin = ahead.season.first.toordinal()
    known = known_points(ahead)
    _label(ax, ahead, [at for at, _ in known], room)
    seasons = dict.fromkeys(dot.season for one in ahead.outlooks.values() for dot in one.dots)
    for season in seasons:
        later = [(begin + time, share) for time, share in ahead.year(season)]
        if later:
            at, shares = zip(*known[-1:], *later, strict=True)
            ax.plot(at, shares, color=GREY, lw=0.8, zorder=2, label=season)
    if known:
        ax.plot(*zip(*known, strict=True), color=INK, lw=2.8, zorder=5)
        ax.plot(*known[-1], "D", ms=7, color=INK, mec="white", zorder=6)
    for share in ahead.told:
        ax.axhline(share, color=GREY, lw=0.8, ls=(0, (2, 3)), zorder=1)
    _draw_dots(ax, ahead)
    return ax


def known_points(ahead: EmergenceAhead) -> list[tuple[int, float]]:
    """Ends of this season's known days and the shares out by then, from where they show."""
    first = ahead.first.toordinal() + 1
    shares = enumerate(ahead.known.tolist(), start=first)
    return [(at, share) for at, share in shares if share >= _WORTH_DRAWING]


def _draw_dots(ax: Axes, ahead: EmergenceAhead) -> None:
    """One dot a past year on its own day, those of one day stacked; doubt is never a bar."""
    piled = {
        share: placed(((day, "") for day in one.days), lambda day: day.toordinal() + 0.5, 1.0)
        for share, one in ahead.told.items()
    }
    size, pitch = _size_and_pitch(ax, piled)
    for share, dots in piled.items():
        draw_dots(ax, dots, share, pitch, size=size)


def _size_and_pitch(ax: Axes, piled: dict[float, list[Dot]]) -> tuple[float, float]:
    """Size of a dot, and from dot to dot of a pile that ends below the next share. [points]"""
    # Only a figure that has been laid out can tell how much room there is.
    ax.figure.canvas.figure.draw_without_rendering()
    window = ax.get_window_extent()
    day = window.width * 72 / ax.figure.dpi / np.ptp(ax.get_xlim())
    shares = [*piled, ax.get_ylim()[1]]
    up = window.height * 72 / ax.figure.dpi / np.ptp(ax.get_ylim())
    rooms = [
        (above - share) * up / max(height(dots, 1.0) - 0.5 if dots else 0.5, 1.0)
        for (share, dots), above in zip(piled.items(), shares[1:], strict=True)
    ]
    pitch = min(_DOT + 1.0, *rooms)
    # Dots of one pile never touch; those of days side by side may, where days are narrow.
    return min(_DOT, max(day, 4.0), max(pitch, 2.5)), pitch


def _label(ax: Axes, ahead: EmergenceAhead, known: list[int], room: int) -> None:
    days = [day for one in ahead.outlooks.values() for day in (*one.days, one.reached) if day]
    first = min([*(day.toordinal() for day in days), *known[:1]]) - _MARGIN
    last = max([*(day.toordinal() for day in days), *known[-1:]]) + _MARGIN
    ax.set_xlim(first, last)
    places = days_between(first, last, room)
    said = [words.day(dt.date.fromordinal(place), weekday=False) for place in places]
    ax.set_xticks(places, said)
    ax.set(ylim=(0, 1.03), ylabel="share out")
    shares = [0.0, *ahead.told, 1.0]
    ax.set_yticks(shares, [f"{100 * share:.0f} %" for share in shares])


def emergence_takeaway(ahead: EmergenceAhead, what: str, early: Outlook | None = None) -> str:
    """When half are out, or the share nearest to half that the curve holds; and how many are.

    Parameters
    ----------
    ahead : EmergenceAhead
    what : str
        Whose emergence it is.
    early : Outlook, optional
        The same share counted from the last clean look, where the curve drawn starts with the find
        behind it: then both ends are said.
    """
    share = ahead.middle
    one, part = ahead.outlooks[share], _part(share)
    first = early or one
    if one.reached and first.reached:
        came = words.reached(first.reached, one.reached, weekday=True)
        if first.reached == one.reached:
            came = f"by {words.day(one.reached)}"
        return f"{what}, {part} out: {came}, as the sums go."
    said = f"{what}, {part} out. {years_say(first, one)}"
    if known := known_points(ahead):
        at, out = known[-1]
        least = "" if first.heat == one.heat else " at least"
        said += f" {_part(out)}{least} were out by {words.day(dt.date.fromordinal(at - 1))}."
    return said


def _part(share: float) -> str:
    return "half" if share == 0.5 else f"{100 * share:.0f} %"
