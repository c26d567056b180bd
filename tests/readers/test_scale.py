"""Scales: settled by the file or its owner, never guessed; what is written comes back in °C."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from gddcast.readers.reading import Reading
from gddcast.weather.series import Place
from tests.readers.known_days import (
    DAYS,
    HIGH,
    LOW,
    assert_asked,
    assert_true_days,
    fahrenheit,
    half_hours,
    outcome,
    rows,
)
from tests.readers.readings import (
    THREE_DAYS,
    fahrenheit_of,
    note_of,
    read_lines,
    read_sample,
    rules,
)

NORTH = Place("Larkhollow", 41.2, -89.4)
JANUARY = np.arange("2026-01-01", "2026-01-31", dtype="datetime64[D]")
_chance = np.random.default_rng(12)
COLD_HIGH = np.round(_chance.uniform(-6, 4, JANUARY.size), 1)
COLD_LOW = np.round(COLD_HIGH - _chance.uniform(6, 10, JANUARY.size), 1)


# --- cells that name a scale --------------------------------------------------------------------


@pytest.mark.parametrize("spelling", ["{}F", "{} °F", "{} deg F"])
def test_one_cell_in_fahrenheit_under_celsius_is_believed(spelling: str) -> None:
    cells = [str(value) for value in HIGH]
    cells[7] = spelling.format(fahrenheit(HIGH)[7])
    reading = outcome(["date,max_c,min_c", *rows(cells, LOW)])

    assert_true_days(reading)
    assert isinstance(reading, Reading)
    assert note_of(reading, "cell-units").startswith("Line 9 has cells that name °F")


def test_one_cell_in_celsius_under_fahrenheit_is_believed() -> None:
    cells = [str(value) for value in fahrenheit(LOW)]
    cells[3] = f"{LOW[3]} °C"
    assert_true_days(outcome(["date,max_f,min_f", *rows(fahrenheit(HIGH), cells)]))


def test_cells_that_all_contradict_the_header_are_asked_about() -> None:
    lines = ["date,max_f,min_f", *rows([f"{x} °C" for x in HIGH], [f"{n} °C" for n in LOW])]
    assert_asked(outcome(lines), "--unit", "C")
    assert_true_days(outcome(lines, unit="C"))


def test_one_labelled_cell_does_not_settle_the_others() -> None:
    cells = [str(value) for value in HIGH]
    cells[7] = f"{fahrenheit(HIGH)[7]}F"
    lines = ["date,max,min", *rows(cells, LOW)]
    refusal = assert_asked(outcome(lines), "--unit", "C")

    assert refusal.slug == "units-unclear"
    assert_true_days(outcome(lines, unit="C"))


def test_a_comment_that_contradicts_the_header_is_asked_about() -> None:
    lines = ["# unit: C", "date,max_f,min_f", *rows(HIGH, LOW)]
    assert_asked(outcome(lines), "--unit", "C")


# --- columns in two scales ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "high", "low"),
    [
        ("date,max_f,min_c", fahrenheit(HIGH), LOW),
        ("date,max (K),min (°C)", np.round(HIGH + 273.15, 2), LOW),
        ("date,max (°C),min (0.1 °C)", HIGH, np.round(LOW * 10).astype(int)),
        ("date,max (°C),max (°F),min (°F),min (°C)", None, None),
    ],
)
def test_columns_in_two_scales_are_each_read_as_headed(
    header: str, high: np.ndarray, low: np.ndarray
) -> None:
    columns = (high, low) if high is not None else (HIGH, fahrenheit(HIGH), fahrenheit(LOW), LOW)
    assert_true_days(outcome([header, *rows(*columns)]))


def test_one_scale_said_of_columns_in_two_is_refused() -> None:
    refusal = assert_asked(outcome(["date,max_f,min_c", *rows(fahrenheit(HIGH), LOW)], unit="F"))
    assert "Leave --unit out" in refusal.cure


# --- a scale that was said ----------------------------------------------------------------------


@pytest.mark.parametrize("spike", [None, 155.0])
def test_fahrenheit_said_of_celsius_is_asked_about(spike: float | None) -> None:
    high = HIGH.copy()
    if spike:
        high[4] = spike
    lines = ["date,max,min", *rows(high, LOW)]
    refusal = assert_asked(outcome(lines, unit="F"), "--unit", "C")

    assert refusal.slug == "units-doubtful"
    assert "As °C that is an ordinary May; as °F" in refusal.expected
    assert "add --yes" in refusal.cure


def test_a_person_who_is_sure_is_believed() -> None:
    reading = outcome(["date,max,min", *rows(HIGH, LOW)], unit="F", sure=True)

    assert isinstance(reading, Reading)
    np.testing.assert_allclose(reading.series.tmax, (HIGH - 32) / 1.8, rtol=0, atol=1e-9)


@pytest.mark.parametrize("unit", ["C", "K", "tenths-C"])
def test_another_scale_said_of_fahrenheit_is_refused(unit: str) -> None:
    assert_asked(
        outcome(["date,max,min", *rows(fahrenheit(HIGH), fahrenheit(LOW))], unit=unit),
        "--unit", "F",
    )  # fmt: skip


@pytest.mark.parametrize("unit", ["K", "tenths-C"])
@pytest.mark.parametrize("whole", [True, False])
def test_another_scale_said_of_celsius_is_refused(unit: str, whole: bool) -> None:
    high, low = (np.round(each).astype(int) if whole else each for each in (HIGH, LOW))
    assert_asked(outcome(["date,max,min", *rows(high, low)], unit=unit), "--unit", "C")


@pytest.mark.parametrize("written", ["C", "F"])
@pytest.mark.parametrize("said", ["C", "F"])
@pytest.mark.parametrize("south", [False, True])
def test_winter_at_a_known_place_is_read_right_or_asked_about(
    written: str, said: str, south: bool
) -> None:
    """°F of January could be °C of a summer, were the place not known."""
    days = JANUARY + 181 if south else JANUARY
    place = Place("Larkhollow", -41.2, 172.0) if south else NORTH
    high, low = (
        (fahrenheit(COLD_HIGH), fahrenheit(COLD_LOW)) if written == "F" else (COLD_HIGH, COLD_LOW)
    )
    read = outcome(["date,max,min", *rows(high, low, days=days)], unit=said, place=place)
    if said == written and written == "C":
        assert isinstance(read, Reading)
    if isinstance(read, Reading):
        np.testing.assert_allclose(read.series.tmax, COLD_HIGH, rtol=0, atol=0.006)
    else:
        assert read.slug in ("units-doubtful", "units-impossible")


def test_a_whole_year_in_celsius_headed_fahrenheit_is_asked_about() -> None:
    days = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
    high = np.round(13 + 12 * np.sin((np.arange(days.size) - 110) * 2 * np.pi / 365), 1)
    lines = ["date,max_f,min_f", *rows(high, high - 9, days=days)]

    assert_asked(outcome(lines), "--unit", "C")


@pytest.mark.parametrize("said", ["F", "C"])
def test_a_log_in_the_other_scale_is_asked_about(said: str) -> None:
    lines = [
        f"{stamp},{warmth if said == 'F' else warmth * 1.8 + 32:.2f}"
        for stamp, warmth in half_hours()
    ]
    assert_asked(outcome(["time,temp", *lines], unit=said), "--unit", "C" if said == "F" else "F")


# --- tenths -------------------------------------------------------------------------------------

TENTHS = (
    "0.1 C", "°C x10", "°C×10", "C*10", "x 10 °C", "1/10 °C", "10ths C", "tenths of °C",
    "Zehntel °C", "dixièmes °C", "°C/10", "décimas de °C", "in 0.1 degrees Celsius",
)  # fmt: skip


@pytest.mark.parametrize("words", TENTHS)
@pytest.mark.parametrize("colder", [0.0, 18.0])
def test_tenths_headed_as_such_are_tenths_in_a_cool_season_too(words: str, colder: float) -> None:
    high, low = (np.round(10 * (each - colder)).astype(int) for each in (HIGH, LOW))
    read = outcome([f"date,max ({words}),min ({words})", *rows(high, low)])

    assert isinstance(read, Reading), read
    np.testing.assert_allclose(read.series.tmax, HIGH - colder, rtol=0, atol=1e-9)
    np.testing.assert_allclose(read.series.tmin, LOW - colder, rtol=0, atol=1e-9)


@pytest.mark.parametrize("words", ["°F x10", "tenths °F", "0.1 °F", "K x10", "F*10"])
@pytest.mark.parametrize("cure", [False, True])
def test_tenths_of_other_scales_are_never_tenths_of_celsius(words: str, cure: bool) -> None:
    high, low = (np.round(10 * (fahrenheit(each) - 40)).astype(int) for each in (HIGH, LOW))
    names = {"max_column": f"max ({words})", "min_column": f"min ({words})"} if cure else {}
    read = outcome([f"date,max ({words}),min ({words})", *rows(high, low)], **names)
    assert isinstance(read, Refusal), read.understood


def test_tenths_with_decimals_are_none() -> None:
    assert_asked(outcome(["date,max (°C x10),min (°C x10)", *rows(HIGH, LOW)]), "--unit", "C")


@pytest.mark.parametrize("colder", [0.0, 12.0, 18.0])
@pytest.mark.parametrize("unit", [None, "F", "C"])
def test_tenths_without_a_word_are_asked_about(colder: float, unit: str | None) -> None:
    high, low = (np.round(10 * (each - colder)).astype(int) for each in (HIGH, LOW))
    assert_asked(outcome(["date,max,min", *rows(high, low)], unit=unit), "--unit", "tenths-C")


def test_a_legend_above_the_header_says_tenths() -> None:
    high, low = (np.round(10 * (each - 15)).astype(int) for each in (HIGH, LOW))
    legend = ["# TN: minimum temperature (in 0.1 degrees Celsius)", "# RH: rain (in 0.1 mm)"]
    read = outcome([*legend, "date,TX,TN", *rows(high, low)])

    assert isinstance(read, Reading), read
    np.testing.assert_allclose(read.series.tmin, LOW - 15, rtol=0, atol=1e-9)


def test_refusals_of_a_scale_are_true_of_the_scale() -> None:
    refusal = outcome(["date,max (K),min (K)", *rows(HIGH, LOW)])

    assert isinstance(refusal, Refusal)
    assert "never been colder than 184 K" in refusal.expected
    assert DAYS.size == 20


def test_u1_no_unit_is_refused_with_the_evidence_and_the_flag() -> None:
    with pytest.raises(Refusal, match="doesn’t say whether it is °F or °C") as refused:
        read_sample(2)

    assert str(refused.value) == (
        "Can’t use 02_celsius_no_unit.csv: it doesn’t say whether it is °F or °C.\n"
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
    with pytest.raises(Refusal, match="can’t be in °C, as you said") as refused:
        read_sample(1, unit="C")

    assert refused.value.flag == "--unit F"


def test_u1_the_owner_may_contradict_the_header_and_hears_it() -> None:
    reading = read_lines("date,max_f,min_f", *THREE_DAYS, unit="C")

    assert reading.series.tmax[0] == 22
    assert "You said °C, the file’s header says °F" in note_of(reading, "units-contradicted")


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
    assert f"on {day.day} {day:%b} {day.year}" in refused.value.problem


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
