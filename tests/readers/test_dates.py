"""The century of a year of two digits, and dates that settle no order."""

import datetime as dt

import pytest

from gddcast.errors import Refusal
from tests.readers.readings import day, read_lines


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ("%d.%m.%y", None), ("%d %b %y", None), ("%d/%m/%y", "day-first"),
        ("%m/%d/%y", "month-first"), ("%y-%m-%d", "year-first"),
    ],
)  # fmt: skip
@pytest.mark.parametrize(("year", "last"), [(68, "2068-06-14"), (69, "1969-06-14")])
def test_years_from_69_on_are_of_the_twentieth_century(
    form: str, told: str | None, year: int, last: str
) -> None:
    """POSIX strptime's %y: 69-99 are 1969-1999, 00-68 are 2000-2068."""
    days = [dt.date(1900 + year, 6, 1) + dt.timedelta(days=at) for at in range(14)]
    lines = [f"{each.strftime(form)},{20 + at}.5,{10 + at}.5" for at, each in enumerate(days)]
    reading = read_lines("date,max_c,min_c", *lines, dates=told, today=day("2069-01-01"))

    assert (reading.series.last, len(reading.series)) == (day(last), 14)


def test_a_date_that_is_none_in_either_order_settles_no_order() -> None:
    """05/00/2026, a month's mean: what can be read in two ways is the line that is named."""
    lines = ("05/00/2026,20,9", "05/05/2026,22,8", "05/06/2026,19,4")
    with pytest.raises(Refusal, match="day first or month first") as refused:
        read_lines("date,max_c,min_c", *lines)
    assert "'05/06/2026' on line 4 is 5 Jun 2026 or 6 May 2026" in refused.value.expected


def test_dates_alike_in_both_orders_need_no_order() -> None:
    reading = read_lines("date,max_c,min_c", "05/05/2026,22,8", "06/06/2026,24,9")

    assert (reading.series.first, reading.series.last) == (day("2026-05-05"), day("2026-06-06"))
