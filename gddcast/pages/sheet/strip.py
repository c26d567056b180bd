"""The lines of the strip of three weeks: what is said of a stage's date, and its dots."""

from __future__ import annotations

from dataclasses import dataclass

from gddcast.draw.shared_axis import SharedAxis
from gddcast.draw.svg import Svg
from gddcast.draw.year_dots import dot_rows
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.units import Unit

WEEKS = 3


@dataclass(frozen=True, slots=True)
class StripLine:
    """One stage on the strip: its name with the number of its row, its date, its dots."""

    label: str
    when: str
    drawing: Svg


def strip_line(
    window: ScoutingWindow, label: str, axis: SharedAxis, show: Unit, among: str = ""
) -> StripLine:
    """What is said of one stage's date, and its dots as far as they fall on the strip.

    Parameters
    ----------
    window : ScoutingWindow
    label : str
    axis : SharedAxis
    show : {"F", "C"}
    among : str
        What tells its sheet from others in one file.
    """
    rows = dot_rows(window)
    when = sentences.reason(window, show)
    if outside := axis.outside(rows):
        when += f"; {outside} these weeks"
    opens = window.opens if window.event.opens_looks else None
    return StripLine(label, when, axis.row(rows, f"Dates of {among}{label}", opens))
