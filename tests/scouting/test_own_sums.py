"""The posterior of a place's own sum: by brute force, and the laws it cannot break."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import integrate, optimize, stats

from gddcast.scouting.own_sums import HeatBracket, OwnSum, place_sd

PRINTED = 600.0

heats = st.floats(250.0, 1400.0)
widths = st.floats(0.0, 300.0)
brackets = st.builds(lambda low, width: HeatBracket(low, low + width), heats, widths)
seasons = st.lists(brackets, max_size=5).map(tuple)


def quantiles(own: OwnSum) -> list[float]:
    return [own.sum_at(share) for share in (0.1, 0.5, 0.9)]


@pytest.mark.parametrize(
    "found",
    [
        (),
        (HeatBracket(690.0, 720.0),),
        (HeatBracket(690.0, 720.0), HeatBracket(560.0, 900.0), HeatBracket(900.0, math.inf)),
    ],
)
def test_the_chance_is_that_of_a_numerical_integral(found: tuple[HeatBracket, ...]) -> None:
    """Simpson's rule over the model as its module states it, each term from scipy.stats."""
    means, spreads = np.linspace(-1.6, 1.6, 321), np.linspace(-1.5, 1.5, 61)[:, None]
    mean, r = PRINTED * np.exp(means), 0.15 * np.exp(spreads)
    season = stats.truncnorm(-1.0 / r, np.inf, loc=mean, scale=r * mean)
    weight = stats.norm.pdf(means, 0.0, 0.4) * stats.norm.pdf(spreads, 0.0, 0.6)
    for each in found:
        absent = 0.5 if math.isinf(each.high) else 0.0
        weight *= absent + (1.0 - absent) * (season.cdf(each.high) - season.cdf(each.low))

    def area(values: NDArray[np.float64]) -> float:
        return float(integrate.simpson(integrate.simpson(values, x=means), x=spreads[:, 0]))

    own = OwnSum(PRINTED, found)
    for heat in (450.0, 650.0, 900.0):
        expected = area(weight * season.cdf(heat)) / area(weight)
        assert float(own.begun(heat)) == pytest.approx(expected, rel=0, abs=0.002)


def test_without_finds_it_is_the_prior() -> None:
    """The mean sum is log-normal: 80 % of it within exp(±1.2816 · 0.4) of the printed number."""
    prior = OwnSum(PRINTED)
    ours = [prior.mean_at(share) for share in (0.1, 0.5, 0.9)]
    expected = [PRINTED * math.exp(0.4 * z) for z in (-1.2816, 0.0, 1.2816)]
    np.testing.assert_allclose(ours, expected, rtol=0, atol=0.6)
    # A season that tells nothing leaves it as it is.
    vague = OwnSum(PRINTED, (HeatBracket(0.0, 1e6),))
    np.testing.assert_allclose(quantiles(vague), quantiles(prior), rtol=0, atol=8.0)


@given(seasons, st.randoms(use_true_random=False))
def test_the_order_of_the_seasons_is_irrelevant(
    found: tuple[HeatBracket, ...], random: object
) -> None:
    other = list(found)
    random.shuffle(other)  # type: ignore[attr-defined]
    np.testing.assert_allclose(
        quantiles(OwnSum(PRINTED, tuple(other))), quantiles(OwnSum(PRINTED, found)),
        rtol=0, atol=1e-6,
    )  # fmt: skip


@given(seasons)
def test_heat_scales_by_nine_fifths_and_has_no_32(found: tuple[HeatBracket, ...]) -> None:
    fahrenheit = tuple(HeatBracket(each.low * 1.8, each.high * 1.8) for each in found)
    ours = quantiles(OwnSum(PRINTED * 1.8, fahrenheit))
    expected = [1.8 * each for each in quantiles(OwnSum(PRINTED, found))]
    np.testing.assert_allclose(ours, expected, rtol=0, atol=1e-5)


@given(seasons, st.floats(0.01, 0.98), st.floats(0.001, 0.01))
def test_the_chance_never_falls_with_heat(
    found: tuple[HeatBracket, ...], share: float, more: float
) -> None:
    own = OwnSum(PRINTED, found)
    low, high = own.sum_at(share), own.sum_at(share + more)
    assert low <= high
    assert float(own.begun(low)) == pytest.approx(share, rel=0, abs=1e-6)
    assert float(own.begun(0.0)) == 0.0
    assert np.isnan(own.begun(float("nan")))


def test_sharper_brackets_narrow_it_in_the_mean() -> None:
    """Sums drawn about 1.2 times the printed number, looked for every 150, 60 and 10 °C·d."""
    random = np.random.default_rng(3)
    widths = np.empty((120, 3))
    for row in widths:
        sums = random.normal(1.2 * PRINTED, 0.08 * PRINTED, 3)
        for place, step in enumerate((150.0, 60.0, 10.0)):
            edge = np.floor(sums / step) * step
            own = OwnSum(PRINTED, tuple(HeatBracket(low, low + step) for low in edge))
            row[place] = own.mean_at(0.9) - own.mean_at(0.1)
    coarse, middling, sharp = widths.mean(axis=0)
    assert coarse > middling > sharp


def test_more_seasons_narrow_it_and_leave_the_printed_number() -> None:
    one = HeatBracket(890.0, 910.0)
    few, many = OwnSum(PRINTED, (one,)), OwnSum(PRINTED, (one,) * 10)
    assert PRINTED < few.sum_at(0.5) < many.sum_at(0.5) < 901.0
    assert many.spread < few.spread < OwnSum(PRINTED).spread


def test_the_spread_is_half_the_width_of_the_middle_two_thirds() -> None:
    own = OwnSum(PRINTED, (HeatBracket(690.0, 720.0),))
    low, high = (
        optimize.brentq(lambda heat, share=share: float(own.begun(heat)) - share, 100.0, 2000.0)
        for share in (1 / 6, 5 / 6)
    )
    assert own.spread == pytest.approx((high - low) / 2.0, rel=0, abs=0.01)


def test_a_season_without_a_find_weighs_no_more_than_two_to_one() -> None:
    """It says that the sum is higher, or that the insect did not come."""
    found = (HeatBracket(590.0, 610.0), HeatBracket(595.0, 620.0))
    without, absent = OwnSum(PRINTED, found), OwnSum(PRINTED, (*found, HeatBracket(1500, math.inf)))
    assert without.sum_at(0.5) < absent.sum_at(0.5) < 1.06 * without.sum_at(0.5)


def test_a_find_far_beyond_the_prior_and_one_between_cold_days_are_used() -> None:
    far = OwnSum(100.0, (HeatBracket(900.0, 950.0),) * 8)
    assert 850.0 < far.sum_at(0.5) < 950.0
    cold = OwnSum(PRINTED, (HeatBracket(700.0, 700.0),))
    near = OwnSum(PRINTED, (HeatBracket(699.0, 701.0),))
    np.testing.assert_allclose(quantiles(cold), quantiles(near), rtol=0, atol=2.0)


@pytest.mark.parametrize("ends", [(-1.0, 5.0), (6.0, 5.0), (math.inf, math.inf), (math.nan, 5.0)])
def test_what_is_no_bracket_is_refused(ends: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="no bracket of heat"):
        HeatBracket(*ends)


def test_printed_numbers_that_agree_narrow_the_prior() -> None:
    """Half of the variance of 0.4² is the number's: √(0.08 + 0.08/3) for three of them."""
    assert place_sd([500.0]) == place_sd([500.0, 700.0]) == 0.4
    assert place_sd([500.0, 520.0, 540.0]) == pytest.approx(math.sqrt(0.08 + 0.08 / 3), abs=1e-12)


def test_seasons_far_below_the_printed_sum_are_followed_all_the_way() -> None:
    """A tenth of it, ten seasons alike: the grid of the posterior must not end above them."""
    own = OwnSum(PRINTED, 10 * (HeatBracket(0.099 * PRINTED, 0.101 * PRINTED),))
    assert own.mean_at(0.5) == pytest.approx(0.1 * PRINTED, rel=0, abs=0.01 * PRINTED)
    assert own.mean_at(0.1) < 0.1 * PRINTED < own.mean_at(0.9)
