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
    columns_of,
    comparison_note,
    comparison_takeaway,
    draw_comparison,
    sums_takeaway,
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


def test_without_a_goal_each_season_s_sum_of_the_takeaway_is_a_dot() -> None:
    """A row a season, warmest first: the number said is the number drawn."""
    table = table_of("12 years")
    ax = drawn(table)
    through = sorted((1.8 * row.through for row in table.rows if row.through), reverse=True)
    heights = {y: x for mark, x, y, _ in marks(ax) if mark == "o"}
    np.testing.assert_allclose([heights[y] for y in sorted(heights)], through, rtol=0, atol=1e-9)
    assert sums_takeaway(table, "F") == (
        "2026: 757 °F-days through 10 June, 4th warmest of 13 seasons; the middle past year had "
        "693."
    )
    labels = [label.get_text() for label in ax.get_yticklabels()]
    assert labels.index("2026") == 3
    assert all(contrast(each) >= 3.0 for each in colours(ax) - {"#d0d0d0"})  # but for the grid
    assert text_colours(ax) <= {"#000000", "#0072b2"}


def test_years_are_not_joined() -> None:
    """No line between seasons that have nothing to do with each other."""
    for goals in ((), (GOAL,), (200.0, 230.0)):
        ax = drawn(table_of("12 years", *goals))
        for line in ax.lines:
            across = len(set(line.get_xdata())) > 1 and len(set(line.get_ydata())) > 1
            assert not across or line.get_linestyle() == "None"


def test_this_season_s_days_to_come_stand_in_its_column() -> None:
    table = table_of("12 years", GOAL)
    ax = drawn(table)
    (row,) = [row for row in table.rows if row.season.name == "2026"]
    assert row.ahead[0] is not None
    days = sorted((day - dt.date(2026, 1, 1)).days + 1 for day in row.ahead[0].days)
    column = columns_of(table)["2026"]
    found = sorted(y for _, x, y, line in marks(ax) if line.get_markerfacecolor() == "#0072B2")
    assert found == days
    beside = [x for _, x, _, line in marks(ax) if line.get_markerfacecolor() == "#0072B2"]
    assert max(abs(x - column) for x in beside) < 1.5
    assert "2026: a dot for each past year" in comparison_note(table)


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
        replace(row, bracket=seen) if row.season.name == "2025" else row for row in table.rows
    )
    ax = drawn(replace(table, rows=rows))
    place = (dt.date(2024, 7, 3) - dt.date(2024, 1, 1)).days
    assert places(ax)[(11, place)] == "X"
    assert places(ax)[(11, place - 2)] == "_"
    assert "first seen" in comparison_note(replace(table, rows=rows))


def test_the_takeaway_counts_and_names_the_ends() -> None:
    assert comparison_takeaway(table_of("12 years", GOAL), "F", what="First moths") == (
        "First moths: 1,000 °F-days reached in 12 of 12 past years: earliest 15 June (2018), "
        "latest 9 July (2023). 2026: 757 by 10 June. With past years’ weather from here on: "
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
    fig = laid_out(
        lambda fig: draw_comparison(fig.add_subplot(), table, "F", room=room), width,
        85 if goals else 24 + 4.7 * len(table.rows),
    )  # fmt: skip
    assert meetings(fig) == []
