"""Worksheets: the same for a seed, the same in °F and °C, exact by hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from gddcast.errors import ArgumentRefusal
from gddcast.lessons.curve_table import on_a_row
from gddcast.lessons.worksheet import SHEET_METHODS, make_worksheet, y_of

SEEDS = range(40)


@pytest.mark.parametrize("seed", SEEDS)
def test_celsius_totals_are_five_ninths(seed: int) -> None:
    """Each total of the °C sheet is 5/9 of the °F sheet's."""
    fahrenheit, celsius = (make_worksheet(seed, 7, unit) for unit in ("F", "C"))
    for shape in SHEET_METHODS:
        np.testing.assert_allclose(
            celsius.total(shape), fahrenheit.total(shape) * 5 / 9, rtol=1e-12, atol=0
        )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("unit", ["F", "C"])
def test_table_and_exact_sum_round_alike(seed: int, unit) -> None:  # type: ignore[no-untyped-def]
    """A student with the printed table gets the exact total, to the last digit asked for."""
    sheet = make_worksheet(seed, 7, unit)
    for shape in SHEET_METHODS:
        assert f"{sheet.total(shape):.1f}" == f"{sheet.total_by_hand(shape):.1f}"


@pytest.mark.parametrize("seed", SEEDS)
def test_readings_suit_pencil_and_thermometer(seed: int) -> None:
    """Readings are halves of a degree, possible days, and y stands in the table."""
    for unit in ("F", "C"):
        for day in make_worksheet(seed, 7, unit).days:  # type: ignore[arg-type]
            assert day.low < day.high
            assert all(Fraction(each) * 2 % 1 == 0 for each in (day.high, day.low))
            y = y_of(day)
            assert y is None or on_a_row(y)


def test_same_seed_same_sheet() -> None:
    """A sheet can be made again; another seed gives another week."""
    assert make_worksheet(7) == make_worksheet(7)
    assert make_worksheet(7) != make_worksheet(8)


def test_methods_differ_on_every_sheet() -> None:
    """A sheet on which all methods agree would teach nothing."""
    for seed in SEEDS:
        sheet = make_worksheet(seed)
        readings, mean, sine = (sheet.total(shape) for shape in SHEET_METHODS)
        assert mean < sine < readings


@pytest.mark.parametrize(("seed", "days"), [(-1, 7), (1, 0), (1, 32)])
def test_refuses_what_fits_no_lesson(seed: int, days: int) -> None:
    """A sheet has 1 to 31 days and a seed of zero or more."""
    with pytest.raises(ArgumentRefusal, match="1 to 31 days"):
        make_worksheet(seed, days)
