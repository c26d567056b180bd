"""A season as far as it is known: what counts as known, as a gap, as forecast."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.season_so_far import forecast_behind, known_on, so_far
from gddcast.weather.gaps import filled_error
from gddcast.weather.series import DailySeries, Origin

FIRST = dt.date(2026, 6, 1)


def foretold(*origins: Origin) -> DailySeries:
    """Ten measured days, then these; each minimum is its day's number."""
    origin = np.array([Origin.MEASURED] * 10 + list(origins))
    low = np.where(origin == Origin.UNKNOWN, np.nan, np.arange(1.0, origin.size + 1.0))
    return DailySeries(FIRST, low, low + 12.0, origin)


@pytest.mark.parametrize("days", [9, 10, 11, 16])
def test_of_a_longer_forecast_ten_days_are_used(days: int) -> None:
    said = forecast_behind(foretold(*[Origin.FORECAST] * days), dt.date(2026, 6, 10))
    used = np.arange(11.0, 11.0 + min(days, 10))
    np.testing.assert_allclose(said, [used, used + 12.0], rtol=0, atol=0)


def test_days_nobody_spoke_of_do_not_use_up_the_forecast() -> None:
    """The record ended two days ago: the ten days are those foretold."""
    behind = [Origin.UNKNOWN] * 2 + [Origin.FORECAST] * 12
    low, high = forecast_behind(foretold(*behind), dt.date(2026, 6, 10))
    np.testing.assert_allclose(low, [np.nan, np.nan, *range(13, 23)], rtol=0, atol=0)
    np.testing.assert_allclose(high, low + 12.0, rtol=0, atol=0)


#: Ten degree-days above 10 °C on every measured day.
WARM = DailySeries(dt.date(2025, 12, 1), np.full(60, 15.0), np.full(60, 25.0))
ABOVE_10 = Counting(10.0)
NEW_YEAR = dt.date(2026, 1, 1)


@pytest.mark.parametrize(
    ("start", "begin", "heat"),
    [
        (NEW_YEAR, 0, 290.0),
        (dt.date(2026, 1, 20), 19, 100.0),
        (dt.date(2026, 1, 29), 28, 10.0),
        (dt.date(2026, 1, 30), 29, 0.0),  # it lies ahead
        (dt.date(2026, 3, 1), 59, 0.0),
    ],
)
def test_heat_is_counted_from_the_start_on_and_not_before(
    start: dt.date, begin: int, heat: float
) -> None:
    """29 days of January are known; December is of another season."""
    now = so_far(WARM, ABOVE_10, start)
    assert (now.begin, now.last, now.through) == (begin, 28, dt.date(2026, 1, 29))
    np.testing.assert_allclose(now.heat, heat, rtol=0, atol=1e-9)
    assert now.sums.size == 29
    assert now.gap is None


def test_a_season_that_lies_ahead_has_no_heat_yet() -> None:
    now = so_far(WARM.before(NEW_YEAR), ABOVE_10, NEW_YEAR)
    assert (now.heat, now.sums.size, now.last) == (0.0, 0, -1)
    nothing = so_far(foretold(), ABOVE_10, dt.date(2027, 1, 1))
    assert (nothing.heat, nothing.sums.size) == (0.0, 0)


def test_no_heat_is_counted_of_days_foretold() -> None:
    low, high = np.full(60, 15.0), np.full(60, 25.0)
    origin = np.array([Origin.MEASURED] * 50 + [Origin.FORECAST] * 10)
    now = so_far(DailySeries(WARM.first, low, high, origin), ABOVE_10, NEW_YEAR)
    assert now.through == dt.date(2026, 1, 19)
    np.testing.assert_allclose(now.heat, 190.0, rtol=0, atol=1e-9)


@pytest.mark.parametrize("unknown", [[10], [10, 11, 12], [10, 12], [0], [0, 1]])
def test_a_gap_is_the_first_run_of_unknown_days(unknown: list[int]) -> None:
    low = np.full(60, 15.0)
    low[[31 + day for day in unknown]] = np.nan
    now = so_far(DailySeries(WARM.first, low, WARM.tmax), ABOVE_10, NEW_YEAR)
    run = [day for day in unknown if day - unknown[0] == unknown.index(day)]
    assert now.gap == (NEW_YEAR + dt.timedelta(run[0]), NEW_YEAR + dt.timedelta(run[-1]))
    assert np.isnan(now.heat)


def test_an_unknown_day_before_the_start_hides_nothing() -> None:
    low = np.full(60, 15.0)
    low[31 + 10] = np.nan
    now = so_far(DailySeries(WARM.first, low, WARM.tmax), ABOVE_10, dt.date(2026, 1, 12))
    assert now.gap is None
    np.testing.assert_allclose(now.heat, 180.0, rtol=0, atol=1e-9)


def test_a_time_is_a_day_of_the_season_never_one_before_the_start() -> None:
    now = so_far(WARM, ABOVE_10, dt.date(2026, 1, 20))
    assert now.day(40.5) == dt.date(2026, 2, 10)
    assert now.day(3.0) == dt.date(2026, 1, 20)
    assert now.day(np.inf) is None
    assert now.day(np.nan) is None


@pytest.mark.parametrize("ago", [0, 1, 3])
def test_on_a_morning_only_days_before_it_and_the_forecast_are_known(ago: int) -> None:
    """Days measured since are hidden; those foretold are kept as what they are."""
    record = foretold(*[Origin.FORECAST] * 4)
    today = dt.date(2026, 6, 11) - dt.timedelta(days=ago)
    known = known_on(record, today)
    assert known.last == record.last
    assert np.count_nonzero(known.known) == 10 - ago + 4
    assert known.origin[:10].tolist() == [Origin.MEASURED] * (10 - ago) + [Origin.UNKNOWN] * ago
    assert known.origin[10:].tolist() == [Origin.FORECAST] * 4
    assert known_on(foretold(), today).last == today - dt.timedelta(days=1)


def test_patched_days_make_a_sum_doubtful_where_heat_counts() -> None:
    """One warm day patched: its whole error; one below the threshold: none; two apart: √2."""
    low, high = np.full(60, 10.0), np.full(60, 26.0)
    low[:20], high[:20] = -9.0, -1.0
    origin = np.full(60, int(Origin.MEASURED), np.int8)
    counting, first = Counting(lower=5.0), dt.date(2026, 1, 1)

    def doubt(*patched: int) -> float:
        marked = origin.copy()
        marked[list(patched)] = Origin.PATCHED
        return so_far(DailySeries(first, low, high, marked), counting, first).doubt

    assert doubt() == 0.0
    assert doubt(9) == 0.0
    one = doubt(40)
    assert one == pytest.approx(filled_error(1), abs=1e-9)
    assert doubt(40, 50) == pytest.approx(np.sqrt(2.0) * one, abs=1e-9)
    assert doubt(40, 41) > np.sqrt(2.0) * one
