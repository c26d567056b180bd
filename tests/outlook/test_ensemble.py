"""Past seasons laid on this one: same days, normals, drift, persistence, and the grafting."""

import datetime as dt

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.heat.shapes import double_sine
from gddcast.heat.thermal_time import day_reached
from gddcast.outlook import persistence
from gddcast.outlook.continuation import continued, first_days, grafted
from gddcast.outlook.ensemble import PLAIN_GRAFT, Steps, climate_of, past_seasons, same_days
from gddcast.weather.normals import USUAL_WARMING, normals_of, warming, yearly_means
from gddcast.weather.series import DailySeries, season_of
from tests.skill_table import station


def invented(first: str = "2000-01-01", last: str = "2012-06-30", seed: int = 4) -> DailySeries:
    """Weather with a yearly course, warming 0.1 °C a year, and spells that last."""
    date = np.arange(np.datetime64(first), np.datetime64(last) + 1)
    day = date.astype(int)
    turn = -np.cos(2 * np.pi * (day - 20) / 365.2425)
    spell = np.random.default_rng(seed).normal(0.0, 2.5, day.size)
    for at in range(1, day.size):
        spell[at] += 0.7 * spell[at - 1]
    mean = 11.0 + 11.0 * turn + 0.1 * (day - day[0]) / 365.25 + spell
    return DailySeries(date[0].item(), mean - 5.0, mean + 5.0)


@pytest.mark.parametrize(
    ("past", "ours", "pairs"),
    [
        (2023, 2024, {"02-28": "02-28", "02-29": "02-28", "03-01": "03-01", "12-31": "12-31"}),
        (2020, 2023, {"02-28": "02-28", "03-01": "03-01", "12-31": "12-31"}),
        (2020, 2024, {"02-29": "02-29", "12-31": "12-31"}),
        (2021, 2023, {"01-01": "01-01", "12-31": "12-31"}),
    ],
)
def test_same_month_and_day(past: int, ours: int, pairs: dict[str, str]) -> None:
    days = (dt.date(2026, 1, 1) - dt.date(2015, 1, 1)).days
    series = DailySeries(dt.date(2015, 1, 1), np.zeros(days), np.ones(days))
    season = season_of(dt.date(ours, 1, 1))
    found = same_days(series, season_of(dt.date(past, 1, 1)), season)
    for mine, theirs in pairs.items():
        at = (dt.date.fromisoformat(f"{ours}-{mine}") - season.first).days
        assert series.date(found[at]) == dt.date.fromisoformat(f"{past}-{theirs}")


def test_normals_find_the_course_they_were_made_from() -> None:
    days = np.arange(4000)
    angle = 2 * np.pi * days / 365.2425
    course = 9.0 + 8.0 * np.sin(angle) - 2.0 * np.cos(2 * angle) + 0.5 * np.sin(3 * angle)
    gappy = course.copy()
    gappy[::7] = np.nan
    np.testing.assert_allclose(normals_of(days, gappy).on(days), course, rtol=0, atol=1e-8)


def test_slope_is_least_squares_where_it_is_sure_and_usual_where_not() -> None:
    years = np.arange(1900, 2000)
    assert warming(years, 0.08 * years) == pytest.approx(0.08, abs=1e-9)
    assert warming([], []) == USUAL_WARMING[0]
    # Half and half where both are equally sure: noise made so that the slope's error is 0.02.
    noisy = np.random.default_rng(2).normal(0.0, 1.0, 20)
    found = np.polynomial.polynomial.polyfit(years[:20] - 1909.5, noisy, 1)
    away = years[:20] - 1909.5
    left = noisy - np.polynomial.polynomial.polyval(away, found)
    error = np.sqrt(left @ left / 18 / (away @ away))
    by_hand = (found[1] / error**2 + 0.025 / 0.02**2) / (1 / error**2 + 1 / 0.02**2)
    np.testing.assert_allclose(warming(years[:20], noisy), by_hand, rtol=0, atol=1e-12)


def test_years_with_too_many_holes_have_no_mean() -> None:
    values = np.tile(1.5, 730)
    values[400:500] = np.nan
    years, means = yearly_means(values, np.repeat([2001, 2002], 365))
    np.testing.assert_array_equal(years, [2001, 2002])
    np.testing.assert_allclose(means, [1.5, np.nan], rtol=0, atol=1e-12)


def test_trend_shifts_members_by_the_years_between() -> None:
    record = invented()
    season = season_of(dt.date(2012, 1, 1))
    plain, moved = (
        climate_of(record, season, steps=Steps(trend=each, window=False, persistence=False))
        for each in (False, True)
    )
    years = np.array([12 - each for each in range(12)])
    shift = (moved.temperatures - plain.temperatures)[0, :, 0]
    np.testing.assert_allclose(shift, years[:, None] * moved.slope + 0 * shift, rtol=0, atol=1e-9)
    # Twelve noisy years of 0.1 °C a year, held back towards the usual 0.025.
    assert 0.03 < moved.slope < 0.1


def test_fitted_persistence_finds_a_known_spell() -> None:
    # An autoregression of 0.7: k days ahead yesterday counts 0.7^k, the week and month nothing.
    noise = np.random.default_rng(9).normal(0.0, 2.0, 30_000)
    for at in range(1, noise.size):
        noise[at] += 0.7 * noise[at - 1]
    weights = persistence.fitted(persistence.recent(noise), noise)
    np.testing.assert_allclose(weights[:5, 0], 0.7 ** np.arange(1, 6), rtol=0, atol=0.04)
    np.testing.assert_allclose(weights[:5, 1:], 0.0, rtol=0, atol=0.05)


def test_default_persistence_as_stated() -> None:
    np.testing.assert_allclose(persistence.DEFAULT[0], [0.72, 0.0, 0.08], rtol=0, atol=1e-12)
    np.testing.assert_allclose(persistence.DEFAULT[2, 0], 0.72 * 0.36, rtol=0, atol=1e-12)
    few = climate_of(invented(), season_of(dt.date(2003, 1, 1)))
    np.testing.assert_array_equal(few.weights[1], persistence.DEFAULT)


def test_recent_means_by_hand() -> None:
    anomalies = np.array([1.0, np.nan, 3.0, 5.0])
    day, week, month = persistence.recent(anomalies)
    np.testing.assert_array_equal(day, [1.0, np.nan, 3.0, 5.0])
    np.testing.assert_array_equal(week, [np.nan] * 4)  # three known days are not half a week
    assert np.isnan(month).all()
    full = persistence.recent(np.arange(40.0))
    assert full[1, 20] == 17.0
    assert full[2, 39] == 24.5


def test_no_member_looks_into_the_season_it_foretells() -> None:
    record = station("Champion")
    season = season_of(dt.date(2005, 1, 1))
    climate = climate_of(record, season)
    assert len(climate.members) == len(past_seasons(record, season)) == 19
    assert record.date(climate.positions.max()) == dt.date(2004, 12, 31)
    # Whatever this season brings, what is learnt before it does not change.
    low, high = record.tmin.copy(), record.tmax.copy()
    low[record.index(season.first) :] += 9.0
    high[record.index(season.first) :] += 9.0
    other = climate_of(DailySeries(record.first, low, high, place=record.place), season)
    np.testing.assert_array_equal(other.temperatures, climate.temperatures)
    np.testing.assert_array_equal(other.weights, climate.weights)


@pytest.mark.parametrize("shape_steps", [(Counting(10.0), PLAIN_GRAFT), (Counting(6.0), Steps())])
def test_bisection_finds_what_a_plain_search_finds(
    shape_steps: tuple[Counting, Steps],
) -> None:
    counting, steps = shape_steps
    record = station("Champion")
    climate = climate_of(record, season_of(dt.date(2010, 1, 1)), steps=steps)
    last = np.array([-1, 40, 120, 200, 340])
    goals = np.array([5.0, 120.0, 700.0, 1900.0])
    first = first_days(climate, last)
    ahead = continued(first, counting, 20)
    for issue, known in enumerate(last):
        days = np.copy(climate.temperatures[..., max(known + 1, 0) :])
        count = min(45, days.shape[-1])
        days[..., :count] = first.temperatures[:, issue, ..., :count]
        heat = counting.heat(*days)
        heat[..., : max(20 - known - 1, 0)] = 0.0
        expected = known + 1 + day_reached(np.cumsum(heat, axis=-1), goals)
        times = np.moveaxis(ahead.times(goals, np.full(goals.size, issue)), 0, -1)
        np.testing.assert_allclose(times, expected, rtol=0, atol=1e-9)


def test_a_graft_is_the_plain_members_continued() -> None:
    """One running sum says what counting the days anew says, from every last known day."""
    record, season = station("Champion"), season_of(dt.date(2010, 1, 1))
    last, issue = np.array([-1, 40, 120, 340]), np.repeat(np.arange(4), 2)
    needed = np.tile([150.0, 900.0], 4)
    plain = climate_of(record, season, steps=PLAIN_GRAFT)
    counted = continued(first_days(plain, last), Counting(10.0), 30)
    joined = grafted(climate_of(record, season), last, Counting(10.0), 30)
    for each in ("times", "times_of_years"):
        np.testing.assert_allclose(
            getattr(joined, each)(needed, issue), getattr(counted, each)(needed, issue),
            rtol=0, atol=1e-9,
        )  # fmt: skip
    np.testing.assert_allclose(joined.totals(), counted.totals(), rtol=0, atol=1e-9)


def test_double_shape_looks_at_the_night_after() -> None:
    record = station("Champion")
    counting = Counting(10.0, shape=double_sine)
    climate = climate_of(record, season_of(dt.date(2010, 1, 1)), steps=PLAIN_GRAFT)
    ahead = continued(first_days(climate, [99]), counting)
    whole = np.diff(climate.sums(counting), axis=-1)[..., 99:144]
    counted = np.diff(ahead.early[0], axis=-1, prepend=0.0)
    np.testing.assert_allclose(counted, whole, rtol=0, atol=1e-9)


def test_warm_spell_bends_the_first_days_and_not_the_last() -> None:
    record = invented()
    low, high = record.tmin.copy(), record.tmax.copy()
    low[-8:] += 12.0
    high[-8:] += 12.0
    season = season_of(record.last)
    last = [(record.last - season.first).days]
    mild, hot = (
        first_days(climate_of(each, season), last).temperatures[1, 0]
        for each in (record, DailySeries(record.first, low, high))
    )
    bent = (hot - mild).mean(axis=(0, 1))
    assert bent[0] > 3.0
    assert abs(bent[30:].mean()) < 1.0
    assert np.all(np.diff(bent[:4]) < 0)


def test_a_past_year_that_went_like_this_one_is_continued_as_it_went() -> None:
    """Persistence bends a member by how unlike this season its own last days were."""
    record = invented()
    season, like = season_of(dt.date(2011, 1, 1)), dt.date(2006, 1, 1)
    low, high = record.tmin.copy(), record.tmax.copy()
    ours, theirs = record.index(season.first), record.index(like)
    for each in (low, high):
        each[ours : ours + 60] = each[theirs : theirs + 60]
    climate = climate_of(
        DailySeries(record.first, low, high), season, steps=Steps(trend=False, window=False)
    )
    (laid,) = np.moveaxis(first_days(climate, [59]).temperatures[..., 0, :], 1, 0)
    plain = climate.temperatures[:, :, 0, 60 : 60 + laid.shape[-1]]
    bent = np.abs(laid - plain).max(axis=(0, 2))
    same = [each.first for each in climate.members].index(like)
    assert bent[same] < 0.1
    assert np.delete(bent, same).min() > 0.3


def test_a_cold_month_missing_from_later_years_is_no_warming() -> None:
    record = invented()
    season = season_of(dt.date(2012, 1, 1))
    date = record.dates.astype(object)
    gone = np.array([each.year in range(2007, 2012) and each.month == 1 for each in date])
    low, high = (np.where(gone, np.nan, each) for each in (record.tmin, record.tmax))
    whole, holed = (
        climate_of(each, season).slope for each in (record, DailySeries(record.first, low, high))
    )
    assert holed == pytest.approx(whole, rel=0, abs=0.004)
