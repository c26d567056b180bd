"""The interval of a share held: wide where seasons are few or differ, and true to its 95 %."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binomtest, bootstrap

from gddcast.skill.track_record import gain, share_interval


def test_many_seasons_of_one_forecast_give_wilson_s_interval() -> None:
    """Against SciPy's, from which Student's t no longer differs."""
    held = np.arange(4000) % 5 > 0
    low, high = share_interval(held, np.arange(4000))
    known = binomtest(3200, 4000).proportion_ci(method="wilson")
    assert (low, high) == pytest.approx((known.low, known.high), rel=0, abs=1e-4)


def test_forecasts_of_one_season_repeated_add_nothing() -> None:
    """Ten copies of every forecast are as uncertain as one."""
    held, season = np.array([1, 0, 1, 1, 0, 1, 1], dtype=bool), np.arange(7)
    once = share_interval(held, season)
    assert share_interval(np.repeat(held, 10), np.repeat(season, 10)) == pytest.approx(
        once, rel=0, abs=1e-12
    )


def test_seasons_that_all_agree_are_as_many_as_they_are() -> None:
    few = share_interval(np.ones(60, dtype=bool), np.repeat(np.arange(6), 10))
    many = share_interval(np.ones(600, dtype=bool), np.repeat(np.arange(60), 10))
    assert (few[1], many[1]) == pytest.approx((1.0, 1.0), rel=0, abs=1e-12)
    assert few[0] < 0.6 < 0.9 < many[0]


@pytest.mark.parametrize("seasons", [6, 20])
@pytest.mark.parametrize("share", [0.5, 0.8, 0.9])
def test_it_holds_the_true_share_about_as_often_as_it_says(seasons: int, share: float) -> None:
    """Forecasts of a season that go well or badly together, by drawing (beta-binomial)."""
    random = np.random.default_rng(11)
    hit = 0
    for _ in range(600):
        of_season = random.beta(3 * share, 3 * (1 - share), seasons)
        size = random.integers(2, 9, seasons)
        season = np.repeat(np.arange(seasons), size)
        held = random.random(season.size) < of_season[season]
        low, high = share_interval(held, season)
        hit += low <= share <= high
    assert 0.90 <= hit / 600 <= 1.0


@pytest.mark.parametrize("seasons", [5, 8, 20])
def test_the_gain_of_few_seasons_holds_the_truth_about_as_often_as_it_says(seasons: int) -> None:
    """Seasons that differ in weather, number of forecasts and gain, by drawing: truth 12 %.

    Plain quantiles of seasons drawn again hold it 83, 88 and 91 times in 100.
    """
    random = np.random.default_rng(5)
    hit = 0
    for _ in range(300):
        size = random.integers(2, 9, seasons)
        before = np.repeat(2.0 * np.exp(random.normal(0.0, 0.6, seasons)), size)
        after = before * (1.0 - np.repeat(random.normal(0.12, 0.15, seasons), size))
        _, low, high = gain(before, after, np.repeat(np.arange(seasons), size))
        hit += low <= 0.12 <= high
    assert 0.90 <= hit / 300 <= 0.98


def test_many_seasons_give_the_plain_interval() -> None:
    """Against SciPy's bootstrap, by percentiles."""
    random = np.random.default_rng(2)
    before = np.exp(random.normal(0.0, 0.6, 400))
    after = before * (1.0 - random.normal(0.12, 0.15, 400))
    _, low, high = gain(before, after, np.arange(400))
    known = bootstrap(
        (before, after), lambda b, a, axis: 1.0 - a.sum(axis) / b.sum(axis), paired=True,
        method="percentile", rng=np.random.default_rng(3), n_resamples=4000,
    ).confidence_interval  # fmt: skip
    assert (low, high) == pytest.approx((known.low, known.high), rel=0, abs=0.002)
