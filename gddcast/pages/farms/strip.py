"""One row a ranked farm: its dots, one a past year, over days that all rows share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from gddcast import words
from gddcast.draw.shared_axis import Rows, SharedAxis
from gddcast.draw.svg import Svg
from gddcast.draw.year_dots import days_of, dot_rows, has_year_dots
from gddcast.farms.board import Board, FarmDay
from gddcast.text import sentences
from gddcast.text.farms import board_words
from gddcast.units import Unit

#: Beyond so many weeks the days are told by month.
_WEEKS = 12
_TALLEST = 26.0


@dataclass(frozen=True, slots=True)
class StripRow:
    """One farm: its rank, its first stage unless all wait for one, the day to look, its dots."""

    rank: int
    name: str
    stage: str
    look: str
    days: str
    looked: str
    drawing: Svg | None


@dataclass(frozen=True, slots=True)
class Strip:
    """Rows under the head of their days; how many more farms are ranked; whether dots are rings."""

    head: Svg | None
    rows: tuple[StripRow, ...]
    more: int
    has_ends: bool


def strip_of(board: Board, called: Mapping[str, str], show: Unit, most: int | None = None) -> Strip:
    """The ranked farms, as far as there is room.

    Parameters
    ----------
    board : Board
    called : mapping of str to str
        What each farm is called here, by its name.
    show : {"F", "C"}
    most : int, optional
        Rows there is room for.
    """
    ranked = list(board.ranked)
    shown = ranked[:most]
    stages = [_dots(row) for _, row in shown]
    titled = board_words.one_stage([row for _, row in shown]) is None
    axis = _axis(board.day, stages)
    rows = tuple(
        _row(rank, row, called, board, show, dots, axis, titled=titled)
        for (rank, row), dots in zip(shown, stages, strict=True)
    )
    drawn = any(row.drawing is not None for row in rows)
    return Strip(
        axis.head() if drawn else None, rows, len(ranked) - len(shown),
        any(len(dots) > 1 for dots in stages),
    )  # fmt: skip


def _dots(row: FarmDay) -> Rows:
    return dot_rows(row.first.window) if row.first and has_year_dots(row.first.window) else []


def _axis(today: dt.date, stages: list[Rows]) -> SharedAxis:
    days = [day for rows in stages for _, dots in rows for day, _ in days_of(dots)]
    first, last = min([today, *days]), max([today, *days])
    weeks = (last - first).days // 7 + 2
    if weeks > _WEEKS:
        return SharedAxis.of_months(today, stages)
    return SharedAxis.of_weeks(first, max(weeks, 3), today, stages, tallest=_TALLEST)


def _row(
    rank: int, row: FarmDay, called: Mapping[str, str], board: Board, show: Unit, dots: Rows,
    axis: SharedAxis, *, titled: bool,
) -> StripRow:  # fmt: skip
    name, looked = called[row.farm.name], ""
    if row.looked is not None:
        ago = row.days_since_look or 0
        since = f"{words.count(ago, 'day')} ago" if ago else "today"
        looked = f"{words.day(row.looked.day, weekday=False)}, {since}"
    first = row.first
    if first is None:
        said = board_words.worth(row, called)
        return StripRow(rank, name, "no stage has a day to look from", "", said, looked, None)
    drawing = axis.row(dots, f"Dates of {rank}, {name}", first.day) if axis.shows(dots) else None
    return StripRow(
        rank, name, sentences.title(first.window) if titled else "", board_words.look(first, board),
        f"{board_words.days(first, show)} · {board_words.worth(row, called)}", looked, drawing,
    )  # fmt: skip
