"""Seasons beside each other; one's own finds beside the printed sum, which nothing changes."""

from __future__ import annotations

import datetime as dt
import itertools
import math
import shutil
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm

from tests.acceptance import second_opinion
from tests.acceptance.second_opinion import CARD, DAY, SINE, Way
from tests.acceptance.terminal import BORER, SAMPLES, flat, programs, refused, run, setting

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


def shared(brackets: list[Bracket]) -> Bracket | None:
    """What lies in all of them."""
    low, high = max(low for low, _ in brackets), min(high for _, high in brackets)
    return (low, high) if low < high else None


def likely(brackets: list[Bracket]) -> tuple[np.ndarray, np.ndarray]:
    """Log-likelihood of a normal sum known only to lie in brackets, for a grid of its mean.

    The best spread for each mean, of a grid that reaches from a tenth of a degree-day on.
    """
    means = np.arange(850.0, 1250.0, 0.5)
    spreads = np.geomspace(0.1, 300.0, 250)[:, None]
    total = np.zeros((spreads.size, means.size))
    for low, high in brackets:
        inside = norm.cdf((high - means) / spreads) - norm.cdf((low - means) / spreads)
        total += np.log(np.maximum(inside, 1e-300))
    return means, total.max(axis=0)


def fit(brackets: list[Bracket]) -> tuple[float, float, float]:
    """Mean and 95 % profile interval; the middle of what they share, where they share any."""
    means, total = likely(brackets)
    inside = means[total > total.max() - 3.841 / 2]  # half the 95th percentile of chi-square, 1 df
    both = shared(brackets)
    mean = sum(both) / 2 if both else means[total.argmax()]
    return mean, inside[0], inside[-1]


def off(days: pd.DataFrame, way: Way, seasons: list[int]) -> list[int]:
    """Days by which each season's bracket is missed by the fit on the others."""
    missed = []
    for season in seasons:
        others = [bracket(days, way, each) for each in seasons if each != season]
        day = second_opinion.day_of(way.heat(days), dt.date(season, 1, 1), fit(others)[0])
        clean, seen = FINDS.loc[season, "last_clean_look"], FINDS.loc[season, "first_seen"]
        early, late = (day - clean.date()).days - 1, (day - seen.date()).days
        missed.append(early if early < 0 else max(late, 0))
    return missed


@pytest.mark.parametrize("way", [CARD, SINE], ids=lambda way: way.method)
def test_four_brackets_their_fit_and_how_it_would_have_done(
    four: Path, days: pd.DataFrame, way: Way
) -> None:
    if way is SINE:
        by_sine(four)
    seasons = list(FINDS.index)
    told = programs(*TUNE)
    ours = [bracket(days, way, season) for season in seasons]
    np.testing.assert_allclose([each["heat"] for each in told["brackets"]], ours, rtol=0, atol=0.06)
    lags = [
        (FINDS.loc[season, "first_seen"].date()
         - second_opinion.day_of(way.heat(days), dt.date(season, 1, 1), 1000.0)).days
        for season in seasons
    ]  # fmt: skip
    assert [each["lag_days"] for each in told["brackets"]] == lags
    both = shared(ours)
    assert (told["shared"] is None) == (both is None)
    if both:
        np.testing.assert_allclose(told["shared"], both, rtol=0, atol=0.06)
    found = [told["fit"][name] for name in ("mean", "low", "high")]
    np.testing.assert_allclose(found, fit(ours), rtol=0, atol=1.0)
    assert told["leave_one_out_days"] == off(days, way, seasons)


def test_by_the_sine_they_share_1058_to_1064_and_nothing_changes(four: Path) -> None:
    """The figures the worked example was printed with."""
    by_sine(four)
    before = programs("walk", *ON)
    text = run(*TUNE).stdout
    for heat in ("1,058 – 1,099", "1,054 – 1,118", "1,049 – 1,127", "1,017 – 1,064"):
        assert heat in text
    assert "All 4 brackets share 1,058–1,064." in text
    assert "Your finds trail it by 2–5 days." in text
    assert "4 seasons: nothing has been changed." in text
    after = programs("walk", *ON)
    assert {**before, "made": ""} == {**after, "made": ""}
    run(*TUNE, "--keep", "1061")
    # Rounded to ten, the interval outwards: more digits would promise too much.
    run("export", "out")
    (kept,) = pd.read_csv("out/own_goal.csv").to_dict("records")
    ours = [kept[name] * 1.8 for name in ("goal_c_days", "low_c_days", "high_c_days")]
    np.testing.assert_allclose(ours, [1060, 1050, 1080], rtol=0, atol=1e-6)
    goal = programs("walk", *ON)["items"][0]["sum_reached"]["high_end"]["goal"]["value"]
    assert goal == pytest.approx(1060.0, abs=0.05)
    run("undo", *ON)
    assert {**programs("walk", *ON), "made": ""} == {**before, "made": ""}


def test_by_the_card_s_own_method_no_number_fits_all(four: Path, days: pd.DataFrame) -> None:
    assert shared([bracket(days, CARD, season) for season in FINDS.index]) is None
    assert "No single number fits all." in run(*TUNE).stdout


def test_a_fifth_season_that_contradicts_is_named(four: Path, days: pd.DataFrame) -> None:
    by_sine(four)
    saw(dt.date(2021, 6, 12), dt.date(2021, 6, 10))
    heat = SINE.heat(days)
    fifth = tuple(
        second_opinion.between(heat, dt.date(2021, 1, 1), dt.date(2021, 6, day)) for day in (10, 12)
    )
    four = [bracket(days, SINE, season) for season in FINDS.index]
    assert shared([*four, fifth]) is None
    assert shared(four) is not None
    # Of all five, only without 2021 do the others share anything.
    without = [shared([*each, fifth]) for each in itertools.combinations(four, 3)]
    assert without == [None] * 4
    assert "No single number fits all: 2021 stands apart." in run(*TUNE).stdout
    told = programs(*TUNE)
    assert (told["shared"], told["stands_apart"]) == (None, "2021")


def test_two_seasons_are_too_few(book: Path) -> None:
    by_sine(book)
    log(2022)
    log(2023)
    text = run(*TUNE).stdout
    assert "2 seasons with a clean look before the find: too few to change anything" in flat(text)
    assert "--keep" not in text
    assert "too few seasons" in refused(*TUNE, "--keep", "1061")
    assert programs(*TUNE)["kept"] is None


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
        assert row["reached"] == [str(reached) if reached else None]
    by_heat = sorted(evenings, key=evenings.__getitem__, reverse=True)
    assert {year: row["rank"] for year, row in rows.items()} == {
        year: place for place, year in enumerate(by_heat, start=1)
    }
    said = run("seasons", "--pest", BORER, *ON).stdout
    assert "23–24 June" in said  # seen 24 June 2022, none on the 22nd
    assert f"{ahead(heat, evenings[2026])} days ahead of the middle past season" in said


def ahead(heat: pd.Series, now: float) -> int:
    """Days from the evening of 10 June to the middle past year's day of as much heat."""
    came = [second_opinion.day_of(heat[: f"{y}-12-31"], dt.date(y, 1, 1), now)
            for y in range(2014, 2026)]  # fmt: skip
    numbers = sorted((day - dt.date(day.year, 1, 1)).days for day in came)
    middle = (numbers[5] + numbers[6]) / 2
    return math.floor(middle + 0.5) - (dt.date(2026, 6, 10) - dt.date(2026, 1, 1)).days
