"""The heat of this season over the past ones, up to a goal or to the season's end."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from gddcast import words
from gddcast.figures import BLUE, GREY, INK
from gddcast.figures.calendar_axis import Calendar
from gddcast.figures.line_ends import End, name_ends
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat, whole_sum
from gddcast.units import Unit, from_celsius_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Dashes of the slowest year, so that it is told from the fastest without colour.
SLOWEST_DASH = (0, (5, 2.5))
_AFTER = 12  # days drawn past the slowest year's goal


def draw_season(
    ax: Axes, curves: SeasonCurves, show: Unit, *, goals: Sequence[float] = (), room: int = 12
) -> Axes:
    """Draw this season bold, past ones thin and grey, the fastest and the slowest named.

    Parameters
    ----------
    ax : matplotlib Axes
    curves : SeasonCurves
        Fastest and slowest told by the last goal.
    show : {"F", "C"}
    goals : sequence of float, optional
        Rising; drawn as lines, with a ring where each past year reached them. [°C·d]
    room : int, default: 12
        Labels that fit on the axis of days.
    """
    every = [*curves.past, *([curves.current] if curves.current else [])]
    calendar, goal = _calendar(curves), (goals[-1] if goals else None)
    begin, end = _limits(every, calendar, goal)
    calendar.label(ax.xaxis, begin, end, room=room)
    ax.set(ylim=(0, _top(every, show, goal)), ylabel=f"°{show}-days")
    ax.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    for past in curves.past:
        _draw(ax, past, calendar, show, goal, color=GREY, lw=0.8, zorder=2)
    for named, dash in ((curves.fastest, "-"), (curves.slowest, SLOWEST_DASH)):
        if named is not None:
            _draw(ax, named, calendar, show, goal, color=INK, lw=1.2, ls=dash, zorder=3)
    for each in goals:
        _mark_goal(ax, curves, calendar, show, each)
    if goal is None:
        _name_last_days(ax, curves, calendar, show)
    else:
        _name_by_goal(ax, curves, calendar, show, goal)
    if curves.current is not None:
        _draw(ax, curves.current, calendar, show, goal, color=INK, lw=2.8, zorder=5)
        _name_current(ax, curves.current, calendar, show, goal)
    return ax


def season_takeaway(curves: SeasonCurves, show: Unit, *, goals: Sequence[float], what: str) -> str:
    """What a drawing with goals shows, in a sentence or two.

    Parameters
    ----------
    curves : SeasonCurves
    show : {"F", "C"}
    goals : sequence of float
        One, or the two ends of a range. [°C·d]
    what : str
        What it stands for, or nothing.
    """
    low, high, calendar = goals[0], goals[-1], _calendar(curves)
    stands = _stands(curves.current, show, goals)
    said = f"{what}: {stands}" if what else stands
    past = _whole(curves)
    days = [
        sorted((calendar.at(day), words.day(day, weekday=False)) for day in reached if day)
        for reached in ([each.reached(goal) for each in past] for goal in (low, high))
    ]
    if not past:
        return said
    if not days[1]:
        return f"{said} None of {words.count(len(past), 'past year')} reached it."
    first, last = days[0][0][1], days[1][-1][1]
    when = f"on {first}" if first == last else f"between {first} and {last}"
    return f"{said} {words.of_past_years(len(days[1]), len(past))} reached it {when}."


def whole_takeaway(curves: SeasonCurves, show: Unit) -> str:
    """What a drawing of whole seasons shows where this one can't be held beside them."""
    fastest, slowest = curves.fastest, curves.slowest
    if fastest is None or slowest is None:
        return "No two past seasons have all their days; each line ends at its first unknown day."
    most, least = (words.heat(each.heat[-1], show) for each in (fastest, slowest))
    return (
        f"{words.count(len(_whole(curves)), 'whole season')}: from {least} "
        f"({slowest.season.name}) to {most} ({fastest.season.name})."
    )


def season_note(curves: SeasonCurves, *, rings: bool) -> str:
    """What the lines of the drawing mean."""
    said = "Bold: this season. " if curves.current is not None else ""
    said += f"Grey: {words.count(len(curves.past), 'past season')}"
    short = len(curves.past) - len(_whole(curves))
    if short:
        said += f", {short} of them to the first unknown day only"
    return f"{said}; a ring where a whole one got there." if rings else f"{said}."


def _whole(curves: SeasonCurves) -> list[SeasonHeat]:
    """Past seasons with all their days: only these are counted."""
    return [each for each in curves.past if whole_sum(each) is not None]


def _stands(current: SeasonHeat | None, show: Unit, goals: Sequence[float]) -> str:
    *lower, high = dict.fromkeys(goals)
    wanted = "".join(f"{words.heat(each, show, unit=False)} to " for each in lower)
    wanted += words.heat(high, show)
    if current is None or not current.heat.size or not np.isfinite(current.heat[-1]):
        unknown = "" if current is None else f" {current.season.name}'s own sum is not known."
        return f"{wanted}.{unknown}"
    name, day = current.season.name, current.reached(high)
    if day is not None:
        return f"{name} reached {wanted} on {words.day(day, weekday=False)}."
    through = current.season.first + dt.timedelta(days=current.heat.size - 1)
    so_far = words.heat(float(current.heat[-1]), show, unit=False)
    return f"{name} has {so_far} of {wanted} by {words.day(through, weekday=False)}."


def _calendar(curves: SeasonCurves) -> Calendar:
    first = (curves.current or curves.past[-1]).season.first
    return Calendar((first.month, first.day))


def drawn_days(
    season: SeasonHeat, calendar: Calendar, goal: float | None
) -> tuple[list[int], list[float]]:
    """Places on the axis and sums of a season's line: each day's end, up to the goal. [°C·d]"""
    reached = None if goal is None else season.reached(goal)
    known = int(np.isfinite(season.heat).sum())  # a sum is unknown from its first gap on
    last = known if reached is None else (reached - season.season.first).days + 1
    days = [season.season.first + dt.timedelta(days=each) for each in range(last)]
    return [calendar.at(day) + 1 for day in days], season.heat[:last].tolist()


def _draw(
    ax: Axes, season: SeasonHeat, calendar: Calendar, show: Unit, goal: float | None, **how: Any
) -> None:
    at, heat = drawn_days(season, calendar, goal)
    ax.plot(at, from_celsius_days(np.array(heat), show), label=season.season.name, **how)


def _limits(every: list[SeasonHeat], calendar: Calendar, goal: float | None) -> tuple[float, float]:
    """From the first day with heat to a little past the last goal, or the whole season."""
    reached = [day for each in every if goal is not None and (day := each.reached(goal))]
    if not reached:
        return 0, calendar.days
    warm = [int(np.argmax(each.heat > 0.02 * (goal or 0.0))) for each in every if each.heat.size]
    return min(warm), min(max(map(calendar.at, reached)) + _AFTER, calendar.days)


def _top(every: list[SeasonHeat], show: Unit, goal: float | None) -> float:
    if goal is not None:
        return float(from_celsius_days(goal, show)) * 1.17
    heats = [each.heat for each in every if np.isfinite(each.heat).any()]
    highest = max((float(np.nanmax(heat)) for heat in heats), default=1.0)
    return max(float(from_celsius_days(highest, show)), 1.0) * 1.04


def _name_last_days(ax: Axes, curves: SeasonCurves, calendar: Calendar, show: Unit) -> None:
    ends = []
    for named, which in ((curves.fastest, "fastest"), (curves.slowest, "slowest")):
        if named is not None:
            heat = float(from_celsius_days(named.heat[-1], show))
            ends.append(End(calendar.days, heat, f"{named.season.name}\n{which}"))
    name_ends(ax, ends)


def _mark_goal(ax: Axes, curves: SeasonCurves, calendar: Calendar, show: Unit, goal: float) -> None:
    at = float(from_celsius_days(goal, show))
    ax.axhline(at, color=BLUE, lw=1.4, ls=(0, (8, 3)), zorder=1)
    ax.annotate(
        words.heat(goal, show), (0, at), xycoords=("axes fraction", "data"), xytext=(4, -4),
        textcoords="offset points", va="top", color=BLUE,
    )  # fmt: skip
    days = [day for past in _whole(curves) if (day := past.reached(goal))]
    rings = [calendar.at(day) + 1 for day in days]
    ax.plot(rings, [at] * len(rings), "o", ms=5, mec=INK, mfc="white", zorder=4)


def _name_by_goal(
    ax: Axes, curves: SeasonCurves, calendar: Calendar, show: Unit, goal: float
) -> None:
    at = float(from_celsius_days(goal, show))
    for named, which, side, shift in (
        (curves.fastest, "fastest", "right", 4), (curves.slowest, "slowest", "left", -4),
    ):  # fmt: skip
        day = named.reached(goal) if named else None
        if named is not None and day is not None:
            ax.annotate(
                f"{which} {named.season.name}", (calendar.at(day) + 1, at), xytext=(shift, 7),
                textcoords="offset points", ha=side, annotation_clip=False,
            )  # fmt: skip


def _name_current(
    ax: Axes, season: SeasonHeat, calendar: Calendar, show: Unit, goal: float | None
) -> None:
    from matplotlib.patheffects import withStroke

    at, heat = drawn_days(season, calendar, goal)
    if not at:
        return
    end = at[-1], float(from_celsius_days(heat[-1], show))
    ax.plot(*end, "D", ms=7, color=INK, mec="white", zorder=6)
    # Above its end on the left, where past seasons leave room; near the goal below it.
    left = at[-1] - ax.get_xlim()[0] > 0.15 * np.ptp(ax.get_xlim())
    high = goal is not None and end[1] > 0.72 * ax.get_ylim()[1]
    ax.annotate(
        season.season.name, end, xytext=(8, -16) if high else (-8 if left else 8, 6),
        textcoords="offset points", ha="left" if high or not left else "right", weight="bold",
        zorder=7,
        # A white rim keeps the name legible where past seasons run under it.
        path_effects=[withStroke(linewidth=3, foreground="white")],
    )  # fmt: skip
