"""Still to come: all stages on one axis of days, first its next four weeks, then the season."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.shared_axis import TALLEST, SharedAxis
from gddcast.draw.svg import Svg
from gddcast.draw.year_dots import dot_rows, has_year_dots
from gddcast.outlook.changes import Change, is_move
from gddcast.pages.paper import PageTable
from gddcast.pages.report.by_year import by_year
from gddcast.scouting.windows import ScoutingWindow, without_repeats
from gddcast.text import numbers, sentences, why_moved
from gddcast.text.dates.nothing_due import calendar_says
from gddcast.today.beside_dates import Stage, stage_of
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import Status

_WEEKS = 4


@dataclass(frozen=True, slots=True)
class AxisRow:
    """One stage on an axis.

    Parameters
    ----------
    pest, stage : str
    when, look : str
        Its date, and from when to look.
    drawing : Svg
    more : tuple of str
        Its date in full, what moved it, what a calendar says, its record here.
    """

    pest: str
    stage: str
    when: str
    look: str
    drawing: Svg
    more: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Axis:
    """Days above, a row a stage below; which of its marks have to be explained."""

    head: Svg
    rows: tuple[AxisRow, ...]
    has_ends: bool


@dataclass(frozen=True, slots=True)
class Dated:
    """Stages that have a date ahead: the next weeks, the season, the same in tables."""

    weeks: Axis | None
    season: Axis
    changes: str
    table: PageTable
    years: tuple[PageTable, ...]


@dataclass(frozen=True, slots=True)
class Ahead:
    """The section, and stages without a date ahead, with why."""

    dated: Dated | None
    undated_line: str
    undated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Moves:
    """What has moved each date since a day; nothing where none was asked for."""

    since: dt.date | None
    changes: dict[Stage, Change]


def still_to_come(today: Today, show: Unit, moves: Moves) -> Ahead | None:
    """The section; none where nothing lies ahead and nothing has to be explained."""
    dated = dated_stages(today)
    reasons = tuple(_undated(today, dated, show))
    line = f"Without a date ahead, and why: {words.count(len(reasons), 'line')}"
    ahead = Ahead(_dated(dated, today, show, moves), line, reasons)
    return ahead if ahead.dated or ahead.undated else None


def dated_stages(today: Today) -> list[ScoutingWindow]:
    """Stages with dots, by the day to start looking."""
    dated = [each for each in without_repeats(today.plan.windows) if has_year_dots(each)]
    last = today.plan.season.last
    return sorted(dated, key=lambda each: (_begins(each) or last, each.card.key, each.event.key))


def next_weeks(windows: Sequence[ScoutingWindow], today: Today, show: Unit,
               moves: Moves | None = None, *, tallest: float = TALLEST) -> Axis | None:  # fmt: skip
    """The next four weeks of those that have a dot in them; none where none has."""
    axis = SharedAxis.of_weeks(today.day, _WEEKS, today.day, [])
    near = [each for each in windows if axis.shows(dot_rows(each))]
    rows = [dot_rows(each) for each in near]
    axis = SharedAxis.of_weeks(today.day, _WEEKS, today.day, rows, tallest=tallest)
    return _axis(axis, near, today, show, moves) if near else None


def _dated(
    windows: Sequence[ScoutingWindow], today: Today, show: Unit, moves: Moves
) -> Dated | None:
    if not windows:
        return None
    headings = ("stage", "today", "look from", "fastest year", "most years", "slowest year")
    season = SharedAxis.of_months(today.day, [dot_rows(each) for each in windows])
    columns = [
        (
            sentences.title(each) + (f", {label}" if label else ""),
            {dot.season: dot.day for dot in dots},
        )
        for each in windows
        for label, dots in dot_rows(each)
    ]
    return Dated(
        next_weeks(windows, today, show, moves),
        _axis(season, windows, today, show, None),
        _changes(moves),
        PageTable("Stages by date", headings, [_due_row(each) for each in windows]),
        by_year("The day each past year would bring", columns),
    )


def _axis(
    axis: SharedAxis, windows: Sequence[ScoutingWindow], today: Today, show: Unit,
    moves: Moves | None,
) -> Axis:  # fmt: skip
    over = "in the next four weeks" if axis.parted == "weeks" else "over the season"
    names = [f"{sentences.title(each)}, {over}" for each in windows]
    for number, name in enumerate(names):  # a crop sown twice has each stage twice
        if names.count(name) > 1:
            names[number] = f"{name}, row {number + 1}"
    rows = tuple(
        _row(each, name, axis, today, show, moves)
        for each, name in zip(windows, names, strict=True)
    )
    return Axis(axis.head(), rows, any(len(dot_rows(each)) > 1 for each in windows))


def _row(
    window: ScoutingWindow, name: str, axis: SharedAxis, today: Today, show: Unit,
    moves: Moves | None,
) -> AxisRow:  # fmt: skip
    dots, opens = dot_rows(window), window.opens if window.event.opens_looks else None
    drawing = axis.row(dots, name, opens)
    when = sentences.due_words(window, show)
    if axis.parted == "weeks" and (outside := axis.outside(dots)):
        when += f"; {outside} these weeks"
    more = () if moves is None else (
        sentences.when(window, show), *_beside(window, today, show, moves)
    )  # fmt: skip
    return AxisRow(
        words.capital(window.card.name), window.event.words, when, _look(window, today.day),
        drawing, tuple(more),
    )  # fmt: skip


def _look(window: ScoutingWindow, today: dt.date) -> str:
    if not window.event.opens_looks:
        return ""
    if window.status is Status.OVERDUE:
        return "overdue"
    if window.opens is None:
        return ""
    return "look now" if window.opens <= today else f"look from {words.day(window.opens)}"


def _begins(window: ScoutingWindow) -> dt.date | None:
    return (window.opens if window.event.opens_looks else None) or window.fastest


def _beside(window: ScoutingWindow, today: Today, show: Unit, moves: Moves) -> Iterator[str]:
    """What stands beside a date: what moved it, what a calendar says, its record here."""
    change = moves.changes.get(stage_of(window))
    if change is not None and is_move(change):
        yield why_moved.why(change, show)
    if says := calendar_says(window, today.in_calendar.get(stage_of(window))):
        yield says
    if own := numbers.own_number(window, show):
        yield own
    record = today.track_records.get(stage_of(window))
    if record is not None:
        yield f"Its record here: {record.phrase}."


def _changes(moves: Moves) -> str:
    if moves.since is None or not moves.changes:
        return ""
    moved = sum(map(is_move, moves.changes.values()))
    many = words.count(moved, "date") if moved else "no date"
    why = "" if not moved else ": why is said beside it" if moved == 1 else ": each says why"
    return (
        f"Since {words.day(moves.since, weekday=False)} {many} "
        f"{'have' if moved > 1 else 'has'} moved{why}."
    )


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


def _undated(today: Today, dated: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    """Stages with neither date nor answer, one line for all of which the same is to be said."""
    shown = {id(each) for each in dated}
    answered = (Status.LOOK_NOW, Status.OVERDUE, Status.COMING_UP, Status.SEEN, Status.UNDER_WAY)
    alike: dict[tuple[str, Status, str], dict[str, ScoutingWindow]] = {}
    for each in without_repeats(today.plan.windows):
        if id(each) not in shown and each.status not in answered:
            key = each.card.key, each.status, sentences.when(each, show)
            alike.setdefault(key, {}).setdefault(each.event.words, each)
    for (_, status, reason), group in alike.items():
        first, *more = group.values()
        stages = "; ".join([sentences.title(first), *(each.event.words for each in more)])
        yield f"{status.shape} {stages} ({status.word}). {reason}"
