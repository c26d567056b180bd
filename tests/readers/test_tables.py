"""Group F of the bad inputs: dates, delimiters, encodings, headers, sites."""

import datetime as dt
import io
import zipfile
from typing import Any

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.readers.reading import Options
from gddcast.readers.tables import tabled
from gddcast.readers.temperature_file import read_temperatures, temperatures_in
from tests.readers.readings import (
    SAMPLES,
    THREE_DAYS,
    day,
    fahrenheit_of,
    note_of,
    read_lines,
    read_sample,
    rules,
    sample,
)


def days_of_clean_sample() -> tuple[list[int], list[int]]:
    return fahrenheit_of(read_sample(1))


def test_f1_ambiguous_dates_are_refused_with_a_proposal() -> None:
    with pytest.raises(Refusal, match="day first or month first") as refused:
        read_sample(4, unit="F")

    assert "'01/05/2026' on line 2 is 1 May 2026 or 5 Jan 2026" in refused.value.expected
    assert "Read day first, the days run on one after another" in refused.value.expected
    assert refused.value.flag == "--dates day-first"


def test_f1_the_answer_is_taken_for_the_whole_file() -> None:
    reading = read_sample(4, dates="day-first", unit="F")

    assert (reading.series.first, reading.series.last) == (day("2026-05-01"), day("2026-06-06"))
    assert read_sample(4, dates="month-first", unit="F").series.first == day("2026-01-05")


def test_f1_one_line_proves_the_order_and_is_cited() -> None:
    reading = read_sample(3)

    assert "Dates day first: line 14 has 13 in front" in reading.understood
    assert fahrenheit_of(reading) == days_of_clean_sample()


def test_f1_months_first_are_proved_likewise() -> None:
    reading = read_lines("date,max_c,min_c", "05/01/2026,22,8", "05/13/2026,19,4")

    assert "Dates month first: line 3 has 13 in the middle" in reading.understood
    assert reading.series.last == day("2026-05-13")


def test_f1_days_and_months_swapped_by_a_spreadsheet_are_refused() -> None:
    days = np.arange("2025-01-01", "2025-12-31", dtype="datetime64[D]").tolist()
    lines = [
        f"{d.year}-{d.day:02d}-{d.month:02d},20,10" if d.day <= 12 else f"{d},20,10" for d in days
    ]
    with pytest.raises(Refusal, match="day and month are swapped") as refused:
        read_lines("date,max_c,min_c", *lines)

    assert refused.value.slug == "dates-swapped"
    assert "from 1 Jan 2025 to 1 Feb 2025 on line 3" in refused.value.expected


def test_f2_mixed_formats_are_refused_with_both_lines() -> None:
    with pytest.raises(Refusal, match="written in 2 ways") as refused:
        read_lines("date,max_c,min_c", "2026-05-01,22,8", "05/02/2026,19,4")

    assert refused.value.expected == "Line 2 has '2026-05-01', line 3 has '05/02/2026'."


def test_f2_both_orders_in_one_file_are_refused() -> None:
    with pytest.raises(Refusal, match="some of its dates are day first and some month first"):
        read_lines("date,max_c,min_c", "13/05/2026,22,8", "05/14/2026,19,4")


def test_f3_spreadsheet_day_numbers_are_dates() -> None:
    reading = read_sample(15)

    assert "Dates are spreadsheet day numbers: 46143 is 1 May 2026" in reading.understood
    assert fahrenheit_of(reading) == days_of_clean_sample()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("31.12.99", "1999-12-31"),
        ("31.12.26", "2026-12-31"),
        ("20260531", "2026-05-31"),
        ("2026/5/31", "2026-05-31"),
        ("31 May 2026", "2026-05-31"),
        ("May 31, 2026", "2026-05-31"),
        ("Sun 31 May 2026", "2026-05-31"),
        ("31-Mai-26", "2026-05-31"),
        ("31 août 2026", "2026-08-31"),
        ("15. März 2026", "2026-03-15"),
        ("31 dic 2026", "2026-12-31"),
    ],
)
def test_f3_other_ways_to_write_a_date(text: str, expected: str) -> None:
    reading = read_lines("date\tmax_c\tmin_c", f"{text}\t22\t8", f"{text}\t22\t8")

    assert reading.series.first == day(expected)


def test_f4_semicolons_and_decimal_commas() -> None:
    reading = read_sample(5)

    assert "Cells parted by semicolons, decimal comma" in reading.understood
    np.testing.assert_allclose(reading.series.tmax[:2], [22.2, 18.9], rtol=0, atol=1e-12)
    assert len(reading.series) == 41


def test_f4_decimal_commas_between_commas_are_refused() -> None:
    with pytest.raises(Refusal, match="more cells than the header has names"):
        read_lines("date,max_c,min_c", "2026-05-01,22,2,7,8", "2026-05-02,18,9,3,9")


def test_f5_utf16_with_tabs() -> None:
    reading = read_sample(19)

    assert {"Encoding UTF-16", "Cells parted by tabs"} <= set(reading.understood)
    assert fahrenheit_of(reading) == days_of_clean_sample()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_f5_the_degree_sign_survives_every_encoding(encoding: str) -> None:
    raw = "\n".join(("date;max °C;min °C", *(line.replace(",", ";") for line in THREE_DAYS)))
    reading = temperatures_in(raw.encode(encoding), "bed3.csv", Options())

    assert reading.unit == "C"
    assert reading.columns[1] == "max °C"


def test_f6_preamble_comments_and_event_columns() -> None:
    reading = read_lines(
        "Garden logger, bed 3",
        "# serial: 12",
        "",
        "#,Day,Max (C),Min (C),Event",
        "1,2026-05-01,22,8,",
        "# a remark between the rows",
        "2,2026-05-02,19,4,Battery changed",
        "3,2026-05-03,,,Stopped",
    )

    assert reading.series.tmax[:2].tolist() == [22, 19]
    assert "Header on line 4" in reading.understood
    assert note_of(reading, "event-row") == "Line 8 holds no reading but 'Stopped'."
    assert reading.provenance == (("serial", "12"),)


@pytest.mark.parametrize(
    "header",
    [
        "Date,High °C,Low °C",
        "DATE,T-Max C,T-Min C",
        "date,TX °C,TN °C",
        "time,temperature_2m_max (°C),temperature_2m_min (°C)",
        "date,tasmax [C],tasmin [C]",
        "Datum,Höchsttemperatur °C,Tiefsttemperatur °C",
        "Datum,Tageshöchst °C,Tagestiefst °C",
        "Jour,Température maximale °C,Température minimale °C",
        "Fecha,Temp. Máx °C,Temp. Mín °C",
        "Data,Massima °C,Minima °C",
        "datum,hoogste °C,laagste °C",
        "Dato,Høyeste °C,Laveste °C",
    ],
)
def test_f7_header_wording_in_several_languages(header: str) -> None:
    reading = read_lines(header, *THREE_DAYS)

    assert reading.series.tmax.tolist() == [22, 19, 13]
    assert reading.series.tmin.tolist() == [8, 4, 5]


def test_f7_two_candidates_are_asked_about() -> None:
    lines = ["date,soil max C,air max C,soil min C,air min C", "2026-05-01,15,22,12,8"]
    with pytest.raises(Refusal, match="2 of its columns could be the maxima") as refused:
        read_lines(*lines)

    assert refused.value.flag == "--max-column 'air max C'"
    reading = read_lines(*lines, max_column="air max C", min_column="air min C")
    assert (reading.series.tmax[0], reading.series.tmin[0]) == (22, 8)


def test_f7_a_wanted_column_that_is_absent_is_refused() -> None:
    with pytest.raises(Refusal, match="it has no column 'top'"):
        read_lines("date,max_c,min_c", *THREE_DAYS, max_column="top")


def test_f7_other_quantities_are_no_temperatures() -> None:
    reading = read_lines(
        "date,Max dew point C,Max C,Max wind,Min C,Min humidity", "2026-05-01,9,22,40,8,35"
    )

    assert reading.columns == ("date", "Max C", "Min C")


@pytest.mark.parametrize(
    ("raw", "name", "reason"),
    [
        (b"", "empty.csv", "it is empty"),
        (b" \n\n ", "blank.csv", "it is empty"),
        (b"%PDF-1.7 ...", "a.csv", "it is a PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a.xls", "old Excel workbook"),
        (b'{"daily": {"time": []}}', "a.json", "it is JSON"),
        (b"date,max_c,min_c\n", "a.csv", "it has a header and no rows"),
        (b"just some words\nand more of them\n", "a.txt", "names a date and a temperature"),
    ],
)
def test_f8_what_is_no_table_is_refused_in_a_sentence(raw: bytes, name: str, reason: str) -> None:
    with pytest.raises(Refusal, match=reason):
        temperatures_in(raw, name, Options())


def test_f8_a_web_page_and_an_empty_file() -> None:
    with pytest.raises(Refusal, match="it is a web page, not a table"):
        read_sample(21)
    with pytest.raises(Refusal, match="it is empty"):
        read_sample(27)


def test_f8_a_workbook_under_another_ending_is_told_to_be_renamed() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
    with pytest.raises(Refusal, match="Excel workbook under another ending"):
        temperatures_in(packed.getvalue(), "garden.csv", Options())
    with pytest.raises(Refusal, match="the workbook is damaged"):
        temperatures_in(packed.getvalue(), "garden.xlsx", Options())


def test_f8_a_file_that_is_not_there(tmp_path: object) -> None:
    with pytest.raises(Refusal, match="there is no such file"):
        read_temperatures(SAMPLES / "nothing.csv")
    with pytest.raises(Refusal, match="it is a folder"):
        read_temperatures(SAMPLES)


def test_f9_two_sites_are_asked_about_and_never_averaged() -> None:
    with pytest.raises(Refusal, match="it holds 2 sites") as refused:
        read_sample(14)

    assert "Upper bed, Lower bed" in refused.value.expected
    assert refused.value.flag == "--site 'Upper bed'"
    reading = read_sample(14, site="lower bed")
    assert (reading.site, len(reading.series)) == ("Lower bed", 41)
    assert fahrenheit_of(reading)[0][:3] == [73, 67, 56]


def test_f9_a_column_without_a_telling_name_is_found_by_its_blocks() -> None:
    lines = [f"{word},2026-05-{d:02d},{20 + d},8" for word in ("north", "south") for d in (1, 2, 3)]
    with pytest.raises(Refusal, match="it holds 2 sites"):
        read_lines("which,date,max_c,min_c", *lines)

    reading = read_lines("which,date,max_c,min_c", *lines, site="south")
    assert reading.series.tmax.tolist() == [21, 22, 23]


def test_f10_year_and_day_number_in_a_365_day_calendar() -> None:
    reading = read_sample(20)

    assert len(reading.series) == 365
    assert reading.series.last == day("2024-12-30")
    assert note_of(reading, "year-of-365-days").startswith("31 Dec 2024 is absent")


def test_f10_29_february_is_a_day_of_its_own() -> None:
    reading = read_lines("year,yday,tmax C,tmin C", "2024,59,10,1", "2024,60,11,2", "2024,61,12,3")

    assert [str(each) for each in reading.series.dates] == [
        "2024-02-28",
        "2024-02-29",
        "2024-03-01",
    ]


def test_f12_newest_first_is_put_in_order() -> None:
    reading = read_lines("date,max_c,min_c", *reversed(THREE_DAYS))

    assert reading.series.tmax.tolist() == [22, 19, 13]
    assert "newest day stands first" in note_of(reading, "out-of-order")


def test_f13_a_headerless_file_is_asked_for_its_order() -> None:
    with pytest.raises(Refusal, match="it has no header") as refused:
        read_lines("2026-05-01,8,22", "2026-05-02,4,19", "2026-05-03,5,13")

    assert refused.value.flag == "--max-column 3 --min-column 2"
    reading = read_lines(
        "2026-05-01,8,22", "2026-05-02,4,19", max_column="3", min_column="2", unit="C"
    )
    assert reading.series.tmax.tolist() == [22, 19]


@pytest.mark.parametrize(
    ("form", "columns"),
    [("%Y,%m,%d", "45"), ("%d,%m,%Y", "45"), ("%m,%d,%Y", "45"), ("%Y,%j", "34")],
)
def test_f13_without_names_the_parts_of_a_date_are_told_by_what_they_hold(
    form: str, columns: str
) -> None:
    first = dt.date(2026, 4, 25)
    days = [first + dt.timedelta(days=at) for at in range(30)]
    lines = [f"{day.strftime(form)},{20 + day.day % 7},{8 - day.day % 3}" for day in days]
    reading = read_lines(*lines, max_column=columns[0], min_column=columns[1], unit="C")
    assert (reading.series.first, len(reading.series)) == (first, 30)
    assert reading.series.tmax.tolist() == [20 + day.day % 7 for day in days]


def test_f14_typographic_minus_and_spaces() -> None:
    reading = read_lines(
        "date;max °C;min °C",
        "2026-01-01;−3,5;\u00a0−12",
        "2026-01-02;\u202f1;– 2".replace("– ", "–"),
    )

    assert reading.series.tmax.tolist() == [-3.5, 1]
    assert reading.series.tmin.tolist() == [-12, -2]


def test_a_file_with_provenance_comments_says_its_unit_and_origin() -> None:
    reading = read_lines(
        "# source: Larkhollow Patch, typed from a notebook",
        "# unit: C",
        "day,tmax,tmin,origin",
        "2026-05-01,22,8,measured",
        "2026-05-02,19,4,patched",
        "2026-05-03,13,5,forecast",
    )

    assert reading.unit_decided_by == "comment"
    assert reading.series.origin is not None
    assert reading.series.origin.tolist() == [1, 2, 4]
    assert dict(reading.provenance)["unit"] == "C"


def test_a_workbook_is_read() -> None:
    openpyxl = pytest.importorskip("openpyxl")
    import datetime as dt

    book = openpyxl.Workbook()
    book.active.append(["date", "max °C", "min °C"])
    book.active.append([dt.datetime(2026, 5, 1), 22.5, 8])
    book.active.append([dt.datetime(2026, 5, 2), 19, 4])
    out = io.BytesIO()
    book.save(out)
    reading = temperatures_in(out.getvalue(), "garden.xlsx", Options())

    assert reading.series.first == day("2026-05-01")
    assert reading.series.tmax.tolist() == [22.5, 19]


def test_every_sample_is_read_or_refused_as_the_index_says() -> None:
    """The 28 numbered samples, by what becomes of each."""
    refused = {2, 4, 8, 9, 10, 14, 16, 17, 21, 26, 27}
    for number in range(1, 29):
        try:
            read_sample(number)
            outcome = "read"
        except Refusal:
            outcome = "refused"
        assert outcome == ("refused" if number in refused else "read"), sample(number).name


def test_what_was_understood_is_one_line_each() -> None:
    assert read_sample(1).understood == (
        "Columns date, max_f, min_f",
        "Unit °F (column names say so)",
        "Dates year first",
    )
    assert rules(read_sample(1)) == set()


@pytest.mark.parametrize("header", [("date,max_c,min_c",), ()], ids=["named", "bare"])
def test_only_a_file_without_a_line_end_may_have_lost_its_end(header: tuple[str, ...]) -> None:
    """The last minimum, 5, is shorter than all others: cut, unless a line end stands behind it."""
    lines = [*header, "2026-05-01,22.5,10.1", "2026-05-02,19.0,11.4", "2026-05-03,23.1,12.6"]
    named: dict[str, Any] = {} if header else {"max_column": "2", "min_column": "3"}
    for end, missing in (("", 1), ("\n", 0), ("\r\n", 0)):
        raw = ("\n".join([*lines, "2026-05-04,18.2,5"]) + end).encode()
        reading = temperatures_in(raw, "bed3.csv", Options(unit="C", **named))
        assert reading.series.missing == missing, repr(end)
        assert ("cut-end" in rules(reading)) == bool(missing), repr(end)


def test_blank_lines_and_remarks_between_rows_are_no_rows() -> None:
    """Nothing is said of them, and the lines of what stands below them stay those of the file."""
    between = ("", "# moved the shelter, 4 m north", "   ", "# 2026-05-02,40,30")
    first, *others = THREE_DAYS
    reading = read_lines("date,max_c,min_c", first, *between, *others)
    assert reading.series.tmax.tolist() == [22, 19, 13]
    assert rules(reading) == set()
    table = tabled("\n".join(("date,max_c,min_c", first, *between, *others)), "bed3.csv")
    assert [list(table.lines), len(table.rows)] == [[2, 7, 8], 3]
