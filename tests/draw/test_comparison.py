"""Seasons side by side: the library's days and sums, this season marked, unfair ones hatched."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from gddcast.draw.comparison import (
    comparison_note,
    comparison_takeaway,
    draw_comparison,
)
from gddcast.heat.counting import Counting
from gddcast.journal.entries import Bracket, Sighting
from gddcast.outlook.seasons import Comparison, compare_seasons
from gddcast.weather.series import DailySeries
from tests.draw.looks import (
    colours,
    contrast,
    laid_out,
    marks,
    meetings,
    text_colours,
    without_colour,
)
from tests.draw.records import RECORDS, known, today_of

GOAL = 1000 / 1.8


def table_of(name: str, *goals: float, series: DailySeries | None = None) -> Comparison:
    return compare_seasons(series or known(name), Counting(10.0), today_of(name), goals=goals)


def with_a_hole(name: str, year: int, days: int = 40) -> DailySeries:
    """A season whose spring is not known."""
    series = known(name)
    low, high = np.copy(series.tmin), np.copy(series.tmax)
    hole = slice(series.index(dt.date(year, 4, 1)), series.index(dt.date(year, 4, 1)) + days)
    low[hole] = high[hole] = np.nan
    return replace(series, tmin=low, tmax=high, origin=None)  # type: ignore[arg-type]


def drawn(table: Comparison) -> Axes:
    ax = Figure().add_subplot()
    return draw_comparison(ax, table, "F")


def places(ax: Axes) -> dict[tuple[float, float], str]:
    """Place of every mark."""
    return {(x, y): mark for mark, x, y, _ in marks(ax)}


def test_one_mark_a_season_on_the_day_it_got_there() -> None:
    table = table_of("late", GOAL)
    ax = drawn(table)
    expected = {}
    for row in table.rows:
        day = row.reached[0]
        assert day is not None
        place = (dt.date(2024, day.month, day.day) - dt.date(2024, 1, 1)).days
        expected[(int(row.season.name) - 2014, place)] = "o"
    assert places(ax) == expected
    assert len(expected) == 13
    assert not ax.patches  # onset is never a bar
    past = sorted(y for (x, y) in expected if x < 12)
    middle = next(line for line in ax.lines if line.get_color() == "#0072B2")
    assert middle.get_ydata()[0] == np.median(past)


def test_sums_on_fixed_days_have_a_shape_each() -> None:
    table = table_of("12 years")
    ax = drawn(table)
    by_shape: dict[str, set[float]] = {}
    for (_, height), mark in places(ax).items():
        by_shape.setdefault(mark, set()).add(round(height, 6))
    sums = np.array([[np.nan if s is None else 1.8 * s for s in row.sums] for row in table.rows])
    for mark, column in zip("os^v", sums.T, strict=True):
        assert by_shape[mark] == set(column[~np.isnan(column)].round(6).tolist())
    joined = [line for line in ax.lines if line.get_marker() == "None"]
    assert len({without_colour(line) for line in joined}) == 4  # four dashes
    assert all(contrast(each) >= 3.0 for each in colours(ax))
    names = [text.get_text() for text in ax.texts]
    assert names == ["1 May", "1 June", "1 July", "1 August"]
    assert text_colours(ax) <= {"#000000", "#0072b2"}


def test_this_season_is_marked_by_size_and_its_name() -> None:
    ax = drawn(table_of("late", GOAL))
    sizes = {x: line.get_markersize() for _, x, _, line in marks(ax)}
    assert sizes[12] > 1.5 * max(size for place, size in sizes.items() if place < 12)
    bold = [label.get_text() for label in ax.get_xticklabels() if label.get_weight() == "bold"]
    assert bold == ["2026"]


def test_a_season_with_unknown_days_is_hatched_over_all_days_and_named() -> None:
    table = table_of("late", GOAL, series=with_a_hole("late", 2019))
    ax = drawn(table)
    (column,) = ax.patches
    assert column.get_hatch()
    assert column.get_x() < 5 < column.get_x() + column.get_width()
    assert (column.get_y(), column.get_height()) == (0, 1)  # of the axes: no span of days
    assert not any(x == 5 for x, _ in places(ax))
    joined = next(line for line in ax.lines if line.get_marker() == "None")
    assert np.isnan(joined.get_ydata()[5])
    assert "2019 (40 days)" in comparison_note(table)


def test_a_year_that_never_got_there_is_marked_so() -> None:
    table = table_of("12 years", 3000 / 1.8)
    missed = [row for row in table.rows[:-1] if row.reached[0] is None]
    assert missed
    ax = drawn(table)
    assert [text.get_text() for text in ax.texts].count("∅") == len(missed)
    assert "∅ not reached" in comparison_note(table)
    reached = 12 - len(missed)
    assert f"{reached} of 12 past years" in comparison_takeaway(table, "F", what="")


def test_a_find_stands_on_its_day_with_the_clean_look_before_it() -> None:
    table = table_of("late", GOAL)
    found = Sighting("squash-vine-borer", "moths", dt.date(2025, 7, 3))
    seen = Bracket(dt.date(2025, 7, 1), found.seen_on, found)
    rows = tuple(
        replace(row, seen=seen) if row.season.name == "2025" else row for row in table.rows
    )
    ax = drawn(replace(table, rows=rows))
    place = (dt.date(2024, 7, 3) - dt.date(2024, 1, 1)).days
    assert places(ax)[(11, place)] == "X"
    assert places(ax)[(11, place - 2)] == "_"
    assert "first seen" in comparison_note(replace(table, rows=rows))


def test_the_takeaway_counts_and_names_the_ends() -> None:
    assert comparison_takeaway(table_of("12 years", GOAL), "F", what="First moths") == (
        "First moths: 1,000 °F-days reached in 12 of 12 past years: earliest 15 June (2018), "
        "latest 9 July (2023). 2026: 757 by 10 June. With past years' weather from here on: "
        "any day 17–24 June; 10 of 12 give 20–23 June."
    )
    never = comparison_takeaway(table_of("3 years", 9000.0), "C", what="")
    assert never == "9,000 °C-days not reached in any of 3 past seasons."


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("goals", [(), (200.0, 230.0), (900.0,)])
@pytest.mark.parametrize("name", RECORDS)
def test_no_words_meet(name: str, goals: tuple[float, ...], width: int) -> None:
    table = table_of(name, *goals)
    room = max((width - 45) // 14, 2)
    fig = laid_out(lambda fig: draw_comparison(fig.add_subplot(), table, "F", room=room), width)
    assert meetings(fig) == []
