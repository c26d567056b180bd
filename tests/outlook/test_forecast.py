"""A forecast dressed with its errors helps; one taken as fact makes spans that do not hold."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from gddcast.outlook.continuation import first_days
from gddcast.outlook.ensemble import climate_of, values_at
from gddcast.outlook.forecast import (
    ENOUGH,
    LONGEST,
    ForecastErrors,
    dressed,
    fade,
    learnt_errors,
    usual_errors,
)
from gddcast.skill.backtest import Forecasts, backtest
from gddcast.skill.track_record import LeadRecord, by_lead
from gddcast.weather.series import DailySeries, Season
from tests.skill_table import goals_of, station

DAYS = 7


def errors_drawn(sd: NDArray[np.float64], rows: int, seed: int) -> NDArray[np.float64]:
    """Errors as the daily mean temperature of forecasts has them: carried over by 0.7 a day."""
    drawn = np.random.default_rng(seed).standard_normal((rows, sd.size))
    for day in range(1, sd.size):
        drawn[:, day] = 0.7 * drawn[:, day - 1] + np.sqrt(1 - 0.49) * drawn[:, day]
    return drawn * sd


def forecaster(
    record: DailySeries, sd: NDArray[np.float64], bias: float = 0.0
) -> Callable[[Season, NDArray[np.intp]], NDArray[np.float64]]:
    """The truth of the next week, with errors that grow: not the program's own draws."""

    def said(season: Season, last: NDArray[np.intp]) -> NDArray[np.float64]:
        days = record.index(season.first) + last[:, None] + 1 + np.arange(DAYS)
        truth = values_at(np.stack([record.tmin, record.tmax]), days)
        return truth + errors_drawn(sd[:DAYS], last.size, season.first.year) + bias

    return said


@pytest.fixture(scope="module")
def three_ways() -> tuple[Forecasts, Forecasts, Forecasts]:
    """No forecast; a forecast with its errors; the same forecast taken as fact."""
    record = station("Champion")
    goals = goals_of(record)[::2]
    spread = climate_of(record, list(record.seasons())[-1]).spread
    said = forecaster(record, usual_errors(spread).sd)
    fact = ForecastErrors(np.zeros(LONGEST))
    return (
        backtest(record, goals),
        backtest(record, goals, forecast_of=said),
        backtest(record, goals, forecast_of=said, errors=fact),
    )


def test_dressed_forecast_gains_inside_a_month(
    three_ways: tuple[Forecasts, Forecasts, Forecasts],
) -> None:
    without, dressed_, _ = (by_lead(each) for each in three_ways)
    # Our own measurement on six sites: CRPS down by 52, 33, 14, 5 and 0 %; at least a third of it
    # at this one.
    saved = [
        1 - ours.crps["outlook"] / bare.crps["outlook"]
        for ours, bare in zip(dressed_, without, strict=True)
    ]
    assert saved[0] > 0.17
    assert saved[1] > 0.11
    assert saved[2] > 0.05
    assert saved[3] > 0.0
    assert all(0.78 <= each.held[0.8] <= 0.95 for each in dressed_)


def test_forecast_taken_as_fact_fails(three_ways: tuple[Forecasts, Forecasts, Forecasts]) -> None:
    fact = by_lead(three_ways[2])
    assert fact[0].held[0.8] < 0.3  # six per cent on our six sites
    assert fact[1].held[0.8] < 0.6
    assert fact[0].dots[0] < 0.3


def test_dressing_keeps_the_errors_it_was_told() -> None:
    errors = usual_errors(4.5)
    said, normal = np.full((2, 1, 10), 20.0), np.full((2, 1, 10), 10.0)
    drawn = dressed(said, normal, 4.5, errors, 4000)
    size = np.hypot(errors.sd, errors.bias_sd)
    trust = 4.5**2 / (4.5**2 + size**2)
    np.testing.assert_allclose(drawn.mean(axis=1)[0, 0], 10 + 10 * trust, rtol=0, atol=1e-9)
    np.testing.assert_allclose(drawn.std(axis=1)[0, 0], size * np.sqrt(trust), rtol=0, atol=0.01)
    np.testing.assert_array_equal(drawn, dressed(said, normal, 4.5, errors, 4000))
    lag = np.corrcoef(drawn[0, :, 0, 3], drawn[0, :, 0, 4])[0, 1]
    between = (0.7 * errors.sd[3] * errors.sd[4] + errors.bias_sd**2) / (size[3] * size[4])
    np.testing.assert_allclose(lag, between, rtol=0, atol=1e-9)


@pytest.mark.parametrize("count", [12, 20, 30])
def test_a_few_members_share_the_errors_out_evenly(count: int) -> None:
    """No day and no sum of days leans to one side, and sums are as wide as errors that carry over.

    Below 15 members the variance is that of the errors; from there on the members stand where
    i of N + 1 errors do, whose variance is smaller (Weibull's plotting positions).
    """
    nought = np.zeros((2, 1, 10))
    drawn = dressed(nought, nought, 1e9, ForecastErrors(np.ones(10)), count)[0, :, 0]
    positions = norm.ppf(np.arange(1, count + 1) / (count + 1))
    size = np.sqrt((positions**2).mean()) if count >= 15 else np.sqrt((count - 1) / count)
    np.testing.assert_allclose(drawn.mean(axis=0), 0.0, rtol=0, atol=1e-9)
    np.testing.assert_allclose(drawn.std(axis=0), size, rtol=0, atol=1e-9)
    apart = np.abs(np.subtract.outer(np.arange(10), np.arange(10)))
    for days in range(1, 11):
        whole = np.sqrt((0.7 ** apart[:days, :days]).sum())
        np.testing.assert_allclose(
            drawn[:, :days].sum(axis=1).std(), size * whole, rtol=0, atol=1e-9
        )


def test_certain_forecast_is_believed_and_a_worthless_one_is_not() -> None:
    said, normal = np.full((2, 1, 3), 25.0), np.full((2, 1, 3), 15.0)
    sure = dressed(said, normal, 4.5, ForecastErrors(np.zeros(3)), 5)
    np.testing.assert_allclose(sure, 25.0, rtol=0, atol=1e-9)
    worthless = dressed(said, normal, 4.5, ForecastErrors(np.full(3, 1e6)), 5)
    np.testing.assert_allclose(worthless.mean(axis=1), 15.0, rtol=0, atol=1e-3)
    np.testing.assert_allclose(worthless.std(axis=1, ddof=1), 4.5, rtol=0, atol=0.1)


def both(days: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same of minimum and maximum."""
    return np.stack([days, days])


def test_own_errors_take_over_as_forecasts_are_compared() -> None:
    rng = np.random.default_rng(11)
    came = rng.normal(15.0, 5.0, (3000, 7))
    learnt = learnt_errors(both(came + rng.normal(0.0, 0.8, came.shape)), both(came), 4.5)
    np.testing.assert_allclose(learnt.sd[:7], 0.8, rtol=0, atol=0.08)
    assert (learnt.forecasts, learnt.learnt.tolist()) == (3000, [True] * 7 + [False] * 3)
    # Nobody spoke of the last three days: their usual errors stay.
    np.testing.assert_array_equal(learnt.sd[7:], usual_errors(4.5).sd[7:])
    none = learnt_errors(np.empty((2, 0, 7)), np.empty((2, 0, 7)), 4.5)
    np.testing.assert_array_equal(none.sd, usual_errors(4.5).sd)
    assert (none.forecasts, none.learnt.any()) == (0, False)
    # σ of the first day ahead at a usual place is 1.5 °C: our own figure.
    np.testing.assert_allclose(usual_errors(4.5).sd[0], 1.5, rtol=0, atol=1e-12)


def test_below_thirty_comparisons_a_lead_keeps_its_usual_error() -> None:
    came = np.full((ENOUGH, 2), 15.0)
    said = came + np.where(np.arange(ENOUGH) % 2, 0.5, -0.5)[:, None]  # no bias
    said[0, 1] = np.nan  # one forecast fewer of the second day
    learnt = learnt_errors(both(said), both(came), 4.5)
    assert learnt.learnt.tolist() == [True, False] + [False] * 8
    # Thirty of 0.5 beside ten of 1.5.
    np.testing.assert_allclose(
        learnt.sd[0], np.sqrt((30 * 0.25 + 10 * 2.25) / 40), rtol=0, atol=1e-5
    )
    assert learnt.sd[1] == usual_errors(4.5).sd[1]
    assert learnt.forecasts == ENOUGH


def test_errors_of_an_older_forecast_are_those_of_days_farther_ahead() -> None:
    errors = usual_errors(4.5)
    old = errors.at(np.arange(LONGEST) + 3)
    np.testing.assert_array_equal(old.sd[:7], errors.sd[3:])
    np.testing.assert_array_equal(old.sd[7:], errors.sd[-1])


def test_days_nobody_spoke_of_are_left_to_the_members() -> None:
    """Between the record's end and today lies a day without a forecast."""
    record = station("Champion")
    climate = climate_of(record, list(record.seasons())[-1])
    said = np.stack([np.full((1, 3), 12.0), np.full((1, 3), 26.0)])
    said[:, :, 0] = np.nan
    without = first_days(climate, [120]).temperatures
    with_ = first_days(climate, [120], forecast=said).temperatures
    np.testing.assert_array_equal(with_[..., 0], without[..., 0])
    assert not np.allclose(with_[..., 1], without[..., 1], rtol=0, atol=0.5)
    assert not np.isnan(with_).any()


def test_no_day_is_colder_at_noon_than_at_night() -> None:
    """Nights foretold 6 °C too cold and days 6 °C too hot: righted, a grey day would cross."""
    record = station("Champion")
    climate = climate_of(record, list(record.seasons())[-1])
    grey = np.full((2, 1, 3), 16.0)
    bias = np.repeat([[-6.0], [6.0]], LONGEST, axis=1)
    errors = ForecastErrors(usual_errors(4.5).sd, bias=bias)
    low, high = first_days(climate, [120], forecast=grey, errors=errors).temperatures
    assert np.all(high >= low)
    np.testing.assert_array_equal(high[..., :3], low[..., :3])  # the night is believed


def test_mismatch_fades() -> None:
    np.testing.assert_allclose(fade(3), [0.65, 0.4875, 0.365625], rtol=0, atol=1e-12)


# --- forecasts that are always off the same way ---------------------------------------------------


def past_mornings(count: int, bias: float, seed: int) -> NDArray[np.float64]:
    """Errors of forecasts issued on successive mornings, the last days of them not yet over.

    Each morning's error of a day is six tenths of what the morning before was wrong by about it.
    """
    rng = np.random.default_rng(seed)
    carry = np.linalg.cholesky(0.7 ** np.abs(np.subtract.outer(np.arange(10), np.arange(10))))
    errors, before = np.full((count, LONGEST), np.nan), carry @ rng.standard_normal(LONGEST)
    for morning in range(count):
        new = carry @ rng.standard_normal(LONGEST)
        before = 0.6 * np.append(before[1:], rng.standard_normal()) + 0.8 * new
        over = min(count - morning, LONGEST)
        errors[morning, :over] = (before * usual_errors(4.5).sd + bias)[:over]
    return errors


def learnt_from(count: int, bias: float, seed: int) -> ForecastErrors:
    wrong = both(past_mornings(count, bias, seed))
    return learnt_errors(wrong, np.zeros_like(wrong), 4.5)


@pytest.mark.parametrize("bias", [0.0, 1.5, -1.5, 3.0])
def test_a_lasting_error_is_learnt_and_its_doubt_is_told(bias: float) -> None:
    """Over 200 places each: near the truth, and as far off as it says, within a third."""
    misses = []
    for count in (3, 10, 30, 100):
        places = [learnt_from(count, bias, seed) for seed in range(200)]
        miss = np.array([each.bias[:, :5].mean() - bias for each in places])
        said = np.sqrt(np.mean([each.bias_sd**2 for each in places]))
        misses.append(np.sqrt((miss**2).mean()))
        assert 0.6 < misses[-1] / said < 1.35, (count, misses[-1], said)
    assert misses == sorted(misses, reverse=True)
    assert misses[-1] < 0.35
    assert abs(bias) < 1.0 or misses[0] < abs(bias)


def test_minimum_and_maximum_have_their_own() -> None:
    """A valley's nights are colder than its grid cell's."""
    errors = past_mornings(60, 0.0, 3)
    learnt = learnt_errors(
        np.stack([errors + 2.0, errors - 1.0]), np.zeros((2, *errors.shape)), 4.5
    )
    np.testing.assert_allclose(learnt.bias[0] - learnt.bias[1], 3.0, rtol=0, atol=0.3)


def test_a_biased_forecast_helps_once_a_few_mornings_are_compared(
    three_ways: tuple[Forecasts, Forecasts, Forecasts],
) -> None:
    """Warm by 1.5 °C after ten mornings it keeps most of its gain; by 3 °C after three, some."""
    record = station("Champion")
    goals = goals_of(record)[::2]
    none, due = (by_lead(each) for each in three_ways[:2])

    def saved(records: tuple[LeadRecord, ...]) -> NDArray[np.float64]:
        return np.array(
            [
                1 - ours.crps["outlook"] / bare.crps["outlook"]
                for ours, bare in zip(records, none, strict=True)
            ]
        )[:3]

    def outcome(bias: float, count: int, seed: int) -> tuple[LeadRecord, ...]:
        said = forecaster(record, usual_errors(4.5).sd, bias)
        return by_lead(
            backtest(record, goals, forecast_of=said, errors=learnt_from(count, bias, seed))
        )

    warm = np.mean([saved(outcome(1.5, 10, seed)) for seed in (1, 2)], axis=0)
    assert warm.sum() > 0.85 * saved(due).sum(), (warm, saved(due))
    # A fortnight and more ahead there is little to save, and two seeds of ten mornings scatter.
    assert (warm > np.array([0.8, 0.8, 0.4]) * saved(due)).all(), (warm, saved(due))
    hot = [outcome(3.0, 3, seed) for seed in (1, 2)]
    assert (np.mean([saved(each) for each in hot], axis=0) > 0.0).all()
    assert all(each.held[0.8] > 0.72 for records in hot for each in records)
