"""Scores against an independent library, and against closed forms."""

import numpy as np
import pytest
import scoringrules
from scipy import stats

from gddcast.skill import scores

RNG = np.random.default_rng(7)
MEMBERS = RNG.normal(170.0, 6.0, (200, 13))
CAME = RNG.normal(171.0, 6.0, 200)


@pytest.mark.parametrize(("fair", "estimator"), [(False, "nrg"), (True, "fair")])
def test_crps_agrees_with_scoringrules(fair: bool, estimator: str) -> None:
    theirs = scoringrules.crps_ensemble(CAME, MEMBERS, estimator=estimator)
    ours = scores.crps(MEMBERS, CAME, fair=fair)
    np.testing.assert_allclose(ours, theirs, rtol=0, atol=1e-9)


def test_crps_of_a_normal_is_its_closed_form() -> None:
    # Gneiting & Raftery (2007), eq. 21 with F normal: σ[z(2Φ(z) − 1) + 2φ(z) − 1/√π].
    shares = (np.arange(20_000) + 0.5) / 20_000
    members = stats.norm.ppf(shares, 10.0, 2.0)
    z = (11.5 - 10.0) / 2.0
    exact = 2.0 * (z * (2 * stats.norm.cdf(z) - 1) + 2 * stats.norm.pdf(z) - 1 / np.sqrt(np.pi))
    np.testing.assert_allclose(scores.crps(members, 11.5), exact, rtol=0, atol=1e-4)


def test_unknown_members_are_left_out() -> None:
    gappy = np.concatenate([MEMBERS, np.full((200, 2), np.nan)], axis=1)
    for fair in (False, True):
        np.testing.assert_allclose(
            scores.crps(gappy, CAME, fair=fair), scores.crps(MEMBERS, CAME, fair=fair),
            rtol=0, atol=1e-9,
        )  # fmt: skip
    assert np.isnan(scores.crps([np.nan], 1.0))


@pytest.mark.parametrize("count", [3, 5, 10, 30])
def test_raw_score_punishes_few_members_by_one_in_m(count: int) -> None:
    # Perfect members of the same law: E raw = (1 + 1/M)·E fair. 33/20/10/3 % at 3/5/10/30.
    rng = np.random.default_rng(count)
    members, came = rng.normal(size=(60_000, count)), rng.normal(size=60_000)
    raw = scores.crps(members, came).mean()
    fair = scores.crps(members, came, fair=True).mean()
    np.testing.assert_allclose(raw / fair, 1 + 1 / count, rtol=0, atol=0.02)
    np.testing.assert_allclose(fair, 1 / np.sqrt(np.pi), rtol=0, atol=0.01)


def test_shifted_copies_of_a_year_are_no_years_of_their_own() -> None:
    """Perfect years, each with four copies beside it: the fair score is that of their law."""
    rng = np.random.default_rng(4)
    years, came = rng.normal(size=(60_000, 6, 1)), np.hypot(1.0, 0.3) * rng.normal(size=60_000)
    members = (years + 0.3 * rng.normal(size=(60_000, 6, 5))).reshape(60_000, 30)
    law = np.hypot(1.0, 0.3) / np.sqrt(np.pi)  # Gneiting & Raftery (2007), eq. 21, in the mean
    fair = scores.crps(members, came, fair=True, copies=5).mean()
    np.testing.assert_allclose(fair, law, rtol=0, atol=0.01)
    assert scores.crps(members, came, fair=True).mean() > law + 0.05
    gappy = np.concatenate([members, np.full((60_000, 5), np.nan)], axis=1)
    again = scores.crps(gappy, came, fair=True, copies=5).mean()
    np.testing.assert_allclose(again, fair, rtol=0, atol=1e-12)


def test_pinball_interval_and_brier_agree_with_scoringrules() -> None:
    low, high = CAME - 3.0 * RNG.random(200), CAME + RNG.normal(1.0, 2.0, 200)
    np.testing.assert_allclose(
        scores.pinball(low, 0.9, CAME), scoringrules.quantile_score(CAME, low, 0.9),
        rtol=0, atol=1e-9,
    )  # fmt: skip
    np.testing.assert_allclose(
        scores.interval_score(low, high, 0.8, CAME),
        scoringrules.interval_score(CAME, low, high, 0.2),
        rtol=0, atol=1e-9,
    )  # fmt: skip
    chance, came = RNG.random(200), RNG.integers(0, 2, 200)
    np.testing.assert_allclose(
        scores.brier(chance, came), scoringrules.brier_score(came, chance), rtol=0, atol=1e-12
    )


def test_spans_score_agrees_with_scoringrules() -> None:
    median = CAME + RNG.normal(0.0, 2.0, 200)
    width = {0.5: 1.3, 0.8: 2.6, 0.9: 3.3}
    spans = {share: (median - half, median + half) for share, half in width.items()}
    low, high = (np.stack([pair[end] for pair in spans.values()], axis=-1) for end in (0, 1))
    theirs = scoringrules.weighted_interval_score(
        CAME, median, low, high, np.array([1.0 - share for share in spans])
    )
    np.testing.assert_allclose(scores.spans_score(median, spans, CAME), theirs, rtol=0, atol=1e-9)


def test_pit_of_exchangeable_members_is_even() -> None:
    rng = np.random.default_rng(3)
    drawn = rng.normal(size=(40_000, 10))
    found = scores.pit(drawn[:, 1:], drawn[:, 0])
    share = np.histogram(found, bins=10, range=(-0.05, 1.05))[0] / found.size
    np.testing.assert_allclose(share, 0.1, rtol=0, atol=0.01)


def test_covered_holds_its_ends() -> None:
    assert scores.covered([1.0, 1.0, 1.0], [2.0, 2.0, 2.0], [1.0, 2.0, 2.1]).tolist() == [
        True, True, False,
    ]  # fmt: skip
