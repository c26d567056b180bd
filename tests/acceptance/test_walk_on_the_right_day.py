"""The same walk on four days of June and July: dots, then the day it came; never a bar."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pandas as pd
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlook_of
from gddcast.outlook.ensemble import PLAIN_GRAFT
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.statuses import status_of
from gddcast.units import celsius, celsius_days
from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, SINE, Way
from tests.acceptance.terminal import (
    WHOLE,
    flat,
    programs,
    run,
    setting,
    stage_of,
    year_dots,
)

START = dt.date(2026, 1, 1)
DAYS = [dt.date(2026, 6, day) for day in (11, 17, 27)] + [dt.date(2026, 7, 2)]
#: What each word of a status stands under in the walk.
HEADINGS = {"coming up": "COMING UP", "look now": "LOOK NOW", "overdue": "LOOK NOW"}


def moths(today: dt.date) -> dict:
    """The borer's first moths in the walk of a day."""
    return stage_of(programs("walk", "--on", str(today)), "moths")


def check(days: pd.DataFrame, way: Way, today: dt.date, status: str) -> None:
    """Walk and second opinion say the same dates, the same day reached, the same word."""
    item, heat = moths(today), way.heat(days)
    reached = second_opinion.day_of(heat[: str(today - second_opinion.DAY)], START, 1000.0)
    end = item["sum_reached"]["high_end"]
    so_far = second_opinion.between(heat, START, today - second_opinion.DAY)
    assert end["heat"]["value"] == pytest.approx(so_far, abs=0.06)  # one decimal is printed
    assert end["reached"] == (str(reached) if reached else None)
    dots = {}
    if reached is None:
        ours = second_opinion.full_outlook(days, way, 1000.0, START, today)
        dots = ours.dots
        assert year_dots(item) == dots
        spans = {each["share"]: (each["first"], each["last"]) for each in end["spans"]}
        assert spans == {share: tuple(map(str, ends)) for share, ends in ours.spans.items()}
        assert second_opinion.may_start(dots) in item["says"]
    else:
        when = second_opinion.weekday(reached)
        assert f"The sum of 1,000 °F-days was reached on {when}" in item["says"]
    assert item["status"] == second_opinion.status(dots, dots, today, reached) == status


@pytest.mark.parametrize(
    ("today", "status"),
    list(zip(DAYS, ["coming up", "coming up", "look now", "overdue"], strict=True)),
)
def test_by_the_card_s_method_and_the_full_outlook(
    book: Path, days: pd.DataFrame, today: dt.date, status: str
) -> None:
    """Floor the mean: reached on 25 June, so that 17 June is six days before the fastest year."""
    check(days, CARD, today, status)


@pytest.mark.parametrize(
    ("today", "status"),
    list(zip(DAYS, ["coming up", "look now", "look now", "overdue"], strict=True)),
)
def test_by_the_single_sine_a_book_may_ask_for(
    book: Path, days: pd.DataFrame, today: dt.date, status: str
) -> None:
    setting(book, 'shape = "card"', 'shape = "single-sine"')
    check(days, SINE, today, status)
    assert "Your own method stands in for the cards’" in run("walk", "--on", str(today)).stdout


@pytest.mark.parametrize(
    ("today", "fastest", "slowest", "status"),
    [
        (DAYS[0], (6, 18), (6, 26), "coming up"),
        (DAYS[1], (6, 20), (6, 24), "look now"),
        (DAYS[2], (6, 23), (6, 23), "look now"),
        (DAYS[3], (6, 23), (6, 23), "overdue"),
    ],
)
def test_by_the_plain_graft_the_dates_first_printed(
    days: pd.DataFrame, today: dt.date, fastest: tuple[int, int], slowest: tuple[int, int],
    status: str,
) -> None:  # fmt: skip
    """Single sine, past years unchanged: the figures the worked example was printed with."""
    series = read_temperatures(WHOLE).series
    one = outlook_of(
        series, Counting(celsius(50.0)), celsius_days(1000.0),
        start=START, today=today, steps=PLAIN_GRAFT,
    )  # fmt: skip
    assert (one.fastest, one.slowest) == (dt.date(2026, *fastest), dt.date(2026, *slowest))
    assert status_of(one, one, today, lead_days=3).word == status
    if one.reached is None:
        ours = second_opinion.plain_graft(days, SINE, 1000.0, START, today)
        assert {int(dot.season): dot.day for dot in one.dots} == ours
    else:
        assert one.reached == second_opinion.day_of(SINE.heat(days), START, 1000.0)


@pytest.mark.parametrize("today", DAYS, ids=str)
def test_each_says_where_how_many_looks_and_how_many_years(book: Path, today: dt.date) -> None:
    run("saw", "none", "--on", "2026-06-09")
    run("saw", "none", "squash-vine-borer", "--on", "2026-06-10")
    short = flat(run("walk", "--on", str(today)).stdout)
    assert re.search(r"quash vine borer.{2,40}first moths", short)
    assert re.search("any day|sum reached on|OVERDUE, due on|Come back on", short)
    text = run("walk", "--full", "--on", str(today)).stdout
    item = moths(today)
    under = text.split(f"{HEADINGS[item['status']]}\n")[1].split("\n\n")[0]
    assert "Squash vine borer: first moths" in under
    assert "stem bases and leaf stalks near the ground" in flat(under)
    assert "2 clean looks this season; last look Wed 10 June" in flat(under)
    assert item["clean_looks"] == 2
    # The count stands in the sentence of the dates; doubt about a start is no bar.
    assert re.search(r"past years’ weather .*; \d+ of 12 give|was reached on", item["says"])
    assert not re.search(r"[▀-▟━─=#]{2,}", text)


def test_what_is_measured_from_that_day_on_is_hidden(book: Path) -> None:
    """The book holds weather to 31 August; a book that ends on 10 June says the same."""
    full = programs("walk", "--on", "2026-06-11")
    assert full["weather"]["last_day"] == "2026-06-10"
    kept = [row for row in WHOLE.read_text().splitlines(keepends=True)
            if row < "2026-06-11" or row.startswith("date")]  # fmt: skip
    Path("short.csv").write_text("".join(kept))
    run("setup", "--book", "short", "--name", "Larkhollow Patch", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    setting(Path("short"), "watch = []", 'watch = ["squash-vine-borer"]')
    run("weather", "add", "short.csv", "--book", "short", "--on", "2026-06-11")
    short = programs("walk", "--book", "short", "--on", "2026-06-11")
    assert short.pop("made")
    assert full.pop("made")
    assert short == full
