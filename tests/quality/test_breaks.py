"""Stuck runs, copies, units and precision, on real stations and planted faults."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.quality import breaks
from gddcast.quality.breaks import Run
from gddcast.units import celsius, fahrenheit
from tests.real_records import champion, clean_stations, clemson, cordoba, sample


def readings_of(series) -> np.ndarray:
    return np.stack([series.tmin, series.tmax])


def test_five_equal_readings_are_a_streak_and_four_are_not() -> None:
    high = np.array([20.0, 21, 21, 21, 21, 22, 23, 23, 23, 23, 23, 24])
    low = np.arange(12.0)
    assert breaks.streaks(np.stack([low, high])) == [Run(1, 6, 11)]


def test_a_missing_day_ends_a_streak() -> None:
    high = np.array([21.0, 21, 21, np.nan, 21, 21, 21])
    assert breaks.streaks(np.stack([np.arange(7.0), high])) == []


def test_the_stuck_maximum_of_the_sample() -> None:
    """Planted: 88 °F on 20–29 May 2026."""
    series = sample("farm_two_ponds_stuck_f")
    assert breaks.streaks(readings_of(series)) == [
        Run(1, series.index(dt.date(2026, 5, 20)), series.index(dt.date(2026, 5, 30)))
    ]


def test_a_month_pasted_twice() -> None:
    series = champion()
    readings = readings_of(series)
    begin, later = (series.index(dt.date(year, 6, 1)) for year in (1995, 2003))
    readings[:, later : later + 30] = readings[:, begin : begin + 30]
    assert breaks.repeated_months(readings, series.dates) == [(begin, later)]


def test_a_year_pasted_twice() -> None:
    series = champion()
    readings = readings_of(series)
    begin, later = (series.index(dt.date(year, 1, 1)) for year in (1995, 2003))
    readings[:, later : later + 365] = readings[:, begin : begin + 365]
    assert breaks.repeated_years(readings, series.dates) == [(begin, later)]


@pytest.mark.parametrize("name", ["Champion 1986-2018", "Córdoba 1991-2021", "Seattle 2012-2015"])
def test_clean_stations_repeat_nothing_and_keep_their_unit(name: str) -> None:
    series = clean_stations()[name]
    readings = readings_of(series)
    assert not breaks.repeated_months(readings, series.dates)
    assert not breaks.repeated_years(readings, series.dates)
    for unit in ("F", "C"):
        assert breaks.unit_break(readings, unit, series.dates) is None
    assert breaks.precision_break(readings, series.dates) is None


def test_the_unit_change_of_the_sample() -> None:
    """Planted: °C from 20 May 2026 in a file of °F."""
    series = sample("16_units_change_midfile")
    found = breaks.unit_break(readings_of(series), "F", series.dates)
    assert found is not None
    assert (series.date(found.day), found.later_is) == (dt.date(2026, 5, 20), "C")


@pytest.mark.parametrize(
    ("read_as", "wrong", "later"),
    [("F", celsius, "C"), ("C", fahrenheit, "F")],
    ids=["°C among °F", "°F among °C"],
)
def test_a_planted_change_of_unit_is_dated_to_the_day(read_as, wrong, later) -> None:
    series = cordoba()
    readings = readings_of(series)
    day = series.index(dt.date(2004, 11, 12))
    readings[:, day:] = wrong(readings[:, day:])
    found = breaks.unit_break(readings, read_as, series.dates)
    assert found is not None
    assert (found.day, found.later_is) == (day, later)


def test_champion_s_whole_degrees_stop_in_1986() -> None:
    """The station's own record: whole °F to 1985, tenths and less from 1986 on."""
    series = champion(1982)
    found = breaks.precision_break(readings_of(series), series.dates)
    assert found is not None
    day, unit, stops = found
    assert (series.date(day), unit, stops) == (dt.date(1986, 1, 1), "F", True)


def test_eyes_that_round_to_five() -> None:
    series = clemson()
    readings = readings_of(series)
    assert breaks.share_of_fives(readings, "F") == pytest.approx(0.22, abs=0.03)
    rounded = celsius(np.round(fahrenheit(readings) / 5.0) * 5.0)
    assert breaks.share_of_fives(rounded, "F") == 1.0


def test_sun_from_this_spring_on() -> None:
    """The sample of a sensor in the sun, laid over this spring of the same invented place."""
    whole, sunny = sample("larkhollow_2014_2026_f"), sample("13_sensor_in_sun")
    latest = whole.index(dt.date(2026, 1, 1))
    assert breaks.wide_range(readings_of(whole), whole.dates, latest) is None
    readings = readings_of(whole)
    at = whole.index(sunny.first)
    readings[1, at : at + len(sunny)] = sunny.tmax
    found = breaks.wide_range(readings, whole.dates, latest)
    assert found is not None
    assert found.end == len(whole)
    assert found.excess == pytest.approx(9.0 / 1.8, abs=1.0)  # planted: about 9 °F


def test_a_clean_year_is_called_sunny_less_than_twice_in_a_century() -> None:
    """Each year of three stations in turn as the latest one: a dry spell looks like sun."""
    alarms, years = [], 0
    for series in (champion(), cordoba(), clemson()):
        readings = readings_of(series)
        for season in list(series.seasons())[5:]:
            end = series.index(season.last) + 1
            part = readings[:, :end], series.dates[:end]
            years += 1
            if breaks.wide_range(*part, series.index(season.first)) is not None:
                alarms.append(season.name)
    assert years == 140
    assert len(alarms) <= 2, alarms
