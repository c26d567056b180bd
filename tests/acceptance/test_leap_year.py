"""29 February on record, as today, as a sowing day; years beside each other by month and day.

The weather is Larkhollow's, 730 days later: 2016, 2020, 2024 and 2028 have their leap day.
"""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import icalendar
import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, DAY, Way
from tests.acceptance.terminal import BORER, flat, programs, run, setting, stage_of, year_dots

LEAP = dt.date(2028, 2, 29)
ABOVE_32 = Way("single sine", 32.0)


@pytest.fixture(scope="module")
def weather(days: pd.DataFrame) -> pd.DataFrame:
    """2016 to August 2028. [°F]"""
    return days.set_axis(days.index + pd.Timedelta(days=730))


@pytest.fixture(scope="module")
def _made(weather: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its book, made once."""
    folder = tmp_path_factory.mktemp("leap")
    table = weather.rename(columns={"high": "max_f", "low": "min_f"})
    table.rename_axis("date").to_csv(folder / "leap.csv")
    book = ("--book", str(folder / "leap"))
    run("setup", *book, "--name", "Leap Patch", "--at", "41.2,-89.4", "--timezone",
        "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    setting(folder / "leap", "watch = []", f'watch = ["{BORER}"]')
    said = run("weather", "add", str(folder / "leap.csv"), *book, "--on", "2028-09-01").stdout
    assert "Past seasons that can be used: 12 (2016–2027)" in said
    assert "absent" not in said
    return folder / "leap"


@pytest.fixture
def leap(here: Path, _made: Path) -> Path:
    """The book, the only one in this folder."""
    shutil.copytree(_made, here / "leap")
    return here / "leap"


@pytest.mark.parametrize("today", [LEAP, LEAP + DAY], ids=str)
def test_the_outlook_of_a_leap_day(leap: Path, weather: pd.DataFrame, today: dt.date) -> None:
    """A common year lends its 28 February for the 29th."""
    start = dt.date(2028, 1, 1)
    item = stage_of(programs("ahead", "--on", str(today)), "moths")
    ours = second_opinion.full_outlook(weather, CARD, 1000.0, start, today)
    assert year_dots(item) == ours.dots
    spans = {each["share"]: (each["first"], each["last"])
             for each in item["sum_reached"]["high_end"]["spans"]}  # fmt: skip
    assert spans == {share: tuple(map(str, ends)) for share, ends in ours.spans.items()}


@pytest.mark.parametrize("today", [LEAP, LEAP + DAY, dt.date(2027, 3, 1)], ids=str)
def test_years_are_ranked_by_month_and_day(
    leap: Path, weather: pd.DataFrame, today: dt.date
) -> None:
    """On the evening of 29 February a common year stands at its 28th; never a day number apart."""
    table = programs("seasons", "--lower", "32F", "--on", str(today))
    evening = today - DAY
    assert table["ranked_on"] == str(evening)
    heat = ABOVE_32.heat(weather)
    ours = {}
    for row in table["seasons"]:
        year = second_opinion.Year(dt.date(int(row["season"]), 1, 1))
        ours[row["season"]] = second_opinion.between(heat, year.first, year.same(evening))
        assert row["through"] == pytest.approx(ours[row["season"]], abs=0.001)
        may = dt.date(year.first.year, 5, 1)
        told = row["sums"]["05-01"]
        if may > today:
            assert told is None
        else:
            assert told == pytest.approx(
                second_opinion.between(heat, year.first, may - DAY), abs=0.001
            )
    by_heat = sorted(ours.values(), reverse=True)
    assert [row["rank"] for row in table["seasons"]] == [
        1 + by_heat.index(ours[row["season"]]) for row in table["seasons"]
    ]


def test_the_leap_day_s_own_heat_counts_in_its_year_alone(
    leap: Path, weather: pd.DataFrame
) -> None:
    for year, there in ((2027, False), (2028, True)):
        words = ("--from", f"{year}-02-27", "--to", f"{year}-03-02", "--lower", "32F")
        file = str(leap.parent / "leap.csv")
        table = weather.rename(columns={"high": "max_f", "low": "min_f"}).rename_axis("date")
        table.to_csv(file)
        told = programs("heat", file, *words, "--on", "2028-09-01")["days"]
        ours = ABOVE_32.heat(weather.loc[f"{year}-02-27" : f"{year}-03-02"])
        assert len(told) == 4 + there
        assert (f"{year}-02-29" in [day["date"] for day in told]) is there
        assert told[-1]["sum"] == pytest.approx(ours.sum(), abs=0.001)


def test_days_are_counted_over_the_leap_day(leap: Path) -> None:
    """Sown on the 20th, ten days old on 1 March; sown on the 29th, picked and sown again."""
    on = ("--on", "2028-03-01")
    run("did", "sown", "beet", "--done", "2028-02-20", *on)
    run("did", "sown", "summer-squash", "--done", "2028-02-29", *on)
    ages = {each["name"]: each["age_days"] for each in programs("walk", *on)["sowings"]}
    assert ages == {"beet 2028-1": 10, "summer-squash 2028-1": 1}
    plan = programs("sow", "plan", "--crop", "summer squash", *on)["sowings"][0]
    (pick,) = (each for each in plan["life"] if each["event"] == "first-pick")
    # 45 to 50 days from seed: common practice, no source.
    assert (pick["first"], pick["last"]) == ("2028-04-14", "2028-04-19")
    # Squash bugs are looked for from day 22 of each sowing: common practice, no source.
    setting(leap, f'watch = ["{BORER}"]', 'watch = ["squash-bug"]')
    for today, due in (("2028-03-21", False), ("2028-03-22", True)):
        assert ("● Squash bug" in run("walk", "--on", today).stdout) is due
    said = flat(run("saw", BORER, "moths", "--seen", "2028-03-01", "--clean", "2028-02-28",
                    "--elsewhere", "--yes", *on).stdout)  # fmt: skip
    assert "began 29 February – 1 March 2028 (clean look 28 February)" in said


def test_everything_is_said_on_the_leap_day_itself(leap: Path) -> None:
    on = ("--on", "2028-02-29")
    assert "Tue 29 February 2028 · weather through 28 February" in flat(run("walk", *on).stdout)
    run("weather", "note", "--high", "50", "--low", "30", "--done", "2028-02-29", *on)
    run("saw", "none", *on)
    run("report", *on, "-o", "report.html")
    assert "29 February 2028" in Path("report.html").read_text(encoding="utf-8")
    rows = programs("sow", "last", "--crop", "beet", "--sown", "02-29", *on)["sown_by"]
    assert rows[0]["years"] == 12  # a common year's 28th
    run("calendar", *on, "-o", "a.ics")
    calendar = icalendar.Calendar.from_ical(Path("a.ics").read_bytes())
    for event in calendar.events:
        assert event["DTEND"].dt - event["DTSTART"].dt == DAY
    assert "'2027-02-29' is not a day" in run("walk", "--on", "2027-02-29", code=2).stderr
