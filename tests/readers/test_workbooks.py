"""Workbooks: every sheet of days is read, asked about or refused; nothing is left out unsaid."""

import datetime as dt
import io
from typing import Any

import numpy as np
import openpyxl
import pytest

from gddcast.errors import Refusal
from gddcast.readers import workbooks
from gddcast.readers.reading import Options, Reading
from gddcast.readers.temperature_file import temperatures_in

HEADER = ("date", "max °C", "min °C")
Sheet = tuple[str, str, list[list[Any]]]


def warmth(day: dt.date) -> tuple[float, float]:
    """What the thermometer showed on a day. [°C]"""
    high = 15 + (day.toordinal() * 37 % 101) / 10
    return high, high - 8


def year(number: int, header: tuple[str, ...] = HEADER, first: int = 1) -> list[list[Any]]:
    days = [dt.date(number, 1, 1) + dt.timedelta(days=n) for n in range(first - 1, 365)]
    return [list(header), *([dt.datetime(d.year, d.month, d.day), *warmth(d)] for d in days)]


def workbook(*sheets: Sheet) -> bytes:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, state, rows in sheets:
        sheet = book.create_sheet(title)
        sheet.sheet_state = state
        for row in rows:
            sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def outcome(*sheets: Sheet, **told: Any) -> Reading | Refusal:
    try:
        return temperatures_in(workbook(*sheets), "garden.xlsx", Options(**told))
    except Refusal as refusal:
        return refusal


def assert_years(read: Reading | Refusal, *numbers: int) -> None:
    assert isinstance(read, Reading), read
    series = read.series
    known = [day.item() for day in series.dates[series.known]]
    assert known == [row[0].date() for number in numbers for row in year(number)[1:]]
    truth = np.array([warmth(day) for day in known])
    np.testing.assert_allclose(series.tmax[series.known], truth[:, 0], rtol=0, atol=1e-9)
    np.testing.assert_allclose(series.tmin[series.known], truth[:, 1], rtol=0, atol=1e-9)


@pytest.mark.parametrize("order", [(2023, 2024, 2025), (2025, 2024, 2023)])
def test_a_sheet_a_year_is_read_whole(order: tuple[int, ...]) -> None:
    read = outcome(*((str(number), "visible", year(number)) for number in order))

    assert_years(read, 2023, 2024, 2025)
    assert isinstance(read, Reading)
    assert f"Sheets {', '.join(map(str, order))}, lines counted through" in read.understood


def test_sheets_with_lines_above_their_header_go_on_too() -> None:
    titled = [[["Larkhollow Patch"], [], *year(number)] for number in (2023, 2025)]
    assert_years(outcome(("a", "visible", titled[0]), ("b", "visible", titled[1])), 2023, 2025)


def test_sheets_of_two_places_are_asked_about() -> None:
    sheets: tuple[Sheet, ...] = (
        ("North bed", "visible", year(2025)),
        ("South bed", "visible", [[*HEADER], *([d, x + 2, n] for d, x, n in year(2025)[1:])]),
    )
    refusal = outcome(*sheets)

    assert isinstance(refusal, Refusal)
    assert refusal.flag == "--site 'North bed'"
    assert_years(outcome(*sheets, site="North bed"), 2025)


@pytest.mark.parametrize("state", ["hidden", "veryHidden"])
@pytest.mark.parametrize("hidden_first", [True, False])
def test_a_hidden_sheet_of_days_is_asked_about(state: str, hidden_first: bool) -> None:
    sheets: list[Sheet] = [("old", state, year(2024)), ("2025", "visible", year(2025))]
    refusal = outcome(*(sheets if hidden_first else sheets[::-1]))

    assert isinstance(refusal, Refusal)
    assert "old (hidden)" in refusal.expected
    assert refusal.flag == "--sheet 2025"
    assert_years(outcome(*sheets, sheet="2025"), 2025)
    assert_years(outcome(*sheets, sheet="OLD"), 2024)


def test_days_on_a_hidden_sheet_alone_are_asked_about() -> None:
    refusal = outcome(("cover", "visible", [["hello"], ["world"]]), ("x", "hidden", year(2025)))

    assert isinstance(refusal, Refusal)
    assert refusal.flag == "--sheet x"


@pytest.mark.parametrize(
    "header", [("date", "min °C", "max °C"), ("date", "max °F", "min °F"), ("date", "max", "min")]
)
def test_sheets_under_other_headers_are_asked_about(header: tuple[str, ...]) -> None:
    refusal = outcome(("2024", "visible", year(2024)), ("2025", "visible", year(2025, header)))

    assert isinstance(refusal, Refusal)
    assert "Their headers differ" in refusal.expected
    assert refusal.flag == "--sheet 2024"


def test_sheets_without_a_header_are_not_joined() -> None:
    bare = [("2024", "visible", year(2024)[1:]), ("2025", "visible", year(2025)[1:])]
    refusal = outcome(*bare, max_column="2", min_column="3", unit="C")

    assert isinstance(refusal, Refusal)
    assert refusal.slug == "several-sheets"


def test_a_sheet_that_holds_no_days_is_named() -> None:
    sheets: tuple[Sheet, ...] = (
        ("Notes", "visible", [["hello"], ["world"], ["again"]]), ("2025", "visible", year(2025)),
    )  # fmt: skip
    read = outcome(*sheets)

    assert_years(read, 2025)
    assert isinstance(read, Reading)
    assert "Sheet 2025; no days found in 'Notes'" in read.understood


def test_sheets_beside_the_one_that_was_named_are_named_too() -> None:
    read = outcome(
        ("2024", "visible", year(2024)),
        ("2025", "visible", year(2025, ("date", "max °F", "min °F"))),
        ("one cell", "visible", [["hello"]]),
        ("empty", "visible", []),
        sheet="2024",
    )

    assert isinstance(read, Reading)
    assert "Sheet 2024; not read: '2025'; no days found in 'one cell'" in read.understood


def test_a_sheet_that_is_not_there_is_refused_with_those_that_are() -> None:
    refusal = outcome(("2025", "visible", year(2025)), sheet="2019")

    assert isinstance(refusal, Refusal)
    assert (refusal.problem, refusal.expected) == ("it has no sheet '2019'", "Its sheets are 2025.")


def test_a_sheet_of_a_file_that_is_no_workbook_is_refused() -> None:
    with pytest.raises(Refusal, match="it has no sheet 'May': it is no workbook"):
        temperatures_in(b"date,max_c,min_c\n2026-05-01,22,8\n", "bed3.csv", Options(sheet="May"))


def test_rows_beyond_what_is_read_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbooks, "MOST_ROWS", 366)
    assert_years(outcome(("2025", "visible", year(2025))), 2025)
    monkeypatch.setattr(workbooks, "MOST_ROWS", 365)
    refusal = outcome(("2025", "visible", year(2025)))

    assert isinstance(refusal, Refusal)
    assert refusal.problem == "its sheet '2025' has more than 365 rows"


def test_columns_beyond_what_is_read_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    wide = [["date", *[f"x{n}" for n in range(70)], "max °C", "min °C"]]
    wide += [[row[0], *[0] * 70, *row[1:]] for row in year(2025)[1:]]
    assert_years(outcome(("2025", "visible", wide)), 2025)
    monkeypatch.setattr(workbooks, "MOST_COLUMNS", 60)
    refusal = outcome(("2025", "visible", wide))

    assert isinstance(refusal, Refusal)
    assert refusal.problem == "its sheet '2025' has more than 60 columns"
