"""Names at line ends stand apart, in order, as near their lines as they can."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, minimize

from gddcast.draw.line_ends import apart

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

heights = st.lists(st.floats(0, 200), min_size=1, max_size=7)


@given(heights)
def test_boxes_never_overlap_and_keep_their_order(wanted: list[float]) -> None:
    placed = apart(wanted, [12.0] * len(wanted))
    order = np.argsort(wanted, kind="stable")
    assert (np.diff(np.array(placed)[order]) >= 12.0 - 1e-6).all()


@given(heights)
def test_boxes_with_room_stay_where_they_are(wanted: list[float]) -> None:
    spread = (np.cumsum(np.sort(wanted)) + 13.0 * np.arange(len(wanted))).tolist()
    np.testing.assert_allclose(apart(spread, [12.0] * len(wanted)), spread, rtol=0, atol=1e-9)


@pytest.mark.parametrize("wanted", [[0, 1, 2, 40], [5, 5, 5, 18, 19], [0, 30, 31, 55, 56]])
def test_no_arrangement_is_nearer(wanted: list[float]) -> None:
    """Against SciPy's solution of the same least squares under the same spacing."""
    size, n = 12.0, len(wanted)
    spacing = LinearConstraint(np.eye(n, k=1)[:-1] - np.eye(n)[:-1], lb=size)
    best = minimize(
        lambda x: ((x - wanted) ** 2).sum(),
        np.arange(n) * 20.0,
        method="SLSQP",
        constraints=spacing,
        tol=1e-12,
    )
    np.testing.assert_allclose(apart(wanted, [size] * n), best.x, rtol=0, atol=1e-3)
