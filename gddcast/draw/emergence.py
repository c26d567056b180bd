"""When which share of a population is out: a row a share on one axis of days, a dot a past year."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GRID, INK
from gddcast.draw.scales import days_between
from gddcast.draw.year_dots import draw_dots, height, placed
from gddcast.outlook.dates import Outlook
from gddcast.text.sentences import years_say
from gddcast.today.emergence_ahead import EmergenceAhead

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_DOT = 5.5  # [points]
_MARGIN = 3  # days beside the outermost mark
_WORTH_SAYING = 0.005  # share from which flies are said to be out
_AIR = 10.0  # between the dots of a row and the one above [points]


def draw_emergence(ax: Axes, ahead: EmergenceAhead, *, room: int = 6) -> Axes:
    """Draw a row for each share told: the day it came, else a dot a past year when it may.

    Parameters
    ----------
    ax : matplotlib Axes
    ahead : EmergenceAhead
    room : int, default: 6
        Days that fit on the axis.
    """
    rows = list(ahead.main_shares.items())
    _label(ax, ahead, room)
    piles = [
        placed(((day, "") for day in one.days), lambda day: day.toordinal() + 0.5, 1.0)
        for _, one in rows
    ]
    tall = [height(dots, 1.0) if dots else 1.0 for dots in piles]
    size, pitch = _size_and_pitch(ax, sum(tall), len(rows))
    # Rows stand as far apart as the dots between them ask for. [points]
    rises = [pitch * each + _AIR for each in tall]
    floors = np.cumsum([0.0, *rises[:0:-1]])[::-1]
    ax.set(ylim=(-0.7 * _AIR, float(floors[0]) + rises[0]))
    ax.set_yticks(floors, [f"{_part(share)} out" for share, _ in rows])
    for (share, one), dots, floor in zip(rows, piles, floors, strict=True):
        ax.axhline(floor, color=GRID, lw=0.7, zorder=1)
        if one.reached is not None:
            at = one.reached.toordinal() + 0.5
            ax.plot(at, floor, "D", ms=7, color=INK, mec="white", zorder=6)
            ax.annotate(words.day(one.reached, weekday=False), (at, floor), xytext=(0, 6),
                        textcoords="offset points", ha="center", annotation_clip=False)  # fmt: skip
        draw_dots(ax, dots, floor + size / 2, pitch, size=size)
        if share == ahead.middle:
            ax.get_yticklabels()[[each for each, _ in rows].index(share)].set_fontweight("bold")
    _mark_today(ax, ahead)
    ax.tick_params(axis="y", length=0)
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def known_points(ahead: EmergenceAhead) -> list[tuple[int, float]]:
    """Ends of this season's known days and the shares out by then, from where they show."""
    first = ahead.first.toordinal() + 1
    shares = enumerate(ahead.known.tolist(), start=first)
    return [(at, share) for at, share in shares if share >= _WORTH_SAYING]


def _size_and_pitch(ax: Axes, levels: float, rows: int) -> tuple[float, float]:
    """Size of a dot, and from dot to dot of a pile, so that all rows fit. [points]"""
    # Only a figure that has been laid out can tell how much room there is.
    ax.figure.canvas.figure.draw_without_rendering()
    window = ax.get_window_extent()
    day = window.width * 72 / ax.figure.dpi / np.ptp(ax.get_xlim())
    up = window.height * 72 / ax.figure.dpi - (rows + 0.7) * _AIR
    pitch = min(_DOT + 1.0, up / levels)
    # Dots of one pile never touch; those of days side by side may, where days are narrow.
    return min(_DOT, max(day, 4.0), max(pitch, 2.5)), pitch


def _mark_today(ax: Axes, ahead: EmergenceAhead) -> None:
    through = ahead.first.toordinal() + ahead.known.size
    first, last = ax.get_xlim()
    if first <= through <= last:
        ax.axvline(through, color=BLUE, lw=1.4, ls=(0, (4, 3)), zorder=2)
        ax.annotate("today", (through, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 2),
                    textcoords="offset points", ha="center", color=BLUE,
                    annotation_clip=False)  # fmt: skip


def _label(ax: Axes, ahead: EmergenceAhead, room: int) -> None:
    through = ahead.first.toordinal() + ahead.known.size
    days = [
        day.toordinal()
        for one in ahead.main_shares.values()
        for day in (*one.days, one.reached)
        if day
    ]
    first, last = min(days) - _MARGIN, max(days) + _MARGIN
    if first - through <= 0.3 * (last - first):  # near enough to be worth the paper
        first = min(first, through - 1)
    ax.set_xlim(first, last)
    places = days_between(first, last, room)
    said = [words.day(dt.date.fromordinal(place), weekday=False) for place in places]
    ax.set_xticks(places, said)


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
