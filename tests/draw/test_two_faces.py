"""A page and a chart show one geometry: every place in the one is a place in the other, scaled."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.figure import Figure

from gddcast.draw.day_curve import day_picture, draw_day
from gddcast.draw.rates import draw_rates, rate_picture
from gddcast.draw.season_curve import draw_season, season_curve
from gddcast.draw.season_dots import draw_season_dots, season_dots
from gddcast.heat.counting import Counting
from gddcast.lessons.worked_day import Day
from gddcast.outlook.seasons import season_curves
from gddcast.rearing.curves import rate_curve
from gddcast.rearing.fit import Rearing, threshold_line
from gddcast.weather.series import season_of
from tests.draw.records import RECORDS, known, today_of


def lines_of(drawing: str, least: int) -> list[np.ndarray]:
    """Points of each line with so many of them."""
    found = []
    for each in ElementTree.fromstring(drawing).iter():
        if each.tag.endswith("polyline"):
            points = [point.split(",") for point in each.get("points", "").split()]
            if len(points) >= least:
                found.append(np.array(points, dtype=float))
    return found


def scaled(chart: np.ndarray, page: np.ndarray) -> np.ndarray:
    """Points of a chart as the page's two scales place them, fitted to both axes."""
    return np.column_stack([
        np.polyval(np.polyfit(chart[:, axis], page[:, axis], 1), chart[:, axis])
        for axis in (0, 1)
    ])  # fmt: skip


@pytest.mark.parametrize("name", RECORDS)
def test_seasons(name: str) -> None:
    curves = season_curves(known(name), Counting(10.0), season_of(today_of(name)))
    ax = Figure().add_subplot()
    draw_season(ax, curves, "F")
    page = lines_of(season_curve(curves, "F", "a"), 10)
    chart = [
        np.column_stack(line.get_data()) for line in ax.lines
        if line.get_marker() == "None" and len(line.get_xdata()) > 30
    ]  # fmt: skip
    assert len(page) == len(chart) >= 4
    chart = [np.vstack([each[:-1:3], each[-1]]) for each in chart]  # as thinned for a page
    np.testing.assert_allclose(
        scaled(np.vstack(chart), np.vstack(page)), np.vstack(page), rtol=0, atol=0.11
    )


@pytest.mark.parametrize("day", [Day(95, 70, 50, "F", upper=86), Day(20, 8, 10, "C", next_low=12)])
def test_a_day(day: Day) -> None:
    ax = Figure().add_subplot()
    draw_day(ax, day.low, day.high, day.lower, day.upper, unit=day.unit, next_low=day.next_low)
    (page,) = lines_of(day_picture(day), 100)
    hour, temperature = ax.lines[0].get_data()
    chart = np.column_stack([24 * np.linspace(0, 1, len(page)), np.nan * page[:, 0]])
    chart[:, 1] = np.interp(chart[:, 0], hour, temperature)
    np.testing.assert_allclose(scaled(chart, page), page, rtol=0, atol=0.11)


def test_jars() -> None:
    """Two jars at one temperature, of which nobody finished in one: the other stays on the line."""
    jars = Rearing([15, 15, 20, 25, 30, 35], [33.0, np.inf, 18.2, 12.5, 9.6, 12.0])
    line = threshold_line(jars)
    ax = Figure().add_subplot()
    draw_rates(ax, jars, line, rate_curve(jars))
    drawn = [each for each in ax.lines if each.get_marker() == "o"]
    chart = np.array([[each.get_xdata()[0], each.get_ydata()[0]] for each in drawn])
    root = ElementTree.fromstring(rate_picture(jars, line, rate_curve(jars)))
    circles = [each for each in root.iter() if each.tag.endswith("circle")]
    page = np.array([[float(each.get(at, "")) for at in ("cx", "cy")] for each in circles])
    np.testing.assert_allclose(scaled(chart, page), page, rtol=0, atol=0.06)
    hollow = [each.get("fill") == "#FFFFFF" for each in circles]
    assert hollow == [each.get_markerfacecolor() == "white" for each in drawn]
    assert hollow == [False] * 4 + [True] * 2


def test_season_dots() -> None:
    heats = [("2020", 300.0), ("2026", 250.0), ("2023", 180.0)]
    ax = draw_season_dots(Figure().add_subplot(), heats, "2026", "F")
    dots = [each for each in ax.lines if each.get_marker() == "o"]
    chart = np.array([[each.get_xdata()[0], each.get_ydata()[0]] for each in dots])
    root = ElementTree.fromstring(season_dots(heats, "2026", "a", "b", "F"))
    circles = [each for each in root.iter() if each.tag.endswith("circle")]
    page = np.array([[float(each.get(at, "")) for at in ("cx", "cy")] for each in circles])
    np.testing.assert_allclose(scaled(chart, page), page, rtol=0, atol=0.06)
    filled = [each.get_markerfacecolor() != "white" for each in dots]
    assert filled == [each.get("fill") == "#000000" for each in circles] == [False, True, False]
