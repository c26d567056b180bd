"""Cells of known days in tables that are damaged: never under another column's name."""

import datetime as dt
from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from tests.readers.known_truth import Day, asked, assert_days, known_days, whole_degrees
from tests.readers.readings import note_of, read_lines, rules

MAY = known_days()
WHOLE = whole_degrees(MAY)
RAIN = [(at * 7) % 30 / 10 for at in range(31)]


# --- rows of another length -----------------------------------------------------------------------


def fixed_width(days: list[Day], blank: tuple[int, str] | None = None) -> list[str]:
    """Columns in line, the cell of one row left blank."""
    lines = ["date          max_c  min_c  rain  humidity"]
    for at, (day, high, low) in enumerate(days):
        cells = {
            "max": f"{high:5.1f}",
            "min": f"{low:5.1f}",
            "rain": f"{RAIN[at]:4.1f}",
            "hum": "60",
        }
        if blank and at == blank[0]:
            cells[blank[1]] = " " * len(cells[blank[1]])
        lines.append(
            f"{day}    {cells['max']}  {cells['min']}  {cells['rain']}  {cells['hum']}".rstrip()
        )
    return lines


@pytest.mark.parametrize("row", [0, 12, 30])
def test_a_blank_cell_between_columns_in_line_is_that_cell(row: int) -> None:
    assert_days(read_lines(*fixed_width(MAY, (row, "rain"))), MAY)
    assert_days(read_lines(*fixed_width(MAY, (row, "hum"))), MAY)
    reading = read_lines(*fixed_width(MAY, (row, "max")))
    assert reading.series.tmin[row] == MAY[row][2]
    assert not reading.series.known[row]
    assert reading.series.missing == 1
    reading = read_lines(*fixed_width(MAY, (row, "min")))
    assert reading.series.tmax[row] == MAY[row][1]
    assert reading.series.missing == 1


def test_two_spaces_hold_an_empty_cell_where_one_parts_cells() -> None:
    """By position 4.2 would be a maximum: the cell before it is empty, not short."""
    rows = [f"{day} {'AB'[at % 2]} {high} {low}" for at, (day, high, low) in enumerate(MAY)]
    rows[12] = f"{MAY[12][0]} A  {MAY[12][2]}"
    reading = read_lines("date code max_c min_c", *rows)

    assert reading.series.missing == 1
    assert np.isnan(reading.series.tmax[12])
    assert reading.series.tmin[12] == MAY[12][2]


def test_a_time_behind_a_date_is_no_cell_of_its_own() -> None:
    """With the blank event each row has as many cells as the header, all under wrong names."""
    rows = [f"{day} 24:00 55 {high}  {low}" for day, high, low in MAY]

    assert asked("date humidity max_c event min_c", *rows).slug == "cells-uneven"
    assert_days(read_lines("date max_c min_c", *(f"{d} 00:00 {x} {n}" for d, x, n in MAY)), MAY)


def test_cells_of_one_length_prove_no_columns_where_a_row_ends_early() -> None:
    days = [(day, 20.0 + at / 10, 10.0 + at / 10) for at, (day, _, _) in enumerate(MAY)]
    rows = [f"{day} {high:.1f} {low:.1f}" for day, high, low in days]
    rows[12] = f"{days[12][0]} {days[12][2]:.1f}"

    assert_days(read_lines("date max_c min_c", *rows), days, missing=(12,))


@pytest.mark.parametrize("cell", [1, 2, 3])
@pytest.mark.parametrize("mark", [" ", "  ", ",", ";", "\t"])
def test_a_row_that_lost_a_cell_is_missing_and_listed(cell: int, mark: str) -> None:
    header = mark.join(["date", "rain", "max_c", "min_c", "humidity"])
    rows = [
        [str(day), f"{RAIN[at]:g}", f"{high:g}", f"{low:g}", "60"]
        for at, (day, high, low) in enumerate(MAY)
    ]
    del rows[12][cell]
    reading = read_lines(header, *map(mark.join, rows))

    assert_days(reading, MAY, missing=(12,))
    assert note_of(reading, "cells-uneven").startswith("Line 14 has not the 5 cells of the header")


def test_a_row_that_lost_its_date_or_site_is_missing() -> None:
    rows = [["bed 3", str(day), str(high), str(low), "dry"] for day, high, low in MAY]
    del rows[5][0], rows[9][1]
    reading = read_lines("site,date,max_c,min_c,note", *map(",".join, rows))

    assert_days(reading, MAY, missing=(5, 9))


def test_a_longer_row_is_missing_not_cut_to_length() -> None:
    rows = [f"{day},{high},{low}" for day, high, low in MAY]
    rows[12] = "2026-05-13,24,9,13,7"
    reading = read_lines("date,max_c,min_c", *rows)

    assert_days(reading, MAY, missing=(12,))


def test_notes_may_be_left_out_or_hold_a_comma() -> None:
    rows = [f"{day},{high},{low}" for day, high, low in MAY]
    rows[3] += ",sunny"
    rows[4] += ",rain, then hail"
    rows[5] += ","

    assert_days(read_lines("date,max_c,min_c,note", *rows), MAY)


def test_a_note_before_the_readings_moves_nothing() -> None:
    rows = [f"{day},fine,{high},{low}" for day, high, low in MAY]
    rows[3] = f"{MAY[3][0]},rain, 30 mm,{MAY[3][1]},{MAY[3][2]}"
    rows[4] = f"{MAY[4][0]},{MAY[4][1]},{MAY[4][2]}"

    assert_days(read_lines("date,note,max_c,min_c", *rows), MAY, missing=(3, 4))


def test_a_column_that_all_rows_lack_is_asked_about() -> None:
    """The header names a station that no row has: rain would be the minimum."""
    rows = [f"{day},{high},{low},{RAIN[at]}" for at, (day, high, low) in enumerate(MAY)]

    assert asked("date,humidity,max_c,min_c,rain", *rows).slug == "cells-uneven"


@pytest.mark.parametrize(
    ("header", "end"), [("date,max_c,min_c", ","), ("date,max_c,min_c,note", "")]
)
def test_lines_that_all_end_alike_are_whole_with_blanks_in_them(header: str, end: str) -> None:
    rows = [f"{day},{high},{low}{end}" for day, high, low in MAY]
    for at in range(3, 24, 2):
        rows[at] = f"{MAY[at][0]},,{end}"

    assert_days(read_lines(header, *rows), MAY, missing=tuple(range(3, 24, 2)))


def test_a_footer_of_fewer_cells_is_still_a_footer() -> None:
    rows = [f"{day},{high},{low},60" for day, high, low in MAY]
    reading = read_lines("date,max_c,min_c,humidity", *rows, "Average,20.1")

    assert_days(reading, MAY)
    assert "'Average'" in note_of(reading, "footer")


@settings(derandomize=True, max_examples=150, deadline=None)
@given(
    st.sampled_from([",", ";", "\t", " ", "  "]),
    st.permutations(["rain", "max_c", "min_c", "humidity", "note"]),
    st.lists(st.tuples(st.integers(0, 30), st.integers(0, 5)), min_size=1, max_size=4),
)
def test_cells_lost_anywhere_never_become_other_readings(
    mark: str, names: list[str], lost: list[tuple[int, int]]
) -> None:
    rows = []
    for at, (day, high, low) in enumerate(MAY):
        cells = {"rain": f"{RAIN[at]:g}", "max_c": f"{high:g}", "min_c": f"{low:g}",
                 "humidity": str(50 + at), "note": "dry"}  # fmt: skip
        rows.append([str(day), *(cells[name] for name in names)])
    for row, cell in lost:
        del rows[row][min(cell, len(rows[row]) - 1)]
    try:
        reading = read_lines(mark.join(["date", *names]), *(mark.join(row) for row in rows))
    except Refusal:
        return
    at_of = {day: (high, low) for day, high, low in MAY}
    for day, high, low in zip(
        reading.series.dates.tolist(), reading.series.tmax, reading.series.tmin, strict=True
    ):
        assert high != high or abs(high - at_of[day][0]) < 1e-9
        assert low != low or abs(low - at_of[day][1]) < 1e-9


# --- a second header ------------------------------------------------------------------------------


def stacked(second: str, form: str) -> list[str]:
    one = [f"{day},{high},{low}" for day, high, low in MAY[:15]]
    return [
        "date,max_c,min_c",
        *one,
        second,
        *(form.format(d=d, x=x, n=n, f=x * 1.8 + 32, m=n * 1.8 + 32) for d, x, n in MAY[15:]),
    ]


def test_the_same_header_again_is_left_out() -> None:
    assert_days(read_lines(*stacked("date,max_c,min_c", "{d},{x},{n}")), MAY)
    assert_days(read_lines(*stacked("Date,Max_C,Min_C,", "{d},{x},{n}")), MAY)


@pytest.mark.parametrize(
    ("second", "form"),
    [
        ("date,min_c,max_c", "{d},{n},{x}"),
        ("date,max_f,min_f", "{d},{f:.1f},{m:.1f}"),
        ("date,max_c,min_c,rain", "{d},{x},{n},0.2"),
        ("date,rain,max_c,min_c", "{d},0.2,{x},{n}"),
        ("Datum,Min °C,Max °C", "{d},{n},{x}"),
        ("# date,min_c,max_c", "{d},{n},{x}"),
        ("max_c,date,min_c", "{x},{d},{n}"),
    ],
)
def test_another_header_further_down_is_refused_by_its_line(second: str, form: str) -> None:
    refusal = asked(*stacked(second, form))

    assert refusal.problem == "line 17 is a header unlike the first"
    assert "Cut the file in two above that line" in refusal.cure


# --- decimal commas between commas ----------------------------------------------------------------


def split_cells(days: list[Day]) -> list[str]:
    return [f"{day},{high:.1f},{low:.1f}".replace(".", ",") for day, high, low in days]


@pytest.mark.parametrize(
    "header",
    [
        "date,max_c,min_c,rain,humidity",
        "date,max_c,min_c,,",
        "date,max_c,min_c,note,event,remark",
        "date,max_c,x,min_c,y",
        "date,min_c,max_c,rain,wind",
    ],
)
@pytest.mark.parametrize("count", [3, 31])
@pytest.mark.parametrize("worth", [0, 10**9], ids=["swept", "carefully"])
def test_decimal_commas_in_spare_columns_are_asked_about(
    header: str, count: int, worth: int
) -> None:
    with mock.patch.object(sweeping, "WORTH_SWEEPING", worth):
        refusal = asked(header, *split_cells(MAY[:count]))

    assert refusal.slug in ("decimal-comma", "cells-uneven")
    assert "semicolons" in refusal.cure or refusal.slug == "cells-uneven"


def test_a_log_with_decimal_commas_is_asked_about() -> None:
    lines = [
        f"2026-05-{day:02d} {hour:02d}:00,{10 + hour},{(hour * 7 + day) % 10}"
        for day in range(1, 5)
        for hour in range(24)
    ]
    refusal = asked("time,temp_c,humidity", *lines)

    assert refusal.slug == "decimal-comma"
    assert read_lines("time,temp_c,humidity", *lines, max_column="temp_c").series.tmax[0] == 33


def test_whole_degrees_their_owner_names_are_whole_degrees() -> None:
    days = [(day, high, float(at % 10)) for at, (day, high, _) in enumerate(WHOLE)]
    lines = [
        f"{day},{high:.0f},{low:.0f},{at % 9},{at % 7}" for at, (day, high, low) in enumerate(days)
    ]
    header = "date,max_c,min_c,rain,wind"

    refusal = asked(header, *lines)
    assert refusal.flag == "--max-column max_c --min-column min_c"
    assert_days(read_lines(header, *lines, max_column="max_c", min_column="min_c"), days)


def test_ordinary_whole_degrees_beside_other_numbers_are_read() -> None:
    lines = [
        f"{day},{high:.0f},{low:.0f},{40 + at},{at % 9}"
        for at, (day, high, low) in enumerate(WHOLE)
    ]

    assert_days(read_lines("date,max_c,min_c,humidity,wind", *lines), WHOLE)


# --- cells that name their scale ------------------------------------------------------------------


@pytest.mark.parametrize("told", [{}, {"unit": "C"}])
@pytest.mark.parametrize("header", ["date,max_c,min_c", "date,max,min"])
def test_one_cell_in_fahrenheit_among_celsius(header: str, told: dict[str, str]) -> None:
    lines = [f"{day},{high},{low}" for day, high, low in MAY]
    day, high, low = MAY[12]
    lines[12] = f"{day},{high * 1.8 + 32:.2f}F,{low}"
    if header == "date,max,min" and not told:
        assert asked(header, *lines).flag == "--unit C"
        return
    reading = read_lines(header, *lines, **told)

    assert_days(reading, MAY)
    assert note_of(reading, "cell-units") == (
        "Line 14 has cells that name °F, unlike the rest: each was read in its own scale."
    )


def test_columns_whose_cells_name_two_scales_are_each_read() -> None:
    lines = [f"{day},{high * 1.8 + 32:.2f} F,{low} C" for day, high, low in MAY]

    assert_days(read_lines("date,max,min", *lines), MAY)


def test_a_minimum_headed_in_another_scale_keeps_its_cells() -> None:
    lines = [f"{day},{high * 1.8 + 32:.2f},{low}" for day, high, low in MAY]
    lines[3] = f"{MAY[3][0]},{MAY[3][1]}C,{MAY[3][2] * 1.8 + 32:.2f}F"

    assert_days(read_lines("date,max_f,min_c", *lines), MAY)


def test_two_comments_of_two_scales_settle_nothing() -> None:
    lines = [f"{day},{high},{low}" for day, high, low in MAY]

    assert (
        asked("# unit: F", "date,max,min", *lines[:9], "# unit: C", *lines[9:]).slug
        == "units-unclear"
    )


# --- a file that breaks off -----------------------------------------------------------------------


@pytest.mark.parametrize("worth", [0, 10**9], ids=["swept", "carefully"])
@pytest.mark.parametrize("cut", range(1, 12))
@pytest.mark.parametrize("header", ["date,max_c,min_c", "date,min_c,max_c"])
def test_a_last_line_that_was_cut_is_never_a_reading(header: str, cut: int, worth: int) -> None:
    days = [(day, high + 20, low + 10) for day, high, low in MAY]
    order = (1, 2) if header.startswith("date,max") else (2, 1)
    text = "\n".join([header, *(f"{d[0]},{d[order[0]]:.1f},{d[order[1]]:.1f}" for d in days)])[
        :-cut
    ]
    with mock.patch.object(sweeping, "WORTH_SWEEPING", worth):
        series = read_lines(*text.split("\n")).series

    assert series.first == dt.date(2026, 5, 1)
    for at, (_, high, low) in enumerate(days[: len(series)]):
        assert series.tmax[at] != series.tmax[at] or abs(series.tmax[at] - high) < 1e-6
        assert series.tmin[at] != series.tmin[at] or abs(series.tmin[at] - low) < 1e-6


def test_what_was_cut_is_said_and_a_whole_last_line_is_kept() -> None:
    lines = [f"{day},{high + 20:.0f},{low + 20:.0f}" for day, high, low in MAY]

    assert "cut-end" not in rules(read_lines("date,max_c,min_c", *lines))
    cut = read_lines("date,max_c,min_c", *lines[:-1], lines[-1][:-1])
    assert "breaks off in its last line, at '" in note_of(cut, "cut-end")
    assert cut.series.missing == 1
