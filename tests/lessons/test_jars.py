"""Invented jars: drawn about round numbers, found again by the line, the warm one left off it."""

from __future__ import annotations

import numpy as np
import pytest

from gddcast.lessons.jars import invent_jars


@pytest.mark.parametrize("seed", range(12))
def test_the_line_finds_what_the_jars_were_drawn_about(seed: int) -> None:
    jars = invent_jars(seed)
    line = jars.line
    np.testing.assert_allclose(line.lower.value, jars.lower, rtol=0, atol=2.5)
    np.testing.assert_allclose(line.heat.value, jars.heat, rtol=0, atol=0.25 * jars.heat)
    assert [jar.days for jar in line.left_out] == [jars.rows[-1][1]]


@pytest.mark.parametrize("seed", range(4))
def test_both_units_are_the_same_jars(seed: int) -> None:
    celsius, fahrenheit = (invent_jars(seed, unit) for unit in ("C", "F"))
    assert fahrenheit.drawn_about[1] == pytest.approx(celsius.drawn_about[1] * 9 / 5, abs=1e-9)
    warm = [each for each, _, _ in fahrenheit.rows]
    np.testing.assert_allclose(
        warm, [each * 9 / 5 + 32 for each, _, _ in celsius.rows], rtol=0, atol=0.05
    )
