"""A fetch is held against the one before: what moved, what came, what is gone."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.quality.revisions import revision
from gddcast.weather.series import DailySeries, Origin

MAY = dt.date(2026, 5, 1)


def may(low: float = 10.0, days: int = 20, **at: float) -> DailySeries:
    tmin, tmax = np.full(days, low), np.full(days, low + 10.0)
    for name, value in at.items():
        tmax[int(name[1:])] = value
    return DailySeries(MAY, tmin, tmax)


def test_the_same_record_has_not_moved() -> None:
    found = revision(may(), may())
    assert (found.changed, found.lost, found.added, found.heat) == (0, 0, 0, 0.0)


def test_changed_days_are_counted_and_the_heat_they_move() -> None:
    """Days all above 10 °C: a maximum 4 °C higher is 2 °C-days more, by any daily method."""
    found = revision(may(), may(d4=24.0, d7=24.0, d9=19.0))
    assert (found.changed, found.first, found.last) == (
        3, dt.date(2026, 5, 5), dt.date(2026, 5, 10),
    )  # fmt: skip
    assert (found.worst, found.worst_by) == (dt.date(2026, 5, 5), 4.0)
    assert found.heat == pytest.approx(2.0 + 2.0 - 0.5, abs=1e-9)


def test_rounding_is_no_change() -> None:
    assert revision(may(), may(d4=20.04)).changed == 0
    assert revision(may(), may(d4=20.06)).changed == 1


def test_a_forecast_that_became_a_record_is_news_not_a_revision() -> None:
    earlier = may()
    origin = np.array(earlier.origin)
    origin[15:] = Origin.FORECAST
    earlier = DailySeries(MAY, earlier.tmin, earlier.tmax, origin)
    found = revision(earlier, may(d16=30.0))
    assert (found.changed, found.added) == (0, 5)


def test_days_no_longer_given_are_counted_inside_and_at_the_ends() -> None:
    later = may().between(MAY + dt.timedelta(days=2), MAY + dt.timedelta(days=18))
    low = later.tmin.copy()
    low[4] = np.nan
    assert revision(may(), DailySeries(later.first, low, later.tmax)).lost == 2 + 1 + 1


def test_days_before_the_earlier_record_are_no_news() -> None:
    whole = may()
    short = whole.between(MAY + dt.timedelta(days=5), whole.last)
    assert revision(short, whole).added == 0
    assert revision(whole.before(MAY + dt.timedelta(days=17)), whole).added == 3


def test_the_heat_moved_is_that_of_the_last_changed_day_s_season() -> None:
    """30 December and 3 January each 4 °C warmer by day: 2 °C-days of them are of this season."""
    first, low = dt.date(2025, 12, 20), np.full(20, 10.0)
    high = low + 10.0
    later = high.copy()
    later[[10, 14]] += 4.0
    found = revision(DailySeries(first, low, high), DailySeries(first, low, later))
    assert (found.changed, found.first) == (2, dt.date(2025, 12, 30))
    assert found.heat == pytest.approx(2.0, abs=1e-9)
