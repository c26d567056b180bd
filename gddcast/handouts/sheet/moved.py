"""What moved since the last sheet was printed, where somebody kept what that sheet said."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from gddcast import sentences, words
from gddcast.handouts.calendar_file import told_as
from gddcast.hindsight import changes_since, stage_of
from gddcast.plan import SeasonPlan
from gddcast.scouting import ScoutingWindow
from gddcast.units import Unit


@dataclass(frozen=True, slots=True)
class ToldBefore:
    """Fastest and slowest past year as an earlier sheet said them, and the day it did."""

    on: dt.date
    fastest: dt.date | None
    slowest: dt.date | None


def moved_since(
    plan: SeasonPlan,
    windows: Sequence[ScoutingWindow],
    told: Mapping[tuple[str, str, str], ToldBefore],
    show: Unit,
) -> Iterator[tuple[ScoutingWindow, str]]:
    """Each window whose dots span other days than its last sheet said, and the sentence of it.

    Parameters
    ----------
    plan : SeasonPlan
    windows : sequence of ScoutingWindow
    told : mapping
        By `calendar_file.told_as`; the last of each.
    show : {"F", "C"}
    """
    for window in windows:
        was = told.get(told_as(window))
        if was is None or window.found is not None or window.reached is not None:
            continue
        if was.fastest is None or window.fastest is None:
            continue
        if (was.fastest, was.slowest) != (window.fastest, window.slowest):
            yield window, _why(plan, window, was, show)


def _why(plan: SeasonPlan, window: ScoutingWindow, was: ToldBefore, show: Unit) -> str:
    """With its cause where counting again finds what was said; else the two spans alone."""
    change = changes_since(replace(plan, windows=(window,)), was.on).get(stage_of(window))
    if change is not None and window.fastest is not None:
        then, now = ((each.fastest, each.slowest) for each in (change.before, change.after))
        if then == (was.fastest, was.slowest) and now == (window.fastest, window.slowest):
            return sentences.moved(change, was.on, show)
    return (
        f"On {words.day(was.on, weekday=False)} it said {_span(was.fastest, was.slowest)}, now "
        f"{_span(window.fastest, window.slowest)}."
    )


def _span(first: dt.date | None, last: dt.date | None) -> str:
    if first is None:
        return "no date"
    return f"from {words.day(first, weekday=False)}" if last is None else words.span(first, last)
