"""Emergence curves against scipy.stats, printed percentiles and the laws of a distribution."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.cards.model import Emergence
from gddcast.errors import ArgumentRefusal
from gddcast.heat.emergence import heat_at, lognormal, share
from gddcast.readers.card_files import load_cards

PUBLISHED = Path(__file__).parents[1] / "published" / "rootworm_emergence.csv"


def curve(family: str, **parameters: float) -> Emergence:
    return Emergence(family, tuple(parameters.items()), "made up")  # type: ignore[arg-type]


_SIGMA = np.sqrt(np.log1p((30.0 / 200.0) ** 2))

#: Each family beside the same distribution in scipy.stats.
PAIRS = {
    "normal": (curve("normal", mean=200, sd=30), scipy.stats.norm(200, 30)),
    "lognormal": (
        curve("lognormal", mean=200, sd=30),
        scipy.stats.lognorm(_SIGMA, scale=200 * np.exp(-(_SIGMA**2) / 2)),
    ),
    "erlang": (curve("erlang", mean=1180, k=65), scipy.stats.gamma(65, scale=1180 / 65)),
    "weibull": (curve("weibull", shape=1.4, scale=150), scipy.stats.weibull_min(1.4, scale=150)),
    "weibull from a start": (
        curve("weibull", shape=2.1, scale=290, location=40),
        scipy.stats.weibull_min(2.1, loc=40, scale=290),
    ),
    "logistic": (curve("logistic", median=330, scale=25), scipy.stats.logistic(330, 25)),
    "logistic, as a logit": (
        curve("logistic", intercept=-13.2, slope=0.04),
        scipy.stats.logistic(330, 25),
    ),
}
pairs = pytest.mark.parametrize(("ours", "theirs"), PAIRS.values(), ids=PAIRS.keys())


@pairs
def test_share_is_the_distribution_of_scipy(
    ours: Emergence, theirs: scipy.stats.rv_continuous
) -> None:
    heat = np.linspace(-50.0, 1500.0, 400)
    np.testing.assert_allclose(share(ours, heat), theirs.cdf(heat), rtol=0, atol=1e-12)


@pairs
def test_heat_is_its_inverse(ours: Emergence, theirs: scipy.stats.rv_continuous) -> None:
    shares = np.linspace(0.001, 0.999, 99)
    np.testing.assert_allclose(heat_at(ours, shares), theirs.ppf(shares), rtol=1e-9, atol=0)
    # Both ends too: the first of an unbounded curve comes at −∞, the last at +∞.
    np.testing.assert_allclose(heat_at(ours, [0.0, 1.0]), theirs.ppf([0.0, 1.0]), rtol=0, atol=0)


def test_lognormal_has_the_mean_and_deviation_it_was_given() -> None:
    drawn = heat_at(lognormal(200.0, 30.0, "made up"), (np.arange(200_000) + 0.5) / 200_000)
    np.testing.assert_allclose([drawn.mean(), drawn.std()], [200.0, 30.0], rtol=0, atol=0.01)


@pytest.mark.parametrize("family", ["lognormal", "normal"])
def test_two_percentiles_fix_a_curve(family: str) -> None:
    np.testing.assert_allclose(
        share(curve(family, q10=180.0, q90=260.0), [180.0, 260.0]), [0.1, 0.9], rtol=0, atol=1e-12
    )


def test_apple_maggot_quantiles() -> None:
    """Erlang, mean 1180 and k = 65: Jones et al. (1989), J. Econ. Entomol. 82:788-792.

    The quantiles were computed from mean and k with another program; they are not in the paper.
    """
    quantiles = {
        0.05: 950.0, 0.10: 996.7, 0.25: 1078.3, 0.50: 1174.0,
        0.75: 1275.1, 0.90: 1371.0, 0.95: 1430.6,
    }  # fmt: skip
    flies = curve("erlang", mean=1180.0, k=65.0)
    np.testing.assert_allclose(
        heat_at(flies, list(quantiles)), list(quantiles.values()), rtol=0, atol=0.05
    )


def rootworms() -> list[dict[str, str]]:
    lines = [line for line in PUBLISHED.read_text("utf-8").splitlines() if line[:1] != "#"]
    return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rootworms(), ids=lambda row: row["beetle"])
def test_a_weibull_through_two_printed_points_meets_the_third(row: dict[str, str]) -> None:
    """The authors fitted Weibull curves: ours through 50 and 90 % must be all but done at 100 %."""
    q50, q90, q100 = (float(row[name]) for name in ("q50", "q90", "q100"))
    shape = np.log(np.log(10.0) / np.log(2.0)) / np.log(q90 / q50)
    beetles = curve("weibull", shape=shape, scale=q50 / np.log(2.0) ** (1.0 / shape))

    np.testing.assert_allclose(share(beetles, [q50, q90]), [0.5, 0.9], rtol=0, atol=1e-12)
    np.testing.assert_allclose(share(beetles, q100), 0.995, rtol=0, atol=0.002)


@pytest.mark.parametrize("row", rootworms(), ids=lambda row: row["beetle"])
def test_percentiles_pass_through_every_printed_point(row: dict[str, str]) -> None:
    printed = {name: float(row[name]) for name in ("q50", "q90", "q100")}
    beetles = curve("percentiles", **printed)

    np.testing.assert_allclose(
        share(beetles, list(printed.values())), [0.5, 0.9, 1.0], rtol=0, atol=1e-12
    )
    np.testing.assert_allclose(
        # Flat where the last one emerges: a share's last digit is many heats' worth there.
        heat_at(beetles, [0.5, 0.9, 1.0]),
        list(printed.values()),
        rtol=0,
        atol=1e-3,
    )


def test_between_percentiles_the_curve_stays_near_the_one_they_were_read_from() -> None:
    theirs = scipy.stats.gamma(65, scale=1180 / 65)
    names = (5, 25, 50, 75, 95)
    flies = curve("percentiles", **{f"q{n}": float(theirs.ppf(n / 100)) for n in names})
    shares = np.linspace(0.05, 0.95, 91)

    np.testing.assert_allclose(heat_at(flies, shares), theirs.ppf(shares), rtol=0, atol=12.0)
    np.testing.assert_allclose(share(flies, theirs.ppf(shares)), shares, rtol=0, atol=0.02)


def test_nothing_is_said_beyond_the_printed_percentiles() -> None:
    flies = curve("percentiles", p10=200.0, p50=330.0, p95=762.0)  # cabbage maggot, W. Oregon
    np.testing.assert_array_equal(
        np.isnan(share(flies, [199.0, 200.0, 762.0, 763.0])), [1, 0, 0, 1]
    )
    np.testing.assert_array_equal(np.isnan(heat_at(flies, [0.09, 0.1, 0.95, 0.96])), [1, 0, 0, 1])


def test_every_curve_on_a_card_can_be_drawn() -> None:
    """Parameters on a card are those of its family, and the curve rises around its goal."""
    curves = [
        (number.goal, number.emergence)
        for card in load_cards().values()
        for event in card.events
        for number in event.numbers
        if number.emergence and number.goal
    ]
    assert curves
    for goal, emergence in curves:
        # Printed percentiles are silent outside themselves; every card prints these two.
        early, late = heat_at(emergence, [0.5, 0.75])
        assert early < late
        assert early < 2.0 * goal[1]
        assert late > 0.5 * goal[0]


@given(
    st.lists(st.integers(0, 100), min_size=2, max_size=7, unique=True),
    st.lists(st.integers(1, 400), min_size=7, max_size=7),
)
@settings(deadline=None, derandomize=True)
def test_percentiles_never_fall_and_can_be_read_both_ways(
    percents: list[int], steps: list[int]
) -> None:
    heats = np.cumsum(steps[: len(percents)])
    names = [f"q{percent}" for percent in sorted(percents)]
    flies = curve("percentiles", **dict(zip(names, heats.astype(float), strict=True)))
    heat = np.linspace(heats[0], heats[-1], 60)

    shares = share(flies, heat)

    assert np.all(np.diff(shares) >= -1e-12)
    inside = np.clip(shares, min(percents) / 100, max(percents) / 100)  # from a last digit outside
    np.testing.assert_allclose(share(flies, heat_at(flies, inside)), inside, rtol=0, atol=1e-9)


@pairs
def test_unknown_heat_is_an_unknown_share(
    ours: Emergence, theirs: scipy.stats.rv_continuous
) -> None:
    assert np.isnan(share(ours, np.nan))
    assert np.isnan(heat_at(ours, [np.nan, -0.1, 1.1])).all()
    assert share(ours, [[100.0, 200.0]]).shape == (1, 2)


@pytest.mark.parametrize(
    ("wrong", "takes"),
    [
        (curve("lognormal", mean=200.0), "mean and sd"),
        (curve("lognormal", mean=-200.0, sd=30.0), "above 0"),
        (curve("lognormal", mean=0.0, sd=30.0), "above 0"),
        (curve("lognormal", q10=0.0, q90=180.0), "above 0"),
        (curve("lognormal", q10=260.0, q90=180.0), "q10 and q90"),
        (curve("normal", mean=200.0, sd=0.0), "mean and sd"),
        (curve("erlang", mean=1180.0, shape=65.0), "mean and k"),
        (curve("erlang", mean=1180.0, k=0.0), "mean and k"),
        (curve("weibull", scale=150.0), "shape and scale"),
        (curve("weibull", scale=150.0, shape=-1.0), "shape and scale"),
        (curve("logistic", median=330.0, slope=0.04), "intercept and slope"),
        (curve("logistic", intercept=13.0, slope=-0.04), "rising"),
        (curve("percentiles", q50=330.0), "two or more"),
        (curve("percentiles", q10=330.0, q50=330.0), "rising"),
        (curve("percentiles", q10=200.0, peak=330.0), "q0 … q100"),
        (curve("percentiles", q10=200.0, q150=330.0), "q0 … q100"),
        (curve("percentiles"), "two or more"),
    ],
    ids=lambda value: None if isinstance(value, str) else f"{value.family} {value.parameters}",
)
def test_refuses_parameters_of_another_family(wrong: Emergence, takes: str) -> None:
    with pytest.raises(ArgumentRefusal, match=rf"emergence curve of made up(?s:.*){takes}"):
        share(wrong, 100.0)
