"""Day length against printed tables, an almanac library and the turning of the year."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import replace
from pathlib import Path

import astral
import astral.sun
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.cards.model import DayLength
from gddcast.errors import ArgumentRefusal
from gddcast.scouting.day_length import (
    DEFINITIONS,
    SUNRISE_TO_SUNSET,
    day_length,
    first_short_day,
    no_more_broods,
)

PUBLISHED = Path(__file__).parents[1] / "published" / "day_length.csv"

# Largest difference between CBM and an almanac, minutes, by latitude: the error of the formula,
# not of our arithmetic. It counts whole days of the year, so it is worst in the years after a
# leap year.
CBM_ERROR = {0: 0.3, 20: 1.8, 30: 2.7, 40: 3.9, 50: 5.4, 60: 7.8}

YEAR = {"first": dt.date(2026, 1, 1), "last": dt.date(2026, 12, 31)}


def rows() -> list[dict[str, str]]:
    lines = [line for line in PUBLISHED.read_text("utf-8").splitlines() if line[:1] != "#"]
    return list(csv.DictReader(lines))


def printed_hours(printed: str) -> tuple[float, float]:
    """A printed day length and half a unit of its last digit. [h]"""
    hours, colon, minutes = printed.partition(":")
    if colon:
        return float(hours) + float(minutes) / 60.0, 0.5 / 60.0
    return float(printed), 0.5 * 10.0 ** -len(printed.partition(".")[2])


def formula_error(latitude: float) -> float:
    """What CBM itself is off by at a latitude. [h]"""
    return float(np.interp(abs(latitude), list(CBM_ERROR), list(CBM_ERROR.values()))) / 60.0


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['place']} {row['day_of_year']}")
def test_agrees_with_print(row: dict[str, str]) -> None:
    latitude = float(row["latitude"])
    printed, rounding = printed_hours(row["printed"])

    ours = day_length(int(row["day_of_year"]), latitude, float(row["definition"]))

    np.testing.assert_allclose(ours, printed, rtol=0, atol=rounding + formula_error(latitude))


def test_the_definition_is_part_of_the_number() -> None:
    """The Decorah table fits one definition; sunrise to sunset misses every row of it."""
    table = [row for row in rows() if row["source"] == "luther"]
    printed = np.array([printed_hours(row["printed"])[0] for row in table])
    days = [int(row["day_of_year"]) for row in table]
    edge = DEFINITIONS["sun's upper edge on the horizon"]

    assert np.all(np.abs(day_length(days, 43.30, edge) - printed) < 2.0 / 60.0)
    assert np.all(day_length(days, 43.30, SUNRISE_TO_SUNSET) - printed > 4.0 / 60.0)


@pytest.mark.parametrize("latitude", [*CBM_ERROR, -30, -50])
@pytest.mark.parametrize("year", [2024, 2025])  # the best and the worst of a leap-year cycle
def test_agrees_with_an_almanac_within_the_error_of_the_formula(latitude: int, year: int) -> None:
    """Sunrise and sunset of astral (NOAA equations), every fifth day."""
    dates = [dt.date(year, 1, 1) + dt.timedelta(days=i) for i in range(0, 365, 5)]
    almanac = [_almanac_hours(day, latitude, SUNRISE_TO_SUNSET) for day in dates]

    ours = day_length([day.timetuple().tm_yday for day in dates], latitude)

    np.testing.assert_allclose(ours, almanac, rtol=0, atol=formula_error(latitude))


@pytest.mark.parametrize(
    ("latitude", "least", "most"),
    [(0, -0.25, 0.18), (20, -0.83, 1.16), (30, -1.38, 1.74), (40, -2.05, 2.45), (60, -4.42, 4.96)],
)
def test_error_of_the_formula_in_2023(latitude: int, least: float, most: float) -> None:
    """CBM less NREL's solar position algorithm, minutes, computed elsewhere for the whole year."""
    dates = [dt.date(2023, 1, 1) + dt.timedelta(days=i) for i in range(365)]
    almanac = [_almanac_hours(day, latitude, SUNRISE_TO_SUNSET) for day in dates]
    error = (day_length(np.arange(1, 366), latitude) - almanac) * 60.0

    np.testing.assert_allclose([error.min(), error.max()], [least, most], rtol=0, atol=0.03)


def test_civil_twilight_agrees_with_an_almanac() -> None:
    day = dt.date(2026, 8, 10)
    ours = day_length(day.timetuple().tm_yday, 43.3, DEFINITIONS["civil twilight"])
    np.testing.assert_allclose(ours, _almanac_hours(day, 43.3, 6.0), rtol=0, atol=4.0 / 60.0)


def _almanac_hours(day: dt.date, latitude: float, depression: float) -> float:
    observer = astral.Observer(latitude, 0.0)
    # Refraction is in the depression already: astral would bend the light a second time.
    up, down = (
        astral.sun.time_of_transit(observer, day, 90.0 + depression, direction, False)
        for direction in (astral.SunDirection.RISING, astral.SunDirection.SETTING)
    )
    return ((down - up).total_seconds() / 3600.0) % 24.0


@given(st.integers(1, 365), st.floats(-90.0, 90.0), st.floats(0.0, 18.0))
@settings(deadline=None, derandomize=True)
def test_a_day_has_between_0_and_24_hours_and_twilight_adds_to_it(
    day: int, latitude: float, definition: float
) -> None:
    narrow = day_length(day, latitude, 0.0)
    assert 0.0 <= narrow <= day_length(day, latitude, definition) <= 24.0


@given(st.integers(1, 365), st.floats(0.0, 90.0))
@settings(deadline=None, derandomize=True)
def test_day_here_is_night_on_the_other_side(day: int, latitude: float) -> None:
    """With the sun's centre on the horizon, 40° N by day is 40° S by night."""
    north, south = day_length(day, [latitude, -latitude], definition=0.0)
    np.testing.assert_allclose(north + south, 24.0, rtol=0, atol=1e-6)


def test_polar_days_and_nights() -> None:
    np.testing.assert_array_equal(day_length([172, 355], 75.0), [24.0, 0.0])
    np.testing.assert_array_equal(day_length([172, 355], -75.0), [0.0, 24.0])
    np.testing.assert_array_equal(day_length([172, 355], [[90.0], [-90.0]]), [[24, 0], [0, 24]])


@pytest.mark.parametrize("latitude", [90.5, -122.4, np.nan, [40.0, np.nan]])
def test_refuses_what_is_no_latitude(latitude: float | list[float]) -> None:
    with pytest.raises(ArgumentRefusal, match=r"beyond a pole or is unknown.*\n.*\n.*swapped"):
        day_length(172, latitude)


def test_short_days_begin_when_an_almanac_says_within_two_days() -> None:
    """The last day of 14 hours, looked up in astral instead of in CBM."""
    ours = first_short_day(14.0, latitude=43.3, **YEAR)
    july = [dt.date(2026, 7, 1) + dt.timedelta(days=i) for i in range(90)]
    theirs = next(day for day in july if _almanac_hours(day, 43.3, SUNRISE_TO_SUNSET) < 14.0)

    assert ours is not None
    assert abs((ours - theirs).days) <= 2


def test_days_growing_in_spring_are_not_yet_short_days() -> None:
    """1 January is far shorter than 14 hours, and no reason to expect no brood all year."""
    found = first_short_day(14.0, latitude=43.3, **YEAR)
    assert found is not None
    assert found.month == 8


@pytest.mark.parametrize(
    ("first", "last"),
    [
        (dt.date(2025, 7, 1), dt.date(2026, 6, 30)),  # a southern season
        (dt.date(2026, 1, 1), dt.date(2026, 12, 31)),  # a calendar year that begins in summer
    ],
)
def test_south_of_the_equator_short_days_come_half_a_year_later(
    first: dt.date, last: dt.date
) -> None:
    found = first_short_day(14.0, latitude=-43.3, first=first, last=last)
    assert found is not None
    assert dt.date(2026, 2, 5) < found < dt.date(2026, 2, 20)


def test_the_day_found_is_the_first_shorter_one() -> None:
    found = first_short_day(13.0, latitude=50.0, **YEAR)
    assert found is not None
    eve, day = day_length([found.timetuple().tm_yday - 1, found.timetuple().tm_yday], 50.0)
    assert day < 13.0 <= eve


def test_a_season_that_begins_with_the_first_short_day() -> None:
    found = first_short_day(14.0, latitude=43.3, **YEAR)
    assert found is not None
    assert first_short_day(14.0, latitude=43.3, first=found, last=YEAR["last"]) == found


def test_a_season_that_ends_with_the_first_short_day() -> None:
    found = first_short_day(14.0, latitude=43.3, **YEAR)
    assert found is not None
    assert first_short_day(14.0, latitude=43.3, first=YEAR["first"], last=found) == found
    eve = found - dt.timedelta(days=1)
    assert first_short_day(14.0, latitude=43.3, first=YEAR["first"], last=eve) is None


def test_a_day_of_just_the_critical_length_is_long_enough() -> None:
    hours = float(day_length(215, 43.3))
    found = first_short_day(hours, latitude=43.3, **YEAR)
    assert found is not None
    assert found.timetuple().tm_yday == 216


def test_never_long_enough_is_short_from_the_first_day_and_never_short_is_none() -> None:
    assert first_short_day(13.0, latitude=0.0, **YEAR) == YEAR["first"]
    assert first_short_day(11.0, latitude=0.0, **YEAR) is None
    assert first_short_day(24.0, latitude=75.0, **YEAR) is not None  # the polar day ends


def test_a_card_s_rule_keeps_both_ends_of_its_range_and_its_definition() -> None:
    sunrise = DayLength("adults rest", (14.25, 14.5), "made up", "common practice", "nowhere")
    begins, ends = no_more_broods(sunrise, latitude=39.2, **YEAR)
    assert begins is not None
    assert ends is not None
    assert begins < ends

    twilight = DayLength(
        "adults rest", (14.5, 14.5), "made up", "common practice", "nowhere", definition=6.0
    )
    later, same = no_more_broods(twilight, latitude=39.2, **YEAR)
    assert later == same
    assert later is not None
    assert later > ends + dt.timedelta(days=14)


def test_a_day_of_no_stated_definition_dates_nothing() -> None:
    """Civil twilight and sunrise differ by an hour: 15.8 hours of either is another day."""
    told = DayLength("stop", (15.8, 15.8), "made up", "seen", "one place", definition=None)
    first, last = dt.date(2026, 1, 1), dt.date(2026, 12, 31)
    assert no_more_broods(told, latitude=45.0, first=first, last=last) == (None, None)
    stated = replace(told, definition=SUNRISE_TO_SUNSET)
    assert no_more_broods(stated, latitude=45.0, first=first, last=last) == (first, first)
