"""Worksheets: the same for a seed, the same in °F and °C, exact by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from gddcast.errors import ArgumentRefusal
from gddcast.lessons.by_hand import heat_by_hand, y_of
from gddcast.lessons.curve_table import on_a_row
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worksheet import FORMS, SHEET_METHODS, make_worksheet
from gddcast.units import Unit

SEEDS = range(40)


@pytest.mark.parametrize("seed", SEEDS)
def test_celsius_totals_are_five_ninths(seed: int) -> None:
    """Each total of the °C sheet is 5/9 of the °F sheet's."""
    fahrenheit, celsius = (make_worksheet(seed, 7, unit) for unit in ("F", "C"))
    for shape in SHEET_METHODS:
        np.testing.assert_allclose(
            celsius.total(shape), fahrenheit.total(shape) * 5 / 9, rtol=1e-12, atol=0
        )


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("unit", ["F", "C"])
def test_table_and_exact_sum_round_alike(seed: int, form: str, unit: Unit) -> None:
    """A student with the printed table gets the exact answer, to the last digit asked for."""
    sheet = make_worksheet(seed, unit=unit, form=form)
    for method in sheet.methods:
        exact = sheet.total(*method)
        by_hand = sum(heat_by_hand(day, *method) for day in sheet.counted)
        assert heat_shown(exact, unit) == heat_shown(by_hand, unit)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("seed", range(12))
def test_a_shorter_sheet_begins_the_longer_one(seed: int, form: str) -> None:
    short, long = (make_worksheet(seed, days, form=form) for days in (7, 31))
    assert long.days[:7] == short.days
    assert (long.goal, long.catches[:7]) == (short.goal, short.catches)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_date_sheet_has_three_days_for_one_goal(seed: int) -> None:
    """The goal is met within a week, on another row by each method; °F and °C agree on the rows."""
    fahrenheit, celsius = (make_worksheet(seed, unit=unit, form="date") for unit in ("F", "C"))
    assert fahrenheit.answers == celsius.answers
    assert len(set(fahrenheit.answers)) == 3
    assert max(fahrenheit.answers) <= 7  # type: ignore[type-var]
    np.testing.assert_allclose(fahrenheit.goal, celsius.goal * 9 / 5, rtol=0, atol=1e-9)  # type: ignore[operator]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_clock_starts_on_the_first_of_two_mornings(seed: int) -> None:
    """A lone catch stands before them and is no start."""
    sheet = make_worksheet(seed, form="biofix")
    before, two = sheet.catches[: sheet.begin], sheet.catches[sheet.begin :][:2]
    assert min(two) > 0
    assert sum(each > 0 for each in before) == 1
    assert sheet.counted == sheet.days[sheet.begin :]


@pytest.mark.parametrize(("lower", "upper", "unit"), [(48, 88, "F"), (39, 75, "F"), (7.5, 29, "C")])
def test_any_line_in_any_unit(lower: float, upper: float, unit: Unit) -> None:
    """Thresholds of a card: the readings stay halves of a degree, hand and table agree."""
    sheet = make_worksheet(3, unit=unit, form="upper", lower=lower, upper=upper)
    assert (sheet.line, sheet.upper) == (lower, upper)
    assert all(Fraction(each) * 2 % 1 == 0 for day in sheet.days for each in (day.high, day.low))
    for method in sheet.methods:
        exact = sheet.total(*method)
        by_hand = sum(heat_by_hand(day, *method) for day in sheet.counted)
        assert heat_shown(exact, unit) == heat_shown(by_hand, unit)
    assert any(day.high > upper for day in sheet.days)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"lower": 48.2}, "no whole or half degree"),
        ({"upper": 86.0}, "the form week has no upper threshold"),
        ({"form": "upper", "upper": 52.0}, "lies 2 above the lower one"),
    ],
)
def test_refuses_thresholds_nobody_can_work_by_hand(asked: dict[str, Any], found: str) -> None:
    with pytest.raises(ArgumentRefusal, match=found):
        make_worksheet(1, **asked)


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
