"""Year dots: each over its own day, none over another, the same places on a page and in a chart."""

from __future__ import annotations

import datetime as dt
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure

from gddcast.draw import svg
from gddcast.draw.shared_axis import SharedAxis
from gddcast.draw.year_dots import draw_dots, draw_year_dots, height, placed, svg_dots
from gddcast.outlook.dates import YearDot

FIRST = dt.date(2026, 6, 1)
DAYS = st.lists(st.integers(0, 20), min_size=1, max_size=60).map(
    lambda ahead: [FIRST + dt.timedelta(days=each) for each in ahead]
)


def circles(drawing: str) -> list[tuple[float, float, str]]:
    """Place and year of each dot."""
    found = []
    for each in ElementTree.fromstring(drawing).iter():
        if each.tag.endswith("circle"):
            title = next(iter(each), None)
            year = "" if title is None else (title.text or "").partition(":")[0]
            found.append((float(each.get("cx", "")), float(each.get("cy", "")), year))
    return found


@given(DAYS, st.floats(0.3, 40.0), st.integers(1, 5))
def test_no_two_touch_and_each_stands_over_its_day(
    days: list[dt.date], step: float, columns: int
) -> None:
    """A law of the geometry, whatever the scale; each level is filled before the next."""

    def across(day: dt.date) -> float:
        return step * (day - FIRST).days

    dots = placed([(day, str(at)) for at, day in enumerate(days)], across, 1.0, columns=columns)
    assert sorted(dot.day for dot in dots) == sorted(days)
    assert {int(dot.year): dot.day for dot in dots} == dict(enumerate(days))
    assert all(abs(dot.x - across(dot.day)) <= (columns - 1) / 2 + 1e-9 for dot in dots)
    by_level: dict[int, list[float]] = {}
    for dot in dots:
        by_level.setdefault(dot.level, []).append(dot.x)
    assert all(np.diff(sorted(xs)).min(initial=9.0) >= 0.95 for xs in by_level.values())
    assert sorted(by_level) == list(range(len(by_level)))
    assert height(dots, 2.0) == 2.0 * len(by_level)


def test_both_faces_show_the_same_places() -> None:
    """Across by the same scale, up by the same levels."""
    days = [FIRST + dt.timedelta(days=at) for at in (0, 2, 2, 2, 3)]
    dots = placed([(day, "2020") for day in days], dt.date.toordinal, 1.0)
    on_page = circles(f"<svg>{svg_dots(dots, 100.0, 10.0, radius=4.0)}</svg>")
    ax = Figure().add_subplot()
    ax.set(xlim=(FIRST.toordinal() - 1, FIRST.toordinal() + 4), ylim=(0, 1))
    draw_dots(ax, dots, 0.5, 10.0, size=5.0)
    foot = ax.transData.transform((0, 0.5))[1]
    for (_, y, _), line, dot in zip(on_page, ax.lines, dots, strict=True):
        assert line.get_xdata()[0] == dot.x == dot.day.toordinal()
        ((_, up),) = line.get_transform().transform(np.column_stack(line.get_data()))
        levels = (up - foot) * 72 / ax.figure.dpi / 10.0
        assert levels == pytest.approx(dot.level, rel=0, abs=1e-9)
        assert y == pytest.approx(100.0 - 10.0 * (levels + 0.5), rel=0, abs=0.05)


def test_hollow_ones_stand_at_both_ends() -> None:
    ax = Figure().add_subplot()
    draw_year_dots(ax, [FIRST + dt.timedelta(days=at) for at in range(12)], inner=1)
    fills = [line.get_markerfacecolor() == "white" for line in ax.lines]
    assert fills == [True, *[False] * 10, True]


@given(st.lists(st.integers(0, 27), min_size=1, max_size=80), st.sampled_from([34.0, 62.0]))
def test_an_axis_of_weeks_holds_its_dots(ahead: list[int], tallest: float) -> None:
    """Each within its own day's width and inside the drawing."""
    years = [
        YearDot(str(1900 + at), FIRST + dt.timedelta(days=day), float(day), 0.0)
        for at, day in enumerate(ahead)
    ]
    axis = SharedAxis.of_weeks(FIRST, 4, FIRST, [[("", years)]], tallest=tallest)
    drawing = axis.row([("", years)], "a strip", FIRST)
    width, tall = map(float, ElementTree.fromstring(drawing).get("viewBox", "").split()[2:])
    day = axis.middle(FIRST + dt.timedelta(days=1)) - axis.middle(FIRST)
    found = circles(drawing)
    assert len(found) == len(years)
    for x, y, year in found:
        on = years[int(year) - 1900].day
        assert on is not None
        assert abs(x - axis.middle(on)) <= day / 2 + 0.05
        assert 0 < x < width
        assert 0 < y < tall
    assert isinstance(drawing, svg.Svg)
