"""One season by six methods, on days whose sums are plain arithmetic."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast.errors import Refusal
from gddcast.lessons.season_methods import season_by_methods
from gddcast.weather.series import DailySeries

#: Every day 4 to 16 °C, line at 10: the mean gives 0, the readings 3 a day, the triangle 1.5.
CROSSING = DailySeries(dt.date(2026, 1, 1), [4.0] * 100, [16.0] * 100)


def test_dates_and_printed_numbers() -> None:
    season = season_by_methods(CROSSING, lower=10.0, goal=30.0)
    rows = {row.method: row for row in season.rows}
    # 30 is reached after ten days of 3; the mean never gets there.
    assert rows["floor the readings"].reached == dt.date(2026, 1, 10)
    assert rows["floor the mean"].reached is None
    assert rows["single triangle"].reached == dt.date(2026, 1, 20)
    # The sine gives W/π = 1.91 a day: 30 on the sixteenth day, by whose end the readings have 48.
    assert season.came == dt.date(2026, 1, 16)
    assert rows["floor the readings"].printed == pytest.approx(48.0, abs=1e-9)
    # 48 / 1.9099 = 25.13 days of sine.
    assert rows["floor the readings"].used == dt.date(2026, 1, 26)
    assert rows["single sine"].used == season.came


def test_a_goal_out_of_reach_is_refused() -> None:
    with pytest.raises(Refusal, match="never reaches that goal"):
        season_by_methods(CROSSING, lower=10.0, goal=1e6)
