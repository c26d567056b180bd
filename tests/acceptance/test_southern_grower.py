"""A season that runs from July to June: named for both years, nothing falls on 31 December.

The weather is Larkhollow's, 181 days later, so that its midsummer lies at Christmas.
"""

from __future__ import annotations

import datetime as dt
import itertools
import shutil
from pathlib import Path

import pandas as pd
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, DAY, SINE, Year
from tests.acceptance.terminal import (
    BORER,
    SAMPLES,
    flat,
    programs,
    run,
    setting,
    stage_of,
    year_dots,
)

BEGINS = (7, 1)
SETUP = ("setup", "--book", "south", "--name", "South Patch", "--at", "-38,145", "--timezone",
         "Australia/Melbourne", "--show", "F", "--no-input")  # fmt: skip


@pytest.fixture(scope="module")
def weather(days: pd.DataFrame) -> pd.DataFrame:
    """Thirteen southern years. [°F]"""
    return days.set_axis(days.index + pd.Timedelta(days=181))


@pytest.fixture(scope="module")
def _made(weather: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its book, made once."""
    folder = tmp_path_factory.mktemp("south")
    table = weather.rename(columns={"high": "max_f", "low": "min_f"})
    table.rename_axis("date").to_csv(folder / "south.csv")
    book = str(folder / "south")
    made = run("setup", "--book", book, *SETUP[3:]).stdout
    assert "Seasons begin on 1 July here" in made
    setting(folder / "south", "watch = []", f'watch = ["{BORER}"]')
    run("weather", "add", str(folder / "south.csv"), "--book", book, "--on", "2027-03-01")
    return folder / "south"


@pytest.fixture
def south(here: Path, _made: Path) -> Path:
    """The southern book, the only one in this folder."""
    shutil.copytree(_made, here / "south")
    return here / "south"


def moths(today: dt.date) -> dict:
    """The borer's first moths, be they ever so far off."""
    return stage_of(programs("ahead", "--on", str(today)), "moths")


@pytest.mark.parametrize(
    "today",
    [dt.date(2025, 7, 1), dt.date(2025, 10, 20), dt.date(2025, 12, 31), dt.date(2026, 1, 1),
     dt.date(2026, 1, 20), dt.date(2026, 3, 1), dt.date(2026, 6, 30), dt.date(2026, 7, 1)],
    ids=str,
)  # fmt: skip
def test_through_a_whole_season_the_sum_goes_on_and_starts_over_on_1_july(
    south: Path, weather: pd.DataFrame, today: dt.date
) -> None:
    season, heat = second_opinion.season_around(today, BEGINS), CARD.heat(weather)
    end = moths(today)["sum_reached"]["high_end"]
    so_far = second_opinion.between(heat, season.first, today - DAY)
    assert end["heat"]["value"] == pytest.approx(so_far, abs=0.06)
    reached = second_opinion.day_of(heat[: str(today - DAY)], season.first, 1000.0)
    assert end["reached"] == (str(reached) if reached else None)
    if today in (dt.date(2025, 12, 31), dt.date(2026, 1, 1)):
        assert so_far > 900  # half a summer, not the first day of another
    if today.month == 7:
        assert so_far == 0.0
        assert len(end["year_dots"]) == today.year - 2014


@pytest.mark.parametrize("today", [dt.date(2026, 12, 9), dt.date(2026, 8, 15)], ids=str)
def test_the_outlook_crosses_the_new_year_to_the_day(
    south: Path, weather: pd.DataFrame, today: dt.date
) -> None:
    start = dt.date(2026, 7, 1)
    ours = second_opinion.full_outlook(weather, CARD, 1000.0, start, today, BEGINS)
    item = moths(today)
    assert year_dots(item) == ours.dots
    spans = {each["share"]: (each["first"], each["last"])
             for each in item["sum_reached"]["high_end"]["spans"]}  # fmt: skip
    assert spans == {share: tuple(map(str, ends)) for share, ends in ours.spans.items()}
    assert any(day > dt.date(2026, 12, 31) for day in ours.dots.values()) or today.month == 12
    (start_used,) = (each for each in item["stand_ins"] if each["field"] == "starts_from")
    assert start_used["used"] == "1 July"


def test_seasons_stand_by_season_on_their_own_days(south: Path, weather: pd.DataFrame) -> None:
    on = ("--on", "2026-12-09")
    table = programs("seasons", "--pest", BORER, *on)
    names = [f"{year}/{(year + 1) % 100:02d}" for year in range(2014, 2027)]
    assert [row["season"] for row in table["seasons"]] == names
    heat = CARD.heat(weather[: str(dt.date(2026, 12, 8))])
    for row in table["seasons"]:
        season = Year(dt.date(int(row["season"][:4]), 7, 1))
        assert list(row["sums"]) == ["11-01", "12-01", "01-01", "02-01"]
        for morning, told in row["sums"].items():
            day = season.same(dt.date.fromisoformat(f"2024-{morning}"))
            if day > dt.date(2026, 12, 9):
                assert told is None
            else:
                ours = second_opinion.between(heat, season.first, day - DAY)
                assert told == pytest.approx(ours, abs=0.001)
        reached = second_opinion.day_of(heat[: str(season.last)], season.first, 1000.0)
        assert row["reached"] == [str(reached) if reached else None]
    text = run("seasons", "--pest", BORER, *on).stdout
    assert "June" not in text
    assert "1 January  1 February" in text  # the earlier ones where there is room


def test_the_last_sowing_comes_before_the_frosts_of_april_and_may(
    south: Path, weather: pd.DataFrame
) -> None:
    season = Year(dt.date(2026, 7, 1))
    pasts = second_opinion.past_seasons(weather, season)
    frosts = [second_opinion.first_autumn_frost(weather, past) for past in pasts]
    assert {frost.month for frost in frosts} <= {3, 4, 5}
    tried = [(1, 6), (1, 20), (2, 3), (2, 10), (2, 17)]
    sown = [word for month, day in tried for word in ("--sown", f"{month:02d}-{day:02d}")]
    rows = programs("sow", "last", "--crop", "cucumber", "--heat", "1003F", *sown, "--on",
                    "2026-12-09")["sown_by"]  # fmt: skip
    ours = [second_opinion.last_sowing(weather, SINE, 1003.0, each, 21, season) for each in tried]
    assert [(row["fits"], row["years"]) for row in rows] == ours
    assert ours[0][0] == 12 > ours[-1][0]


def test_the_last_frost_of_spring_lies_in_october(south: Path, weather: pd.DataFrame) -> None:
    told = programs("sow", "first", "--on", "2026-09-01")
    for row in told["last_frosts"]:
        first = dt.date(int(row["season"][:4]), 7, 1)
        nights = weather.loc[str(first) : str(first + 182 * DAY), "low"]
        cold = nights[nights <= 32.0]
        assert row["day"] == str(cold.index[-1].date())
        assert cold.index[-1].month in (9, 10, 11)


def test_a_find_and_a_sowing_over_the_new_year(south: Path, weather: pd.DataFrame) -> None:
    """The bracket, the clock, the sowing's name and its age all cross it."""
    on = ("--on", "2027-01-06")
    said = flat(run("saw", BORER, "moths", "--seen", "2027-01-05", "--clean", "2026-12-30",
                    *on).stdout)  # fmt: skip
    assert "began 31 December 2026 – 5 January 2027 (clean look 30 December)" in said
    today, ends = (
        dt.date(2027, 1, 6),
        ((245.0, dt.date(2026, 12, 31)), (300.0, dt.date(2027, 1, 6))),
    )
    early, late = (
        second_opinion.full_outlook(weather, CARD, goal, start, today, BEGINS).dots
        for goal, start in ends
    )
    hatch = stage_of(programs("walk", *on), "egg-hatch")
    assert (year_dots(hatch, "low_end"), year_dots(hatch)) == (early, late)
    run("did", "sown", "cucumber", "--done", "2026-12-01", *on)
    picked = flat(run("did", "first-pick", "cucumber", "--done", "2027-01-20", "--on",
                      "2027-01-26").stdout)  # fmt: skip
    assert "cucumber 2026/27-1 first pick" in picked
    # Two to three weeks on; as in Larkhollow's August, half a year away, too few are in time.
    assert "3–10 February is too late for a next one" in picked
    ages = {
        each["name"]: each["age_days"] for each in programs("walk", "--on", "2027-01-26")["sowings"]
    }
    assert ages == {"cucumber 2026/27-1": 56}


def test_one_southern_season_in_a_bare_file(here: Path) -> None:
    """The sample: twelve months from July, named for both of its years."""
    file = str(SAMPLES / "23_southern_season.csv")
    text = run("seasons", file, "--at", "-38,176", "--on", "2026-06-15").stdout
    assert "2025/26" in text
    assert "1 November  1 December  1 January  1 February" in text
    rows = programs("heat", file, "--at", "-38,176", "--lower", "10C", "--on", "2026-06-15")["days"]
    days = second_opinion.read(Path(file), high="max_c", low="min_c")
    ours = second_opinion.Way("single sine", 10.0).heat(days[:"2026-06-15"]).cumsum()
    assert [rows[0]["date"], rows[-1]["date"]] == ["2025-07-01", "2026-06-15"]
    assert [row["sum"] for row in rows] == pytest.approx(list(ours), abs=0.001)
    assert all(late["sum"] >= early["sum"] for early, late in itertools.pairwise(rows))
    # Nobody said where it hangs: the record's own warm January does.
    said = run("seasons", file, "--on", "2026-06-15")
    assert "warmest around January, so its seasons begin on 1 July" in said.stderr
