"""A forecast dressed with its errors helps; one taken as fact makes spans that do not hold."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from gddcast.backtest import Forecasts, backtest
from gddcast.ensemble import climate_of, taken
from gddcast.forecast import LONGEST, ForecastErrors, dressed, fade, learnt_errors, usual_errors
from gddcast.series import DailySeries, Season
from gddcast.track_record import by_lead
from tests.skill_table import goals_of, station

DAYS = 7


def errors_drawn(sd: NDArray[np.float64], rows: int, seed: int) -> NDArray[np.float64]:
    """Errors as the daily mean temperature of forecasts has them: carried over by 0.7 a day."""
    drawn = np.random.default_rng(seed).standard_normal((rows, sd.size))
    for day in range(1, sd.size):
        drawn[:, day] = 0.7 * drawn[:, day - 1] + np.sqrt(1 - 0.49) * drawn[:, day]
    return drawn * sd


def forecaster(
    record: DailySeries, sd: NDArray[np.float64]
) -> Callable[[Season, NDArray[np.intp]], NDArray[np.float64]]:
    """The truth of the next week, with errors that grow: not the program's own draws."""

    def said(season: Season, last: NDArray[np.intp]) -> NDArray[np.float64]:
        days = record.index(season.first) + last[:, None] + 1 + np.arange(DAYS)
        truth = taken(np.stack([record.tmin, record.tmax]), days)
        return truth + errors_drawn(sd[:DAYS], last.size, season.first.year)

    return said


@pytest.fixture(scope="module")
def three_ways() -> tuple[Forecasts, Forecasts, Forecasts]:
    """No forecast; a forecast with its errors; the same forecast taken as fact."""
    record = station("Champion")
    goals = goals_of(record)
    spread = climate_of(record, list(record.seasons())[-1]).spread
    said = forecaster(record, usual_errors(spread).sd / 1.25)
    fact = ForecastErrors(np.zeros(LONGEST))
    return (
        backtest(record, goals),
        backtest(record, goals, said=said),
        backtest(record, goals, said=said, errors=fact),
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
    trust = 4.5**2 / (4.5**2 + errors.sd**2)
    np.testing.assert_allclose(drawn.mean(axis=1)[0, 0], 10 + 10 * trust, rtol=0, atol=1e-9)
    np.testing.assert_allclose(
        drawn.std(axis=1, ddof=1)[0, 0], errors.sd * np.sqrt(trust), rtol=0, atol=1e-9
    )
    np.testing.assert_array_equal(drawn, dressed(said, normal, 4.5, errors, 4000))
    lag = np.corrcoef(drawn[0, :, 0, 3], drawn[0, :, 0, 4])[0, 1]
    np.testing.assert_allclose(lag, 0.7, rtol=0, atol=0.03)


def test_certain_forecast_is_believed_and_a_worthless_one_is_not() -> None:
    said, normal = np.full((2, 1, 3), 25.0), np.full((2, 1, 3), 15.0)
    sure = dressed(said, normal, 4.5, ForecastErrors(np.zeros(3)), 5)
    np.testing.assert_allclose(sure, 25.0, rtol=0, atol=1e-9)
    worthless = dressed(said, normal, 4.5, ForecastErrors(np.full(3, 1e6)), 5)
    np.testing.assert_allclose(worthless.mean(axis=1), 15.0, rtol=0, atol=1e-3)
    np.testing.assert_allclose(worthless.std(axis=1, ddof=1), 4.5, rtol=0, atol=1e-3)


def test_own_errors_take_over_as_forecasts_are_compared() -> None:
    rng = np.random.default_rng(11)
    came = rng.normal(15.0, 5.0, (3000, 7))
    learnt = learnt_errors(came + rng.normal(0.0, 0.8, came.shape), came, 4.5)
    np.testing.assert_allclose(learnt.sd[:7], 0.8, rtol=0, atol=0.08)
    assert learnt.days == 21_000
    none = learnt_errors(np.empty((0, 7)), np.empty((0, 7)), 4.5)
    np.testing.assert_allclose(none.sd * 1.25, usual_errors(4.5).sd, rtol=0, atol=1e-12)
    # Where nothing has been compared yet the usual errors stand, a quarter wider.
    np.testing.assert_allclose(usual_errors(4.5).sd[0], 1.875, rtol=0, atol=1e-12)


def test_mismatch_fades() -> None:
    np.testing.assert_allclose(fade(3), [0.65, 0.4875, 0.365625], rtol=0, atol=1e-12)
