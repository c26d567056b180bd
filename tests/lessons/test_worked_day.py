"""The worked day: known answers, steps that end in them, and their words."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from gddcast.errors import ArgumentRefusal
from gddcast.heat.daily import (
    CUTOFFS,
    floor_the_mean,
    floor_the_readings,
    horizontal,
    no_cutoff,
    single_sine,
    single_triangle,
    vertical,
)
from gddcast.lessons.curve_table import ROWS, table
from gddcast.lessons.day_steps import steps
from gddcast.lessons.worked_day import Day, moral, short_sum, side_by_side

SCHOOL = Day(72, 46, 50, "F")
HOT = Day(95, 70, 50, "F", upper=86)


@pytest.mark.parametrize(
    ("shape", "heat"),
    [(floor_the_readings, 11.0), (single_sine, 9.7), (floor_the_mean, 9.0)],
    ids=lambda each: getattr(each, "name", str(each)),
)
def test_the_school_day(shape, heat: float) -> None:  # type: ignore[no-untyped-def]
    """High 72, low 46 above 50 °F gives 11.0, 9.7 and 9.0.

    11 is printed by the Waushara Argus, 25 April 2018 (extension column, 86/50 rule) for this
    very day; the other two are the sine's integral below and plain arithmetic.
    """
    assert round(SCHOOL.heat(shape), 1) == heat


def test_published_school_example() -> None:
    """High 54, low 40: the readings' habit gives the 2 a school example prints.

    Bangor Daily News blog, 15 April 2006, classroom example with 50/86.
    """
    day = Day(54, 40, 50, "F", upper=86)
    assert day.heat(floor_the_readings, horizontal) == 2.0
    assert day.heat(floor_the_mean, horizontal) == 0.0


def test_the_hot_day() -> None:
    """95/70 with 50/86: 32.5 without a cut-off, 30.1 levelling off, 15.4 stopping.

    Against the drawn sine, integrated by scipy.
    """

    def excess(level: float) -> float:
        def above(t: float) -> float:
            return max(82.5 - 12.5 * np.cos(2 * np.pi * t) - level, 0.0)

        crossing = np.arccos((82.5 - level) / 12.5) / (2 * np.pi) if 70 < level < 95 else None
        points = None if crossing is None else [crossing, 1 - crossing]
        return float(quad(above, 0, 1, points=points, epsabs=1e-11)[0])

    above_86 = 2 * (0.5 - np.arccos((82.5 - 86) / 12.5) / (2 * np.pi))
    none, level = excess(50), excess(50) - excess(86)
    stop = level - 36 * above_86
    assert [round(each, 1) for each in (none, level, stop)] == [32.5, 30.1, 15.4]
    np.testing.assert_allclose(
        [HOT.heat(single_sine, each) for each in (no_cutoff, horizontal, vertical)],
        [none, level, stop], rtol=0, atol=1e-8,
    )  # fmt: skip


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    low=st.integers(20, 90), range_=st.integers(0, 45), lower=st.sampled_from([40, 50]),
    upper=st.sampled_from([float("inf"), 86, 88]), next_low=st.none() | st.integers(20, 95),
)  # fmt: skip
def test_every_last_step_is_the_answer(
    low: int, range_: int, lower: int, upper: float, next_low: int | None
) -> None:
    """However a day lies, the last step by hand ends in the calculator's number."""
    day = Day(low + range_, low, lower, "F", upper=upper, next_low=next_low)
    cutoffs = [no_cutoff] if np.isinf(upper) else list(CUTOFFS.values())
    for shape in day.shapes:
        for cutoff in cutoffs:
            last = steps(day, shape, cutoff)[-1]
            said = float(re.findall(r"(-?\d+\.\d+)\.$", last)[0])
            np.testing.assert_allclose(said, day.heat(shape, cutoff), rtol=0, atol=0.0501)


def test_steps_add_up_as_written() -> None:
    """The sine's last line can be redone from its own numbers."""
    last = steps(SCHOOL, single_sine)[-1]
    above, half, g, heat = map(float, re.findall(r"so (\S+) \+ (\S+) × (\S+) = (\S+)\.", last)[0])
    np.testing.assert_allclose(above + half * g, heat, rtol=0, atol=0.06)


@pytest.mark.parametrize("low", [64, 70, 76, 80, 84])
@pytest.mark.parametrize("cutoff", ["horizontal", "intermediate", "vertical"])
def test_cut_off_steps_add_up_as_written(low: int, cutoff: str) -> None:
    """The last line of every cut-off can be redone, whichever side of 86 the mean lies on."""
    day = Day(low + 25, low, 50, "F", upper=86)
    for shape in (single_sine, single_triangle, floor_the_readings):
        last = steps(day, shape, CUTOFFS[cutoff])[-1].partition(": ")[2]
        if cutoff == "vertical":
            last = last.rpartition("of the day: ")[2] or last
        written, _, answer = last.rstrip(".").rpartition(" = ")
        terms = written.replace("−", "-").replace("×", "*")
        assert re.fullmatch(r"[\d.\s*+-]+", terms)
        total = sum(
            np.prod([float(factor) for factor in term.replace(" ", "").split("*")])
            for term in re.sub(r" - ", " + -", terms).split(" + ")
        )
        np.testing.assert_allclose(max(total, 0.0), float(answer), rtol=0, atol=0.075)


def test_all_six_methods_with_a_next_low() -> None:
    """A next night's low adds the two double shapes."""
    assert len(Day(72, 46, 50, "F", next_low=52).shapes) == 6
    assert len(SCHOOL.shapes) == 4


def test_a_flat_day_has_one_answer() -> None:
    """High and low alike: nothing to divide by, and every method agrees."""
    day = Day(60, 60, 50, "F", upper=86)
    assert {heat for by in side_by_side(day).values() for heat in by.values()} == {10.0}
    assert moral(day).startswith("The whole day lies above the line")
    assert moral(Day(45, 40, 50, "F")).startswith("The day never passes")


def test_sums_in_one_line() -> None:
    """The short sums are those of the lesson's first screen."""
    assert short_sum(SCHOOL, floor_the_mean) == "(72 + 46) / 2 − 50"
    assert short_sum(Day(54, 40, 50, "F"), floor_the_mean).endswith("not below 0")
    assert "straight-sided" in short_sum(SCHOOL, single_triangle)


@pytest.mark.parametrize(
    ("numbers", "match"),
    [((46, 72, 50), "its low, 72, is above its high, 46"), ((72, 46, 90), "is not below")],
)
def test_impossible_days_are_refused(numbers: tuple[float, ...], match: str) -> None:
    """A low above the high, and crossed thresholds, are refused in three parts."""
    with pytest.raises(ArgumentRefusal, match=match):
        Day(*numbers, "F", upper=86)  # type: ignore[misc, arg-type]


def test_table_has_21_rows_that_fall() -> None:
    """The printed curve runs from 1/π at the mean to 0 at the edge, never rising."""
    values = [g for _, g in table(single_sine)]
    assert len(ROWS) == len(values) == 21
    assert values[0] == round(1 / np.pi, 4)
    assert values[-1] == 0.0
    assert all(np.diff(values) < 0)
