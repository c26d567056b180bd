"""A forecast of another unit, place or order of columns is left out by name; a real one is not."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from gddcast.outlook.ensemble import climate_of
from gddcast.outlook.forecast import usual_errors
from gddcast.outlook.forecast_gate import GatedForecast, gated
from gddcast.today.record import Record
from gddcast.weather.series import DailySeries, Origin, season_of
from tests.skill_table import station

Array = NDArray[np.float64]
DAYS = 7


def foretold(record: DailySeries, today: dt.date, low: Array, high: Array) -> DailySeries:
    """The record before today with a forecast behind it."""
    past = record.before(today)
    return DailySeries(
        past.first, np.append(past.tmin, low), np.append(past.tmax, high),
        np.append(past.origin, np.full(low.size, Origin.FORECAST, np.int8)), place=past.place,
    )  # fmt: skip


def came(record: DailySeries, today: dt.date) -> tuple[Array, Array]:
    """What the coming week brought."""
    week = record.between(today, today + dt.timedelta(days=DAYS - 1))
    return week.tmin.copy(), week.tmax.copy()


def gate(record: DailySeries, today: dt.date, low: Array, high: Array) -> GatedForecast:
    series = foretold(record, today, low, high)
    return gated(series, climate_of(series, season_of(today)))


@pytest.mark.parametrize("name", ["Champion", "Brussels", "Clemson"])
def test_weather_that_came_is_no_strange_forecast(name: str) -> None:
    """Every tenth day of two late years: a perfect forecast is left out never, doubted seldom."""
    record = station(name)
    year = record.last.year - 2
    found = []
    for day in range(0, 700, 10):
        today = dt.date(year, 1, 1) + dt.timedelta(days=day)
        found.append(gate(record, today, *came(record, today)))
    assert all(each.extent == "all" for each in found)
    assert np.mean([each.doubted for each in found]) <= 0.05


@pytest.mark.parametrize("today", [dt.date(2016, 4, 20), dt.date(2016, 7, 10)])
@pytest.mark.parametrize(
    ("wrong", "kept"),
    [
        (lambda low, high: (low * 1.8 + 32.0, high * 1.8 + 32.0), "none"),  # °F taken for °C
        (lambda low, high: ((low - 32.0) / 1.8, (high - 32.0) / 1.8), "none"),  # °C for °F
        (lambda low, high: (low + 273.15, high + 273.15), "none"),  # kelvin
        (lambda low, high: (high, low), "none"),  # columns swapped
        (lambda low, high: (low - 25.0, high - 25.0), "none"),  # another hemisphere
        (lambda low, high: (np.where(np.arange(DAYS) == 3, -30.0, low), high), "some"),
        (lambda low, high: (low, high), "all"),
    ],
)
def test_what_cannot_be_is_left_out(today: dt.date, wrong, kept: str) -> None:  # type: ignore[no-untyped-def]
    record = station("Champion")
    found = gate(record, today, *wrong(*came(record, today)))
    assert found.extent == kept
    left = (found.series.origin == Origin.FORECAST).sum()
    assert left == {"none": 0, "some": DAYS - 1, "all": DAYS}[kept]
    if kept == "some":
        assert found.struck == (today + dt.timedelta(days=3),)


def test_unlikely_first_days_are_trusted_less_until_some_are_verified() -> None:
    record, today = station("Champion"), dt.date(2016, 6, 1)
    low, high = came(record, today)
    series = foretold(record, today, low, high)
    climate = climate_of(series, season_of(today))
    plain = gated(series, climate)
    more = 2.4 * climate.spread - plain.off
    found = gated(foretold(record, today, low + more, high + more), climate)
    assert found.extent == "all"
    assert found.doubted
    assert found.off == pytest.approx(2.4 * climate.spread, abs=1e-9)
    widened = found.errors(None, climate.spread)
    assert widened is not None
    assert widened.bias_sd == pytest.approx(found.off, abs=1e-9)
    verified = replace(usual_errors(climate.spread), forecasts=3)
    assert found.errors(verified, climate.spread) is verified
    assert plain.errors(None, climate.spread) is None


def test_without_past_seasons_only_the_limits_of_air_hold() -> None:
    record, today = station("Champion"), dt.date(2016, 6, 1)
    low, high = came(record, today)
    high[2] = 70.0
    found = gated(foretold(record, today, low, high), None)
    assert (found.extent, found.struck) == ("some", (dt.date(2016, 6, 3),))


def test_a_record_is_made_ready_without_it() -> None:
    """No date is drawn from it: as if no forecast had come."""
    record, today = station("Champion"), dt.date(2016, 6, 1)
    low, high = came(record, today)
    with_ = Record(foretold(record, today, low * 1.8 + 32.0, high * 1.8 + 32.0), today)
    without = Record(record.before(today), today)
    np.testing.assert_array_equal(with_.series.tmax, without.series.tmax)
    assert with_.gate.extent == "none"
