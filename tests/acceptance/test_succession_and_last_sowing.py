"""Three sowings of one's own, picked; the last day worth sowing, and what a sowing meets."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, SINE, Year
from tests.acceptance.terminal import flat, programs, run

SEASON = Year(dt.date(2026, 1, 1))
TRIED = ((7, 11), (7, 25), (8, 1), (8, 10))
ON = ("--on", "2026-06-11")
LAST = (
    "sow", "last", "--crop", "cucumber", "--picking-days", "21", *ON,
    *(word for month, day in TRIED for word in ("--sown", f"{month:02d}-{day:02d}")),
)  # fmt: skip
#: Sown and first picked: 965, 975 and 1,069 °F-days at Larkhollow by the sine, the days included.
OWN = (("2024-06-22", "2024-08-04"), ("2023-06-02", "2023-07-19"), ("2025-06-05", "2025-07-16"))


@pytest.fixture
def sown(book: Path) -> Path:
    """The book with the three sowings."""
    for first, picked in OWN:
        on = ("--on", f"{first[:4]}-12-01")
        run("did", "sown", "cucumber", "--done", first, *on)
        run("did", "first-pick", "cucumber", "--done", picked, *on)
    return book


def test_own_sowings_give_twelve_nine_eight_six(sown: Path, days: pd.DataFrame) -> None:
    heat = SINE.heat(days)
    own = [heat[first:picked].sum() for first, picked in OWN]
    assert [round(each) for each in own] == [965, 975, 1069]
    need = sum(own) / 3
    ours = [second_opinion.last_sowing(days, SINE, need, each, 21, SEASON) for each in TRIED]
    assert ours == [(12, 12), (9, 12), (8, 12), (6, 12)]
    rows = programs(*LAST)["sown_by"]
    assert [(row["fits"], row["years"]) for row in rows] == ours
    text = flat(run(*LAST).stdout)
    assert "cucumber: yours took 965–1,069 °F-days from seed to first pick" in text
    assert "(3 sowings; above 50 °F, single sine)" in text
    assert "1,003" in text
    assert "11 July 12 of 12 past years 25 July 9 of 12 1 August 8 of 12 10 August 6 of 12" in text


def test_the_next_sowing_comes_two_to_three_weeks_after_the_first_pick(sown: Path) -> None:
    on = ("--on", "2025-07-20")
    said = run(
        "did", "first-pick", "cucumber", "--done", "2025-07-16", "--on", "2025-12-01", code=3
    )
    assert "it is on record already" in said.stderr
    plan = flat(run("sow", "plan", "--crop", "cucumber", *on).stdout)
    # 16 July and 14, and 14 to 21 days: the book's own rules.
    assert "first pick 16 July, on record" in plan
    assert "side-dress 30 July" in plan
    # Two to three weeks on is 30 July – 6 August; own sowings were in time until 9 July.
    assert "sow the next too late for 21 days of picking before frost" in plan
    assert "Last sowing for 21 days of picking before the first 32 °F night: 9 July" in plan
    run("undo", "--on", "2025-12-01")
    run("did", "first-pick", "cucumber", "--done", "2025-06-20", "--on", "2025-12-01")
    early = flat(run("sow", "plan", "--crop", "cucumber", *on).stdout)
    assert "sow the next 4–11 July" in early


def test_without_own_sowings_the_calendar_speaks_and_says_so(book: Path) -> None:
    text = flat(run("sow", "last", "--crop", "summer squash", *ON).stdout)
    assert "45–50 days from seed to first pick by its card" in text
    assert "no own sowings on record" in text
    (row,) = programs("sow", "plan", "--crop", "summer squash", "--sown", "2026-05-20", *ON)[
        "sowings"
    ]
    (pick,) = (each for each in row["life"] if each["event"] == "first-pick")
    may = dt.date(2026, 5, 20)
    ends = [str(may + dt.timedelta(days)) for days in (45, 50)]  # common practice, no source
    assert [pick["first"], pick["last"]] == ends


def test_what_meets_small_plants_is_named(book: Path, days: pd.DataFrame) -> None:
    """The borer's moths, by the second opinion, while the plants are not in flower yet."""
    today = dt.date(2026, 5, 21)
    dots = second_opinion.full_outlook(days, CARD, 1000.0, SEASON.first, today).dots
    first, last = min(dots.values()), max(dots.values())
    words = ("sow", "plan", "--crop", "summer squash", "--sown", "2026-06-10", "--on", str(today))
    (row,) = programs(*words)["sowings"]
    (moths,) = (each for each in row["clashes"] if each["stage"] == "first moths")
    assert moths["span"] == [str(first), str(last)]
    # Small until the first flower, 35 days on at the earliest by its card (common practice).
    assert last < dt.date(2026, 6, 10) + dt.timedelta(35)
    assert "small plants" in moths["meets"]
    assert (
        f"squash vine borer: first moths any day {second_opinion.span(first, last)}"
        in flat(run(*words).stdout).partition("while small")[2].partition("in flower")[0]
    )
