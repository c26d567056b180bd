"""Still to come: stages by date, one dot a past year, and beside each what moved it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from html import escape

from gddcast import words
from gddcast.handouts import paper
from gddcast.handouts.dates.calendar_file import calendar_says
from gddcast.handouts.drawings.year_dot_strip import dot_rows, has_year_dots, year_dot_strip
from gddcast.handouts.report.beside import Beside
from gddcast.handouts.report.by_year import by_year
from gddcast.outlook.changes import has_moved
from gddcast.outlook.dates import YearDot
from gddcast.scouting.windows import ScoutingWindow, inner_span
from gddcast.text import sentences
from gddcast.today.hindsight import stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import Status

#: Drawn in sight; what lies further ahead is drawn behind a line that opens it.
_SOON = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.BUILDING)
#: So many rows or lines are short enough to stand open.
_FEW = 8


def still_to_come(plan: SeasonPlan, show: Unit, beside: Beside) -> Iterator[str]:
    """The section."""
    dated = [each for each in plan.windows if has_year_dots(each)]
    dated.sort(key=lambda each: (each.opens or plan.season.last, each.card.key, each.event.key))
    if dated:
        many = words.count(len(dated), "stage lies", "stages lie")
        yield paper.paragraph(
            f"{many} ahead. Each dot is the day one past year would bring, from this season’s "
            "heat so far."
        )
        headings = ("stage", "today", "look from", "fastest year", "most years", "slowest year")
        rows = [_due_row(each) for each in dated]
        yield paper.wide(paper.table(headings, rows), "Stages by date")
        drawn = [_drawn(each, number, plan, show, beside) for number, each in enumerate(dated, 1)]
        soon = [each.status in _SOON for each in dated]
        near = [strip for strip, is_near in zip(drawn, soon, strict=True) if is_near]
        far = [strip for strip, is_near in zip(drawn, soon, strict=True) if not is_near]
        if near:
            yield _strips(near)
        if far:
            line = f"{words.count(len(far), 'stage')} later in the season, drawn"
            yield paper.fold(line, _strips(far), opened=len(dated) <= _FEW)
        columns = [
            (sentences.title(each) + (f", {label}" if label else ""), _days(dots))
            for each in dated
            for label, dots in dot_rows(each)
        ]
        yield paper.fold(
            "The same days, year by year",
            by_year("The day each past year would bring", columns),
            opened=len(columns) <= _FEW,
        )
        yield paper.paragraph(f"{words.WEATHER_ONLY} {words.AWAY_FROM_HOME}")
    yield from _without_date(plan, dated, show)


def _strips(drawn: Sequence[str]) -> str:
    return f'<div class="strips">{"".join(drawn)}</div>'


def _drawn(
    window: ScoutingWindow, number: int, plan: SeasonPlan, show: Unit, beside: Beside
) -> str:
    title = sentences.title(window)
    strip = year_dot_strip(window, f"{title}, strip {number}", plan.today)
    said = " ".join(_beside(window, show, beside))
    more = f'<p class="beside">{escape(said)}</p>' if said else ""
    drawn = paper.figure(sentences.when(window, show), strip, name=title)
    return f"<div>{drawn}{more}</div>"


def _beside(window: ScoutingWindow, show: Unit, beside: Beside) -> Iterator[str]:
    """What stands beside a date: what moved it, what a calendar says, its record here."""
    change = beside.changes.get(stage_of(window))
    if beside.since is not None and change is not None and has_moved(change):
        yield sentences.moved(change, show)
    if says := calendar_says(window, beside.in_calendar.get(stage_of(window))):
        yield says
    if own := sentences.own_number(window, show):
        yield own
    record = beside.records.get(stage_of(window))
    if record is not None:
        yield f"Its record here: {record.sentence[0].lower()}{record.sentence[1:]}"


def _due_row(window: ScoutingWindow) -> list[str]:
    late = window.late
    status = f"{window.status.shape}\u00a0{window.status.word}"
    row = [sentences.title(window), status, _day(window.opens)]
    if late is not None and len(late.dots) < sentences.FEW_YEARS:
        days = words.listed([_day(each) for each in late.days])
        return [*row, "–", f"{days}: too few to call", "–"]
    inner = inner_span(late) if late else None
    many = "not this season in some"
    if window.early is not late:
        many = "both ends carried"
    elif inner is not None:
        many = f"{words.span(inner.first, inner.last)} ({inner.years} of {inner.total})"
    slowest = _day(window.slowest) if window.slowest else "not this season"
    return [*row, _day(window.fastest), many, slowest]


def _day(day: dt.date | None) -> str:
    return words.day(day, weekday=False) if day else "–"


def _days(dots: Sequence[YearDot]) -> dict[str, dt.date | None]:
    return {dot.season: dot.day for dot in dots}


def _without_date(plan: SeasonPlan, dated: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    told = {id(each) for each in dated}
    answered = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.SEEN)
    others = [each for each in plan.windows if id(each) not in told and each.status not in answered]
    lines = list(_together(others, show))
    if lines:
        many = words.count(len(others), "stage")
        line = f"Without a date ahead: {many}, and why"
        yield paper.fold(line, paper.listed(lines, css="marked"), opened=len(lines) <= _FEW)


def _together(windows: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    """One line for all stages of an organism of which the same is to be said."""
    alike: dict[tuple[str, Status, str], dict[str, ScoutingWindow]] = {}
    for each in windows:
        key = each.card.key, each.status, sentences.when(each, show)
        alike.setdefault(key, {}).setdefault(each.event.words, each)
    for (_, status, said), group in alike.items():
        first, *more = group.values()
        stages = "; ".join([sentences.title(first), *(each.event.words for each in more)])
        yield f"{status.shape} {stages} ({status.word}). {said}"
