"""The heat of this season drawn over the past ones, and the same sums month by month."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator

import numpy as np

from gddcast import words
from gddcast.handouts.drawings import svg
from gddcast.outlook.season_so_far import record_on
from gddcast.outlook.seasons import SeasonCurves, SeasonHeat, season_curves
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit, from_celsius_days

WIDTH, HEIGHT = 360, 260
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 298.0, 22.0, 232.0
_GREY = "#767676"  # 4.5:1 on white, for lines that stand back
_EVERY = 7  # days from point to point of a line


def curves_of(plan: SeasonPlan) -> SeasonCurves:
    """Every season of the record, counted the way the season is told of."""
    known, sum_ = record_on(plan.series, plan.today), plan.season_sum
    return season_curves(known, sum_.counting, plan.season, start=sum_.start)


def _end(season: SeasonHeat) -> float:
    return float(season.heat[-1])


def season_curve(curves: SeasonCurves, show: Unit, takeaway: str) -> str:
    """Draw them: this season bold, past ones thin, fastest and slowest named at their ends."""
    top = max(
        (float(np.nanmax(each.heat)) for each in _all(curves) if np.isfinite(each.heat).any()),
        default=0.0,
    )
    ticks = _ticks(float(from_celsius_days(top, show)))
    scale = _Scale(show, max(float(from_celsius_days(top, show)), ticks[1]))
    strokes = [*_grid(ticks, scale, show, _all(curves)[0])] if _all(curves) else []
    for past in curves.past:
        strokes += _curve(past, scale, _GREY, 1.0)
    for which, name in ((curves.fastest, "fastest"), (curves.slowest, "slowest")):
        if which is not None:
            strokes += _curve(which, scale, svg.INK, 1.2, dash="" if name == "fastest" else "5 3")
            y = scale.y(_end(which))
            strokes.append(svg.words(_RIGHT + 5, y, which.season.name, size=12))
            strokes.append(svg.words(_RIGHT + 5, y + 13, name, size=12))
    if curves.current is not None:
        strokes += _curve(curves.current, scale, svg.INK, 3.0)
        strokes += _name_of(curves.current, scale)
    return svg.picture(WIDTH, HEIGHT, "Heat of this season and of past ones", takeaway, strokes)


def _all(curves: SeasonCurves) -> list[SeasonHeat]:
    return [*curves.past, *([curves.current] if curves.current else [])]


class _Scale:
    """Days of a season across, heat up."""

    def __init__(self, show: Unit, top: float) -> None:
        self.show, self.top = show, top

    def x(self, index: int) -> float:
        return _LEFT + (_RIGHT - _LEFT) * index / 366

    def y(self, celsius_days: float) -> float:
        return self.at(float(from_celsius_days(celsius_days, self.show)))

    def at(self, shown: float) -> float:
        return _BOTTOM - (_BOTTOM - _TOP) * shown / self.top


def _ticks(top: float) -> list[float]:
    """Round steps up to ``top``, two to five of them."""
    rough = max(top, 1.0) / 4
    size = 10.0 ** np.floor(np.log10(rough))
    step = float(size * next(each for each in (1, 2, 2.5, 5, 10) if each * size >= rough))
    return [step * n for n in range(max(int(top / step), 1) + 1)]


def _grid(ticks: list[float], scale: _Scale, show: Unit, any_season: SeasonHeat) -> Iterator[str]:
    yield svg.words(2, 12, f"°{show}-days", size=12)
    for tick in ticks:
        y = scale.at(tick)
        yield svg.line([(_LEFT, y), (_RIGHT, y)], colour="#D0D0D0", width=0.7)
        yield svg.words(_LEFT - 4, y + 4, f"{tick:,.0f}", anchor="end", size=12)
    first = any_season.season.first
    for ahead in range(0, 12, 2):
        month = (first.month - 1 + ahead) % 12 + 1
        x = scale.x((any_season.season.on(month, 1) - first).days)
        yield svg.line([(x, _BOTTOM), (x, _BOTTOM + 4)], width=1)
        yield svg.words(x, _BOTTOM + 17, words.month(month)[:3], size=12)
    yield svg.line([(_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)], width=1)


def _curve(
    season: SeasonHeat, scale: _Scale, colour: str, width: float, dash: str = ""
) -> list[str]:
    known = int(np.isfinite(season.heat).sum())  # a sum is unknown from its first gap on
    if known < 2:
        return []
    at = sorted({*range(0, known, _EVERY), known - 1})
    points = [(scale.x(index + 1), scale.y(float(season.heat[index]))) for index in at]
    return [svg.line(points, colour=colour, width=width, dash=dash)]


def _name_of(season: SeasonHeat, scale: _Scale) -> list[str]:
    known = int(np.isfinite(season.heat).sum())
    if known == 0:
        return []
    x, y = scale.x(known), scale.y(float(season.heat[known - 1]))
    name = svg.words(x - 6, y - 8, season.season.name, anchor="end", bold=True)
    if x < _LEFT + 48:
        name = svg.words(x, y - 10, season.season.name, bold=True)
    return [svg.rimmed(name), svg.dot(x, y)]


def month_rows(curves: SeasonCurves, plan: SeasonPlan, show: Unit) -> Iterator[list[str]]:
    """The drawn sums at the end of each month: this season, middle, fastest, slowest."""
    for ahead in range(12):
        month = (plan.season.first.month - 1 + ahead) % 12 + 1
        year = plan.season.on(month, 1).year
        day = dt.date(year, month, calendar.monthrange(year, month)[1])
        then = [each.through(day) for each in curves.past]
        known = [each for each in then if np.isfinite(each)]
        now = curves.current.through(day) if curves.current and day < plan.today else float("nan")
        named = [each.through(day) if each else float("nan") for each in _named(curves)]
        sums = [now, float(np.median(known)) if known else float("nan"), *named]
        yield [words.day(day, weekday=False), *(shown(each, show) for each in sums)]


def month_headings(curves: SeasonCurves, plan: SeasonPlan) -> list[str]:
    """Over the columns of `month_rows`."""
    named = [
        f"{kind} ({each.season.name})" if each else kind
        for kind, each in zip(("fastest", "slowest"), _named(curves), strict=True)
    ]
    return ["end of", plan.season.name, "middle past year", *named]


def _named(curves: SeasonCurves) -> tuple[SeasonHeat | None, SeasonHeat | None]:
    return curves.fastest, curves.slowest


def shown(celsius_days: float | None, show: Unit) -> str:
    """A sum in the reader's scale, without its unit; a dash where it is not known."""
    if celsius_days is None or not np.isfinite(celsius_days):
        return "–"
    return words.heat(celsius_days, show, unit=False)
