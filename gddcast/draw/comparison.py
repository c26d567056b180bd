"""Seasons beside each other: the days on which goals were reached, or the sums on fixed days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GREY, INK
from gddcast.draw.line_ends import End, name_ends
from gddcast.draw.scales import Calendar
from gddcast.journal.entries import Bracket
from gddcast.outlook.seasons import Comparison, SeasonRow
from gddcast.text import sentences
from gddcast.units import Unit, from_celsius_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Shape and dash of each row of points, from the first day or goal on.
MARKS = (("o", "-"), ("s", (0, (6, 2))), ("^", (0, (2, 2))), ("v", (0, (6, 2, 1, 2))))
_DAYS_OF_ROOM = 5
_STEPS = (1, 2, 5, 10, 20, 50, 100, 1000)  # seasons from name to name
_MANY = 45  # seasons that take smaller marks
_NAMED = 6  # seasons left out that a note names


def draw_comparison(ax: Axes, table: Comparison, show: Unit, *, room: int = 12) -> Axes:
    """One column a season, this one marked; a season with unknown days is hatched, not drawn.

    Parameters
    ----------
    ax : matplotlib Axes
    table : Comparison
        Where it has goals, the day each was reached is drawn; else the sums on its fixed days.
    show : {"F", "C"}
    room : int, default: 12
        Seasons whose names fit under the axis.
    """
    columns = columns_of(table)
    ax.set_xlim(-0.7, len(columns) - 0.3)
    for name, _ in table.left_out:
        at = columns[name]
        ax.axvspan(at - 0.5, at + 0.5, fc="none", ec=GREY, hatch="//////", lw=0.6, zorder=1)
    if table.goals:
        _draw_days(ax, table, columns, show)
    else:
        _draw_sums(ax, table, columns, show)
    _name_columns(ax, list(columns), _this(table), room)
    return ax


def _this(table: Comparison) -> str | None:
    """Name of the season under way, where it is among those drawn."""
    return table.standing.season.name if table.standing else None


def columns_of(table: Comparison) -> dict[str, int]:
    """Place of every season, those left out among them, oldest first."""
    names = [row.season.name for row in table.rows] + [name for name, _ in table.left_out]
    return {name: place for place, name in enumerate(sorted(names))}


def _draw_days(ax: Axes, table: Comparison, columns: dict[str, int], show: Unit) -> None:
    first = table.rows[0].season.first
    calendar = Calendar((first.month, first.day))
    places = [calendar.at(day) for row in table.rows for day in (*row.reached, *_seen(row)) if day]
    if not places:
        ax.set_yticks([])
        return
    calendar.label(
        ax.yaxis, min(places) - _DAYS_OF_ROOM, max(places) + _DAYS_OF_ROOM, room=7
    )  # fmt: skip
    ends = []
    for which, goal in enumerate(table.goals):
        days = {row.season.name: row.reached[which] for row in table.rows}
        at = {name: float(calendar.at(day)) for name, day in days.items() if day}
        _points(ax, table, columns, at, which)
        past = [each for name, each in at.items() if name != _this(table)]
        if past:
            middle = float(np.median(past))
            ax.axhline(middle, color=BLUE, lw=1.2, ls=(0, (8, 3)), zorder=1)
            said = words.day(calendar.day(middle), weekday=False)
            what = "" if len(table.goals) == 1 else f"{words.heat(goal, show, unit=False)}: "
            ends.append(End(ax.get_xlim()[1], middle, f"{what}middle\n{said}"))
        for name, day in days.items():
            if day is None and name != _this(table):
                ax.annotate("∅", (columns[name], 1.0), xycoords=("data", "axes fraction"),
                            ha="center", va="bottom", annotation_clip=False)  # fmt: skip
    name_ends(ax, ends)
    for row in table.rows:
        _draw_find(ax, row.seen, columns[row.season.name], calendar)


def _seen(row: SeasonRow) -> tuple[dt.date, ...]:
    if row.seen is None:
        return ()
    return tuple(day for day in (row.seen.clean_on, row.seen.found_on) if day)


def _draw_find(ax: Axes, seen: Bracket | None, column: int, calendar: Calendar) -> None:
    if seen is None:
        return
    at = calendar.at(seen.found_on)
    ax.plot(column, at, "X", ms=9, mfc="white", mec=INK, mew=1.2, zorder=6)
    if seen.clean_on is not None:
        ax.plot(column, calendar.at(seen.clean_on), "_", ms=10, color=INK, mew=1.4, zorder=6)


def _draw_sums(ax: Axes, table: Comparison, columns: dict[str, int], show: Unit) -> None:
    ends = []
    for which, (month, day) in enumerate(table.fixed):
        sums = {row.season.name: row.sums[which] for row in table.rows}
        at = {
            name: float(from_celsius_days(value, show))
            for name, value in sums.items()
            if value is not None
        }
        _points(ax, table, columns, at, which)
        if at:
            name = words.day(dt.date(2023, month, day), weekday=False)
            ends.append(End(ax.get_xlim()[1], list(at.values())[-1], name))
    ax.set_ylabel(f"°{show}-days")
    ax.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    ax.set_ylim(0, None)
    name_ends(ax, ends)


def _points(
    ax: Axes, table: Comparison, columns: dict[str, int], at: dict[str, float], which: int
) -> None:
    """One mark a season, joined by a line that breaks where a season has none."""
    size = 5.5 if len(columns) <= _MANY else 3.5
    mark, dash = MARKS[which % len(MARKS)]
    heights = [at.get(name, np.nan) for name in columns]
    ax.plot(range(len(columns)), heights, color=GREY, ls=dash, lw=1.0, zorder=2)
    for this, larger, fill, edge in ((False, 0.0, INK, 0.5), (True, 4.5, BLUE, 1.8)):
        places = [(columns[name], y) for name, y in at.items() if (name == _this(table)) is this]
        if places:  # an empty line that is not clipped would confuse the layout
            ax.plot(
                *zip(*places, strict=True), mark, ls="none", ms=size + larger, mfc=fill, mec=INK,
                mew=edge, zorder=4 + larger, clip_on=False,
            )  # fmt: skip


def _name_columns(ax: Axes, names: list[str], this: str | None, room: int) -> None:
    step = next(step for step in _STEPS if len(names) <= step * max(room, 2))
    last = len(names) - 1
    shown = list(range(last, -1, -step))[::-1]
    ax.set_xticks(shown, [names[each] for each in shown])
    for place, label in zip(shown, ax.get_xticklabels(), strict=True):
        if names[place] == this:
            label.set_fontweight("bold")


def comparison_takeaway(table: Comparison, show: Unit, *, what: str) -> str:
    """What a drawing of days shows: earliest, middle and latest past season, and this one.

    Parameters
    ----------
    table : Comparison
        With goals.
    show : {"F", "C"}
    what : str
        What the goal stands for, or nothing.
    """
    first = table.rows[0].season.first
    calendar = Calendar((first.month, first.day))
    past = [row for row in table.rows if row.season.name != _this(table)]

    def days(which: int) -> list[tuple[int, str, str]]:
        return sorted(
            (calendar.at(day), words.day(day, weekday=False), row.season.name)
            for row in past
            if (day := row.reached[which])
        )

    low, high = days(0), days(-1)
    *lower, last = table.goals
    goals = "".join(f"{words.heat(goal, show, unit=False)} to " for goal in lower)
    goals += words.heat(last, show)
    said = f"{what}: {goals}" if what else goals
    if not low or not high:
        return f"{said} not reached in any of {words.count(len(past), 'past season')}."
    said += (
        f" reached in {words.of_past_years(len(high), len(past))}: earliest {low[0][1]} "
        f"({low[0][2]}), latest {high[-1][1]} ({high[-1][2]})."
    )
    return f"{said} {_this_one(table, show)}".strip()


def _this_one(table: Comparison, show: Unit) -> str:
    row = next((row for row in table.rows if row.season.name == _this(table)), None)
    if row is None or table.standing is None:
        return ""
    day = row.reached[0]
    if day is not None:
        return f"{row.season.name}: {words.day(day, weekday=False)}."
    so_far = words.heat(table.standing.heat, show, unit=False)
    said = f"{row.season.name}: {so_far} by {words.day(table.standing.through, weekday=False)}"
    early, late = row.ahead[0], row.ahead[-1]
    if early is None or late is None or not late.days:
        return f"{said}."
    return f"{said}. {sentences.years_say(early, late, row.mixed)}"


def sums_takeaway(table: Comparison, show: Unit) -> str:
    """What a drawing of sums shows where no season under way is among them."""
    by_day = [
        sorted((row.sums[which] or 0.0, row.season.name) for row in table.rows if row.sums[which])
        for which in range(len(table.fixed))
    ]
    which = max((each for each, sums in enumerate(by_day) if sums), default=0)
    if not by_day[which]:
        return "No season has heat by the days compared."
    (least, coolest), (most, warmest) = by_day[which][0], by_day[which][-1]
    day = words.day(dt.date(2023, *table.fixed[which]), weekday=False)
    return (
        f"As {day} began: from {words.heat(least, show, unit=False)} ({coolest}) to "
        f"{words.heat(most, show)} ({warmest}), in {words.count(len(by_day[which]), 'season')}."
    )


def comparison_note(table: Comparison) -> str:
    """What the marks of the drawing mean."""
    said = []
    past = [row for row in table.rows if row.season.name != _this(table)]
    for row in table.rows:
        if row not in past and any(row.reached if table.goals else row.sums):
            said.append(f"Large and blue: {row.season.name}.")
    if table.goals and any(None in row.reached for row in past):
        said.append("∅ not reached by the season's end.")
    if any(row.seen for row in table.rows):
        said.append("× first seen, – the last clean look before it.")
    if table.left_out:
        named = [f"{name} ({words.count(days, 'day')})" for name, days in table.left_out]
        more = [f"{len(named) - _NAMED} more"] if len(named) > _NAMED else []
        said.append(f"Hatched, for their unknown days: {words.listed(named[:_NAMED] + more)}.")
    return " ".join(said)
