"""Forecasts kept as issued: which one holds, what they teach, and spans made with it that hold."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import binom

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached
from gddcast.outlook import spans
from gddcast.outlook.continuation import continued, first_days
from gddcast.outlook.ensemble import Climate, climate_of
from gddcast.outlook.forecast import ENOUGH, LONGEST, ForecastErrors, usual_errors
from gddcast.outlook.forecast_archive import (
    ForecastArchive,
    compared,
    errors_on,
    with_forecasts,
    with_forecasts_of,
)
from gddcast.weather.series import DailySeries, Origin
from tests.outlook.test_forecast import errors_drawn

JUNE = dt.date(2026, 6, 1)


def june(day: int) -> str:
    return dt.date(2026, 6, day).isoformat()


def archive(*rows: tuple[int, int, float, float]) -> ForecastArchive:
    """Forecasts of June days."""
    return ForecastArchive.of([(june(a), june(b), low, high) for a, b, low, high in rows])


def measured(days: int, low: float = 10.0, high: float = 20.0) -> DailySeries:
    """So many days of June."""
    return DailySeries(JUNE, np.full(days, low), np.full(days, high))


# --- which forecast holds ------------------------------------------------------------------------


def test_of_each_day_the_newest_word_holds() -> None:
    kept = archive((9, 10, 1, 2), (9, 11, 3, 4), (9, 12, 5, 6), (10, 11, 7, 8), (11, 12, 9, 10))
    holding = kept.holding(dt.date(2026, 6, 10))
    assert holding.day.astype(str).tolist() == [june(10), june(11), june(12)]
    assert holding.tmin.tolist() == [1, 7, 5]  # the 11th was spoken of again; the 12th not yet
    assert holding.lead.tolist() == [1, 1, 3]


def test_of_two_issued_on_one_day_the_later_written_holds() -> None:
    kept = archive((9, 10, 1, 2), (9, 10, 3, 4))
    assert kept.holding(dt.date(2026, 6, 9)).tmin.tolist() == [3]


def test_nothing_issued_later_holds_and_nothing_ten_days_old() -> None:
    kept = archive((1, 10, 1, 2), (1, 11, 3, 4), (12, 12, 5, 6))
    assert kept.holding(dt.date(2026, 6, 10)).day.astype(str).tolist() == [june(10)]
    assert LONGEST == 10


def test_it_is_laid_behind_the_record_and_hides_what_was_measured_later() -> None:
    """A pretended today knows what was foretold that morning, not what came."""
    kept = archive((5, 5, 1, 2), (5, 7, 3, 4))
    series = with_forecasts(measured(9), kept, dt.date(2026, 6, 5))
    assert series.origin[:8].tolist() == [1, 1, 1, 1, 4, 1, 4, 1]
    assert (series.tmin[4], series.tmax[6]) == (1, 4)
    beyond = with_forecasts(measured(3), kept, dt.date(2026, 6, 5))
    assert beyond.last == dt.date(2026, 6, 7)
    assert beyond.origin.tolist() == [1, 1, 1, 0, 4, 0, 4]
    assert np.isnan(beyond.tmin[3])


def test_a_forecast_in_the_record_itself_is_not_replaced() -> None:
    own = DailySeries(JUNE, [10, 11], [20, 21], [Origin.MEASURED, Origin.FORECAST])
    laid = with_forecasts(own, archive((2, 2, 1, 2)), dt.date(2026, 6, 2))
    assert laid.tmin.tolist() == [10, 11]


def test_a_record_worked_on_gets_its_own_forecast_back() -> None:
    series = with_forecasts(measured(3), archive((5, 5, 1, 2), (5, 6, 3, 4)), dt.date(2026, 6, 5))
    again = with_forecasts_of(series.between(JUNE, dt.date(2026, 6, 2)), series)
    assert again.origin.tolist() == [1, 1, 0, 0, 4, 4]
    assert again.tmax.tolist()[-2:] == [2, 4]


# --- what past ones teach ------------------------------------------------------------------------


def test_held_against_measured_days_before_today_and_no_others() -> None:
    """Not patched, not of a model, not of today or later: those flatter, or are not over."""
    origin = [Origin.MEASURED, Origin.PATCHED, Origin.MODEL, Origin.MEASURED, Origin.MEASURED]
    record = DailySeries(JUNE, [10.0] * 5, [20.0] * 5, origin)
    kept = archive(*((1, day, 11.0, 25.0) for day in range(1, 6)))
    _, said, came = compared(kept, record, dt.date(2026, 6, 5))
    assert said[0].tolist()[0][:5] == [11.0] * 5
    np.testing.assert_array_equal(came[1, 0], [20.0, *[np.nan] * 2, 20.0, *[np.nan] * 6])


def test_today_s_own_forecast_is_not_held_against_anything() -> None:
    _, said, _ = compared(archive((5, 5, 1, 2), (4, 4, 1, 2)), measured(9), dt.date(2026, 6, 5))
    assert said.shape[1] == 1


@pytest.mark.parametrize(
    ("low", "high", "why"),
    [
        (10.0 * 1.8 + 32.0, 20.0 * 1.8 + 32.0, "°F kept as °C"),
        ((10.0 - 32.0) / 1.8, (20.0 - 32.0) / 1.8, "°C kept as °F"),
        (-10.0, 0.0, "of another season or hemisphere"),
    ],
)
def test_what_was_kept_in_another_unit_teaches_nothing_and_is_named(
    low: float, high: float, why: str
) -> None:
    """Two such issues among five: the errors are those of the other three."""
    good = [(issue, day, 11.0, 21.0) for issue in (1, 3, 5) for day in range(issue, issue + 5)]
    bad = [(issue, day, low, high) for issue in (2, 4) for day in range(issue, issue + 5)]
    today, record = dt.date(2026, 6, 20), measured(19)
    mixed = errors_on(archive(*good, *bad), record, today, 4.5)
    alone = errors_on(archive(*good), record, today, 4.5)
    assert mixed is not None
    assert alone is not None
    assert alone.strange is None
    assert mixed.forecasts == 3, why
    np.testing.assert_array_equal(mixed.bias, alone.bias)
    assert mixed.strange is not None
    assert mixed.strange.issued == (dt.date(2026, 6, 2), dt.date(2026, 6, 4))
    np.testing.assert_allclose(mixed.strange.foretold, (low + high) / 2, rtol=0, atol=1e-9)
    np.testing.assert_allclose(mixed.strange.measured, 15.0, rtol=0, atol=1e-9)


@pytest.mark.parametrize("off", [-9.0, 9.0])
def test_a_forecast_of_a_hill_above_the_garden_still_teaches(off: float) -> None:
    """A cell a kilometre higher or lower is off by six degrees and some, and is learnt."""
    kept = archive(*((1, day, 10.0 + off, 20.0 + off) for day in range(1, 10)))
    errors = errors_on(kept, measured(19), dt.date(2026, 6, 20), 4.5)
    assert errors is not None
    assert errors.strange is None
    assert errors.forecasts == 1
    assert (np.sign(errors.bias) == np.sign(off)).all()


def test_without_any_forecast_there_are_no_errors_of_ours() -> None:
    assert errors_on(None, measured(9), dt.date(2026, 6, 10), 4.5) is None
    assert errors_on(ForecastArchive.of([]), measured(9), dt.date(2026, 6, 10), 4.5) is None


def test_a_forecast_that_has_been_lying_about_is_trusted_less() -> None:
    """Issued on the 7th, used on the 10th: its first day is the fourth."""
    kept = archive(*((7, day, 11.0, 25.0) for day in range(7, 15)))
    errors = errors_on(kept, measured(9), dt.date(2026, 6, 10), 4.5)
    assert errors is not None
    usual = usual_errors(4.5).sd
    np.testing.assert_array_equal(errors.sd[:5], usual[3:8])
    assert errors.sd[5] == usual[5]  # beyond what it said: as of this morning
    late = errors_on(kept, measured(8), dt.date(2026, 6, 10), 4.5)  # a day short of today
    assert late is not None
    np.testing.assert_array_equal(late.sd[1:6], usual[3:8])


def known_forecasts(
    record: DailySeries, sd: NDArray[np.float64], issues: list[dt.date], seed: int
) -> ForecastArchive:
    """Forecasts of what came, with errors of a known size that carry over by 0.7 a day."""
    rows = []
    for issue, wrong in zip(issues, errors_drawn(sd, len(issues), seed), strict=True):
        for lead, error in enumerate(wrong.tolist()):
            day = issue + dt.timedelta(days=lead)
            at = record.index(day)
            low, high = record.tmin[at] + error, record.tmax[at] + error
            rows.append((issue.isoformat(), day.isoformat(), float(low), float(high)))
    return ForecastArchive.of(rows)


def invented(seasons: int, seed: int) -> DailySeries:
    """Seasons that wander about the usual by 4.5 °C, each day like the one before by 0.7."""
    first = dt.date(1900, 1, 1)
    size = (dt.date(1900 + seasons, 1, 1) - first).days
    rng = np.random.default_rng(seed)
    wander = rng.standard_normal(size)
    for day in range(1, size):
        wander[day] = 0.7 * wander[day - 1] + np.sqrt(0.51) * wander[day]
    turn = 2 * np.pi * (np.arange(size) - 105) / 365.2425
    mean = 10.0 + 14.0 * np.sin(turn) + 4.5 * wander
    return DailySeries(first, mean - 5.5, mean + 5.5)


def every_third_day(first: dt.date, count: int) -> list[dt.date]:
    return [first + dt.timedelta(days=3 * number) for number in range(count)]


@pytest.mark.parametrize("size", [0.5, 1.0, 2.0])
def test_learnt_errors_come_to_be_the_ones_there_were(size: float) -> None:
    """The more forecasts are on record, the nearer: within four standard errors of the truth."""
    record = invented(4, seed=5)
    today = record.last + dt.timedelta(days=1)
    truth = size * usual_errors(4.5).sd
    misses = []
    for count in (ENOUGH, 120, 480):
        issues = every_third_day(dt.date(1900, 1, 1), count)
        kept = known_forecasts(record, truth, issues, seed=6)
        errors = errors_on(kept, record, today, 4.5)
        assert errors is not None
        assert errors.forecasts == count
        assert errors.learnt[:LONGEST].all()
        # What ten comparisons of the usual size and so many of the true size add up to.
        blend = np.sqrt((count * size**2 + 10) / (count + 10)) * truth / size
        # sd of a standard deviation from n numbers: σ/√(2n).
        np.testing.assert_allclose(
            errors.sd[:LONGEST] / blend, 1.0, rtol=0, atol=4 / np.sqrt(2 * count)
        )
        misses.append(np.abs(errors.sd[:LONGEST] / truth - 1.0).mean())
    if size != 1.0:
        assert misses[0] > misses[1] > misses[2]
    assert misses[2] < 0.13


# --- spans made with them hold -------------------------------------------------------------------

LEARN_FROM, FORETOLD = 20, 60
SINE = Counting(lower=10.0)
#: Days of the season after which the next week's heat is foretold, a month apart: independent.
ISSUED_AFTER = np.array([120, 150, 180, 210])


@pytest.fixture(scope="module")
def simulated() -> DailySeries:
    return invented(LEARN_FROM + FORETOLD, seed=21)


@pytest.fixture(scope="module")
def climates(simulated: DailySeries) -> list[Climate]:
    """Each of the last sixty seasons with the twenty before it."""
    seasons = list(simulated.seasons())
    return [
        climate_of(simulated.between(seasons[at - LEARN_FROM].first, seasons[at].last), seasons[at])
        for at in range(LEARN_FROM, LEARN_FROM + FORETOLD)
    ]


def held(
    climates: list[Climate], sd: NDArray[np.float64], errors: ForecastErrors
) -> NDArray[np.bool_]:
    """Whether the 80 % span of the day the next eight days' usual heat is there held, each time."""
    found = []
    for climate in climates:
        begin = climate.record.index(climate.season.first)
        days = begin + ISSUED_AFTER[:, None] + 1 + np.arange(60)
        truth = np.stack([climate.record.tmin, climate.record.tmax])[:, days]
        wrong = errors_drawn(sd, len(ISSUED_AFTER), climate.season.first.year)
        said = truth[..., :LONGEST] + wrong
        heat = np.cumsum(SINE.heat(*truth), axis=-1)
        usual = SINE.heat(*climate.temperatures[:, :, climate.temperatures.shape[2] // 2])
        needed = np.array([usual[:, at + 1 : at + 9].sum(axis=1).mean() for at in ISSUED_AFTER])
        first = first_days(climate, ISSUED_AFTER, forecast=said, errors=errors)
        times = continued(first, SINE).times(needed, np.arange(needed.size))
        for at, last in enumerate(ISSUED_AFTER):
            low, high = spans.foretold(
                times[at], [0.1, 0.9], earliest=last + 1.0, needed=needed[at],
                spread=climate.spread, steady=True,
            )  # fmt: skip
            came = last + 1 + float(day_reached(heat[at], needed[at]))
            found.append(low <= came <= high)
    return np.array(found)


def binomial(times: int, of: int, share: float = 0.8) -> bool:
    """Whether so many are what a share gives, 99 times in 100."""
    low, high = binom.interval(0.99, of, share)
    return bool(low <= times <= high)


@pytest.mark.parametrize("size", [0.5, 1.0, 2.0])
def test_spans_with_learnt_errors_hold_and_a_forecast_taken_as_fact_does_not(
    simulated: DailySeries, climates: list[Climate], size: float
) -> None:
    """At places whose forecasts are half as wrong as usual, as usual, and twice as wrong.

    What is learnt comes from a hundred forecasts of one season, kept as issued. 240 spans, the
    seasons foretold not among those learnt from, within the central 99 % of a binomial, p = 0.8.
    """
    truth = size * usual_errors(4.5).sd
    kept = known_forecasts(simulated, truth, every_third_day(dt.date(1900, 1, 1), 100), seed=9)
    record = simulated.between(simulated.first, dt.date(1900, 12, 31))
    learnt = errors_on(kept, record, dt.date(1901, 1, 1), 4.5)
    assert learnt is not None
    assert learnt.learnt[:LONGEST].all()
    holding = held(climates, truth, learnt)
    assert binomial(int(holding.sum()), holding.size), holding.mean()
    fact = held(climates, truth, ForecastErrors(np.zeros(LONGEST)))
    assert not binomial(int(fact.sum()), fact.size), fact.mean()
    assert fact.mean() < 0.5


def test_the_usual_errors_fail_where_forecasts_are_twice_as_wrong(
    climates: list[Climate],
) -> None:
    """Which is why they are learnt."""
    usual = usual_errors(4.5)
    holding = held(climates, 2.0 * usual.sd, usual)
    assert not binomial(int(holding.sum()), holding.size), holding.mean()
    assert holding.mean() < 0.75
