"""The whole rate curve: known truth given back, optimum where the curve is highest."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from gddcast.rearing.curves import NoCurve, RateCurve, briere, briere_optimum, rate_curve
from gddcast.rearing.fit import Rearing
from gddcast.text.rearing import curve_words

WARM = np.array([12.0, 15.0, 18.0, 21.0, 24.0, 27.0, 30.0, 32.0, 34.0])


@settings(deadline=None, derandomize=True, max_examples=60)
@given(lower=st.floats(0.0, 15.0), span=st.floats(12.0, 30.0), m=st.floats(1.1, 8.0))
def test_optimum_is_where_the_curve_is_highest(lower: float, span: float, m: float) -> None:
    """The closed form agrees with scipy's search for the top of the curve."""
    upper = lower + span
    top = minimize_scalar(
        lambda t: -float(briere(t, 1.0, lower, upper, m)),
        bounds=(lower + span / 3, upper - 1e-9), method="bounded", options={"xatol": 1e-9},
    ).x  # fmt: skip
    np.testing.assert_allclose(briere_optimum(lower, upper, m), top, rtol=0, atol=1e-4)


@pytest.mark.parametrize("m", [2.0, 3.0])
def test_exact_jars_give_the_curve_back(m: float) -> None:
    """Jars on a true curve give its limits back, by the right member of the family."""
    jars = Rearing(WARM, 1.0 / briere(WARM, 1e-4, 9.0, 36.0, m))
    curve = rate_curve(jars)

    assert isinstance(curve, RateCurve)
    np.testing.assert_allclose([curve.lower, curve.upper], [9.0, 36.0], rtol=0, atol=0.05)


def test_errors_cover_simulated_limits() -> None:
    """Over noisy rearings the upper limit lies within two of its errors about 19 times in 20."""
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(60):
        rate = briere(WARM.repeat(3), 1e-4, 9.0, 36.0) + rng.normal(0, 0.003, 27)
        curve = rate_curve(Rearing(WARM.repeat(3), 1.0 / rate))
        assert isinstance(curve, RateCurve)
        held += abs(curve.upper - 36.0) <= 2 * curve.upper_error
    assert held >= 50


@pytest.mark.parametrize(
    ("temperature", "words"),
    [([15, 20, 25, 30], "needs five temperatures"), ([12, 15, 18, 21, 24, 27], "no jar is warmer")],
)
def test_says_why_there_is_no_curve(temperature: list[float], words: str) -> None:
    """Where the jars allow no curve the reason is given instead of a number."""
    warm = np.array(temperature, float)
    found = rate_curve(Rearing(warm, 200.0 / (warm - 9.0)))

    assert isinstance(found, NoCurve)
    assert words in found.reason


def test_a_limit_held_up_by_a_jar_lies_between_two_jars() -> None:
    """Nobody finished at 33 °C, at 30 °C most did: any limit between them is as good.

    Days of a straight line above 9 °C and 350 °C-days, slowing a little at 30 °C: made up.
    """
    jars = Rearing([15, 18, 21, 24, 27, 30, 33], [50, 33, 25, 20, 16.7, 15.5, np.inf])
    curve = rate_curve(jars)
    assert isinstance(curve, RateCurve)
    assert curve.upper_between == (30.0, 33.0)
    assert np.isnan(curve.upper_error)
    said = " ".join(curve_words(curve))
    assert "somewhere between 30 and 33 °C" in said
    assert "± 0.0" not in said


def test_an_optimum_below_the_fastest_jar_is_refused() -> None:
    """The top of the curve lies at 27.7 °C; the jar at 30 °C was faster than the one at 27."""
    jars = Rearing([15, 18, 21, 24, 27, 30, 33], [50, 33, 25, 20, 16.7, 15.5, np.inf])
    curve = rate_curve(jars)
    assert isinstance(curve, RateCurve)
    assert briere_optimum(curve.lower, curve.upper) < curve.fastest == 30.0
    assert np.isnan(curve.optimum)
    assert "Optimum can’t be said: the jars at 30.0 °C are faster" in curve_words(curve)[0]


def test_a_limit_beyond_the_jars_keeps_its_error() -> None:
    jars = Rearing([15, 18, 21, 24, 27, 30, 33], [50, 33, 25, 20, 16.7, 15.5, 17])
    curve = rate_curve(jars)
    assert isinstance(curve, RateCurve)
    assert curve.upper_between is None
    assert curve.optimum > 30.0
    assert f"{curve.upper:.1f} ± {curve.upper_error:.1f} °C" in curve_words(curve)[1]
