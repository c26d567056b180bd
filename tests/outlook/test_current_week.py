"""The week behind a morning is that week's own, or says whose it is."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.current_week import current_week
from gddcast.outlook.ensemble import climate_of
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import DailySeries, season_of
from tests.real_records import SAMPLES

TODAY = dt.date(2026, 6, 11)
WHOLE = read_temperatures(SAMPLES / "larkhollow_2014_2026_f.csv").series
ABOVE_50 = Counting(10.0)


def ending(behind: int) -> DailySeries:
    """The record that many days behind today."""
    return WHOLE.before(TODAY - dt.timedelta(days=behind))


@pytest.mark.parametrize("behind", [0, 1, 2, 3])
def test_a_record_hardly_late_has_its_own_days_of_this_week_and_no_earlier_ones(
    behind: int,
) -> None:
    week = current_week(ending(behind), TODAY, behind, None)
    assert (week.first, week.last) == (dt.date(2026, 6, 4), dt.date(2026, 6, 10))
    own = WHOLE.between(week.first, week.last)
    known = 7 - behind
    np.testing.assert_allclose(week.tmax[:known], own.tmax[:known], rtol=0, atol=0)
    assert np.isnan(week.tmax[known:]).all()
    pace = float(np.mean(ABOVE_50.daily(own)[:known]))
    np.testing.assert_allclose(week.pace(ABOVE_50), pace, rtol=0, atol=1e-12)
    assert week.words == "at this week’s warmth"


def test_four_days_late_is_too_late_to_tell_of_this_week() -> None:
    assert current_week(ending(4), TODAY, 4, None).of_past_years


def test_of_a_record_long_ended_past_years_give_the_same_days() -> None:
    """A week of February says nothing of eggs in June. By hand: the days of twelve Junes."""
    stale = WHOLE.before(dt.date(2026, 3, 1))
    climate = climate_of(stale, season_of(TODAY, (1, 1)))
    week = current_week(stale, TODAY, 102, climate)
    assert week.of_past_years
    assert week.words == "in past years’ weather of 4–10 June"
    by_hand = [
        ABOVE_50.daily(WHOLE.between(dt.date(year, 6, 4), dt.date(year, 6, 10))).mean()
        for year in range(2014, 2026)
    ]
    # Shifted for warming and by a week each way: near the plain mean, far from February's nought.
    np.testing.assert_allclose(week.pace(ABOVE_50), np.mean(by_hand), rtol=0.1, atol=0)


def test_without_past_years_its_pace_is_unknown_and_never_nought() -> None:
    week = current_week(WHOLE.between(dt.date(2026, 1, 1), dt.date(2026, 2, 28)), TODAY, 102, None)
    assert np.isnan(week.pace(ABOVE_50))
