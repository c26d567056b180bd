"""What a fault costs in days, by arithmetic a person can follow and on the invented garden."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.quality.consequence import yardstick
from gddcast.quality.verdict import judge
from gddcast.weather.series import DailySeries
from tests.real_records import champion, sample


def steady(days: int = 365) -> DailySeries:
    """15 to 25 °C every day of 2026: ten °C-days above 10 °C a day."""
    return DailySeries(dt.date(2026, 1, 1), np.full(days, 15.0), np.full(days, 25.0))


@pytest.mark.parametrize("missing", [1, 5, 14])
def test_days_counted_as_nothing_make_a_steady_year_late_by_their_number(missing: int) -> None:
    measure = yardstick(steady())
    effect = measure.effect(5, 5 + missing, np.full(missing, np.nan))
    assert effect is not None
    assert (effect.goal, effect.days) == (250.0, pytest.approx(missing))


def test_double_heat_brings_the_event_forward() -> None:
    effect = yardstick(steady()).effect(30, 34, np.full(4, 20.0))
    assert effect is not None
    # 250 is passed on day 25, so the next event is 500; four days count twice.
    assert (effect.goal, effect.days) == (500.0, pytest.approx(-4.0))


def test_the_next_event_is_asked_about_and_none_in_the_stubble_of_the_year() -> None:
    measure = yardstick(steady())
    assert measure.effect(345, 350, np.zeros(5)) is None


def test_a_sum_that_nine_tenths_of_a_season_do_not_reach_is_not_asked_about() -> None:
    """5.9 °C-days a day come to 2,154: 2,000 is more than nine tenths of it, and 1,500 passed."""
    cool = DailySeries(dt.date(2026, 1, 1), np.full(365, 10.9), np.full(365, 20.9))
    assert yardstick(cool).effect(300, 305, np.zeros(5)) is None
    warm = DailySeries(dt.date(2026, 1, 1), np.full(365, 11.2), np.full(365, 21.2))
    effect = yardstick(warm).effect(300, 305, np.zeros(5))
    assert effect is not None
    assert effect.goal == 2000.0


def test_a_season_that_ends_early_runs_on_as_it_was() -> None:
    measure = yardstick(steady(40))
    effect = measure.effect(35, 40, np.zeros(5))
    assert effect is not None
    assert (effect.goal, effect.days) == (500.0, pytest.approx(5.0))


def test_the_garden_s_two_lost_weeks_in_may_make_it_about_a_week_late() -> None:
    """Product rule of thumb: a fortnight missing in May is worth +2 to +10 days, mean 7."""
    series = sample("larkhollow_2014_2026_f")
    gap = np.arange(series.index(dt.date(2026, 5, 12)), series.index(dt.date(2026, 5, 26)))
    low, high = series.tmin.copy(), series.tmax.copy()
    low[gap], high[gap] = np.nan, np.nan
    (missing,) = judge(DailySeries(series.first, low, high, unit="F")).of("missing")
    assert missing.effect_days is not None
    assert 4.0 < missing.effect_days < 10.0
    assert missing.event == "the day of 450 °F-days above 50 °F"


def test_a_gap_s_effect_is_on_average_what_recounting_the_real_days_gives() -> None:
    """Against the days that were masked: fourteen from 25 May, in each of thirty years."""
    series = champion()
    whole = yardstick(series)  # knows the days
    told, truth = [], []
    for year in range(1987, 2017):
        begin = series.index(dt.date(year, 5, 25))
        low, high = series.tmin.copy(), series.tmax.copy()
        low[begin : begin + 14], high[begin : begin + 14] = np.nan, np.nan
        (missing,) = judge(DailySeries(series.first, low, high)).of("missing")
        effect = whole.effect(begin, begin + 14, np.zeros(14))
        assert effect is not None
        told.append(missing.effect_days)
        truth.append(effect.days)
    assert np.mean(told) == pytest.approx(np.mean(truth), abs=0.5)
    assert np.abs(np.subtract(told, truth)).mean() < 2.0
