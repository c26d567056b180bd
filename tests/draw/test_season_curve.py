"""The season drawn: the library's sums, rings on the days goals were reached, nothing as a bar."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from gddcast.draw.season_curve import draw_season
from gddcast.draw.season_takeaway import season_takeaway
from gddcast.heat.counting import Counting
from gddcast.outlook.seasons import SeasonCurves, season_curves
from gddcast.units import from_celsius_days
from gddcast.weather.series import season_of
from tests.draw.looks import (
    colours,
    contrast,
    laid_out,
    marks,
    meetings,
    text_colours,
    without_colour,
    words_of,
)
from tests.draw.records import RECORDS, known, today_of

COUNTING = Counting(10.0)
GOAL = 1000 / 1.8


def curves_of(name: str, goal: float | None = None) -> SeasonCurves:
    return season_curves(known(name), COUNTING, season_of(today_of(name)), goal=goal)


def by_hand(name: str, year: int) -> np.ndarray:
    """Running °F-days of a year, cut to what is known, summed apart from the library's seasons."""
    series = known(name)
    own = series.dates.astype("datetime64[Y]").astype(int) + 1970 == year
    return 1.8 * np.cumsum(COUNTING.daily(series)[own])


def drawn(name: str, goal: float | None = None) -> tuple[SeasonCurves, Axes]:
    curves = curves_of(name, goal)
    ax = Figure().add_subplot()
    draw_season(ax, curves, "F", goals=() if goal is None else (goal,))
    return curves, ax


def test_lines_are_the_running_sums() -> None:
    """Every past season to its end, this one to yesterday; one line a season, two named again."""
    curves, ax = drawn("12 years")
    lines = {line.get_label(): line for line in ax.lines}
    for year in range(2014, 2027):
        heat = lines[str(year)].get_ydata()
        np.testing.assert_allclose(heat, by_hand("12 years", year), rtol=0, atol=1e-9)
    ends = {year: by_hand("12 years", year)[-1] for year in range(2014, 2026)}
    assert curves.fastest is not None
    assert curves.slowest is not None
    assert int(curves.fastest.season.name) == max(ends, key=ends.__getitem__)
    assert int(curves.slowest.season.name) == min(ends, key=ends.__getitem__)
    texts = [text.get_text() for text in ax.texts]
    assert f"{curves.fastest.season.name}\nfastest" in texts
    assert f"{curves.slowest.season.name}\nslowest" in texts


def test_a_day_after_february_stands_where_it_stands_in_leap_years() -> None:
    _, ax = drawn("12 years")
    lines = {line.get_label(): line for line in ax.lines}
    common, leap = lines["2023"].get_xdata(), lines["2024"].get_xdata()
    assert common[58] == leap[58] == 59  # 28 February ends
    assert common[59] == leap[60] == 61  # 1 March ends


def test_one_ring_a_past_year_on_the_day_it_got_there_and_no_bar() -> None:
    curves, ax = drawn("12 years", GOAL)
    rings = [(x, y) for mark, x, y, _ in marks(ax) if mark == "o"]
    assert len(rings) == len(curves.past) == 12
    days = []
    for year in range(2014, 2026):
        day = int(np.argmax(by_hand("12 years", year) >= 1000 - 1e-9))
        date = dt.date(year, 1, 1) + dt.timedelta(days=day)
        days.append((dt.date(2024, date.month, date.day) - dt.date(2024, 1, 1)).days + 1)
    assert sorted(x for x, _ in rings) == sorted(days)
    assert {round(y, 6) for _, y in rings} == {1000.0}
    assert not ax.patches
    assert not ax.collections


def test_both_ends_of_a_range_are_drawn() -> None:
    curves = curves_of("12 years", 300.0)
    ax = Figure().add_subplot()
    draw_season(ax, curves, "C", goals=(245.0, 300.0))
    rings = [y for mark, _, y, _ in marks(ax) if mark == "o"]
    assert sorted(set(rings)) == [245.0, 300.0]
    assert len(rings) == 24
    said = season_takeaway(curves, "C", goals=(245.0, 300.0), what="")
    assert "245 to 300 °C-days" in said


def test_named_lines_are_told_apart_without_colour() -> None:
    """The season, the fastest, the slowest and the rest differ by dash, width or mark."""
    curves, ax = drawn("12 years")
    lines = {line.get_label(): line for line in ax.lines}
    assert curves.fastest is not None
    assert curves.slowest is not None
    last = [
        line for line in ax.lines
        if line.get_label() in (curves.fastest.season.name, curves.slowest.season.name)
    ][-2:]  # fmt: skip
    looks = {without_colour(each) for each in (lines["2026"], *last, lines["2017"])}
    assert len(looks) == 4
    assert all(contrast(each) >= 3.0 for each in colours(ax))
    assert text_colours(ax) <= {"#000000", "#0072b2"}


def test_the_takeaway_counts() -> None:
    said = season_takeaway(curves_of("12 years", GOAL), "F", goals=[GOAL], what="First moths")
    assert said == (
        "First moths: 2026 has 757 of 1,000 °F-days by 10 June. "
        "12 of 12 past years reached it between 15 June and 9 July."
    )
    late = season_takeaway(curves_of("late", GOAL), "F", goals=[GOAL], what="")
    assert late.startswith("2026 reached 1,000 °F-days on 23 June. 12 of 12 past years")
    never = season_takeaway(curves_of("3 years", 9000.0), "F", goals=[9000.0], what="")
    assert never.endswith("None of 3 past years reached it.")


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("goal", [None, 200.0])
@pytest.mark.parametrize("name", RECORDS)
def test_no_words_meet(name: str, goal: float | None, width: int) -> None:
    """Three years or 36, a column or a poster."""
    curves = curves_of(name, goal)
    goals = () if goal is None else (goal,)
    room = max((width - 45) // 13, 2)
    fig = laid_out(
        lambda fig: draw_season(fig.add_subplot(), curves, "F", goals=goals, room=room), width
    )
    assert meetings(fig) == []


def test_it_can_be_seen_that_words_meet() -> None:
    """The check itself: two names on one spot."""

    def badly(fig: Figure) -> None:
        ax = fig.add_subplot()
        for words, at in (("one", 0.1), ("another", 0.1), ("far out", 0.98)):
            ax.text(at, at, words).set_in_layout(False)

    fig = laid_out(badly, 90)
    assert "'one' and 'another' meet" in meetings(fig)
    assert "'far out' leaves the picture" in meetings(fig)
    assert {"one", "another"} <= {text for text, _ in words_of(fig)}


def test_shown_in_celsius_it_is_the_same_season() -> None:
    curves = curves_of("12 years")
    ax = Figure().add_subplot()
    draw_season(ax, curves, "C")
    current = curves.current
    assert current is not None
    line = next(line for line in ax.lines if line.get_label() == "2026")
    np.testing.assert_allclose(
        from_celsius_days(line.get_ydata()[-1], "F"), by_hand("12 years", 2026)[-1],
        rtol=0, atol=1e-9,
    )  # fmt: skip
    assert ax.get_ylabel() == "°C-days"
