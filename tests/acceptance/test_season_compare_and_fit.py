"""Seasons beside each other; one's own finds beside the printed sum, from the first one on."""

from __future__ import annotations

import datetime as dt
import math
import shutil
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import brentq
from scipy.stats import norm, truncnorm

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, DAY, SINE, Way
from tests.acceptance.terminal import BORER, SAMPLES, flat, programs, run, setting

FINDS = pd.read_csv(SAMPLES / "observed_first_adults.csv", index_col="season", parse_dates=[1, 2])
ON = ("--on", "2026-06-11")
TUNE = ("tune", BORER, "moths", *ON)
Bracket = tuple[float, float]


@pytest.fixture(scope="module")
def _logged(made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Larkhollow's book with the four finds in it, written once."""
    folder = tmp_path_factory.mktemp("logged") / "larkhollow-patch"
    shutil.copytree(made, folder)
    for season in FINDS.index:
        log(season, "--book", str(folder))
    return folder


@pytest.fixture
def four(book: Path, _logged: Path) -> Path:
    """The book with the four finds."""
    shutil.copy(_logged / "book.sqlite", book)
    return book


def log(season: int, *words: str) -> None:
    """Write the find of a season into the book, in the autumn after."""
    clean, seen = (FINDS.loc[season, name].date() for name in ("last_clean_look", "first_seen"))
    saw(seen, clean, *words)


def saw(seen: dt.date, clean: dt.date, *words: str) -> None:
    run("saw", BORER, "moths", "--seen", str(seen), "--clean", str(clean), "--on",
        f"{seen.year}-12-01", *words)  # fmt: skip


def by_sine(book: Path) -> None:
    """What an owner writes who asks for single sine."""
    setting(book, 'shape = "card"', 'shape = "single-sine"')


def bracket(days: pd.DataFrame, way: Way, season: int) -> Bracket:
    """Heat on the evenings of the clean look and of the find."""
    heat, new_year = way.heat(days), dt.date(season, 1, 1)
    ends = (FINDS.loc[season, name].date() for name in ("last_clean_look", "first_seen"))
    low, high = (second_opinion.between(heat, new_year, day) for day in ends)
    return low, high


def middle(brackets: list[Bracket], share: float = 0.5) -> float:
    """Sum that this share of seasons does not exceed: the model of own finds, counted out here.

    Log-normal mean about 1,000 (sd 0.4), log-normal relative spread (median 0.15, sd 0.6), normal
    seasons above 0, brackets interval-censored.
    """
    log_mean, log_r = np.meshgrid(np.linspace(-1.5, 1.5, 401), np.linspace(-1.5, 1.5, 61))
    mean, r = 1000.0 * np.exp(log_mean), 0.15 * np.exp(log_r)
    weight = norm.pdf(log_mean, 0.0, 0.4) * norm.pdf(log_r, 0.0, 0.6)
    season = truncnorm(-1.0 / r, np.inf, loc=mean, scale=r * mean)
    for low, high in brackets:
        weight = weight * (season.cdf(high) - season.cdf(low))

    def chance(heat: float) -> float:
        return float((weight * season.cdf(heat)).sum() / weight.sum())

    return float(brentq(lambda heat: chance(heat) - share, 300.0, 3000.0, xtol=0.05))


@pytest.mark.parametrize("way", [CARD, SINE], ids=lambda way: way.method)
def test_four_brackets_and_how_each_was_foretold_by_those_before(
    four: Path, days: pd.DataFrame, way: Way
) -> None:
    if way is SINE:
        by_sine(four)
    told, heat = programs(*TUNE), way.heat(days)
    ours = [bracket(days, way, season) for season in FINDS.index]
    np.testing.assert_allclose([each["heat"] for each in told["seasons"]], ours, rtol=0, atol=0.06)
    for place, (season, each) in enumerate(zip(FINDS.index, told["seasons"], strict=True)):
        known = middle(ours[: place + 1])
        assert each["after"]["middle"] == pytest.approx(known, rel=0, abs=2.0)
        clean, seen = (FINDS.loc[season, name].date() for name in ("last_clean_look", "first_seen"))
        goals = {"printed": 1000.0} | ({"finds": middle(ours[:place])} if place else {})
        for name, goal in goals.items():
            day = second_opinion.day_of(heat, dt.date(season, 1, 1), goal)
            if name == "finds" and place >= 3:  # drawn three tenths of the way to the mean date
                dates = FINDS.iloc[:place]
                middles = (
                    (dates["last_clean_look"] + DAY).dt.day_of_year,
                    dates["first_seen"].dt.day_of_year,
                )
                usual = sum(each.mean() for each in middles) / 2
                day += dt.timedelta(days=round(0.3 * (round(usual) - day.timetuple().tm_yday)))
            off = [(day - seen).days + more for more in range((seen - clean).days)]
            assert abs(each["off_days"][name]) == pytest.approx(np.abs(off).mean(), rel=0, abs=0.01)
    assert told["own"]["middle"] == told["seasons"][-1]["after"]["middle"]


def test_by_the_sine_the_sum_is_near_1061_and_undo_takes_a_find_back(four: Path) -> None:
    """The brackets the worked example was printed with; they share 1,058 to 1,064."""
    by_sine(four)
    text = run(*TUNE).stdout
    for heat in ("1,058–1,099", "1,054–1,118", "1,049–1,127", "1,017–1,064"):
        assert heat in text
    assert programs(*TUNE)["own"]["middle"] == pytest.approx(1061.0, rel=0, abs=15.0)
    walked = programs("walk", *ON)["items"][0]["sum_reached"]["high_end"]["goal"]["value"]
    assert walked == pytest.approx(programs(*TUNE)["own"]["middle"], abs=0.06)
    run("undo", *ON)
    assert len(programs(*TUNE)["seasons"]) == 3


def test_a_fifth_season_that_contradicts_is_named(four: Path) -> None:
    by_sine(four)
    assert programs(*TUNE)["odd"] is None
    saw(dt.date(2021, 6, 12), dt.date(2021, 6, 10))
    assert "2021 is the odd one" in flat(run(*TUNE).stdout)
    assert programs(*TUNE)["odd"] == "2021"


def test_the_first_bracket_counts(book: Path) -> None:
    by_sine(book)
    before = programs("walk", *ON)["items"][0]["look"]["from"]
    log(2022)
    assert "by your finds of 1 season first seen at" in flat(run(*TUNE).stdout)
    assert programs("walk", *ON)["items"][0]["look"]["from"] != before


@pytest.mark.parametrize("way", [CARD, SINE], ids=lambda way: way.method)
def test_the_table_of_seasons(four: Path, days: pd.DataFrame, way: Way) -> None:
    """Sums as each day begins, rank on one evening, the day of 1,000, and what was seen."""
    if way is SINE:
        by_sine(four)
    table = programs("seasons", "--pest", BORER, *ON)
    heat = way.heat(days[: str(dt.date(2026, 6, 10))])
    rows = {int(row["season"]): row for row in table["seasons"]}
    assert list(rows) == list(range(2014, 2027))
    evenings = {}
    for year, row in rows.items():
        new_year = dt.date(year, 1, 1)
        evenings[year] = second_opinion.between(heat, new_year, dt.date(year, 6, 10))
        for morning, told in row["sums"].items():
            day = dt.date.fromisoformat(f"{year}-{morning}")
            if day > dt.date(2026, 6, 11):
                assert told is None
            else:
                ours = second_opinion.between(heat, new_year, day - DAY)
                assert told == pytest.approx(ours, abs=0.001)
        reached = second_opinion.day_of(heat[: f"{year}-12-31"], new_year, 1000.0)
        assert row["reached"][0] == (str(reached) if reached else None)  # beside one's own sum
    by_heat = sorted(evenings, key=evenings.__getitem__, reverse=True)
    assert {year: row["rank"] for year, row in rows.items()} == {
        year: place for place, year in enumerate(by_heat, start=1)
    }
    said = run("seasons", "--pest", BORER, *ON).stdout
    assert "23–24 June" in said  # seen 24 June 2022, none on the 22nd
    assert f"{ahead(heat, evenings[2026])} days ahead of the middle past season" in " ".join(
        said.split()
    )


def ahead(heat: pd.Series, now: float) -> int:
    """Days from the evening of 10 June to the middle past year's day of as much heat."""
    came = [second_opinion.day_of(heat[: f"{y}-12-31"], dt.date(y, 1, 1), now)
            for y in range(2014, 2026)]  # fmt: skip
    numbers = sorted((day - dt.date(day.year, 1, 1)).days for day in came)
    middle = (numbers[5] + numbers[6]) / 2
    return math.floor(middle + 0.5) - (dt.date(2026, 6, 10) - dt.date(2026, 1, 1)).days
