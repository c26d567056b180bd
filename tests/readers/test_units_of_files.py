"""Group U of the bad inputs: the scale of a file is settled by it or its owner, never guessed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from tests.readers.readings import (
    THREE_DAYS,
    fahrenheit_of,
    note_of,
    read_lines,
    read_sample,
    rules,
)


def test_u1_no_unit_is_refused_with_the_evidence_and_the_flag() -> None:
    with pytest.raises(Refusal, match="doesn't say whether it is °F or °C") as refused:
        read_sample(2)

    assert str(refused.value) == (
        "Can't use 02_celsius_no_unit.csv: it doesn't say whether it is °F or °C.\n"
        "  Highest reading 32.8, lowest 2.8. As °C that is an ordinary May; as °F no afternoon "
        "passed 33.\n"
        "  Say which:  --unit C"
    )
    assert refused.value.flag == "--unit C"
    assert refused.value.slug == "units-unclear"


def test_u1_told_the_unit_the_days_are_those_of_the_labelled_file() -> None:
    told, labelled = read_sample(2, unit="C"), read_sample(1)

    np.testing.assert_allclose(told.series.tmax, labelled.series.tmax, rtol=0, atol=0.0501)
    np.testing.assert_allclose(told.series.tmin, labelled.series.tmin, rtol=0, atol=0.0501)
    assert told.unit_decided_by == "you"
    assert labelled.unit_decided_by == "header"


def test_u1_a_hot_file_without_a_unit_is_offered_as_fahrenheit() -> None:
    with pytest.raises(Refusal, match="hotter than air has ever been on Earth") as refused:
        read_lines("date,max,min", "2026-05-01,72,46", "2026-05-02,66,39")

    assert refused.value.flag == "--unit F"


def test_u1_a_scale_that_cannot_be_is_refused_even_when_told() -> None:
    with pytest.raises(Refusal, match="can't be in °C, as you said") as refused:
        read_sample(1, unit="C")

    assert refused.value.flag == "--unit F"


def test_u1_the_owner_may_contradict_the_header_and_hears_it() -> None:
    reading = read_lines("date,max_f,min_f", *THREE_DAYS, unit="C")

    assert reading.series.tmax[0] == 22
    assert "You said °C, the file's header says °F" in note_of(reading, "units-contradicted")


@pytest.mark.parametrize(
    ("header", "unit"),
    [
        ("date,max_f,min_f", "F"),
        ("Date,Tmax °C,Tmin °C", "C"),
        ("Date,Tmax (deg c),Tmin (deg c)", "C"),
        ("Date,High [F],Low [F]", "F"),
        ("Date,Max Temp Fahrenheit,Min Temp Fahrenheit", "F"),
        ("Datum,Höchst ºC,Tiefst ºC", "C"),
        ("day,maxTempC,minTempC", "C"),
    ],
)
def test_a_unit_in_the_header_is_understood(header: str, unit: str) -> None:
    assert read_lines(header, *THREE_DAYS).unit == unit


def test_u6_the_same_days_in_either_scale_are_the_same_days() -> None:
    """U6: convert in, and the scale of the file is forgotten."""
    in_f = read_lines("date,max_f,min_f", "2026-05-01,71.6,46.4", "2026-05-02,66.2,39.2")
    in_c = read_lines("date,max_c,min_c", "2026-05-01,22,8", "2026-05-02,19,4")

    np.testing.assert_allclose(in_f.series.tmax, in_c.series.tmax, rtol=0, atol=1e-12)
    np.testing.assert_allclose(in_f.series.tmin, in_c.series.tmin, rtol=0, atol=1e-12)


def test_u7_tenths_of_a_degree_are_asked_about() -> None:
    with pytest.raises(Refusal, match="tenths of a degree Celsius") as refused:
        read_sample(8)

    assert refused.value.flag == "--unit tenths-C"
    told = read_sample(8, unit="tenths-C")
    np.testing.assert_allclose(
        told.series.tmax, read_sample(2, unit="C").series.tmax, rtol=0, atol=1e-12
    )


def test_u8_a_change_of_unit_is_refused_and_dated() -> None:
    with pytest.raises(Refusal, match="changes from °F to °C on 20 May 2026"):
        read_sample(16)
    with pytest.raises(Refusal, match="20 May 2026"):
        read_sample(16, unit="F")


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.integers(30, 330), st.booleans())
def test_u8_a_change_planted_anywhere_in_a_warm_half_year_is_found(at: int, to_c: bool) -> None:
    rng = np.random.default_rng(at)
    days = np.arange("2025-04-01", "2025-10-01", dtype="datetime64[D]")
    at = 10 + at % (days.size - 20)
    high = 24 + rng.normal(0, 4, days.size)
    low = high - rng.uniform(8, 14, days.size)
    fahrenheit = (np.arange(days.size) < at) == to_c
    high, low = (np.where(fahrenheit, values * 1.8 + 32, values) for values in (high, low))
    lines = [f"{d},{x:.1f},{n:.1f}" for d, x, n in zip(days, high, low, strict=True)]

    with pytest.raises(Refusal, match="its scale changes") as refused:
        read_lines("date,max,min", *lines)

    day = days[at].item()
    assert f"on {day.day} {day:%b} {day.year}" in refused.value.found


def test_u9_kelvin_is_offered() -> None:
    lines = ["date,max,min", "2026-05-01,295.2,281.0", "2026-05-02,292.0,277.1"]
    with pytest.raises(Refusal, match="look like kelvin") as refused:
        read_lines(*lines)

    assert refused.value.flag == "--unit K"
    assert read_lines(*lines, unit="K").series.tmax[0] == pytest.approx(22.05, rel=0, abs=1e-9)


def test_u10_units_in_cells_are_accepted() -> None:
    reading = read_lines("date,high,low", '2026-05-01,71F,"49 °F"', '2026-05-02,"68 °F",47F')

    assert fahrenheit_of(reading) == ([71, 68], [49, 47])
    assert reading.unit_decided_by == "cells"


def test_u10_words_in_more_than_one_cell_of_twenty_are_refused_by_line() -> None:
    with pytest.raises(Refusal, match="2 of 4 readings") as refused:
        read_sample(26)

    assert refused.value.expected == "line 4 'about 70', line 5 '7O'."


def test_u10_a_rare_unclear_cell_is_listed_and_missing() -> None:
    lines = [f"2026-05-{day:02d},70,50" for day in range(1, 31)]
    lines[9] = "2026-05-10,about 70,50"
    reading = read_lines("date,max_f,min_f", *lines)

    assert np.flatnonzero(~reading.series.known).tolist() == [9]
    assert note_of(reading, "readings-unclear").startswith("Line 11: is no clear number")


def test_u10_cells_in_two_scales_are_each_converted() -> None:
    reading = read_lines("date,high,low", "2026-05-01,68F,10C", "2026-05-02,20C,50F")

    np.testing.assert_allclose(reading.series.tmax, [20, 20], rtol=0, atol=1e-9)
    np.testing.assert_allclose(reading.series.tmin, [10, 10], rtol=0, atol=1e-9)


def test_u11_a_missing_mark_that_was_converted_is_recognised() -> None:
    """−999.9 °C becomes −1767.82 °F in a program that converts everything."""
    reading = read_lines(
        "date,max_f,min_f", "2026-05-01,-1767.8,46", "2026-05-02,66,-1767.8", "2026-05-03,60,40"
    )

    assert reading.series.known.tolist() == [False, False, True]
    assert "−1767.8 ×2" in note_of(reading, "missing-marks")


def test_u11_zero_kelvin_is_a_missing_mark() -> None:
    reading = read_lines(
        "date,max,min", "2026-05-01,295,281", "2026-05-02,0,0", "2026-05-03,290,280", unit="K"
    )

    assert reading.series.known.tolist() == [True, False, True]
    assert "missing-marks" in rules(reading)


def test_the_largest_plausible_cold_is_kept() -> None:
    """Snag, Yukon, −63 °C in 1947 (from memory) is weather, not a mark."""
    assert read_lines("date,max_c,min_c", "1947-02-03,-40,-63").series.tmin[0] == -63
