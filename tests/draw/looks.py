"""What a drawing looks like to a reader: its words, whether they meet, its colours, its greys."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from xml.etree import ElementTree

from matplotlib.axes import Axes
from matplotlib.colors import to_hex, to_rgb
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from gddcast.draw.chart_file import Words, picture

SAID = Words("a picture", "A takeaway that is long enough to be broken in two lines.", "A note.")


def laid_out(
    draw: Callable[[Figure], object], width: float, height: float = 85.0, said: Words = SAID
) -> Figure:
    """The figure as it went to its file."""
    kept: list[Figure] = []

    def keep(fig: Figure) -> None:
        kept.append(fig)
        draw(fig)

    picture(keep, said, "svg", width=width, height=height)
    (fig,) = kept
    fig.set_dpi(200)  # of the file
    fig.draw_without_rendering()
    return fig


def words_of(fig: Figure) -> list[tuple[str, Bbox]]:
    """Every word that is shown, with its box in pixels."""
    found = []
    for text in fig.findobj(Text):
        box = text.get_window_extent()
        if text.get_text().strip() and text.get_visible() and not _hidden_label(fig, text):
            found.append((text.get_text(), box))
    return found


def _hidden_label(fig: Figure, text: Text) -> bool:
    """Labels of ticks that lie outside their axis are kept by Matplotlib, not drawn."""
    for ax in fig.axes:
        for axis in (ax.xaxis, ax.yaxis):
            low, high = sorted(axis.get_view_interval())
            for tick in axis.get_major_ticks():
                if text in (tick.label1, tick.label2):
                    return not low <= tick.get_loc() <= high or not text.get_visible()
    return False


def meetings(fig: Figure) -> list[str]:
    """Words that run into one another, or out of the picture."""
    words = words_of(fig)
    assert len(words) > 3
    width, height = fig.bbox.width, fig.bbox.height
    bad = [
        f"{one!r} and {other!r} meet"
        for (one, a), (other, b) in itertools.combinations(words, 2)
        if min(a.x1, b.x1) - max(a.x0, b.x0) > 1.0 and min(a.y1, b.y1) - max(a.y0, b.y0) > 1.0
    ]
    left = [ax for ax in fig.axes if ax.get_subplotspec().colspan.start == 0]  # type: ignore[union-attr]
    drawn = sum(ax.get_window_extent().height for ax in left)
    if drawn < 0.35 * height:
        bad.append(f"the drawing takes {drawn / height:.0%} of the height")
    return bad + [
        f"{word!r} leaves the picture"
        for word, box in words
        if box.x0 < -1 or box.y0 < -1 or box.x1 > width + 1 or box.y1 > height + 1
    ]


def contrast(colour: object) -> float:
    """Contrast with white, by the formula of WCAG 2.2 (relative luminance)."""
    linear = [
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4
        for each in to_rgb(colour)  # type: ignore[arg-type]
    ]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 1.05 / (luminance + 0.05)


def colours(ax: Axes) -> set[str]:
    """Colours of lines and marks; of a mark's fill only where its edge is as pale."""
    found = set()
    for line in ax.lines:
        if line.get_linestyle() != "None" and len(line.get_xdata()) > 1:
            found.add(to_hex(line.get_color()))  # type: ignore[arg-type]
        if line.get_marker() not in ("None", ""):
            edge, fill = line.get_markeredgecolor(), line.get_markerfacecolor()
            found.add(to_hex(max(edge, fill, key=contrast)))  # type: ignore[arg-type]
    return found


def without_colour(line: Line2D) -> tuple[object, ...]:
    """What is left of a line in grey print: dash, width and mark."""
    hollow = to_rgb(line.get_markerfacecolor()) == (1.0, 1.0, 1.0)
    dash = line.get_linestyle() if not line.is_dashed() else tuple(line._unscaled_dash_pattern[1])  # type: ignore[attr-defined]
    return dash, line.get_linewidth(), line.get_marker(), line.get_markersize(), hollow


def marks(ax: Axes) -> list[tuple[str, float, float, Line2D]]:
    """Shape and place of every mark, with the artist it belongs to."""
    return [
        (line.get_marker(), float(x), float(y), line)
        for line in ax.lines
        if line.get_marker() not in ("None", "")
        for x, y in line.get_xydata()
    ]


def text_colours(ax: Axes) -> set[str]:
    """Colours of the words on an axes."""
    return {to_hex(text.get_color()) for text in ax.findobj(Text) if text.get_text()}  # type: ignore[arg-type]


def named(svg: bytes) -> tuple[str, str, str]:
    """Role, name and description a screen reader gets from a picture."""
    root = ElementTree.fromstring(svg)
    space = "{http://www.w3.org/2000/svg}"
    labelled = root.get("aria-labelledby", "").split()
    texts = {each.get("id"): each.text or "" for each in root}
    assert {root[0].tag, root[1].tag} <= {f"{space}title", f"{space}desc", f"{space}metadata"}
    return root.get("role", ""), texts[labelled[0]], texts[labelled[1]]
