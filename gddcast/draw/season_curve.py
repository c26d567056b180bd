"""The heat of this season over the past ones: the weeks about today, up to a goal where it has one.

How far this season is ahead is drawn as what it is, a distance in days: from where it stands to the
day on which the middle past season had as much.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from gddcast import words
from gddcast.draw import BLUE, GREY, GRID, INK, svg
from gddcast.draw.line_ends import End, name_ends
from gddcast.draw.scales import Calendar
from gddcast.draw.year_dots import draw_dots, placed
from gddcast.outlook.dates import Outlook
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat, Standing
from gddcast.units import Unit, from_celsius_days

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Role = Literal["past", "fastest", "slowest", "forecast", "current"]
#: Colour, width on a page [px] and in a chart [points], and dash of each line: the slowest is told
#: from the fastest without colour.
LOOKS: dict[Role, tuple[str, float, float, tuple[float, ...]]] = {
    "past": (GREY, 1.0, 0.8, ()),
    "fastest": (INK, 1.2, 1.2, ()),
    "slowest": (INK, 1.2, 1.2, (5, 3)),
    "forecast": (INK, 2.0, 1.8, (1, 1.5)),
    "current": (INK, 3.0, 2.8, ()),
}

_WIDTH, _HEIGHT = 360, 260
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 298.0, 22.0, 232.0
_EVERY = 3  # days from point to point of a line on a page
_ABOUT = 42  # days drawn before this season's last one and after it
_BESIDE = 20  # days drawn beside the first and the last year's goal
_DOT, _PITCH = 5.5, 6.5  # of a past year's weather from here on [points]


@dataclass(frozen=True, slots=True)
class Curve:
    """One season's line: places of its days' ends on the calendar, and the sums by then.

    A sum is unknown from its first gap on: the line ends there, or where it reached the goal.
    """

    name: str
    role: Role
    at: list[int]
    heat: list[float]  # [°show-days]

    def within(self, first: float, last: float) -> Curve:
        """What of it lies between two places."""
        kept = [pair for pair in zip(self.at, self.heat, strict=True) if first <= pair[0] <= last]
        return replace(self, at=[at for at, _ in kept], heat=[heat for _, heat in kept])


def season_lines(curves: SeasonCurves, show: Unit, goals: Sequence[float] = ()) -> list[Curve]:
    """Every line within the days drawn, those over the others last; the named ones twice."""
    calendar, goal = calendar_of(curves), goals[-1] if goals else None
    roles: list[tuple[Role, SeasonHeat | None]] = [
        *(("past", each) for each in curves.past),
        ("fastest", curves.fastest), ("slowest", curves.slowest),
        ("forecast", _behind(curves)), ("current", curves.current),
    ]  # fmt: skip
    view = days_drawn(curves, goals)
    lines = (_line(each, role, calendar, show, goal) for role, each in roles if each is not None)
    return [each.within(*view) for each in lines]


def _behind(curves: SeasonCurves) -> SeasonHeat | None:
    """The forecast days' part of this season, from where what is known ends."""
    current, ahead = curves.current, curves.forecast
    if current is None or ahead is None or not current.heat.size:
        return None
    heat = np.copy(ahead.heat)
    heat[: current.heat.size - 1] = 0.0
    return replace(ahead, heat=heat) if np.isfinite(heat[current.heat.size :]).any() else None


def _line(
    season: SeasonHeat, role: Role, calendar: Calendar, show: Unit, goal: float | None
) -> Curve:
    reached = None if goal is None else season.reached(goal)
    known = int(np.isfinite(season.heat).sum())
    last = known if reached is None else (reached - season.season.first).days + 1
    first = int(np.argmax(season.heat > 0.0)) if role == "forecast" else 0
    days = [season.season.first + dt.timedelta(days=each) for each in range(first, last)]
    heat = np.asarray(from_celsius_days(season.heat[first:last], show)).tolist()
    return Curve(season.season.name, role, [calendar.at(day) + 1 for day in days], heat)


def calendar_of(curves: SeasonCurves) -> Calendar:
    """The axis of days all of them are laid on."""
    first = (curves.current or curves.past[-1]).season.first
    return Calendar((first.month, first.day))


def days_drawn(curves: SeasonCurves, goals: Sequence[float] = ()) -> tuple[int, int]:
    """First and last place drawn: six weeks about this season's last day, and every day told of.

    The whole season where this one has no heat and none is looked for.
    """
    calendar, current = calendar_of(curves), curves.current
    days = [day for each in curves.every for goal in goals if (day := each.reached(goal))]
    places = [calendar.at(day) for day in days]
    # On both sides of the days of a goal there is room for a name.
    reach = [min(places) - _BESIDE, max(places) + _BESIDE] if places else []
    if current is not None and current.heat.size and np.isfinite(current.heat[-1]):
        now = _now(current, calendar)
        done = bool(goals) and current.reached(goals[-1]) is not None
        first, last = (
            min([now - _ABOUT, *reach]),
            max([now if done else now + _ABOUT, *reach]),
        )
    elif reach:
        first, last = reach
    else:
        return 0, calendar.days
    return max(first, 0), min(last, calendar.days)


def _now(current: SeasonHeat, calendar: Calendar) -> int:
    """Where this season's last known day ends."""
    through = current.season.first + dt.timedelta(days=current.heat.size - 1)
    return calendar.at(through) + 1


def same_heat(curves: SeasonCurves) -> list[int]:
    """Where each whole past season had what this one has: as many lie left of it as are warmer."""
    current, calendar = curves.current, calendar_of(curves)
    if current is None or not current.heat.size or not current.heat[-1] > 0.0:
        return []
    heat = float(current.heat[-1])
    return [calendar.at(day) + 1 for each in curves.whole if (day := each.reached(heat))]


def days_ahead_words(standing: Standing | None) -> str:
    """How far this season is ahead, as the drawing names the distance; nothing where level."""
    if standing is None or not standing.days_ahead:
        return ""
    side = "ahead" if standing.days_ahead > 0 else "behind"
    return f"{words.count(abs(standing.days_ahead), 'day')} {side}"


def season_curve(
    curves: SeasonCurves, show: Unit, takeaway: str, standing: Standing | None = None
) -> svg.Svg:
    """Draw the weeks about today for a page, fastest and slowest named at their ends.

    Parameters
    ----------
    curves : SeasonCurves
        At least one.
    show : {"F", "C"}
    takeaway : str
        What the drawing shows.
    standing : Standing, optional
        How far this season is ahead of the middle past one.
    """
    lines = season_lines(curves, show)
    calendar, (first, last) = calendar_of(curves), days_drawn(curves)
    highest = max((max(each.heat) for each in lines if each.heat), default=0.0)
    ticks = _ticks(highest)
    top = max(highest, ticks[1])

    def at(place: float, heat: float) -> svg.Point:
        return (
            _LEFT + (_RIGHT - _LEFT) * (place - first) / (last - first),
            _BOTTOM - (_BOTTOM - _TOP) * heat / top,
        )

    strokes = [svg.words(2, 12, f"°{show}-days", size=12)]
    for tick in ticks:
        _, y = at(0, tick)
        strokes.append(svg.line([(_LEFT, y), (_RIGHT, y)], colour=GRID, width=0.7))
        strokes.append(svg.words(_LEFT - 4, y + 4, f"{tick:,.0f}", anchor="end", size=12))
    for place, name in calendar.months(every=1 if last - first < 200 else 2):
        if first <= place <= last:
            x, _ = at(place, 0.0)
            strokes.append(svg.line([(x, _BOTTOM), (x, _BOTTOM + 4)], width=1))
            strokes.append(svg.words(x, _BOTTOM + 17, name, size=12))
    strokes.append(svg.line([(_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)], width=1))
    for line in lines:
        points = [at(*point) for point in zip(line.at, line.heat, strict=True)]
        strokes += _stroke(line, points)
    strokes += _distance_on_page(lines[-1], same_heat(curves), standing, at)
    return svg.picture(_WIDTH, _HEIGHT, "Heat of this season and of past ones", takeaway, strokes)


def _stroke(line: Curve, points: Sequence[svg.Point]) -> Iterator[str]:
    colour, width, _, dash = LOOKS[line.role]
    if len(points) > 1:
        thinned = [*points[:-1:_EVERY], points[-1]]
        yield svg.line(thinned, colour=colour, width=width, dash=" ".join(f"{d:g}" for d in dash))
    if line.role in ("fastest", "slowest") and points:
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


def _distance_on_page(
    line: Curve,
    same: Sequence[int],
    standing: Standing | None,
    at: Callable[[float, float], svg.Point],
) -> Iterator[str]:
    """Where past seasons had as much, and the days between this one and their middle."""
    if line.role != "current" or not line.at:
        return
    place, heat = line.at[-1], line.heat[-1]
    yield from (svg.dot(*at(each, heat), hollow=True, radius=3) for each in same)
    if said := days_ahead_words(standing):
        assert standing is not None
        assert standing.days_ahead is not None
        (x, y), (middle, _) = at(place, heat), at(place + standing.days_ahead, heat)
        yield svg.line([(x, y), (middle, y)], colour=BLUE, width=3)
        yield svg.line([(middle, y - 7), (middle, y + 7)], colour=BLUE, width=2)
        yield svg.rimmed(svg.words(max(x, middle) + 6, y + 17, said, colour=BLUE, size=12))


def _ticks(top: float) -> list[float]:
    """Round steps up to ``top``, two to five of them."""
    rough = max(top, 1.0) / 4
    size = 10.0 ** np.floor(np.log10(rough))
    step = float(size * next(each for each in (1, 2, 2.5, 5, 10) if each * size >= rough))
    return [step * n for n in range(max(int(top / step), 1) + 1)]


def draw_season(
    ax: Axes, curves: SeasonCurves, show: Unit, *, goals: Sequence[float] = (),
    standing: Standing | None = None, ahead: Sequence[Outlook | None] = (), room: int = 12,
) -> Axes:  # fmt: skip
    """Draw this season bold, past ones thin and grey, the fastest and the slowest named.

    Parameters
    ----------
    ax : matplotlib Axes
    curves : SeasonCurves
        Fastest and slowest told by the last goal.
    show : {"F", "C"}
    goals : sequence of float, optional
        Rising; drawn as lines, with a ring where each past year reached them. [°C·d]
    standing : Standing, optional
        How far this season is ahead of the middle past one.
    ahead : sequence of Outlook or None, optional
        When this season may reach each goal: a dot a past year, over its line.
    room : int, default: 12
        Labels that fit on the axis of days.
    """
    calendar, lines = calendar_of(curves), season_lines(curves, show, goals)
    first, last = days_drawn(curves, goals)
    calendar.label(ax.xaxis, first, last, room=room)
    highest = max((max(each.heat) for each in lines if each.heat), default=1.0)
    end = float(from_celsius_days(goals[-1], show)) if goals else None
    top = max(highest, 1.0) * 1.04 if end is None else end * 1.25
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
    named = [each for each in lines if each.role in ("fastest", "slowest") and each.heat]
    if end is None:
        name_ends(ax, [End(last, each.heat[-1], f"{each.name}\n{each.role}") for each in named])
    else:
        _draw_ahead(ax, calendar, show, goals, ahead)
        _name_at_goal(ax, [each for each in named if each.heat[-1] >= end], end)
    if curves.current is not None and lines[-1].at:
        if end is None:
            _draw_same(ax, lines[-1], same_heat(curves))
        reached = bool(goals) and curves.current.reached(goals[-1]) is not None
        if not reached:  # beyond it the line is not drawn, nor how far ahead its end is
            _draw_distance(ax, lines[-1], standing)
        _name_current(ax, lines[-1], reached=reached)
    return ax


def _name_at_goal(ax: Axes, named: Sequence[Curve], goal: float) -> None:
    for line in named:
        # Left above the first one's end and right below the last one's, no line runs.
        side, shift = ("right", (-2, 7)) if line.role == "fastest" else ("left", (4, -28))
        ax.annotate(
            f"{line.role}\n{line.name}", (line.at[-1], goal), xytext=shift, linespacing=1.1,
            textcoords="offset points", ha=side, annotation_clip=False,
        )  # fmt: skip


def _draw_ahead(
    ax: Axes, calendar: Calendar, show: Unit, goals: Sequence[float],
    ahead: Sequence[Outlook | None],
) -> None:  # fmt: skip
    """Days to come of the season under way, stacked over the rings of past ones."""
    for goal, one in zip(goals, ahead, strict=False):
        days = [] if one is None else [(day, "") for day in one.days]
        dots = placed(days, lambda day: calendar.at(day) + 1.0, 1.0)
        lifted = [replace(each, level=each.level + 1) for each in dots]
        draw_dots(ax, lifted, float(from_celsius_days(goal, show)), _PITCH, size=_DOT)


def _draw_same(ax: Axes, line: Curve, same: Sequence[int]) -> None:
    heat = line.heat[-1]
    ax.plot(same, [heat] * len(same), "o", ms=5, mec=INK, mfc="white", zorder=5.5)


def _draw_distance(ax: Axes, line: Curve, standing: Standing | None) -> None:
    """From where this season stands to where the middle past one had as much."""
    said = days_ahead_words(standing)
    if not said or standing is None or standing.days_ahead is None:
        return
    from matplotlib.patheffects import withStroke

    at, heat = line.at[-1], line.heat[-1]
    middle = at + standing.days_ahead
    ax.plot([at, middle], [heat, heat], color=BLUE, lw=2.6, zorder=5, solid_capstyle="butt")
    ax.plot(middle, heat, "|", ms=13, color=BLUE, mew=2.0, zorder=5)
    ax.annotate(
        said, (max(at, middle), heat),
        xytext=(6, -12), textcoords="offset points", color=BLUE, zorder=7,
        path_effects=[withStroke(linewidth=3, foreground="white")],
    )  # fmt: skip


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


def _name_current(ax: Axes, line: Curve, *, reached: bool) -> None:
    from matplotlib.patheffects import withStroke

    end = line.at[-1], line.heat[-1]
    ax.plot(*end, "D", ms=7, color=INK, mec="white", zorder=6)
    # Above its end on the left, where past seasons leave room; at the goal below it.
    left = end[0] - ax.get_xlim()[0] > 0.15 * np.ptp(ax.get_xlim())
    ax.annotate(
        line.name, end, xytext=(8, -44) if reached else (-8 if left else 8, 6),
        textcoords="offset points", ha="left" if reached or not left else "right", weight="bold",
        zorder=7,
        # A white rim keeps the name legible where past seasons run under it.
        path_effects=[withStroke(linewidth=3, foreground="white")],
    )  # fmt: skip
