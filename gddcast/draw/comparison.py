"""Seasons beside each other: the day on which each reached a goal, or the sum each had by one day.

Years are not joined: the weather of one says nothing of the next.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GREY, INK
from gddcast.draw.line_ends import End, name_ends
from gddcast.draw.scales import Calendar
from gddcast.draw.season_dots import draw_season_dots
from gddcast.journal.entries import Bracket
from gddcast.outlook.seasons import Comparison, SeasonRow
from gddcast.text import sentences, weather_so_far
from gddcast.units import Unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Shape of the points of each goal, from the first on.
MARKS = ("o", "s", "^", "v")
_WIDE = 3.0  # columns this season's dots take, where its day is still to come
_DAYS_OF_ROOM = 5
_STEPS = (1, 2, 5, 10, 20, 50, 100, 1000)  # seasons from name to name
_MANY = 45  # seasons that take smaller marks
_NAMED = 6  # seasons left out that a note names


def draw_comparison(ax: Axes, table: Comparison, show: Unit, *, room: int = 12) -> Axes:
    """One mark a season, this one marked; of goals a column a season, of sums a row a season.

    A season with unknown days is hatched, or left out of the rows, and named in the note.

    Parameters
    ----------
    ax : matplotlib Axes
    table : Comparison
        Where it has goals, the day each was reached is drawn, and of this season when it may be;
        else the sums by the day they are ranked on.
    show : {"F", "C"}
    room : int, default: 12
        Seasons whose names fit under the axis.
    """
    if not table.goals:
        return draw_season_dots(ax, sums_of(table), _this(table) or "", show)
    columns = columns_of(table)
    ax.set_xlim(-0.7, len(columns) - 0.3 + (_WIDE - 1.0) * (_to_come(table) is not None))
    for name, _ in table.left_out:
        at = columns[name]
        ax.axvspan(at - 0.5, at + 0.5, fc="none", ec=GREY, hatch="//////", lw=0.6, zorder=1)
    _draw_days(ax, table, columns, show)
    _name_columns(ax, columns, _this(table), room)
    return ax


def _this(table: Comparison) -> str | None:
    """Name of the season under way, where it is among those drawn."""
    return table.standing.season.name if table.standing else None


def sums_of(table: Comparison) -> list[tuple[str, float]]:
    """Every season with its heat by the day all are ranked on, warmest first. [°C·d]"""
    known = [(row.season.name, row.through) for row in table.rows if row.through is not None]
    return sorted(known, key=lambda pair: -pair[1])


def columns_of(table: Comparison) -> dict[str, float]:
    """Place of every season, those left out among them, oldest first."""
    names = [row.season.name for row in table.rows] + [name for name, _ in table.left_out]
    places = {name: float(place) for place, name in enumerate(sorted(names))}
    if row := _to_come(table):
        places[row.season.name] += (_WIDE - 1.0) / 2.0
    return places


def _to_come(table: Comparison) -> SeasonRow | None:
    """The season under way, where the day of a goal still lies ahead of it."""
    row = next((row for row in table.rows if row.season.name == _this(table)), None)
    return row if row and any(each and each.days for each in row.ahead) else None


def _draw_days(ax: Axes, table: Comparison, columns: dict[str, float], show: Unit) -> None:
    first = table.rows[0].season.first
    calendar = Calendar((first.month, first.day))
    places = [
        calendar.at(day) for row in table.rows for day in (*row.reached, *_look_days(row)) if day
    ]
    this = _to_come(table)
    ahead = [each.days if each else [] for each in this.ahead] if this else []
    places += [calendar.at(day) for days in ahead for day in days]
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
    for which, later in enumerate(ahead):
        if this is not None and later:
            _draw_to_come(ax, [calendar.at(day) for day in later], columns[this.season.name], which)
    for row in table.rows:
        _draw_find(ax, row.bracket, columns[row.season.name], calendar)


def _look_days(row: SeasonRow) -> tuple[dt.date, ...]:
    if row.bracket is None:
        return ()
    return tuple(day for day in (row.bracket.clean_on, row.bracket.found_on) if day)


def _draw_find(ax: Axes, bracket: Bracket | None, column: float, calendar: Calendar) -> None:
    if bracket is None:
        return
    at = calendar.at(bracket.found_on)
    ax.plot(column, at, "X", ms=9, mfc="white", mec=INK, mew=1.2, zorder=6)
    if bracket.clean_on is not None:
        ax.plot(column, calendar.at(bracket.clean_on), "_", ms=10, color=INK, mew=1.4, zorder=6)


def _draw_to_come(ax: Axes, days: Sequence[int], column: float, which: int) -> None:
    """A dot a past year, those of one day side by side: when this season may get there."""
    # Only a figure that has been laid out can tell how wide a column is.
    ax.figure.canvas.figure.draw_without_rendering()
    wide = _WIDE * ax.get_window_extent().width * 72 / ax.figure.dpi / np.ptp(ax.get_xlim())
    most = max(days.count(day) for day in days)
    pitch = min(6.0, 0.9 * wide / most)
    for day in sorted(set(days)):
        many = days.count(day)
        for place in range(many):
            x = column + _WIDE * (place - (many - 1) / 2) * pitch / wide
            ax.plot(x, day, MARKS[which % len(MARKS)], ms=max(pitch - 1.0, 2.0), mfc=BLUE, mec=INK,
                    mew=0.6, zorder=6)  # fmt: skip


def _points(
    ax: Axes, table: Comparison, columns: dict[str, float], at: dict[str, float], which: int
) -> None:
    """One mark a season; the ends of the past ones, which the takeaway names, by their names."""
    size, mark = 5.5 if len(columns) <= _MANY else 3.5, MARKS[which % len(MARKS)]
    for this, larger, fill, edge in ((False, 0.0, INK, 0.5), (True, 4.5, BLUE, 1.8)):
        places = [(columns[name], y) for name, y in at.items() if (name == _this(table)) is this]
        if places:  # an empty line that is not clipped would confuse the layout
            ax.plot(
                *zip(*places, strict=True), mark, ls="none", ms=size + larger, mfc=fill, mec=INK,
                mew=edge, zorder=4 + larger, clip_on=False,
            )  # fmt: skip
    past = [(y, name) for name, y in at.items() if name != _this(table)]
    if len(table.goals) == 1 and len(past) > 1:
        for (y, name), up in ((min(past), -14), (max(past), 6)):
            ax.annotate(name, (columns[name], y), xytext=(0, up), textcoords="offset points",
                        ha="center", annotation_clip=False)  # fmt: skip


def _name_columns(ax: Axes, columns: dict[str, float], this: str | None, room: int) -> None:
    names = list(columns)
    step = next(step for step in _STEPS if len(names) <= step * max(room, 2))
    shown = names[::-1][::step][::-1]
    ax.set_xticks([columns[name] for name in shown], shown)
    for name, label in zip(shown, ax.get_xticklabels(), strict=True):
        if name == this:
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
    """What a drawing of sums shows: where this season stands among them, else their two ends."""
    sums, this = sums_of(table), _this(table)
    day = words.day(table.ranked_on, weekday=False)
    if not sums:
        return "No season has heat by the days compared."
    past = [heat for name, heat in sums if name != this]
    now = next((heat for name, heat in sums if name == this), None)
    if now is None or not past:
        (warmest, most), (coolest, least) = sums[0], sums[-1]
        return (
            f"Through {day}: from {words.heat(least, show, unit=False)} ({coolest}) to "
            f"{words.heat(most, show)} ({warmest}), in {words.count(len(sums), 'season')}."
        )
    rank = weather_so_far.rank_words(1 + sum(heat > now for _, heat in sums))
    middle = words.heat(float(np.median(past)), show, unit=False)
    return (
        f"{this}: {words.heat(now, show)} through {day}, {rank} of {len(sums)} seasons; the middle "
        f"past year had {middle}."
    )


def comparison_note(table: Comparison) -> str:
    """What the marks of the drawing mean."""
    said = []
    past = [row for row in table.rows if row.season.name != _this(table)]
    if not table.goals:
        said.append("One dot a season, warmest first.")
        said += [f"Filled: {row.season.name}." for row in table.rows if row not in past]
    elif this := _to_come(table):
        said.append(f"{this.season.name}: a dot for each past year’s weather from here on.")
    elif any(row not in past and any(row.reached) for row in table.rows):
        said.append(f"Large: {_this(table)}.")
    if table.goals and any(None in row.reached for row in past):
        said.append("∅ not reached by the season’s end.")
    if any(row.bracket for row in table.rows):
        said.append("× first seen, – the last clean look before it.")
    if table.left_out:
        named = [f"{name} ({words.count(days, 'day')})" for name, days in table.left_out]
        more = [f"{len(named) - _NAMED} more"] if len(named) > _NAMED else []
        how = "Hatched" if table.goals else "Left out"
        said.append(f"{how}, for their unknown days: {words.listed(named[:_NAMED] + more)}.")
    return " ".join(said)
