"""Year dots in plain characters hold one dot a year over its own day."""

from __future__ import annotations

import datetime as dt

from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.text.dates.dotplot import dotplot

days = st.lists(st.dates(dt.date(2026, 5, 20), dt.date(2026, 8, 10)), min_size=1, max_size=40)


@given(days)
@settings(max_examples=200, deadline=None, derandomize=True)
def test_as_many_dots_as_years(dates: list[dt.date]) -> None:
    """None lost, none drawn twice, whatever the months; and no line is longer than a page."""
    lines = dotplot(dates, " " * 22).splitlines()
    scale = next(at for at, line in enumerate(lines) if line.strip()[0].isdigit())
    assert sum(line.count("o") for line in lines[:scale]) == len(dates)
    months, key = " ".join(lines[scale + 1 :]).split("o = one past year")
    assert months.strip()
    assert ("days a column" in key) == (max(dates) - min(dates) >= dt.timedelta(days=16))
    assert max(map(len, lines)) <= 98


def test_dots_stand_over_their_days() -> None:
    """Three years, one of them across the month's end."""
    text = dotplot([dt.date(2026, 6, 29), dt.date(2026, 7, 1), dt.date(2026, 7, 1)])
    stack, bottom, scale, months = text.splitlines()
    assert stack == "        o"
    assert bottom == "o       o"
    assert scale == "29  30  1"
    assert months.startswith("June    July")


def test_no_year_draws_nothing() -> None:
    """An empty picture is no picture."""
    assert dotplot([]) == ""
