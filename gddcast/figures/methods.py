"""Methods held against the truth: one row a method, one mark a place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from gddcast.figures import BLUE, GREEN, GREY, INK, VERMILLION

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARKS = (("o", INK), ("^", BLUE), ("s", VERMILLION), ("D", GREEN))


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
    for (place, found), (mark, colour) in zip(misses.items(), _MARKS, strict=False):
        rows = range(len(methods))
        ax.plot([found[name] for name in methods], rows, mark, color=colour, ms=8, label=place)
    ax.set_yticks(range(len(methods)), methods)
    ax.invert_yaxis()
    ax.set_xlabel(label)
    ax.xaxis.set_major_formatter(lambda value, _: f"{value:+.{digits}f}".replace("-", "−"))
    ax.legend(frameon=False, loc="best")
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax
