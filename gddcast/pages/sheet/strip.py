"""The lines of the strip of three weeks: what is said of a stage's date, and its dots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gddcast.draw.svg import Svg
from gddcast.draw.three_weeks import ThreeWeeks, is_hollow
from gddcast.draw.year_dots import dot_rows, has_year_dots
from gddcast.outlook.dates import YearDot
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import sentences
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class StripLine:
    """One stage on the strip: the number of its row or its name, its date, its dots."""

    label: str
    when: str
    drawings: tuple[Svg, ...]


def strip_line(window: ScoutingWindow, label: str, strip: ThreeWeeks, show: Unit) -> StripLine:
    """What is said of one stage's date, and its dots as far as they fall into the strip.

    Parameters
    ----------
    window : ScoutingWindow
    label : str
        The number of its row, else its name.
    strip : ThreeWeeks
    show : {"F", "C"}
    """
    when, drawings = sentences.when_briefly(window, show), []
    for end, dots in dot_rows(window):
        inside = [dot for dot in dots if dot.day in strip]
        if inside:
            drawings.append(strip.dots(inside, end, f"Strip {label}"))
            when += f" {'Hollow' if is_hollow(end) else 'Full'} dots: {end}." if end else ""
        when += _outside(end, dots, strip)
    return StripLine(label, when, tuple(drawings))


def falls_into(window: ScoutingWindow, strip: ThreeWeeks) -> bool:
    """Whether any dot of a stage does."""
    return has_year_dots(window) and any(
        dot.day in strip for _, dots in dot_rows(window) for dot in dots
    )


def _outside(label: str, dots: Sequence[YearDot], strip: ThreeWeeks) -> str:
    """Dots that fall before or after the strip, or not at all this season, are told."""
    days = [dot.day for dot in dots if dot.day is not None]
    before = sum(day < strip.first for day in days)
    after = sum(day >= strip.after for day in days)
    parts = [f"{before} before" if before else "", f"{after} after" if after else ""]
    outside = " and ".join(filter(None, parts))
    if not outside:
        return ""
    return f" {outside} these three weeks{f' ({label})' if label else ''}."
