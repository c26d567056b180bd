"""A record mended as asked: nothing more, and every filled day marked."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlook_of
from gddcast.quality.mending import Wishes, mend
from gddcast.quality.verdict import judge
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


def test_a_neighbour_lends_past_years_and_the_spring_moved_by_the_overlap() -> None:
    """A garden 1 °C warmer by day and 0.5 °C cooler by night than Champion, since 10 March.

    With its past years borrowed it looks ahead as the whole record so moved does.
    """
    whole = champion().between(champion().first, dt.date(2016, 5, 31))
    truth = DailySeries(whole.first, whole.tmin - 0.5, whole.tmax + 1.0)
    garden = truth.between(dt.date(2016, 3, 10), whole.last)
    assert mend(garden, other=whole).beyond == (11_026, 0)
    mended = mend(garden, other=whole, extend=True)
    assert mended.patched == ((whole.first, dt.date(2016, 3, 9)),)
    assert mended.series.count(Origin.PATCHED) == 11_026
    assert mended.series.count(Origin.MEASURED) == len(garden)
    np.testing.assert_allclose(mended.series.tmax, truth.tmax, rtol=0, atol=1e-9)
    np.testing.assert_allclose(mended.series.tmin, truth.tmin, rtol=0, atol=1e-9)
    verdict = judge(mended.series)
    assert (len(verdict.usable_seasons), verdict.lost_seasons) == (30, ())
    ahead = {"counting": Counting(10.0), "goal": 500.0, "start": dt.date(2016, 1, 1)}
    borrowed, known = (
        outlook_of(each, today=dt.date(2016, 6, 1), **ahead) for each in (mended.series, truth)
    )
    assert borrowed.days == known.days
    assert outlook_of(garden, today=dt.date(2016, 6, 1), **ahead).days == ()


def test_a_lender_s_forecast_is_no_loan() -> None:
    """Days foretold are nobody's past."""
    series, neighbour = sample("farm_two_ponds_f"), sample("farm_ashby_ridge_f")
    origin = neighbour.origin.copy()
    origin[-20:] = Origin.FORECAST
    foretold = dataclasses.replace(neighbour, origin=origin)
    short = series.between(series.first, neighbour.last - dt.timedelta(days=20))
    mended = mend(short, other=foretold, extend=True)
    assert mended.days_patched == 0
    assert mended.series.last_known == short.last


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
