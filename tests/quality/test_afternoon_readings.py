"""Afternoon readings told from the numbers, on hourly records read as an observer would.

Truth from outside: hourly air temperatures of New York's airports (2013) and Beijing (2010-2014),
read and reset at an hour of the day; NOAA's daily station at Clemson, whose observer read in the
afternoon at first. DeGaetano (1999): at afternoon stations rises of the maximum exceed its falls.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached
from gddcast.quality.afternoon_readings import afternoon_stretches, carried_over, fall_contrast
from gddcast.quality.verdict import judge
from gddcast.weather.series import DailySeries
from tests.real_records import clean_stations, clemson, hourly, read_at, sample


@pytest.mark.parametrize("name", clean_stations())
def test_whole_days_pass(name: str) -> None:
    assert afternoon_stretches(clean_stations()[name]) == []


@pytest.mark.parametrize(
    ("place", "hour"),
    [("Beijing", 16), ("Beijing", 17), ("Beijing", 18), ("EWR", 16), ("EWR", 17), ("JFK", 16)],
)
def test_hours_read_in_the_afternoon_are_found(place: str, hour: int) -> None:
    read = read_at(hourly(place), hour)
    assert afternoon_stretches(read) == [(0, len(read))]


@pytest.mark.parametrize("hour", [7, 8, 24])
def test_hours_read_in_the_morning_or_at_midnight_are_not(hour: int) -> None:
    assert afternoon_stretches(read_at(hourly("Beijing"), hour)) == []


def test_by_the_sea_a_year_is_too_short_to_tell() -> None:
    """Belcher & DeGaetano (2003): detection is least at the coast. LaGuardia lies in the water."""
    read = read_at(hourly("LGA"), 17)
    assert fall_contrast(read.tmax)[0] > fall_contrast(read_at(hourly("LGA"), 24).tmax)[0] + 0.05
    assert afternoon_stretches(read) == []


def test_no_single_year_of_a_clean_station_is_called_an_afternoon_s() -> None:
    """False alarms, year by year: none in over a hundred station-years."""
    years = 0
    for series in clean_stations().values():
        for year in range(series.first.year, series.last.year + 1):
            piece = series.between(dt.date(year, 1, 1), dt.date(year, 12, 31))
            if len(piece) >= 364:
                assert afternoon_stretches(piece) == [], f"{series.source} {year}"
                years += 1
    assert years >= 100


def test_clemson_read_in_the_afternoon_at_first() -> None:
    series = clemson()
    ((begin, end),) = afternoon_stretches(series)
    assert (series.date(begin).year, series.date(end - 1).year) == (1930, 1959)
    (found,) = judge(series).of("afternoon-readings")
    assert "--reading-hour" in found.cure
    assert found.effect_days is not None
    assert -9.0 < found.effect_days < -2.0


def test_what_it_does_to_a_date_is_told_about_right() -> None:
    """Beijing at 17 h: four seasons' days of three sums, against the same hours by whole days."""
    counting, goals = Counting(lower=10.0), np.array([250.0, 500.0, 1000.0])
    hours = hourly("Beijing")
    whole, read = (read_at(hours, hour) for hour in (24, 17))

    def days(series: DailySeries, year: int) -> np.ndarray:
        season = series.between(dt.date(year, 1, 2), dt.date(year, 12, 30))
        return day_reached(np.nancumsum(counting.daily(season)), goals)

    true = np.mean([days(read, year) - days(whole, year) for year in range(2010, 2015)])
    (found,) = judge(read).of("afternoon-readings")
    assert found.effect_days is not None
    assert -6.0 < true < -2.0
    assert 0.5 < found.effect_days / true < 2.0


def test_a_day_starts_at_the_warmth_of_the_evening_before() -> None:
    days = DailySeries(dt.date(2026, 5, 2), [10.0, 10.0, np.nan, 5.0], [30.0, 20.0, np.nan, 20.0])
    np.testing.assert_array_equal(carried_over(days, 0.25).tmax, [30.0, 25.0, np.nan, 20.0])


def test_a_spring_alone_is_too_short_to_tell() -> None:
    assert afternoon_stretches(sample("01_clean_iso_f")) == []
