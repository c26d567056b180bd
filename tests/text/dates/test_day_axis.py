"""A shared line of days: no year lost, no mark in a wrong column, no line too long."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.text.dates.day_axis import DOT, LOOK_FROM, TODAY, DayAxis
from gddcast.words import month

TODAY_IS = dt.date(2026, 6, 11)
days = st.lists(st.dates(dt.date(2026, 6, 8), dt.date(2026, 9, 30)), min_size=1, max_size=9)


@given(days, st.integers(20, 60), st.dates(dt.date(2026, 6, 1), dt.date(2026, 9, 30)))
@settings(max_examples=300, deadline=None, derandomize=True)
def test_every_year_is_in_the_column_of_its_day(
    dates: list[dt.date], room: int, look_from: dt.date
) -> None:
    """Read back from the characters alone."""
    axis = DayAxis.over(TODAY_IS, max(dates), room)
    row = axis.row(dates, today=TODAY_IS, look_from=look_from)
    assert len(row) <= room
    read = {
        at: int(mark.replace(DOT, "1")) for at, mark in enumerate(row) if mark in f"{DOT}23456789"
    }
    assert sum(read.values()) == len(dates)
    for at, years in read.items():
        begin = axis.first + dt.timedelta(days=at * axis.days_a_column)
        held = [
            day for day in dates if begin <= day < begin + dt.timedelta(days=axis.days_a_column)
        ]
        assert len(held) == years
    assert row.count(LOOK_FROM) <= 1
    assert row.count(TODAY) <= 1


@given(days, st.integers(20, 60))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_a_number_on_top_stands_over_its_monday(dates: list[dt.date], room: int) -> None:
    axis = DayAxis.over(TODAY_IS, max(dates), room)
    months, mondays = axis.head()
    assert axis.first.weekday() == 0
    assert axis.first <= TODAY_IS
    for at, mark in enumerate(mondays):
        if mark != " " and (at == 0 or mondays[at - 1] == " "):
            number = mondays[at:].split()[0]
            begin = axis.first + dt.timedelta(days=at * axis.days_a_column)
            column = [begin + dt.timedelta(days=more) for more in range(axis.days_a_column)]
            assert [day for day in column if day.weekday() == 0 and str(day.day) == number]
    assert months.split()[0] == month(axis.first.month)


def test_many_years_of_one_day_are_a_number_and_more_than_nine_a_plus() -> None:
    axis = DayAxis.over(TODAY_IS, dt.date(2026, 6, 21), 40)
    day = dt.date(2026, 6, 20)
    rows = {years: axis.row([day] * years, today=TODAY_IS) for years in (1, 2, 9, 10, 30)}
    assert [row[axis.column(day)] for row in rows.values()] == [DOT, "2", "9", "+", "+"]
    assert axis.legend(rows[1]) == "· one past year’s weather; │ today; 1 day a column."
    assert "2–9 so many years’" in axis.legend(rows[2])
    assert "+ more" not in axis.legend(rows[9])
    assert "+ more" in axis.legend(rows[10])


@pytest.mark.parametrize("look_from", [dt.date(2026, 6, 1), dt.date(2027, 1, 1)])
def test_a_day_outside_the_axis_is_not_drawn(look_from: dt.date) -> None:
    """Its row says so in words."""
    axis = DayAxis.over(TODAY_IS, dt.date(2026, 6, 21), 40)
    assert LOOK_FROM not in axis.row([], today=TODAY_IS, look_from=look_from)


def test_a_dot_hides_today_and_is_hidden_by_nothing() -> None:
    axis = DayAxis.over(TODAY_IS, dt.date(2026, 6, 21), 40)
    assert axis.row([TODAY_IS], today=TODAY_IS, look_from=TODAY_IS) == f"   {DOT}"
    assert axis.row([], today=TODAY_IS, look_from=TODAY_IS) == f"   {LOOK_FROM}"
