"""Names at the ends of lines, moved apart where they would run into one another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast.draw import INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Annotation


@dataclass(frozen=True, slots=True)
class End:
    """Where a line ends, and its name there."""

    x: float
    y: float
    name: str
    bold: bool = False


def name_ends(ax: Axes, ends: Sequence[End], *, gap: float = 5.0) -> list[Annotation]:
    """Write each name to the right of its line's end, a line's height apart.

    Parameters
    ----------
    ax : matplotlib Axes
        Its limits must be set.
    ends : sequence of End
    gap : float
        From end to name. [points]
    """
    names = [
        ax.annotate(
            end.name, (end.x, end.y), xytext=(gap, 0), textcoords="offset points", va="center",
            color=INK, weight="bold" if end.bold else "normal", annotation_clip=False,
            linespacing=1.1,
        )
        for end in ends
    ]  # fmt: skip
    # Only a figure that has been laid out can tell which names meet.
    ax.figure.canvas.figure.draw_without_rendering()
    heights = [float(ax.transData.transform((end.x, end.y))[1]) for end in ends]
    sizes = [float(name.get_window_extent().height) + 1.0 for name in names]
    for name, height, moved in zip(names, heights, apart(heights, sizes), strict=True):
        name.set_position((gap, (moved - height) * 72 / ax.figure.dpi))
    return names


def apart(heights: Sequence[float], sizes: Sequence[float]) -> list[float]:
    """Heights as near the wanted ones as boxes of these sizes allow, in the same order.

    Examples
    --------
    >>> apart([0.0, 1.0, 30.0], [10.0, 10.0, 10.0])
    [-4.5, 5.5, 30.0]
    """
    blocks: list[list[int]] = []  # boxes that touch are one block
    for box in sorted(range(len(heights)), key=lambda each: heights[each]):
        block = [box]
        while blocks and _lower_edge(block, heights, sizes) < _upper_edge(
            blocks[-1], heights, sizes
        ):
            block = blocks.pop() + block
        blocks.append(block)
    placed = [0.0] * len(heights)
    for block in blocks:
        edge = _lower_edge(block, heights, sizes)
        for box in block:
            placed[box] = edge + sizes[box] / 2
            edge += sizes[box]
    return placed


def _lower_edge(block: list[int], heights: Sequence[float], sizes: Sequence[float]) -> float:
    """Where a block begins that lies, on the mean, where its boxes would."""
    below, wanted = 0.0, 0.0
    for box in block:
        wanted += heights[box] - sizes[box] / 2 - below
        below += sizes[box]
    return wanted / len(block)


def _upper_edge(block: list[int], heights: Sequence[float], sizes: Sequence[float]) -> float:
    return _lower_edge(block, heights, sizes) + sum(sizes[box] for box in block)
