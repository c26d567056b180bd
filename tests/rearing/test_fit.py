"""Thresholds from rearing jars, against printed fits, simulated truth and exact identities."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from gddcast.rearing.curves import RateCurve, rate_curve
from gddcast.rearing.fit import (
    Rearing,
    fastest_group,
    split_at_optimum,
    threshold_line,
)
from gddcast.rearing.orthogonal import second_opinion
from tests.published_rows import half_last_digit, rows


def jars_of(table: str) -> Rearing:
    found = [row for row in rows("rearing_jars.csv") if row["table"] == table]
    days = [float(row["days"]) if row["days"] else 1.0 / float(row["rate"]) for row in found]
    return Rearing([float(row["temperature"]) for row in found], days, source=table)


@pytest.mark.parametrize("row", rows("rearing_fits.csv"), ids=lambda row: row["table"])
def test_agrees_with_print(row: dict[str, str]) -> None:
    """Our pair rounds to the printed one, or lies within two errors of another paper's."""
    line = threshold_line(jars_of(row["table"]), resamples=0)
    for ours, key in ((line.lower, "lower"), (line.heat, "heat")):
        exact = row["agreement"] == "digits"
        room = half_last_digit(row[key]) if exact else 2 * ours.error
        np.testing.assert_allclose(ours.value, float(row[key]), rtol=0, atol=room)


def test_points_above_the_optimum_are_named() -> None:
    """The two hottest Pieris jars are left out, each with its reason."""
    line = threshold_line(jars_of("samson-larva"), resamples=0)

    assert [round(jar.temperature, 1) for jar in line.left_out] == [32.0, 36.8]
    assert all("above the optimum" in jar.reason for jar in line.left_out)


def test_keeping_them_spoils_the_pair() -> None:
    """With all thirteen Pieris jars the line no longer rounds to the printed 9 and 192."""
    line = threshold_line(jars_of("samson-larva"), up_to=40.0, resamples=0)

    assert not line.left_out
    assert line.lower.value < 8.5
    assert line.heat.value > 205


def test_pieris_is_fastest_above_thirty() -> None:
    """Samson's larvae, published as slowing above 30 °C, peak between there and the hottest jar."""
    curve = rate_curve(jars_of("samson-larva"))

    assert isinstance(curve, RateCurve)
    assert 30.0 <= curve.optimum <= 36.8
    assert curve.upper > 36.8


def test_a_quick_jar_among_slow_neighbours_is_no_optimum() -> None:
    """Gilbert's pupae scatter by a fifth near 26 °C; none of them is left out."""
    kept, left_out = split_at_optimum(jars_of("gilbert-pupa"))

    assert len(kept) == 32
    assert left_out == ()


def test_errors_are_those_of_scipy_and_the_delta_method() -> None:
    """Standard errors equal a general error propagation through scipy's covariance of the line."""
    from scipy.optimize import curve_fit

    jars = jars_of("gilbert-pupa")
    (a, b), cov = curve_fit(lambda t, a, b: a + b * t, jars.temperature, jars.rate, p0=(0, 0.01))
    slope_of_lower = np.array([-1 / b, a / b**2])
    slope_of_heat = np.array([0.0, -1 / b**2])

    line = threshold_line(jars, resamples=0)

    np.testing.assert_allclose(line.lower.value, -a / b, rtol=1e-6, atol=0)
    np.testing.assert_allclose(
        [line.lower.error, line.heat.error],
        [np.sqrt(s @ cov @ s) for s in (slope_of_lower, slope_of_heat)],
        rtol=1e-5, atol=0,
    )  # fmt: skip


def test_counts_weigh_like_repeated_jars() -> None:
    """A jar of three insects pulls the line as three jars of one insect do."""
    warm, days = np.array([15.0, 20.0, 25.0, 29.0]), np.array([31.0, 19.0, 12.1, 10.2])
    counts = np.array([1, 3, 2, 1])
    once = threshold_line(Rearing(warm, days, counts), resamples=0)
    often = threshold_line(Rearing(warm.repeat(counts), days.repeat(counts)), resamples=0)

    np.testing.assert_allclose(once.lower.value, often.lower.value, rtol=1e-12, atol=0)
    np.testing.assert_allclose(once.heat.value, often.heat.value, rtol=1e-12, atol=0)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    lower=st.floats(-4, 20), heat=st.floats(20, 900),
    above=st.lists(st.integers(2, 25), min_size=3, max_size=8, unique=True),
)  # fmt: skip
def test_exact_jars_give_back_their_truth(lower: float, heat: float, above: list[int]) -> None:
    """Jars on a true line give its threshold and sum by both lines, with no error."""
    jars = Rearing(lower + np.array(above, float), heat / np.array(above, float))
    if len(np.unique(np.round(above))) < 3 or np.ptp(above) < 3:
        return
    line, opinion = threshold_line(jars), second_opinion(jars)

    np.testing.assert_allclose([line.lower.value, opinion.lower], [lower, lower], rtol=0, atol=1e-6)
    np.testing.assert_allclose([line.heat.value, opinion.heat], [heat, heat], rtol=1e-7, atol=0)
    assert line.lower.error < 1e-6


def simulated_jars(rng: np.random.Generator) -> Rearing:
    """Three jars at six temperatures, rates scattering by 6 % of the middle rate."""
    warm = np.repeat([14.0, 17.0, 20.0, 23.0, 26.0, 29.0], 3)
    rate = (warm - 9.0) / 200.0 + rng.normal(0.0, 0.004, warm.size)
    return Rearing(warm, 1.0 / rate)


def test_intervals_cover_the_truth_as_often_as_they_say() -> None:
    """Of 500 simulated rearings the 95 % intervals hold the truth in about 475."""
    rng = np.random.default_rng(20260611)
    held = np.zeros(4)
    for seed in range(500):
        # up_to: noise must not decide which jars count, or truth and interval part.
        line = threshold_line(simulated_jars(rng), up_to=40.0, seed=seed, resamples=499)
        held += [
            line.lower.low <= 9.0 <= line.lower.high,
            line.lower.boot_low <= 9.0 <= line.lower.boot_high,
            line.heat.low <= 200.0 <= line.heat.high,
            line.heat.boot_low <= 200.0 <= line.heat.boot_high,
        ]
    print(
        "coverage of 95 % intervals in 500 rearings, lower delta/bootstrap, heat delta/bootstrap:",
        held / 500,
    )

    # Three binomial standard errors of 500 draws at 0.95 are 0.029.
    assert np.all(np.abs(held / 500 - 0.95) <= 0.03)


def test_same_seed_same_interval() -> None:
    """The bootstrap is a function of its seed."""
    jars = jars_of("honek")
    first, again, other = (threshold_line(jars, seed=seed) for seed in (4, 4, 5))

    assert first == again
    assert first.lower.boot_low != other.lower.boot_low


def test_dead_jars_are_left_out() -> None:
    """A jar in which nobody finished is named and not on the line."""
    jars = Rearing([15, 20, 25, 35], [33.0, 18.0, 12.5, np.inf])
    line = threshold_line(jars, resamples=0)

    assert line.jars == 3
    assert line.left_out[0].reason == "nobody finished the stage"
    assert fastest_group(jars) == (25.0, 25.0)


@pytest.mark.parametrize(
    ("temperature", "days", "words"),
    [
        ([20.0, 25.0], [18.0, 12.5], "2 jars at 2 temperatures"),
        ([20.0, 20.1, 20.2], [18.0, 17.0, 19.0], "at 1 temperatures"),
        ([20.0, 25.0, 30.0], [18.0, -2.0, 9.0], "not above zero"),
        ([15.0, 20.0, 20.0, 25.0], [5.0, 20.0, 21.0, 22.0], "left for the line"),
    ],
)
def test_unusable_jars_are_refused(temperature: list[float], days: list[float], words: str) -> None:
    """Too few jars, impossible days and warmth that slows are refused with the reason."""
    with pytest.raises(Refusal, match=words):
        threshold_line(Rearing(temperature, days, source="jars.csv"))
