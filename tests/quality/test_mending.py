"""A record mended as asked: nothing more, and every filled day marked."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.quality.mending import Wishes, mend
from gddcast.weather.series import DailySeries, Origin
from tests.real_records import champion, clemson, sample


def test_a_sound_record_comes_back_as_it_was() -> None:
    series = champion()
    mended = mend(series)
    np.testing.assert_array_equal(mended.series.tmax, series.tmax)
    np.testing.assert_array_equal(mended.series.origin, series.origin)
    assert (mended.days_patched, mended.days_left) == (0, 0)


def test_clemson_s_gaps_are_filled_and_its_impossible_night_too() -> None:
    mended = mend(clemson())
    assert mended.days_left == 0
    assert mended.days_patched == 112 + 1
    assert mended.series.count(Origin.PATCHED) == 113
    night = mended.series.index(dt.date(1936, 7, 18))
    assert 15.0 < mended.series.tmin[night] < 30.0


def test_stuck_maxima_are_blanked_and_the_nights_kept() -> None:
    series = sample("farm_two_ponds_stuck_f")
    truth = sample("farm_two_ponds_f")
    spell = (dt.date(2026, 5, 20), dt.date(2026, 5, 29))
    mended = mend(series, Wishes(blank_max=(spell,)))
    assert mended.patched == (spell,)
    days = slice(series.index(spell[0]), series.index(spell[1]) + 1)
    np.testing.assert_array_equal(mended.series.tmin[days], truth.tmin[days])
    assert (mended.series.tmax[days] != series.tmax[days]).all()


def test_a_neighbour_lends_before_anything_is_guessed() -> None:
    """Ashby Ridge runs exactly 4 °F cooler than Two Ponds by its making: the loan is exact."""
    series, neighbour = sample("farm_two_ponds_f"), sample("farm_ashby_ridge_f")
    low, high = series.tmin.copy(), series.tmax.copy()
    gap = slice(4400, 4460)  # sixty days: too long to guess
    low[gap], high[gap] = np.nan, np.nan
    holed = DailySeries(series.first, low, high, unit="F")
    alone = mend(holed)
    assert alone.days_left == 60
    mended = mend(holed, other=neighbour)
    assert (mended.days_left, mended.days_patched) == (0, 60)
    np.testing.assert_allclose(mended.series.tmax[gap], series.tmax[gap], rtol=0, atol=0.1)


def test_a_young_record_is_refused_unless_a_neighbour_lends() -> None:
    with pytest.raises(Refusal, match="too few to know what is usual") as refused:
        mend(sample("11_gap_14_days"))
    assert refused.value.flag == "--from NEIGHBOUR.csv"


def test_morning_readings_are_put_back_and_the_last_day_waits() -> None:
    late, truth = sample("28_max_written_next_morning"), sample("01_clean_iso_f")
    mended = mend(late, Wishes(mornings=((late.first, late.last),)))
    np.testing.assert_array_equal(mended.series.tmax[:-1], truth.tmax[1:-1])
    assert mended.left == ((late.last, late.last),)


def test_an_offset_is_added_only_when_asked() -> None:
    series = champion()
    mended = mend(series, Wishes(add_max=1.0))
    np.testing.assert_allclose(mended.series.tmax, series.tmax + 1.0, rtol=0, atol=1e-12)
    np.testing.assert_array_equal(mended.series.tmin, series.tmin)
    assert mended.series.count(Origin.PATCHED) == len(series)
