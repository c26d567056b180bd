"""A season as far as it is known: what counts as known, as a gap, as forecast."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.outlook.season_so_far import forecast_behind
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
