"""The heat of this season over the past ones, up to a goal or to the season's end."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GREY, GRID, INK, svg
from gddcast.draw.line_ends import End, name_ends
from gddcast.draw.scales import Calendar
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat
from gddcast.units import Unit, from_celsius_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Role = Literal["past", "fastest", "slowest", "current"]
#: Colour, width on a page [px] and in a chart [points], and dash of each line: the slowest is told
#: from the fastest without colour.
LOOKS: dict[Role, tuple[str, float, float, tuple[float, ...]]] = {
    "past": (GREY, 1.0, 0.8, ()),
    "fastest": (INK, 1.2, 1.2, ()),
    "slowest": (INK, 1.2, 1.2, (5, 3)),
    "current": (INK, 3.0, 2.8, ()),
}

_WIDTH, _HEIGHT = 360, 260
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 298.0, 22.0, 232.0
_EVERY = 7  # days from point to point of a line on a page
_AFTER = 12  # days drawn past the slowest year's goal


@dataclass(frozen=True, slots=True)
class Curve:
    """One season's line: places of its days' ends on the calendar, and the sums by then.

    A sum is unknown from its first gap on: the line ends there, or where it reached the goal.
    """

    name: str
    role: Role
    at: list[int]
    heat: list[float]  # [°show-days]


def season_lines(curves: SeasonCurves, show: Unit, goal: float | None = None) -> list[Curve]:
    """Every line, those drawn over the others last; fastest and slowest are drawn twice."""
    calendar = calendar_of(curves)
    roles: list[tuple[Role, SeasonHeat | None]] = [
        *(("past", each) for each in curves.past),
        ("fastest", curves.fastest), ("slowest", curves.slowest), ("current", curves.current),
    ]  # fmt: skip
    return [_line(each, role, calendar, show, goal) for role, each in roles if each is not None]


def _line(
    season: SeasonHeat, role: Role, calendar: Calendar, show: Unit, goal: float | None
) -> Curve:
    reached = None if goal is None else season.reached(goal)
    known = int(np.isfinite(season.heat).sum())
    last = known if reached is None else (reached - season.season.first).days + 1
    days = [season.season.first + dt.timedelta(days=each) for each in range(last)]
    heat = np.asarray(from_celsius_days(season.heat[:last], show)).tolist()
    return Curve(season.season.name, role, [calendar.at(day) + 1 for day in days], heat)


def calendar_of(curves: SeasonCurves) -> Calendar:
    """The axis of days all of them are laid on."""
    first = (curves.current or curves.past[-1]).season.first
    return Calendar((first.month, first.day))


def season_curve(curves: SeasonCurves, show: Unit, takeaway: str) -> svg.Svg:
    """Draw whole seasons for a page, fastest and slowest named at their ends.

    Parameters
    ----------
    curves : SeasonCurves
        At least one.
    show : {"F", "C"}
    takeaway : str
        What the drawing shows.
    """
    lines = season_lines(curves, show)
    calendar = calendar_of(curves)
    highest = max((max(each.heat) for each in lines if each.heat), default=0.0)
    ticks = _ticks(highest)
    top = max(highest, ticks[1])

    def at(place: float, heat: float) -> svg.Point:
        return (
            _LEFT + (_RIGHT - _LEFT) * place / calendar.days,
            _BOTTOM - (_BOTTOM - _TOP) * heat / top,
        )

    strokes = [svg.words(2, 12, f"°{show}-days", size=12)]
    for tick in ticks:
        _, y = at(0, tick)
        strokes.append(svg.line([(_LEFT, y), (_RIGHT, y)], colour=GRID, width=0.7))
        strokes.append(svg.words(_LEFT - 4, y + 4, f"{tick:,.0f}", anchor="end", size=12))
    for place, name in calendar.months(every=2):
        x, _ = at(place, 0.0)
        strokes.append(svg.line([(x, _BOTTOM), (x, _BOTTOM + 4)], width=1))
        strokes.append(svg.words(x, _BOTTOM + 17, name, size=12))
    strokes.append(svg.line([(_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)], width=1))
    for line in lines:
        points = [at(*point) for point in zip(line.at, line.heat, strict=True)]
        strokes += _stroke(line, points)
    return svg.picture(_WIDTH, _HEIGHT, "Heat of this season and of past ones", takeaway, strokes)


def _stroke(line: Curve, points: Sequence[svg.Point]) -> Iterator[str]:
    colour, width, _, dash = LOOKS[line.role]
    if len(points) > 1:
        thinned = [*points[:-1:_EVERY], points[-1]]
        yield svg.line(thinned, colour=colour, width=width, dash=" ".join(f"{d:g}" for d in dash))
    if line.role in ("fastest", "slowest"):
        _, y = points[-1]
        yield svg.words(_RIGHT + 5, y, line.name, size=12)
        yield svg.words(_RIGHT + 5, y + 13, line.role, size=12)
    if line.role == "current" and points:
        x, y = points[-1]
        name = svg.words(x - 6, y - 8, line.name, anchor="end", bold=True)
        if x < _LEFT + 48:
            name = svg.words(x, y - 10, line.name, bold=True)
        yield svg.rimmed(name)
        yield svg.dot(x, y)


def _ticks(top: float) -> list[float]:
    """Round steps up to ``top``, two to five of them."""
    rough = max(top, 1.0) / 4
    size = 10.0 ** np.floor(np.log10(rough))
    step = float(size * next(each for each in (1, 2, 2.5, 5, 10) if each * size >= rough))
    return [step * n for n in range(max(int(top / step), 1) + 1)]


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
    calendar, goal = calendar_of(curves), (goals[-1] if goals else None)
    lines = season_lines(curves, show, goal)
    calendar.label(ax.xaxis, *_limits(curves, calendar, goal), room=room)
    highest = max((max(each.heat) for each in lines if each.heat), default=1.0)
    end = None if goal is None else float(from_celsius_days(goal, show))
    top = max(highest, 1.0) * 1.04 if end is None else end * 1.17
    ax.set(ylim=(0, top), ylabel=f"°{show}-days")
    ax.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    for order, line in enumerate(lines):
        colour, _, width, dash = LOOKS[line.role]
        ax.plot(
            line.at, line.heat, color=colour, lw=width, ls=(0, dash) if dash else "-",
            label=line.name, zorder=2 + order / len(lines),
        )  # fmt: skip
    for each in goals:
        _mark_goal(ax, curves, calendar, show, each)
    named = [each for each in lines if each.role in ("fastest", "slowest")]
    if end is None:
        name_ends(
            ax, [End(calendar.days, each.heat[-1], f"{each.name}\n{each.role}") for each in named]
        )
    else:
        _name_at_goal(ax, [each for each in named if each.heat[-1] >= end], end)
    if curves.current is not None and lines[-1].at:
        _name_current(ax, lines[-1], near_goal=np.inf if end is None else 0.72 * top)
    return ax


def _name_at_goal(ax: Axes, named: Sequence[Curve], goal: float) -> None:
    for line in named:
        side, shift = ("right", 4) if line.role == "fastest" else ("left", -4)
        ax.annotate(
            f"{line.role} {line.name}", (line.at[-1], goal), xytext=(shift, 7),
            textcoords="offset points", ha=side, annotation_clip=False,
        )  # fmt: skip


def _limits(
    curves: SeasonCurves, calendar: Calendar, goal: float | None
) -> tuple[float, float]:  # fmt: skip
    """From the first day with heat to a little past the last goal, or the whole season."""
    every = curves.every
    reached = [day for each in every if goal is not None and (day := each.reached(goal))]
    if not reached:
        return 0, calendar.days
    warm = [int(np.argmax(each.heat > 0.02 * (goal or 0.0))) for each in every if each.heat.size]
    return min(warm), min(max(map(calendar.at, reached)) + _AFTER, calendar.days)


def _mark_goal(ax: Axes, curves: SeasonCurves, calendar: Calendar, show: Unit, goal: float) -> None:
    at = float(from_celsius_days(goal, show))
    ax.axhline(at, color=BLUE, lw=1.4, ls=(0, (8, 3)), zorder=1)
    ax.annotate(
        words.heat(goal, show), (0, at), xycoords=("axes fraction", "data"), xytext=(4, -4),
        textcoords="offset points", va="top", color=BLUE,
    )  # fmt: skip
    days = [day for past in curves.whole if (day := past.reached(goal))]
    rings = [calendar.at(day) + 1 for day in days]
    ax.plot(rings, [at] * len(rings), "o", ms=5, mec=INK, mfc="white", zorder=4)


def _name_current(ax: Axes, line: Curve, near_goal: float) -> None:
    from matplotlib.patheffects import withStroke

    end = line.at[-1], line.heat[-1]
    ax.plot(*end, "D", ms=7, color=INK, mec="white", zorder=6)
    # Above its end on the left, where past seasons leave room; near the goal below it.
    left = end[0] - ax.get_xlim()[0] > 0.15 * np.ptp(ax.get_xlim())
    high = end[1] > near_goal
    ax.annotate(
        line.name, end, xytext=(8, -16) if high else (-8 if left else 8, 6),
        textcoords="offset points", ha="left" if high or not left else "right", weight="bold",
        zorder=7,
        # A white rim keeps the name legible where past seasons run under it.
        path_effects=[withStroke(linewidth=3, foreground="white")],
    )  # fmt: skip
