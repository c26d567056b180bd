"""Temperatures lose a 32; heat sums never do."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast import units
from gddcast.errors import ArgumentRefusal

numbers = st.floats(-500.0, 5000.0)


@given(numbers)
def test_there_and_back(value: float) -> None:
    """Both kinds of quantity come back as they went."""
    np.testing.assert_allclose(units.fahrenheit(units.celsius(value)), value, rtol=0, atol=1e-9)
    there = units.celsius_days(value)
    np.testing.assert_allclose(units.fahrenheit_days(there), value, rtol=0, atol=1e-9)


def test_a_thousand_fahrenheit_days_are_not_538() -> None:
    """1,000 °F·d are 556 °C·d: a total has no zero point."""
    assert round(units.celsius_days(1000.0)) == 556
    assert round(units.celsius(1000.0)) == 538


@given(numbers, numbers)
def test_a_difference_of_temperatures_is_a_heat_of_one_day(first: float, second: float) -> None:
    """The two converters agree with each other."""
    np.testing.assert_allclose(
        units.celsius(first) - units.celsius(second),
        units.celsius_days(first - second),
        rtol=0,
        atol=1e-9,
    )


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [("50F", 50.0, "F"), ("10 °C", 10.0, "C"), ("−2c", -2.0, "C"), ("12,5 °C", 12.5, "C")],
)
def test_a_temperature_names_its_scale(text: str, value: float, unit: str) -> None:
    """Number and letter, in the ways people write them."""
    assert units.temperature_named(text) == (value, unit)


@pytest.mark.parametrize("text", ["50", "F", "fifty F", "50K", ""])
def test_a_bare_number_gets_no_guessed_scale(text: str) -> None:
    """Refused, with how to write it."""
    with pytest.raises(ArgumentRefusal, match="Write the F or C behind the number"):
        units.temperature_named(text)


@pytest.mark.parametrize("half", [0.5, 1.5, 2.5, 3.5, 20.5, 21.5, 101.5])
def test_a_half_goes_one_way_in_both_scales_and_for_both_signs(half: float) -> None:
    """Away from zero, against decimal's ROUND_HALF_UP, which works on the digits as written."""
    up = float(Decimal(str(half)).quantize(Decimal(1), ROUND_HALF_UP))
    assert units.rounded(half) == up
    assert units.rounded(-half) == -up
    assert units.rounded(units.fahrenheit(units.celsius(half))) == up
    tenth = float(Decimal(str(half / 10)).quantize(Decimal("0.1"), ROUND_HALF_UP))
    assert units.rounded(half / 10, 1) == tenth
    assert math.isnan(units.rounded(math.nan))
