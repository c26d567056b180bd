"""Onset as dots, one a past year: doubt about a date is never drawn as a bar."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from gddcast.figures import BLUE, INK
from gddcast.words import day as said

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_year_dots(
    ax: Axes, days: Iterable[dt.date], *, today: dt.date | None = None, inner: int = 0
) -> Axes:
    """One dot a past year, stacked by day.

    Parameters
    ----------
    ax : matplotlib Axes
    days : iterable of date
        All in one season, whatever year they came from.
    today : date, optional
        Drawn as a line.
    inner : int, default: 0
        Dots left hollow at each end.
    """
    ordered = sorted(days)
    stacked: Counter[dt.date] = Counter()
    for rank, day in enumerate(ordered):
        stacked[day] += 1
        outer = rank < inner or rank >= len(ordered) - inner
        ax.plot(
            day.toordinal(), stacked[day], "o", ms=11, mec=INK, mfc="white" if outer else INK
        )  # fmt: skip
    if today is not None:
        ax.axvline(today.toordinal(), color=BLUE, ls="--", lw=1.4)
        ax.text(today.toordinal() + 0.3, max(stacked.values()) + 0.7, "today", color=BLUE)
    first, last = ordered[0].toordinal(), ordered[-1].toordinal()
    ticks = range(first, last + 1, (last - first) // 5 + 1)
    ax.set_xticks(list(ticks), [said(dt.date.fromordinal(t), weekday=False) for t in ticks])
    ax.set(yticks=[], ylim=(0.3, max(stacked.values()) + 1.2))
    ax.set_xlim(min(first, today.toordinal() if today else first) - 2, last + 2)
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax
