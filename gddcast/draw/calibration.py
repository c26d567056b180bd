"""Whether spans keep their promise: the share of past dates each held, beside what it said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GREY, INK, PALE_BLUE
from gddcast.outlook.spans import SHARES
from gddcast.skill.track_record import LeadRecord
from gddcast.weather.series import DailySeries

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Shape and place within its row of each span.
_MARKS = dict(zip(SHARES, (("o", -0.29), ("s", 0.0), ("^", 0.29)), strict=True))
_FEW = 10  # seasons below which the note says so
_WIDE = 5.0  # figures as wide as this also show where truths fell [in]


def draw_calibration(fig: Figure, records: Sequence[LeadRecord]) -> Figure:
    """Fill a figure: a row a lead; the spans' shares, then where truths fell among the members.

    Parameters
    ----------
    fig : matplotlib Figure
        Empty; a narrow one gets the shares alone.
    records : sequence of LeadRecord
        Nearest lead first.
    """
    if fig.get_figwidth() < _WIDE:
        draw_held(fig.add_subplot(), records)
        return fig
    grid = fig.add_gridspec(len(records), 2, width_ratios=[3, 1])
    draw_held(fig.add_subplot(grid[:, 0]), records)
    for row, record in enumerate(records):
        ax = draw_tenths(fig.add_subplot(grid[row, 1]), record)
        if row == 0:
            ax.set_title("where it fell\namong the years", size="medium", loc="left")
    ax.set_xticks([0.1, 0.9], ["early", "late"])
    return fig


def draw_held(ax: Axes, records: Sequence[LeadRecord]) -> Axes:
    """Share of dates each span held, with its interval from the seasons, beside what it promised.

    Parameters
    ----------
    ax : matplotlib Axes
    records : sequence of LeadRecord
    """
    for row, record in enumerate(records):
        for share, (mark, place) in _MARKS.items():
            y, (low, high) = row + place, record.held_interval[share]
            ax.plot([100 * share] * 2, [y - 0.13, y + 0.13], color=BLUE, lw=2.4, zorder=2)
            ax.plot([100 * low, 100 * high], [y, y], color=INK, lw=1.2, zorder=1)
            ax.plot(100 * record.held[share], y, mark, ms=6.5, mfc=INK, mec="white", zorder=3)
            ax.annotate(
                f"{100 * share:.0f} %", (1.0, y), xycoords=("axes fraction", "data"),
                xytext=(5, 0), textcoords="offset points", va="center", annotation_clip=False,
            )  # fmt: skip
        if row:
            ax.axhline(row - 0.5, color=GREY, lw=0.6)
    ax.set(xlim=(-3, 103), xticks=[0, 25, 50, 75, 100], ylim=(len(records) - 0.5, -0.5))
    ax.set_yticks(range(len(records)), [row_name(record) for record in records])
    ax.tick_params(axis="y", length=0)
    ax.set_xlabel("held, % of outlooks")
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def draw_tenths(ax: Axes, record: LeadRecord) -> Axes:
    """How many truths fell in each tenth of the members; all alike would be the dashed line."""
    edges = np.linspace(0.0, 1.0, len(record.pit) + 1)
    ax.stairs(record.pit, edges, fill=True, color=PALE_BLUE)
    ax.stairs(record.pit, edges, color=INK, lw=1.0)
    ax.axhline(1.0 / len(record.pit), color=BLUE, ls=(0, (6, 2)), lw=1.2)
    ax.set(xlim=(0, 1), ylim=(0, max(0.42, *record.pit) * 1.05), xticks=[], yticks=[])
    ax.spines[["top", "right", "left"]].set_visible(False)
    return ax


def row_name(record: LeadRecord) -> str:
    """The lead, with what it rests on."""
    told, seasons = words.count(record.forecasts, "outlook"), words.count(record.seasons, "season")
    return f"{record.days}\n{told}\n{seasons}"


def calibration_sentence(records: Sequence[LeadRecord]) -> str:
    """What of the drawing is good and what is not, in a sentence.

    A span kept its promise where what it promised lies within what seasons like these can tell.
    """
    narrow: list[str] = []
    wide: list[str] = []
    kept = 0
    for record in records:
        for share in SHARES:
            (low, high), named = record.held_interval[share], f"{100 * share:.0f} % {record.days}"
            if low <= share <= high:
                kept += 1
            else:
                (narrow if share > high else wide).append(f"{named} ahead")
    good = "kept its promise, as far as these seasons can tell."
    if not narrow and not wide:
        return f"Every span {good}"
    said = [f"Too narrow: {words.listed(narrow)}."] if narrow else []
    said += [f"Wider than need be: {words.listed(wide)}."] if wide else []
    return " ".join([*said, *([f"Every other span {good}"] if kept else [])])


def calibration_note(series: DailySeries, records: Sequence[LeadRecord], protocol: str) -> str:
    """What was tried, how, and what the marks mean."""
    learnt = "earlier ones only" if protocol == "past only" else "all others, later ones too"
    said = (
        f"{series.place.name}, {words.day(series.first, weekday=False, year=True)} to "
        f"{words.day(series.last, weekday=False, year=True)}; each season foretold from {learnt}, "
        "one outlook a week. Upright: what a span promises; mark and line: what it held, and how "
        "far that may be off, by how the seasons differ (95 %). Good: the line crosses its "
        "upright; all of it left of that is a span too narrow, right of it one too wide. At the "
        "right, level is good; heaps at both ends are spans too narrow."
    )
    if any(record.seasons < _FEW for record in records):
        said += " Few seasons: the lines, not the marks on them, say what is known."
    return f"{said} This covers the weather only."
