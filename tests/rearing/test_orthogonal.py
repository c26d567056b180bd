"""The second line: the same whichever axis is which, with an error that is near the truth."""

from __future__ import annotations

import numpy as np

from gddcast.rearing.orthogonal import second_opinion
from tests.rearing.test_fit import jars_of, simulated_jars


def test_second_opinion_does_not_care_which_axis_is_which() -> None:
    """A reduced major axis through the swapped variables is the same line."""
    from gddcast.rearing.orthogonal import _reduced_major_axis

    jars = jars_of("gilbert-pupa")
    x, y, weight = jars.days, jars.days * jars.temperature, jars.weight
    slope, intercept = _reduced_major_axis(x, y, weight)
    back, offset = _reduced_major_axis(y, x, weight)

    np.testing.assert_allclose([1 / back, -offset / back], [slope, intercept], rtol=1e-9, atol=0)


def test_second_opinion_jackknife_covers() -> None:
    """The jackknife error is near the spread over simulated rearings."""
    rng = np.random.default_rng(7)
    found = [second_opinion(simulated_jars(rng), up_to=40.0) for _ in range(200)]
    spread = np.std([each.lower for each in found])

    np.testing.assert_allclose(np.mean([each.lower_error for each in found]), spread, rtol=0.2,
                               atol=0)  # fmt: skip
