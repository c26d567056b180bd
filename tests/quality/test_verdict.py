"""The verdict on real and invented records, and the rules that decide its word."""

from __future__ import annotations

import datetime as dt
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.quality.verdict import Trust, judge, season_usable
from gddcast.weather.series import DailySeries, Origin, Place, Season
from tests.real_records import champion, clean_stations, clemson, cordoba, hyderabad, sample


def with_readings(series: DailySeries, **changed: np.ndarray) -> DailySeries:
    rows = {"tmin": series.tmin.copy(), "tmax": series.tmax.copy()} | changed
    return DailySeries(series.first, **rows, unit=series.unit, place=series.place)


def missing(series: DailySeries, days: np.ndarray) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    low[days], high[days] = np.nan, np.nan
    return with_readings(series, tmin=low, tmax=high)


def test_clemson_s_known_faults_are_found() -> None:
    """NOAA USC00381770 as its package carries it; the faults are told in the data notes."""
    verdict = judge(clemson())
    (night,) = verdict.of("spike")
    assert night.first == dt.date(1936, 7, 18)
    assert night.values[0] == pytest.approx((-72.04 - 32.0) / 1.8)
    assert night.removed
    gone = {(each.first, each.last) for each in verdict.of("missing")}
    assert (dt.date(1962, 9, 1), dt.date(1962, 9, 30)) in gone
    assert (dt.date(2005, 2, 1), dt.date(2005, 2, 28)) in gone
    weekends = [
        first for first, last in gone
        if dt.date(2006, 5, 1) <= first <= dt.date(2006, 6, 30) and first.weekday() == 5
        and (last - first).days == 1
    ]  # fmt: skip
    assert len(weekends) >= 5
    assert len(verdict.of("morning-readings")) == 1
    assert verdict.trust == Trust.PATCHED
    assert len(verdict.usable_seasons) == 87, "real-data notes: 87 years at least 98 % complete"
    assert verdict.lost_seasons == ("1957", "1962", "2005", "2006")


def test_clean_stations_are_sound_and_the_alarms_are_counted(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Durre et al. (2010) flag 0.24 % of values, 1–2 % of those falsely: 0.2 in 10,000 days."""
    days, found = 0, Counter[tuple[str, str]]()
    for series in clean_stations().values():
        verdict = judge(series)
        assert verdict.trust == Trust.SOUND
        days += len(series)
        found.update((each.rule, each.level) for each in verdict.findings)
    with capsys.disabled():
        told = ", ".join(f"{rule} {level} {n}" for (rule, level), n in found.items()) or "none"
        print(f"\n  alarms on {days:,} clean station-days: {told}")
    assert not [rule for rule, level in found if level == "finding"]
    assert 1e4 * sum(found.values()) / days < 1.0


def test_a_cold_day_of_rain_is_unusual_and_counts() -> None:
    """Hyderabad, 24 March 2008: 22.4 °C in the hot season, 78.2 mm of rain on the same line."""
    verdict = judge(hyderabad())
    assert [each.first for each in verdict.of("unusual")] == [
        dt.date(2008, 3, 24), dt.date(2010, 12, 8),
    ]  # fmt: skip
    assert {(each.level, each.removed) for each in verdict.of("unusual")} == {("note", False)}
    day = verdict.judged.index(dt.date(2008, 3, 24))
    assert verdict.judged.tmax[day] == 22.4
    assert verdict.trust == Trust.SOUND


def test_what_is_judged_is_never_changed_but_for_the_impossible() -> None:
    series = clemson()
    judged = judge(series).judged
    struck = np.isnan(judged.tmin) & ~np.isnan(series.tmin)
    assert series.dates[struck].astype(str).tolist() == ["1936-07-18"]
    np.testing.assert_array_equal(judged.tmin[~struck], series.tmin[~struck])
    np.testing.assert_array_equal(judged.tmax, series.tmax)


@pytest.mark.parametrize(
    ("name", "trust", "rules"),
    [
        ("01_clean_iso_f", Trust.SOUND, set()),
        ("09_max_min_swapped", Trust.UNUSABLE, {"swapped-columns"}),
        ("11_gap_14_days", Trust.SHAKY, {"missing"}),
        ("12_stuck_maximum", Trust.SHAKY, {"streak"}),
        ("16_units_change_midfile", Trust.UNUSABLE, {"unit-break"}),
        ("24_one_impossible_spike", Trust.PATCHED, {"bounds"}),
        ("larkhollow_2014_2026_f", Trust.SOUND, set()),
        ("farm_two_ponds_f", Trust.SOUND, set()),
        ("farm_two_ponds_stuck_f", Trust.SHAKY, {"streak"}),
    ],
)
def test_the_samples(name: str, trust: Trust, rules: set[str]) -> None:
    verdict = judge(sample(name))
    assert verdict.trust == trust
    assert {each.rule for each in verdict.findings} == rules
    assert (verdict.reasons == ()) is (trust == Trust.SOUND)


def test_the_stuck_maximum_names_its_days_and_costs_a_day() -> None:
    (stuck,) = judge(sample("farm_two_ponds_stuck_f")).findings
    assert (stuck.first, stuck.last) == (dt.date(2026, 5, 20), dt.date(2026, 5, 29))
    assert stuck.effect_days is not None
    assert -2.0 < stuck.effect_days < -0.5, "88 °F ten times over is too warm: dates come early"
    assert "--blank-max 2026-05-20 2026-05-29" in stuck.cure


def test_a_third_of_the_days_gone_is_unusable_and_a_tenth_is_shaky() -> None:
    series = cordoba().between(dt.date(2000, 1, 1), dt.date(2009, 12, 31))
    days = np.arange(len(series))
    assert judge(missing(series, days[days % 3 == 1])).trust == Trust.UNUSABLE
    assert judge(missing(series, days[days % 10 == 1])).trust == Trust.SHAKY
    assert judge(missing(series, days[days % 100 == 1])).trust == Trust.PATCHED


#: Ten whole seasons of one station, 3,653 days.
DECADE = cordoba().between(dt.date(2000, 1, 1), dt.date(2009, 12, 31))
Y2004, Y2009 = (DECADE.index(dt.date(year, 1, 1)) for year in (2004, 2009))


@pytest.mark.parametrize(
    ("unknown", "usable"),
    [
        (np.arange(0, 70, 10), True),  # 7 of 365: 98.1 % measured
        (np.arange(0, 80, 10), False),  # 8: 97.8 %
        (100 + np.arange(5), True),  # filled unasked
        (100 + np.arange(6), False),
    ],
)
def test_a_season_lends_its_weather_by_98_in_100_days_and_short_gaps(
    unknown: np.ndarray, usable: bool
) -> None:
    season = Season(dt.date(2005, 1, 1), dt.date(2005, 12, 31))
    first = DECADE.index(season.first)
    gappy = missing(DECADE, first + unknown)
    assert season_usable(gappy, season) is usable
    origin = np.array(DECADE.origin)
    origin[first + unknown] = Origin.PATCHED
    filled = DailySeries(DECADE.first, DECADE.tmin, DECADE.tmax, origin)
    assert season_usable(filled, season) is (unknown.size <= 7)  # a filled day is not measured
    assert not season_usable(DECADE.before(season.last), season)


@pytest.mark.parametrize(
    ("unknown", "trust", "reason"),
    [
        (np.arange(0, 730 * 5, 5), Trust.SHAKY, "20 % of the days are unknown (more than 5 %)"),
        (np.arange(0, 731 * 5, 5) % 3653, Trust.UNUSABLE,
         "20 % of the days are unknown (more than 20 %)"),
        (Y2004 + np.arange(0, 364, 2), Trust.PATCHED,
         "182 of 3,653 days missing, 182 of them in past seasons"),
        (Y2004 + np.arange(0, 366, 2), Trust.SHAKY, "5 % of the days are unknown (more than 5 %)"),
        (Y2009 + 100 + np.arange(5), Trust.PATCHED, "5 of 3,653 days missing"),
        (Y2009 + 100 + np.arange(6), Trust.SHAKY,
         "11–16 April 2009 unknown: dates that cross it can’t be said"),
        (np.r_[Y2004 : Y2004 + 2, Y2009 + 100 : Y2009 + 103], Trust.PATCHED,
         "5 of 3,653 days missing, 2 of them in past seasons"),
    ],
)  # fmt: skip
def test_the_word_follows_its_limits_to_the_day(
    unknown: np.ndarray, trust: Trust, reason: str
) -> None:
    """Of 3,653 days 730.6 are 20 in 100 and 182.65 are 5 in 100."""
    verdict = judge(missing(DECADE, unknown))
    assert verdict.trust == trust
    assert reason in verdict.reasons


@pytest.mark.parametrize(("lost", "trust"), [(2, Trust.PATCHED), (3, Trust.SHAKY)])
def test_more_than_a_quarter_of_the_seasons_lost_make_a_record_shaky(
    lost: int, trust: Trust
) -> None:
    years = [DECADE.index(dt.date(year, 1, 1)) for year in range(2001, 2001 + lost)]
    verdict = judge(
        missing(DECADE, np.concatenate([year + np.arange(0, 80, 10) for year in years]))
    )
    assert (verdict.trust, len(verdict.lost_seasons)) == (trust, lost)
    assert (f"{lost} of 10 past seasons can’t be used" in verdict.reasons) is (lost == 3)


def test_an_old_gap_costs_its_season_and_a_new_one_the_dates_that_cross_it() -> None:
    series = champion()
    old = missing(series, series.index(dt.date(1999, 5, 1)) + np.arange(10))
    new = missing(series, series.index(dt.date(2018, 5, 1)) + np.arange(10))
    verdict = judge(old)
    assert (verdict.trust, verdict.lost_seasons) == (Trust.PATCHED, ("1999",))
    assert judge(new).trust == Trust.SHAKY
    assert "dates that cross it" in judge(new).reasons[0]


def test_an_unknown_record_is_unusable() -> None:
    nothing = DailySeries(dt.date(2026, 1, 1), np.full(9, np.nan), np.full(9, np.nan))
    verdict = judge(nothing)
    assert (verdict.trust, verdict.reasons) == (Trust.UNUSABLE, ("no day is known",))


def test_a_patched_day_stays_marked_in_the_verdict() -> None:
    series = champion()
    origin = np.array(series.origin)
    origin[50:53] = Origin.PATCHED
    marked = DailySeries(series.first, series.tmin, series.tmax, origin)
    verdict = judge(marked)
    assert (verdict.trust, verdict.reasons) == (Trust.PATCHED, ("3 days patched",))


def test_a_southern_season_is_judged_as_one() -> None:
    series = cordoba()
    south = DailySeries(
        series.first, series.tmin, series.tmax, place=Place("Córdoba", season_begins=(7, 1))
    )
    verdict = judge(south)
    assert verdict.usable_seasons[0] == "1991/92"
    assert len(verdict.usable_seasons) == 30


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    st.lists(
        st.tuples(
            st.one_of(st.just(np.nan), st.floats(-95, 95)),
            st.one_of(st.just(np.nan), st.floats(-95, 95)),
        ),
        max_size=80,
    ),
    st.dates(dt.date(1900, 1, 1), dt.date(2099, 1, 1)),
    st.sampled_from(["F", "C"]),
)
def test_any_record_gets_a_verdict(rows, first, unit) -> None:
    """Nothing is too short or too wild to be judged, and only the impossible is struck."""
    low, high = np.array(rows, dtype=float).reshape(-1, 2).T
    series = DailySeries(first, low, high, unit=unit)
    verdict = judge(series)
    assert len(verdict.judged) == len(series)
    for judged, came in ((verdict.judged.tmin, low), (verdict.judged.tmax, high)):
        kept = ~np.isnan(judged)
        np.testing.assert_array_equal(judged[kept], came[kept])
    struck = verdict.judged.missing - series.missing
    assert struck <= sum(each.days for each in verdict.findings if each.removed)
    assert (verdict.reasons == ()) is (verdict.trust == Trust.SOUND)
