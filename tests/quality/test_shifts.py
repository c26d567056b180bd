"""Morning readings told from the numbers, on stations of known practice.

Clemson's observer read in the afternoon at first and in the morning in later decades: its maxima
come to belong to the day before. Champion, Córdoba, Seattle and New York book whole days.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.quality.shifts import (
    best_lag,
    kinship_contrast,
    late_stretches,
    maxima_a_day_earlier,
    practices,
)
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import champion, clean_stations, clemson, sample

STATIONS = ("Champion 1986-2018", "Córdoba 1991-2021", "Seattle 2012-2015", "JFK 2013", "LGA 2013")


def booked_late(series: DailySeries) -> DailySeries:
    """The same thermometer, read the next morning."""
    return DailySeries(series.date(1), series.tmin[1:], series.tmax[:-1], unit=series.unit)


@pytest.mark.parametrize("name", STATIONS)
def test_whole_days_pass_and_the_same_days_booked_late_do_not(name: str) -> None:
    series = clean_stations()[name]
    assert late_stretches(practices(series)) == []
    late = booked_late(series)
    assert late_stretches(practices(late)) == [(0, len(late))]
    assert late_stretches(practices(maxima_a_day_earlier(late))) == []


def test_clemson_moved_to_morning_readings_by_decade() -> None:
    series = clemson()
    told = practices(series)
    assert [series.date(each.begin).year for each in told] == list(range(1930, 2020, 10))
    contrast = [each.contrast for each in told]
    assert min(contrast[:4]) > 0.05, "the first decades book whole days"
    assert max(contrast[6:]) < -0.05, "the last decades do not"
    ((begin, end),) = late_stretches(told)
    assert (series.date(begin).year, series.date(end - 1).year) == (1980, 2020)


def test_a_change_of_practice_is_found_in_its_decade() -> None:
    series = champion()
    at = series.index(dt.date(2010, 1, 1))
    high = series.tmax.copy()
    high[at + 1 :] = series.tmax[at:-1]
    changed = DailySeries(series.first, series.tmin, high)
    assert late_stretches(practices(changed)) == [(at, len(series))]


def test_a_spring_alone_is_too_short_to_tell() -> None:
    assert late_stretches(practices(sample("28_max_written_next_morning"))) == []


def test_the_contrast_is_that_of_two_correlations() -> None:
    """Against NumPy's own correlation, on days without gaps."""
    series = champion()
    warmer, milder = np.diff(series.tmax), np.diff(series.tmin)
    expected = (
        np.corrcoef(warmer[:-1], milder[1:])[0, 1] - np.corrcoef(warmer[1:], milder[:-1])[0, 1]
    )
    contrast, pairs = kinship_contrast(series.tmin, series.tmax)
    assert contrast == pytest.approx(expected, abs=1e-12)
    assert pairs == len(series) - 2


def test_a_second_record_tells_even_a_spring() -> None:
    late, truth = sample("28_max_written_next_morning"), sample("01_clean_iso_f")
    # The record of the morning reader begins a day later.
    lag, lead = best_lag(late.tmax, truth.tmax[1:])
    assert lag == 1
    assert lead > 0.5


def test_moving_maxima_back_restores_the_days() -> None:
    """The sample's own twin holds the truth."""
    late, truth = sample("28_max_written_next_morning"), sample("01_clean_iso_f")
    moved = maxima_a_day_earlier(late)
    expected = truth.between(moved.first, moved.last)
    np.testing.assert_array_equal(moved.tmax[:-1], expected.tmax[:-1])
    np.testing.assert_array_equal(moved.tmin, expected.tmin)
    assert np.isnan(moved.tmax[-1])
    assert moved.origin[-1] == Origin.UNKNOWN


def test_only_the_lines_named_are_moved_and_no_day_is_left_upside_down() -> None:
    series = clemson()
    moved = maxima_a_day_earlier(series, dt.date(1980, 1, 1), series.last)
    first = series.index(dt.date(1980, 1, 1))
    np.testing.assert_array_equal(moved.tmax[:first], series.tmax[:first])
    np.testing.assert_array_equal(moved.tmin, series.tmin)
    assert not (moved.tmax < moved.tmin).any()
    lost = np.count_nonzero(np.isnan(moved.tmax)) - np.count_nonzero(np.isnan(series.tmax))
    assert lost <= 3
