"""Dates of known days: read as these days, or asked about with the words that settle it."""

import datetime as dt
from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers import sweeping
from gddcast.readers.date_orders import Days, _may_be_year_first
from gddcast.readers.dates import stamps_of
from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from tests.readers.known_truth import Day, answered, asked, assert_days, known_days
from tests.readers.readings import day, note_of, read_lines, rules

MAY = known_days()
SPRING = known_days("2026-03-20", 70)


def dated(days: list[Day], form: str, header: str = "date,max_c,min_c") -> list[str]:
    return [header, *(f"{day.strftime(form)},{high},{low}" for day, high, low in days)]


# --- year, month and day in columns of their own --------------------------------------------------


@pytest.mark.parametrize("month", ["Mth", "Miesiąc", "MM", "Monat", "Mnth"])
def test_a_month_by_any_known_name_is_a_month(month: str) -> None:
    lines = [f"{day.year},{day.month},{day.day},{high},{low}" for day, high, low in MAY]

    assert_days(read_lines(f"Year,{month},Day,max_c,min_c", *lines), MAY)


@pytest.mark.parametrize("heading", ["M", "Kvartal", "Tingkat", "x"])
def test_may_under_an_unknown_heading_is_no_january(heading: str) -> None:
    lines = [f"{day.year},{day.month},{day.day},{high},{low}" for day, high, low in MAY]
    refusal = asked(f"Year,{heading},Day,max_c,min_c", *lines)

    assert "may be a day of the month" in refusal.problem
    assert f"(is it '{heading}'?)" in refusal.cure


def test_a_month_of_unknown_name_proves_itself_where_days_run_on() -> None:
    lines = [f"{day.year},{day.month},{day.day},{high},{low}" for day, high, low in SPRING]

    assert_days(read_lines("Year,M,Day,max_c,min_c", *lines), SPRING)


def test_months_by_name_in_a_column() -> None:
    lines = [f"{day.year},{day:%b},{day.day},{high},{low}" for day, high, low in SPRING]

    assert_days(read_lines("Year,Month,Day,max_c,min_c", *lines), SPRING)


def test_a_day_number_is_one_by_its_value_or_its_name() -> None:
    january = known_days("2026-01-01", 20)
    long = known_days("2026-01-01", 45)

    numbered = [f"2026,{at},{high},{low}" for at, (_, high, low) in enumerate(january, start=1)]
    assert_days(read_lines("Year,Day of year,max_c,min_c", *numbered), january)
    assert "call 'Day' 'day of year'" in asked("Year,Day,max_c,min_c", *numbered).cure
    more = [f"2026,{at},{high},{low}" for at, (_, high, low) in enumerate(long, start=1)]
    assert_days(read_lines("Year,Day,max_c,min_c", *more), long)


def test_a_day_called_a_number_beside_a_month_is_a_day_of_the_month() -> None:
    lines = [f"{day.year},{day.month},{day.day},{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("Year,Month,Day No,max_c,min_c", *lines), MAY)


def test_a_named_temperature_is_no_month() -> None:
    """Day numbers up to 12 beside whole maxima: the maximum the person named is no day."""
    days = [(dt.date(2026, 1, at), float(at), -3.0) for at in range(1, 11)]
    lines = [f"2026,{at},{at},-3" for at in range(1, 11)]

    assert_days(read_lines(*lines, max_column="3", min_column="4", unit="C"), days)


# --- the order of numbers in a date ---------------------------------------------------------------


@pytest.mark.parametrize("form", ["%y-%m-%d", "%y/%m/%d", "%y.%m.%d", "%y-%b-%d"])
@pytest.mark.parametrize("days", [MAY, SPRING], ids=["a month", "a spring"])
def test_years_of_two_digits_in_front_are_asked_about(form: str, days: list[Day]) -> None:
    refusal = asked(*dated(days, form))

    assert refusal.flag == "--dates year-first"
    assert_days(read_lines(*dated(days, form), dates="year-first"), days)


@pytest.mark.parametrize("form", ["%d-%m-%y", "%d.%m.%y", "%d-%b-%y"])
def test_days_in_front_of_two_digits_are_still_read(form: str) -> None:
    assert_days(read_lines(*dated(MAY, form)), MAY)


def test_a_single_date_of_three_pairs_is_asked_about() -> None:
    assert asked("date,max_c,min_c", "26-05-01,22,8").flag == "--dates year-first"


@settings(derandomize=True, max_examples=80, deadline=None)
@given(
    st.dates(dt.date(2000, 1, 1), dt.date(2040, 1, 1)),
    st.integers(2, 400),
    st.sampled_from(["%y-%m-%d", "%d/%m/%y", "%m/%d/%y", "%d/%m/%Y", "%m/%d/%Y", "%Y-%d-%m",
                     "%Y-%m-%d", "%Y%m%d", "%d %b %y", "%b %d, %Y", "%y-%b-%d"]),
)  # fmt: skip
def test_any_days_in_any_order_are_these_days_or_a_question(
    first: dt.date, count: int, form: str
) -> None:
    days = known_days(first.isoformat(), count)
    lines = dated(days, form, "date;max_c;min_c")
    lines[1:] = [";".join(line.rsplit(",", 2)) for line in lines[1:]]
    answer = answered(*lines)
    if isinstance(answer, Refusal):
        assert answer.slug in ("dates-ambiguous", "dates-swapped", "dates-unreadable")
    else:
        assert_days(answer, days)


@pytest.mark.parametrize("count", [2, 6, 12])
def test_year_day_month_up_to_the_12th_is_not_a_day_of_every_month(count: int) -> None:
    refusal = asked(*dated(MAY[:count], "%Y-%d-%m"))

    assert "day and month are swapped in its dates" in refusal.problem
    assert "from 5 Jan 2026 to 5 Feb 2026 on line 3" in refusal.expected
    assert "2026-05-31" in refusal.cure


def test_days_of_every_month_can_be_confirmed() -> None:
    """True days a month apart are no mistake once their owner says so."""
    lines = [f"2026-{month:02d}-05,{10 + month},{month}" for month in range(1, 13)]

    assert asked("date,max_c,min_c", *lines).slug == "dates-swapped"
    reading = read_lines("date,max_c,min_c", *lines, dates="year-first")
    assert (reading.series.first, reading.series.missing) == (dt.date(2026, 1, 5), 323)


def test_dates_that_exist_in_no_month_are_no_footer() -> None:
    """1 to 20 May as year-day-month: from the 13th on there is no such month."""
    refusal = asked(*dated(MAY[:20], "%Y-%d-%m"))

    assert "no date I can read" in refusal.problem
    assert "2026-13-05" in refusal.expected


def test_one_line_does_not_prove_an_order_against_all_others() -> None:
    lines = dated(MAY[:12], "%d/%m/%Y")
    lines.append("05/13/2026,20,10")

    assert "some of its dates are day first" in asked(*lines).problem


@pytest.mark.parametrize("year", [21, 26, 221])
@pytest.mark.parametrize("worth", [0, 10**9], ids=["swept", "carefully"])
def test_years_without_their_century_are_refused_however_large_the_file(
    year: int, worth: int
) -> None:
    days = [(dt.date(year, 1, 1) + dt.timedelta(days=at), 20.1, 10.5) for at in range(300)]
    lines = [f"{day.isoformat()},{high},{low}" for day, high, low in days]
    with mock.patch.object(sweeping, "WORTH_SWEEPING", worth):
        refusal = asked("date,max_c,min_c", *lines)

    assert f"would be 1 Jan {year}" in refusal.problem


# --- two columns of dates -------------------------------------------------------------------------


def two_dates(one: str, other: str, apart: int = 1) -> list[str]:
    """Days of May in the second column; in the first, days later."""
    return [
        f"{one},{other},max_c,min_c",
        *(f"{day + dt.timedelta(days=apart)},{day},{high},{low}" for day, high, low in MAY),
    ]


@pytest.mark.parametrize(
    ("later", "observed"),
    [
        ("Entry date", "Observation date"),
        ("date_entered", "date"),
        ("Timestamp", "Observed"),
        ("created", "day"),
        ("Date (UTC)", "Date (local)"),
        ("upload time", "date"),
        ("modified date", "Tag der Messung, measured"),
    ],
)
def test_the_day_of_observation_is_preferred_and_said(later: str, observed: str) -> None:
    lines = [line.replace(",", ";") for line in two_dates("A", "B")]
    lines[0] = f"{later};{observed};max_c;min_c"
    reading = read_lines(*lines)

    assert_days(reading, MAY)


def test_what_was_left_aside_is_said() -> None:
    note = note_of(read_lines(*two_dates("Entry date", "Date")), "two-date-columns")

    assert note == "Column 'Date' gives the days; 'Entry date' has other dates."


@pytest.mark.parametrize(("one", "other"), [("date", "day"), ("Date 1", "date"), ("date", "time")])
def test_two_dates_nobody_can_tell_apart_are_asked_about(one: str, other: str) -> None:
    refusal = asked(*two_dates(one, other))

    assert "2 of its columns hold dates, and they differ" in refusal.problem
    assert "line 2 has '2026-05-02' and '2026-05-01'" in refusal.expected


def test_two_columns_of_the_same_dates_are_one() -> None:
    assert_days(read_lines(*two_dates("date", "day", apart=0)), MAY)


def test_a_stamp_in_utc_beside_the_local_date_of_daily_rows() -> None:
    lines = [f"{day + dt.timedelta(days=1)}T04:59:00Z,{day},{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("time_utc,date,max_c,min_c", *lines), MAY)
    assert "2 of its columns" in asked("time,date,max_c,min_c", *lines).problem


# --- times on daily rows --------------------------------------------------------------------------


@pytest.mark.parametrize("stamp", ["{} 24:00", "{}T24:00", "{}T24:00:00", "{} 23:59", "{} 00:00"])
def test_a_day_stamped_at_its_end_is_that_day(stamp: str) -> None:
    lines = [f"{stamp.format(day)},{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("date,max_c,min_c", *lines), MAY)


@pytest.mark.parametrize("hour", ["2400", "24:00", "24", "2359"])
def test_an_hour_of_its_own_at_the_end_of_the_day(hour: str) -> None:
    lines = [f"{day},{hour},{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("date,time,max_c,min_c", *lines), MAY)


def test_the_hour_24_of_a_log_is_still_midnight() -> None:
    """Hours 1 to 24: the last reading of a day stands at the beginning of the next."""
    days = np.arange("2026-05-01", "2026-05-05", dtype="datetime64[D]")
    lines = [f"{day},{hour},{10 + hour / 10:.1f}" for day in days for hour in range(1, 25)]
    reading = read_lines("date,hour,temp_c", *lines)

    assert reading.hourly is not None
    assert str(reading.hourly.stamps[23]) == "2026-05-02T00:00"
    assert reading.hourly.temperature[23] == 12.4


@pytest.mark.parametrize(
    ("zone", "hour"),
    [
        ("Europe/Berlin", 22),
        ("America/Chicago", 5),
        ("Australia/Brisbane", 14),
        ("Pacific/Auckland", 12),
    ],
)
def test_midnight_written_in_utc_is_the_local_day(zone: str, hour: int) -> None:
    back = 1 if hour >= 12 else 0
    lines = [
        f"{day - dt.timedelta(days=back)}T{hour:02d}:00:00Z,{high},{low}" for day, high, low in MAY
    ]

    assert asked("time,max_c,min_c", *lines).flag == "--timezone AREA/CITY"
    assert_days(read_lines("time,max_c,min_c", *lines, timezone=zone), MAY)


def test_midnights_in_utc_follow_the_summer_clock() -> None:
    lines = []
    for each, high, low in SPRING:  # clocks of Central Europe go forward on 29 March 2026
        hour = 23 if each <= dt.date(2026, 3, 29) else 22
        lines.append(f"{each - dt.timedelta(days=1)}T{hour}:00Z,{high},{low}")

    assert_days(read_lines("time,max_c,min_c", *lines, timezone="Europe/Berlin"), SPRING)


def test_a_date_that_merely_ends_in_z_is_that_date() -> None:
    lines = [f"{day}T00:00:00Z,{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("time,max_c,min_c", *lines, timezone="America/Chicago"), MAY)


def test_a_stamp_with_its_own_offset_is_its_own_date() -> None:
    lines = [f"{day}T00:00:00+02:00,{high},{low}" for day, high, low in MAY]

    assert_days(read_lines("time,max_c,min_c", *lines), MAY)


def test_stamps_with_and_without_a_zone_are_refused() -> None:
    refusal = asked(
        "time,temp_c", "2026-05-01 00:00Z,10", "2026-05-01 01:00,11", "2026-05-01 02:00Z,12"
    )

    assert "some of its stamps name their distance from UTC" in refusal.problem


def test_days_stamped_in_the_morning_raise_the_question_of_the_reading_hour() -> None:
    lines = [f"{day} 07:30,{high},{low}" for day, high, low in MAY]

    assert "--reading-hour 7" in note_of(read_lines("date,max_c,min_c", *lines), "reading-hour")
    evening = [line.replace("07:30", "19:30") for line in lines]
    assert "reading-hour" not in rules(read_lines("date,max_c,min_c", *evening))


def test_hours_that_lost_their_zeros_are_no_afternoons() -> None:
    """0, 15, 30, 45, 100 … 2345: minutes after midnight, not 15 o'clock."""
    quarter = range(0, 1440, 15)
    lines = [
        f"2026-05-{day:02d},{100 * (m // 60) + m % 60},{10 + m / 144:.1f}"
        for day in (1, 2, 3)
        for m in quarter
    ]
    reading = read_lines("date,hhmm,temp_c", *lines)

    assert reading.hourly is not None
    assert (np.diff(reading.hourly.stamps).astype(int) == 15).all()


def test_the_swept_way_sees_a_day_of_every_month_too() -> None:
    days = [dt.date(1900 + at // 144, at % 12 + 1, at // 12 % 12 + 1) for at in range(144 * 12)]
    days.sort()
    text = "date,max_c,min_c\n" + "".join(f"{day},{20.5},{10.5}\n" for day in days if day.day == 5)
    for worth in (0, 10**9):
        with (
            mock.patch.object(sweeping, "WORTH_SWEEPING", worth),
            pytest.raises(Refusal, match="day and month are swapped"),
        ):
            temperatures_in(text.encode(), "bed3.csv", Options())


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


def test_only_days_that_run_on_year_first_and_leap_otherwise_may_begin_with_the_year() -> None:
    days = np.datetime64("2026-05-01") + np.arange(5)
    years = np.datetime64("2001-05-26") + 365 * np.arange(5)
    known = np.ones(5, dtype=bool)

    def may(year_first: Days, other: Days, has_date: NDArray[np.bool_] = known) -> bool:
        return _may_be_year_first(year_first, {"day-first": other}, "numbers/2", has_date)

    assert may(days, years)
    assert not may(days, days)
    assert not may(years, years)
    assert not may(years, days)
    nowhere = np.full(5, np.datetime64("NaT"), dtype=days.dtype)
    assert may(days, nowhere)  # an order in which none of them is a date
    assert not may(nowhere, days)


def test_a_column_without_a_date_has_rows_all_the_same() -> None:
    found = stamps_of(["", "after the rain", "-"], [2, 3, 4], "a.csv")
    assert np.isnat(found.days).tolist() == [True, True, True]
    assert found.understood == ""
