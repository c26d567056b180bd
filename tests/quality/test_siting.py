"""Two thermometers held against each other."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.quality.siting import compare, offset_by
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import champion, new_york, sample


def test_the_sensor_in_the_sun() -> None:
    """Planted: maxima some 9 to 13 °F too high, minima untouched."""
    found = compare(sample("13_sensor_in_sun"), sample("larkhollow_2014_2026_f"))
    assert found.days == 41
    assert found.sun_on == "first"
    assert found.tmin == pytest.approx(0.0, abs=1e-9)
    assert 8.0 / 1.8 < found.tmax < 13.0 / 1.8
    assert found.effect is not None
    # Product rule of thumb: +9 °F in the sun moves dates by −16 days (−22 to −12); this one +11.6.
    assert -30.0 < found.effect.days < -12.0
    back = compare(sample("larkhollow_2014_2026_f"), sample("13_sensor_in_sun"))
    assert back.sun_on == "second"
    assert back.effect is not None
    assert back.effect.days == pytest.approx(-found.effect.days, abs=1e-9)


def test_the_garden_three_degrees_warmer_is_about_a_week_early() -> None:
    """Product rule of thumb: a garden 3 °F warmer moves dates by −9 days (−12 to −6)."""
    series = sample("larkhollow_2014_2026_f")
    warmer = offset_by(series, tmax=3.0 / 1.8, tmin=3.0 / 1.8)
    found = compare(warmer, series)
    assert found.effect is not None
    assert -12.0 < found.effect.days < -5.0
    assert found.sun_on is None, "warmer by night too"


def test_two_airports() -> None:
    """JFK lies by the sea: cooler by day in summer than LaGuardia, and by night."""
    found = compare(new_york("JFK"), new_york("LGA"))
    months = {each.month: each for each in found.by_month}
    assert months[6].tmax < -0.5
    assert sum(each.days for each in found.by_month) == found.days
    weighted = sum(each.days * each.tmax for each in found.by_month) / found.days
    assert weighted == pytest.approx(found.tmax)
    assert not found.identical
    assert found.lag == 0
    apart = np.abs(new_york("JFK").tmax - new_york("LGA").tmax)
    assert max(abs(each.tmax) for each in found.worst) == pytest.approx(apart.max())


def test_one_file_under_two_names() -> None:
    assert compare(champion(), champion()).identical


def test_a_day_s_delay_is_told_from_a_difference() -> None:
    found = compare(sample("28_max_written_next_morning"), sample("larkhollow_2014_2026_f"))
    assert found.lag == 1
    assert found.sun_on is None
    back = compare(sample("larkhollow_2014_2026_f"), sample("28_max_written_next_morning"))
    assert back.lag == -1


def test_under_thirty_days_in_common_are_refused() -> None:
    series = champion()
    with pytest.raises(Refusal, match="share only 29 days"):
        compare(series.between(series.first, series.date(28)), series)


def test_an_offset_is_marked_and_turns_no_day_upside_down() -> None:
    series = champion()
    moved = offset_by(series, tmax=-6.0, tmin=0.0)
    assert not (moved.tmin > moved.tmax).any()
    assert set(moved.origin) == {Origin.PATCHED, Origin.UNKNOWN}
    known = moved.known
    np.testing.assert_allclose(moved.tmax[known], series.tmax[known] - 6.0, rtol=0, atol=1e-12)
    np.testing.assert_array_equal(moved.tmin[known], series.tmin[known])


def test_unlike_spans_meet_where_both_know() -> None:
    series = champion()
    later = DailySeries(series.date(4000), series.tmin[4000:] + 1.0, series.tmax[4000:] + 1.0)
    found = compare(series, later)
    assert found.days == len(series) - 4000
    assert (found.tmax, found.tmin) == (pytest.approx(-1.0), pytest.approx(-1.0))


def test_sixty_late_days_are_seen_beside_a_record_near_by() -> None:
    """New York's airports, 2013: every second fortnight, each pair of them."""
    airports = [new_york(each) for each in ("JFK", "LGA", "EWR")]
    late_days = told = false = 0
    for one, other in itertools.permutations(airports, 2):
        for begin in range(1, 300, 15):
            days = slice(begin, begin + 60)
            first, high, low = one.date(begin), one.tmax[begin - 1 : begin + 59], one.tmin[days]
            late = DailySeries(first, np.fmin(low, high), high)
            late_days += 1
            told += compare(late, other).lag == 1
            false += compare(DailySeries(first, low, one.tmax[days]), other).lag != 0
    assert late_days == 120
    assert told == 120
    assert false == 0
