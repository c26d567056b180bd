"""Still to come: stages by date, one dot a past year, and beside each what moved it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.year_dots import dot_rows, has_year_dots, year_dot_strip
from gddcast.outlook.changes import is_move
from gddcast.pages.paper import Figure, PageTable
from gddcast.pages.report.beside import Beside
from gddcast.pages.report.by_year import by_year
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import numbers, sentences, why_moved
from gddcast.text.dates.nothing_due import calendar_says
from gddcast.today.hindsight import stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status

#: Drawn in sight; what lies further ahead is drawn behind a line that opens it.
_SOON = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING)
#: So many rows or lines are short enough to stand open.
_FEW = 8


@dataclass(frozen=True, slots=True)
class Strip:
    """The drawing of one stage, and what stands beside it."""

    figure: Figure
    beside: str


@dataclass(frozen=True, slots=True)
class Dated:
    """Stages that have a date ahead: by date, drawn, year by year."""

    many: str
    table: PageTable
    near: tuple[Strip, ...]
    far: tuple[Strip, ...]
    far_line: str
    is_short: bool
    years: tuple[PageTable, ...]
    years_short: bool


@dataclass(frozen=True, slots=True)
class Undated:
    """Stages without one, and why."""

    line: str
    reasons: tuple[str, ...]
    is_short: bool


@dataclass(frozen=True, slots=True)
class Ahead:
    """The section."""

    dated: Dated | None
    undated: Undated | None


def still_to_come(plan: SeasonPlan, show: Unit, beside: Beside) -> Ahead | None:
    """The section; none where nothing lies ahead and nothing has to be explained."""
    dated = [each for each in plan.windows if has_year_dots(each)]
    dated.sort(key=lambda each: (each.opens or plan.season.last, each.card.key, each.event.key))
    ahead = Ahead(_dated(dated, plan, show, beside), _undated(plan, dated, show))
    return ahead if ahead.dated or ahead.undated else None


def _dated(
    windows: Sequence[ScoutingWindow], plan: SeasonPlan, show: Unit, beside: Beside
) -> Dated | None:
    if not windows:
        return None
    headings = ("stage", "today", "look from", "fastest year", "most years", "slowest year")
    strips = [_strip(each, number, plan, show, beside) for number, each in enumerate(windows, 1)]
    drawn = list(zip(windows, strips, strict=True))
    far = tuple(strip for each, strip in drawn if each.status not in _SOON)
    columns = [
        (
            sentences.title(each) + (f", {label}" if label else ""),
            {dot.season: dot.day for dot in dots},
        )
        for each in windows
        for label, dots in dot_rows(each)
    ]
    return Dated(
        many=words.count(len(windows), "stage lies", "stages lie"),
        table=PageTable("Stages by date", headings, [_due_row(each) for each in windows]),
        near=tuple(strip for each, strip in drawn if each.status in _SOON),
        far=far,
        far_line=f"{words.count(len(far), 'stage')} later in the season, drawn",
        is_short=len(windows) <= _FEW,
        years=by_year("The day each past year would bring", columns),
        years_short=len(columns) <= _FEW,
    )


def _strip(
    window: ScoutingWindow, number: int, plan: SeasonPlan, show: Unit, beside: Beside
) -> Strip:
    title = sentences.title(window)
    drawing = year_dot_strip(window, f"{title}, strip {number}", plan.today)
    figure = Figure(sentences.when(window, show), drawing, title)
    return Strip(figure, " ".join(_beside(window, show, beside)))


def _beside(window: ScoutingWindow, show: Unit, beside: Beside) -> Iterator[str]:
    """What stands beside a date: what moved it, what a calendar says, its record here."""
    change = beside.changes.get(stage_of(window))
    if beside.since is not None and change is not None and is_move(change):
        yield why_moved.why(change, show)
    if says := calendar_says(window, beside.in_calendar.get(stage_of(window))):
        yield says
    if own := numbers.own_number(window, show):
        yield own
    record = beside.records.get(stage_of(window))
    if record is not None:
        yield f"Its record here: {record.phrase}."


def _due_row(window: ScoutingWindow) -> list[str]:
    late = window.late
    status = f"{window.status.shape}\u00a0{window.status.word}"
    row = [sentences.title(window), status, _day(window.opens)]
    if late is not None and len(late.dots) < sentences.FEW_YEARS:
        days = words.listed([_day(each) for each in late.days])
        return [*row, "–", f"{days}: too few to call", "–"]
    inner, many = window.inner, "not this season in some"
    if inner is not None:
        many = f"{words.span(inner.first, inner.last)} ({sentences.inner_years(inner)})"
    slowest = _day(window.slowest) if window.slowest else "not this season"
    return [*row, _day(window.fastest), many, slowest]


def _day(day: dt.date | None) -> str:
    return words.day(day, weekday=False) if day else "–"


def _undated(plan: SeasonPlan, dated: Sequence[ScoutingWindow], show: Unit) -> Undated | None:
    shown = {id(each) for each in dated}
    answered = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.SEEN, Status.UNDER_WAY)
    others = [
        each
        for each in without_repeats(plan.windows)
        if id(each) not in shown and each.status not in answered
    ]
    reasons = tuple(_together(others, show))
    line = f"Without a date ahead: {words.count(len(others), 'stage')}, and why"
    return Undated(line, reasons, len(reasons) <= _FEW) if reasons else None


def _together(windows: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    """One line for all stages of an organism of which the same is to be said."""
    alike: dict[tuple[str, Status, str], dict[str, ScoutingWindow]] = {}
    for each in windows:
        key = each.card.key, each.status, sentences.when(each, show)
        alike.setdefault(key, {}).setdefault(each.event.words, each)
    for (_, status, reason), group in alike.items():
        first, *more = group.values()
        stages = "; ".join([sentences.title(first), *(each.event.words for each in more)])
        yield f"{status.shape} {stages} ({status.word}). {reason}"
