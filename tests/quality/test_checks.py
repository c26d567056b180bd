"""Checks of single readings, against the limits of Durre et al. (2010) and real stations.

The limits are those of the table in the paper as far as remembered (spike 25 °C, lagged range
40 °C, gap 10 °C, six spreads, at least 100 values: from memory).
"""

from __future__ import annotations

import numpy as np
import pytest

from gddcast.quality.checks import (
    biweight,
    borne_out,
    bounds,
    day_of_year,
    in_order,
    lagged_range,
    month_gap,
    naught,
    outlier,
    spike,
    swapped,
)
from tests.real_records import clemson

DAYS = np.datetime64("2001-01-01", "D") + np.arange(3650)


def quiet(days: int = 3650) -> np.ndarray:
    """Ten plain years: a yearly course and a little weather, minima 10 °C under maxima."""
    weather = np.random.default_rng(7).normal(0.0, 2.0, days)
    high = 15.0 - 12.0 * np.cos(2 * np.pi * np.arange(days) / 365.25) + weather
    return np.stack([high - 10.0, high])


@pytest.mark.parametrize("check", in_order(), ids=lambda check: check.rule)
def test_a_quiet_record_passes(check) -> None:
    assert not check.find(quiet(), DAYS).any()


@pytest.mark.parametrize("check", in_order(), ids=lambda check: check.rule)
def test_the_unknown_never_fails(check) -> None:
    assert not check.find(np.full((2, 3650), np.nan), DAYS).any()
    assert not check.find(np.empty((2, 0)), DAYS[:0]).any()


@pytest.mark.parametrize(
    ("value", "fails"), [(57.7, False), (57.8, True), (-60.0, False), (-60.1, True)]
)
def test_bounds(value: float, fails: bool) -> None:
    readings = quiet()
    readings[1, 100] = value
    assert bool(bounds(readings, DAYS)[1, 100]) is fails
    assert bounds(readings, DAYS).sum() == fails


def test_a_maximum_below_its_minimum_condemns_both() -> None:
    readings = quiet()
    readings[:, 5] = readings[::-1, 5]
    assert np.argwhere(swapped(readings, DAYS)).tolist() == [[0, 5], [1, 5]]


@pytest.mark.parametrize("nought", [0.0, (0.0 - 32.0) / 1.8], ids=["0 °C", "0 °F"])
def test_two_noughts_are_a_blank_but_one_is_weather(nought: float) -> None:
    readings = quiet()
    readings[:, 8] = nought
    readings[0, 9] = nought
    assert np.flatnonzero(naught(readings, DAYS).any(axis=0)).tolist() == [8]


def test_an_icy_day_of_a_fahrenheit_file_is_weather() -> None:
    """32 and 32 °F: Clemson, moved by a day, has one on 30 January 2010."""
    readings = quiet()
    readings[:, 8] = 0.0
    assert not naught(readings, DAYS, unit="F").any()


@pytest.mark.parametrize(("jump", "fails"), [(24.9, False), (25.0, True)])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_spike_stands_off_both_neighbours(jump: float, fails: bool, sign: float) -> None:
    readings = np.stack([np.full(9, 5.0), np.full(9, 15.0)])
    readings[1, 4] += sign * jump
    assert bool(spike(readings, DAYS[:9])[1, 4]) is fails
    readings[1, 5] = readings[1, 4]  # two days of it: a spell, not a spike
    assert not spike(readings, DAYS[:9]).any()


@pytest.mark.parametrize(("apart", "fails"), [(39.9, False), (40.0, True)])
def test_a_reading_far_from_the_other_readings_around_it(apart: float, fails: bool) -> None:
    readings = np.stack([np.full(9, 5.0), np.full(9, 15.0)])
    readings[1, 4] = 5.0 + apart
    assert bool(lagged_range(readings, DAYS[:9])[1, 4]) is fails
    assert not lagged_range(readings, DAYS[:9])[0].any(), "the sane minimum is not to blame"


def test_a_reading_alone_in_its_month() -> None:
    readings = quiet()
    july = np.flatnonzero(DAYS.astype("datetime64[M]").astype(int) % 12 == 6)
    hottest = readings[1, july].max()
    readings[1, july[40]] = hottest + 9.9
    assert not month_gap(readings, DAYS).any()
    readings[1, july[40]] = hottest + 10.1
    assert np.argwhere(month_gap(readings, DAYS)).tolist() == [[1, july[40]]]


def test_six_spreads_from_the_usual() -> None:
    readings = quiet()
    at = 1000
    # The weather has a spread of 2 °C; fifteen days of the yearly course add a little.
    readings[1, at] = 15.0 - 12.0 * np.cos(2 * np.pi * at / 365.25) + 10.0
    assert not outlier(readings, DAYS).any()
    readings[1, at] += 5.0
    assert np.argwhere(outlier(readings, DAYS)).tolist() == [[1, at]]


@pytest.mark.parametrize(
    ("row", "away", "beside", "kept"),
    [
        (1, -16.0, 0.0, True),  # a cold maximum: rain
        (1, 16.0, 0.0, False),  # a hot one alone
        (1, 16.0, 9.0, True),  # a hot one beside a hot day
        (1, 16.0, -9.0, False),
        (0, 16.0, 0.0, True),  # a warm minimum: cloud
        (0, -16.0, 0.0, False),
    ],
)
def test_weather_explains_what_goes_towards_the_other_reading_or_stays_for_a_day(
    row: int, away: float, beside: float, kept: bool
) -> None:
    """Two spreads are 4 °C here: eight spreads away, and half of that on the day before."""
    readings = quiet()
    readings[row, 1000] += away
    readings[row, 999] += beside
    failed = outlier(readings, DAYS)
    assert failed[row, 1000]
    assert borne_out(readings, DAYS, failed)[row, 1000] == kept


def test_too_few_readings_condemn_nothing() -> None:
    readings = quiet(365 * 6)  # 6 years × 15 days: fewer than 100 values
    readings[1, 1000] += 20.0
    assert not outlier(readings, DAYS[: 365 * 6]).any()


def test_the_biweight_of_plain_weather_is_its_mean_and_spread() -> None:
    """Normal values: the mean, and 1 spread to within sampling (20,000 values: 0.7 %)."""
    values = np.random.default_rng(3).normal(4.0, 2.5, (1, 20_000))
    mean, spread = biweight(values)
    np.testing.assert_allclose(mean, 4.0, rtol=0, atol=0.06)
    np.testing.assert_allclose(spread, 2.5, rtol=0, atol=0.06)


def test_wild_values_do_not_move_the_biweight() -> None:
    values = np.random.default_rng(3).normal(4.0, 2.5, (1, 2000))
    plain = np.array(biweight(values))
    wild = values.copy()
    wild[0, :40] = 300.0
    np.testing.assert_allclose(np.array(biweight(wild)), plain, rtol=0, atol=0.15)
    assert abs(wild.std() - plain[1, 0]) > 30.0, "the ordinary spread would have been lost"


def test_the_day_of_the_year_stands_still_in_leap_years() -> None:
    days = np.array(["2023-03-01", "2024-02-28", "2024-02-29", "2024-03-01", "2024-12-31"])
    assert day_of_year(days.astype("datetime64[D]")).tolist() == [59, 58, 59, 59, 364]


def test_clemson_s_one_impossible_night() -> None:
    """−72.04 °F on 18 July 1936 stands in NOAA's own record; no other reading there fails."""
    series = clemson()
    readings = np.stack([series.tmin, series.tmax])
    failed = []
    for check in in_order("F"):
        found = check.find(readings, series.dates)
        failed += [
            (check.rule, int(row), str(series.dates[day])) for row, day in np.argwhere(found)
        ]
        readings[found] = np.nan
    assert failed == [("spike", 0, "1936-07-18")]
