"""Single days against print; the sources stand at the top of the file of rows."""

from __future__ import annotations

import math

import numpy as np
import pytest

import gddcast
from gddcast import units
from gddcast.heat.cutoffs import CUTOFFS
from gddcast.heat.shapes import SHAPES
from tests.published_rows import half_last_digit, rows

ROWS = rows("daily_degree_days.csv")


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['source']}-{row['tmin']}-{row['tmax']}"
)
def test_agrees_with_print(row: dict[str, str]) -> None:
    """Our value, counted in °C and given back in the printed unit, rounds to the printed one."""
    unit = row["unit"]
    tmin, tmax, lower = (
        units.to_celsius(float(row[key]), unit) for key in ("tmin", "tmax", "lower")
    )
    upper = units.to_celsius(float(row["upper"]), unit) if row["upper"] else math.inf

    heat = gddcast.degree_days(
        tmin, tmax, lower=lower, upper=upper,
        shape=SHAPES[row["shape"]], cutoff=CUTOFFS[row["cutoff"]],
    )  # fmt: skip

    ours = units.from_celsius_days(heat, unit)
    np.testing.assert_allclose(
        ours, float(row["printed"]), rtol=0, atol=half_last_digit(row["printed"]) + 1e-9
    )


def test_onions_of_a_constant_temperature() -> None:
    """80 °C·d above 2.5 °C at a constant 22.5 °C is 4 days (Brewster, after Harrington 1962)."""
    daily = gddcast.degree_days(np.full(10, 22.5), np.full(10, 22.5), lower=2.5)
    np.testing.assert_allclose(
        gddcast.day_reached(gddcast.running_heat(daily), 80.0), 4.0, rtol=0, atol=1e-9
    )
