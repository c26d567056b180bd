"""Spans hold what they say: simulated with the law known, and against textbook quantiles."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from gddcast.outlook.spans import (
    foretold,
    middle,
    quantile,
    shrunk,
    unshifted,
    usual_width,
)


def test_level_is_read_after_hazen() -> None:
    # NumPy's own "hazen" reading at the corrected level, several widths.
    values = np.random.default_rng(1).normal(size=29)
    for share in (0.05, 0.1, 0.25, 0.5, 0.9):
        level = np.clip((share * 30 - 0.5) / 29, 0, 1)
        expected = np.quantile(values, level, method="hazen")
        np.testing.assert_allclose(quantile(values, [share], 29), expected, rtol=0, atol=1e-12)


def test_usual_quantile_of_29_members_holds_too_little_and_ours_enough() -> None:
    drawn = np.random.default_rng(2).normal(size=(40_000, 30))
    past, came = drawn[:, 1:], drawn[:, :1]
    low, high = np.quantile(past, [0.1, 0.9], axis=1)
    usual = np.mean((low <= came[:, 0]) & (came[:, 0] <= high))
    ours = quantile(past, [0.1, 0.9], 29)
    held = np.mean((ours[:, :1] <= came) & (came <= ours[:, 1:]))
    assert 0.73 <= usual <= 0.77
    np.testing.assert_allclose(held, 0.8, rtol=0, atol=0.01)


def test_not_reached_counts_as_infinity() -> None:
    times = [160.0, 165.0, 170.0, 175.0, np.inf, np.inf]
    read = quantile(times, [0.1, 0.5, 0.9], 6)
    assert np.isfinite(read[:2]).all()
    assert read[2] == np.inf
    assert np.isnan(quantile([np.nan, np.nan], [0.5], 0)).all()


@pytest.mark.parametrize("years", [3, 5, 10])
def test_shrunk_spans_hold_with_few_years(years: int) -> None:
    # Places whose width varies about the usual one as the prior says (4 degrees of freedom):
    # there the t is exact.
    rng = np.random.default_rng(years)
    width = float(usual_width(20.0, 4.5, 9.0, years))
    place = width * np.sqrt(4.0 / rng.chisquare(4, 20_000))
    drawn = rng.normal(size=(20_000, years + 1)) * place[:, None]
    read = shrunk(drawn[:, :years, None], np.full(20_000, width), [0.1, 0.9])
    held = np.mean((read[:, 0] <= drawn[:, -1]) & (drawn[:, -1] <= read[:, 1]))
    np.testing.assert_allclose(held, 0.8, rtol=0, atol=0.02)
    past, came = drawn[:, :years], drawn[:, -1]
    kept = np.mean((past.min(axis=1) <= came) & (came <= past.max(axis=1)))
    np.testing.assert_allclose(kept, (years - 1) / (years + 1), rtol=0, atol=0.02)


def test_each_row_has_the_t_of_its_own_years() -> None:
    times = np.array([[150.0, 154.0, 161.0, 158.0], [150.0, 154.0, 161.0, np.nan]])
    both = shrunk(times[..., None], np.array([3.0, 3.0]), [0.1, 0.9])
    four, three = (shrunk(row[row == row][:, None], 3.0, [0.1, 0.9]) for row in times)
    np.testing.assert_allclose(both, [four, three], rtol=0, atol=1e-12)


def test_t_is_the_textbook_one_without_a_prior() -> None:
    times = np.array([150.0, 154.0, 161.0, 158.0])
    scale = np.sqrt(times.var() * 4 / 7 * 1.25)
    expected = times.mean() + scale * stats.t.ppf([0.1, 0.5], 7)
    np.testing.assert_allclose(shrunk(times[:, None], 0.0, [0.1, 0.5]), expected, rtol=0, atol=1e-9)


def test_nothing_is_foretold_before_today() -> None:
    times = np.array([[100.2], [100.4], [106.0]])
    read = foretold(times, [0.05, 0.5], earliest=100.0, needed=5.0, spread=4.5)
    assert read[0] == 100.0


def test_unreached_years_forbid_the_t() -> None:
    times = np.array([[200.0], [210.0], [np.inf]])
    read = foretold(times, [0.1, 0.9], earliest=100.0, needed=500.0, spread=4.5)
    np.testing.assert_array_equal(read, quantile(times[:, 0], [0.1, 0.9], 3))


def test_shifts_steady_the_middle_only() -> None:
    times = np.array([[1.0, 5.0, 2.0, np.nan, 9.0]])
    assert unshifted(times).tolist() == [2.0]
    assert middle(times).tolist() == [2.0]


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    st.lists(st.floats(100, 200), min_size=1, max_size=40),
    st.lists(st.floats(0.01, 0.99), min_size=2, max_size=6),
)
def test_quantiles_rise_and_stay_among_the_members(times: list[float], shares: list[float]) -> None:
    read = quantile(times, sorted(shares), len(times))
    assert np.all(np.diff(read) >= -1e-9)
    assert min(times) - 1e-9 <= read[0]
    assert read[-1] <= max(times) + 1e-9


def test_heat_that_is_doubtful_widens_what_it_foretells() -> None:
    """Ten degree-days a day, the sum so far known to ±8: the dates' variance and (8/10)² days."""
    rng = np.random.default_rng(5)
    times = 160.0 + rng.normal(0.0, 1.5, (4000, 1))
    levels = np.array([0.5, 0.1, 0.9])
    known = {"earliest": 150.0, "needed": 100.0, "spread": 4.0, "steady": False}
    sure, doubted = (foretold(times, levels, doubt=each, **known) for each in (0.0, 8.0))
    mixed = times[:, 0] + rng.normal(0.0, 0.8, 4000)
    np.testing.assert_allclose(doubted, np.quantile(mixed, levels), rtol=0, atol=0.1)
    assert doubted[0] == sure[0]
    # Never before the first day that is not known, and what is never reached stays so.
    near = foretold(times - 10.0, levels, doubt=80.0, **known)
    assert near[1] == 150.0
    never = np.concatenate([times, np.full((4000, 1), np.inf)])
    assert foretold(never, levels, doubt=8.0, **known)[2] == np.inf
