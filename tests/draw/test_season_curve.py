"""The season drawn: the library's sums, rings on the days goals were reached, nothing as a bar."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from gddcast.draw.season_curve import draw_season, season_curve
from gddcast.draw.season_takeaway import season_note, season_takeaway
from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlooks
from gddcast.outlook.seasons import SeasonCurves, season_curves, season_heats, standing
from gddcast.units import from_celsius_days
from gddcast.weather.series import Origin, season_of
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


def test_lines_are_the_running_sums_six_weeks_about_today() -> None:
    """To 42 days after the last known one; fastest and slowest had this season's heat so."""
    curves, ax = drawn("12 years")
    lines = {line.get_label(): line for line in ax.lines}
    first = (dt.date(2024, 6, 10) - dt.date(2024, 1, 1)).days + 1 - 42
    assert ax.get_xlim() == (first, first + 84)
    for year in range(2014, 2027):
        at = lines[str(year)].get_xdata()
        leap_day = 0 if year % 4 == 0 else 1  # common years leave its place empty
        own = by_hand("12 years", year)[at - 1 - leap_day]
        np.testing.assert_allclose(lines[str(year)].get_ydata(), own, rtol=0, atol=1e-9)
        assert at[0] == first
        assert at[-1] == (first + 42 if year == 2026 else first + 84)
    now = by_hand("12 years", 2026)[-1]
    when = {year: int(np.argmax(by_hand("12 years", year) >= now)) for year in range(2014, 2026)}
    assert curves.fastest is not None
    assert curves.slowest is not None
    assert when[int(curves.fastest.season.name)] == min(when.values())
    assert when[int(curves.slowest.season.name)] == max(when.values())
    texts = [text.get_text() for text in ax.texts]
    assert f"{curves.fastest.season.name}\nfastest" in texts
    assert f"{curves.slowest.season.name}\nslowest" in texts


def test_a_day_after_february_stands_where_it_stands_in_leap_years() -> None:
    march = season_curves(known("12 years").before(dt.date(2026, 3, 10)), COUNTING,
                          season_of(dt.date(2026, 3, 10)))  # fmt: skip
    ax = Figure().add_subplot()
    draw_season(ax, march, "F")
    lines = {line.get_label(): line for line in ax.lines}
    common, leap = lines["2023"].get_xdata().tolist(), lines["2024"].get_xdata().tolist()
    assert 60 in leap  # 29 February ends
    assert 60 not in common
    assert {59, 61} < set(common) & set(leap)


def test_the_days_ahead_are_drawn_as_days() -> None:
    """From this season's mark to a tick as far away as the takeaway says; a ring a past year."""
    curves = curves_of("12 years")
    stands = standing(known("12 years"), COUNTING, today_of("12 years"))
    assert stands is not None
    assert stands.days_ahead == 4
    ax = Figure().add_subplot()
    draw_season(ax, curves, "F", standing=stands)
    here = next((x, y) for mark, x, y, _ in marks(ax) if mark == "D")
    tick = next((x, y) for mark, x, y, _ in marks(ax) if mark == "|")
    assert tick == (here[0] + 4, here[1])
    assert "4 days ahead" in [text.get_text() for text in ax.texts]
    rings = sorted(x for mark, x, _, _ in marks(ax) if mark == "o")
    assert len(rings) == 12
    assert abs(np.median(rings) - tick[0]) <= 1  # a leap day's place
    assert 1 + sum(x <= here[0] for x in rings) == stands.rank == 4


def test_the_page_says_the_same_distance() -> None:
    curves = curves_of("12 years")
    stands = standing(known("12 years"), COUNTING, today_of("12 years"))
    assert "4 days ahead" in season_curve(curves, "F", "a", stands)
    assert "ahead" not in season_curve(curves, "F", "a")


def test_the_forecast_is_dotted_and_this_season_s_own_dates_are_dots() -> None:
    """Ten warm days foretold stand behind the known ones, in line and dates."""
    series, today = known("12 years"), today_of("12 years")
    warm = [30.0] * 10
    ahead = replace(
        series, tmin=np.append(series.tmin, [20.0] * 10), tmax=np.append(series.tmax, warm),
        origin=np.append(series.origin, [Origin.FORECAST] * 10),
    )  # fmt: skip
    own = season_of(today)
    foretold = next(each for each in season_heats(ahead, COUNTING) if each.season == own)
    curves = replace(curves_of("12 years", GOAL), forecast=foretold)
    outlook = outlooks(ahead, COUNTING, [GOAL], start=own.first, today=today)
    ax = Figure().add_subplot()
    draw_season(ax, curves, "F", goals=(GOAL,), ahead=outlook)
    (dotted,) = [line for line in ax.lines if line.get_linewidth() == 1.8]
    sums = by_hand("12 years", 2026)[-1] + 1.8 * 15.0 * np.arange(11)
    drawn_sums = dotted.get_ydata()
    np.testing.assert_allclose(drawn_sums, sums[: len(drawn_sums)], rtol=0, atol=1e-9)
    assert len(drawn_sums) > 5
    filled = [x for mark, x, _, line in marks(ax)
              if mark == "o" and line.get_markerfacecolor() != "white"]  # fmt: skip
    day_one = dt.date(2026, 1, 1)
    leap_day = 1  # after February, in a year without one
    days = [(day - day_one).days + leap_day + 1 for day in outlook[0].days]
    assert sorted(filled) == sorted(days)
    assert "Dotted" in season_note(curves, goals=(GOAL,), ahead=outlook)


def test_one_ring_a_past_year_on_the_day_it_got_there_and_no_bar() -> None:
    curves, ax = drawn("12 years", GOAL)
    rings = [(x, y) for mark, x, y, _ in marks(ax) if mark == "o"]
    assert len(rings) == len(curves.past) == 12  # and no other, where a goal is drawn
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
        "12 of 12 past years themselves reached it between 15 June and 9 July."
    )
    late = season_takeaway(curves_of("late", GOAL), "F", goals=[GOAL], what="")
    assert late.startswith("2026 reached 1,000 °F-days on 23 June. 12 of 12 past years themselves")
    never = season_takeaway(curves_of("3 years", 9000.0), "F", goals=[9000.0], what="")
    assert never.endswith("None of 3 past years reached it.")


@pytest.mark.parametrize("width", [80, 180])
@pytest.mark.parametrize("goal", [None, 200.0])
@pytest.mark.parametrize("name", RECORDS)
def test_no_words_meet(name: str, goal: float | None, width: int) -> None:
    """Three years or 36, a column or a poster."""
    curves, today = curves_of(name, goal), today_of(name)
    goals = () if goal is None else (goal,)
    stands = standing(known(name), COUNTING, today)
    first = season_of(today).first
    ahead = outlooks(known(name), COUNTING, goals, start=first, today=today) if goals else ()
    room = max((width - 45) // 25, 2)
    fig = laid_out(
        lambda fig: draw_season(
            fig.add_subplot(), curves, "F", goals=goals, standing=stands, ahead=ahead, room=room
        ),
        width, 95,
    )  # fmt: skip
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
