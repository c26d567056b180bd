"""Frosts by walking the file's nights, and the days most years were through."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.crops.frost import SpringFrosts, first_frost, last_frost, midsummer, spring_frosts
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import DailySeries, Place, Season
from tests.sine_by_hand import fahrenheit_days

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)


@pytest.fixture(scope="module")
def larkhollow() -> DailySeries:
    return read_temperatures(FILE).series


@pytest.mark.parametrize("at", [24.0, 32.0, 36.0])
def test_first_and_last_frost_by_walking_the_nights(larkhollow: DailySeries, at: float) -> None:
    nights = {day: low for day, (low, _) in fahrenheit_days(FILE).items()}
    for year in range(2014, 2026):
        season = Season(dt.date(year, 1, 1), dt.date(year, 12, 31))
        cold = [day for day, low in nights.items() if day.year == year and low <= at]
        celsius = (at - 32) / 1.8
        assert last_frost(larkhollow, season, celsius) == max(day for day in cold if day.month <= 6)
        assert first_frost(larkhollow, season, celsius) == min(day for day in cold if day.month > 6)


def test_the_day_ten_of_twelve_years_were_through(larkhollow: DailySeries) -> None:
    frosts = spring_frosts(larkhollow, TODAY)
    season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    assert (len(frosts.last), frosts.most) == (12, 10)
    by = frosts.over_in(season, frosts.most)
    assert by is not None
    nights = {day: low for day, (low, _) in fahrenheit_days(FILE).items()}

    def later(year: int, from_day: dt.date) -> bool:
        start, end = from_day.replace(year=year), dt.date(year, 7, 1)
        return any(low <= 32 for day, low in nights.items() if start < day <= end)

    day_before = by - dt.timedelta(days=1)
    over = sum(not later(year, by) for year in range(2014, 2026))
    assert frosts.through(season, by) == over >= 10
    assert sum(not later(year, day_before) for year in range(2014, 2026)) < 10


def test_unknown_nights_hide_a_frost_only_where_they_could_be_it(larkhollow: DailySeries) -> None:
    low = larkhollow.tmin.copy()
    low[larkhollow.index(dt.date(2018, 6, 20))] = np.nan  # might have been the last frost
    low[larkhollow.index(dt.date(2019, 1, 5))] = np.nan  # later nights were cold anyway
    frosts = spring_frosts(replace(larkhollow, tmin=low, origin=None), TODAY)
    assert frosts.left_out == ("2018",)
    assert len(frosts.last) == 11


def test_a_place_without_frost_and_the_south() -> None:
    days = 3 * 365 + 1
    warm = np.full(days, 12.0)
    south = Place("south", -38.0, season_begins=(7, 1))
    series = DailySeries(dt.date(2023, 7, 1), warm, warm + 8, place=south)
    season = Season(dt.date(2025, 7, 1), dt.date(2026, 6, 30))
    none = spring_frosts(series, dt.date(2026, 3, 1))
    assert [day for _, day in none.last] == [None, None]
    assert none.over_in(season, none.most) is None
    assert midsummer(season) == dt.date(2025, 12, 30)
    low = warm.copy()
    for day in (dt.date(2023, 9, 25), dt.date(2024, 10, 4), dt.date(2025, 4, 28)):
        low[(day - series.first).days] = -1.0
    frosty = spring_frosts(replace(series, tmin=low), dt.date(2026, 3, 1))
    assert frosty.over_in(season, 1) == dt.date(2025, 9, 25)
    assert frosty.over_in(season, 2) == dt.date(2025, 10, 4)


@pytest.mark.parametrize(("years", "most"), [(1, 1), (5, 5), (6, 5), (7, 6), (11, 10), (12, 10)])
def test_five_of_six_years_are_rounded_up(years: int, most: int) -> None:
    season = Season(dt.date(2025, 1, 1), dt.date(2025, 12, 31))
    assert SpringFrosts(((season, None),) * years, ()).most == most
