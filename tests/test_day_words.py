"""Days as people write them: what is printed reads back, and nothing doubtful is guessed."""

from __future__ import annotations

import datetime as dt
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast import words
from gddcast.day_words import DayUnclear, NumberOrder, Which, day_meant, month_day

TODAY = dt.date(2026, 6, 25)  # a Thursday
days = st.dates(dt.date(1800, 1, 1), dt.date(2150, 12, 31))


def test_days_as_people_say_them() -> None:
    said = {
        "2026-06-24": "2026-06-24", "24 June": "2026-06-24", "june 24": "2026-06-24",
        "Wed 24 June": "2026-06-24", "Wednesday, 24 June 2026": "2026-06-24",
        "June 24, 2025": "2025-06-24", "24th June": "2026-06-24", "24. Jun": "2026-06-24",
        "26 June": "2025-06-26", "29 Feb": "2024-02-29", "1 Sept": "2025-09-01",
        "today": "2026-06-25", "Yesterday": "2026-06-24", "3 days ago": "2026-06-22",
        "a week ago": "2026-06-18", "Thu": "2026-06-25", "Fri": "2026-06-19",
        "6/24": "2026-06-24", "24/6": "2026-06-24", "24.6.": "2026-06-24",
        "24.6.2024": "2024-06-24", "6/6": "2026-06-06",
    }  # fmt: skip
    assert {text: day_meant(text, TODAY).isoformat() for text in said} == said


@pytest.mark.parametrize(
    ("text", "which", "meant"),
    [
        ("24 June", "coming", "2027-06-24"), ("25 June", "coming", "2026-06-25"),
        ("Fri", "coming", "2026-06-26"), ("Thu", "coming", "2026-06-25"),
        ("1 September", "nearest", "2026-09-01"), ("1 February", "nearest", "2026-02-01"),
        ("tomorrow", "last", "2026-06-26"), ("Fri", "nearest", "2026-06-19"),
    ],
)  # fmt: skip
def test_a_day_without_a_year_is_the_one_its_purpose_asks_for(
    text: str, which: Which, meant: str
) -> None:
    assert day_meant(text, TODAY, which=which).isoformat() == meant


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("6/7", "'6/7' is 6 July 2025 or 7 June 2026. Write the month as a word."),
        ("6/7/2024", "'6/7/2024' is 6 July 2024 or 7 June 2024."),
        ("Tue 24 June", "24 June 2026 is a Wednesday. Write the year"),
        ("someday", "'someday' is not a day. Write it as 2026-06-11"),
        ("30 Feb", "is not a day"), ("31/4", "is not a day"), ("", "is not a day"),
        ("24 June 26", "is not a day"), ("J 24", "is not a day"), ("T", "is not a day"),
        ("٢٤ June", "is not a day"), ("Mon June", "is not a day"), ("June 24 2026 5", "not a day"),
        ("99999 days ago", "is not a day"), ("6/24/26", "not a day"), ("2026-02-30", "not a day"),
    ],
)  # fmt: skip
def test_what_is_no_day_or_two_is_refused(text: str, found: str) -> None:
    with pytest.raises(DayUnclear) as caught:
        day_meant(text, TODAY)
    assert found in str(caught.value)


def test_a_person_s_habit_settles_numbers() -> None:
    assert day_meant("6/7", TODAY, order="month-first") == dt.date(2026, 6, 7)
    assert day_meant("6/7", TODAY, order=lambda: "day-first") == dt.date(2025, 7, 6)
    assert day_meant("24/6", TODAY, order="month-first") == dt.date(2026, 6, 24)  # one reading


def test_today_is_asked_only_where_it_is_needed() -> None:
    def nobody() -> dt.date:
        raise AssertionError

    assert day_meant("24 June 2026", nobody) == dt.date(2026, 6, 24)
    assert day_meant("2026-06-24", nobody) == dt.date(2026, 6, 24)
    with pytest.raises(AssertionError):
        day_meant("24 June", nobody)


@given(days, days, st.booleans())
def test_every_day_printed_with_its_year_reads_back(
    date: dt.date, today: dt.date, weekday: bool
) -> None:
    assert day_meant(words.day(date, weekday=weekday, year=True), today) == date


@given(days, st.integers(0, 364), st.booleans())
def test_every_day_printed_of_the_last_twelve_months_reads_back(
    today: dt.date, back: int, weekday: bool
) -> None:
    date = today - dt.timedelta(days=back)
    assert day_meant(words.day(date, weekday=weekday), today) == date
    assert day_meant(words.short_day(date), today) == date
    assert day_meant(words.day(date).upper(), today) == date


@given(days, st.integers(0, 364))
def test_every_day_printed_of_the_next_twelve_months_is_the_coming_one(
    today: dt.date, ahead: int
) -> None:
    date = today + dt.timedelta(days=ahead)
    assert day_meant(words.day(date), today, which="coming") == date


@given(days, st.integers(0, 6))
def test_a_weekday_is_one_of_the_last_seven_days_or_of_the_next(today: dt.date, off: int) -> None:
    back, ahead = today - dt.timedelta(days=off), today + dt.timedelta(days=off)
    assert day_meant(words.weekday(back), today) == back
    assert day_meant(words.weekday(ahead), today, which="coming") == ahead


@given(days, days, st.sampled_from(["/", "."]))
def test_numbers_are_read_by_the_habit_or_not_at_all(
    date: dt.date, today: dt.date, mark: str
) -> None:
    """Written as either order has it, each order reads its own; without one both, or neither."""
    for order, parts in (
        ("day-first", (date.day, date.month)), ("month-first", (date.month, date.day)),
    ):  # fmt: skip
        text = f"{mark.join(map(str, parts))}{mark}{date.year}"
        habit: NumberOrder = "day-first" if order == "day-first" else "month-first"
        assert day_meant(text, today, order=habit) == date
        if max(parts) > 12 or parts[0] == parts[1]:
            assert day_meant(text, today) == date
        else:
            with pytest.raises(DayUnclear, match="Write the month as a word"):
                day_meant(text, today)


@given(st.text(max_size=20), days)
def test_no_words_break_it(text: str, today: dt.date) -> None:
    with suppress(DayUnclear):  # and no other failure
        assert isinstance(day_meant(text, today), dt.date)


def test_days_of_any_year() -> None:
    assert month_day("12-31") == month_day("31 December") == (12, 31)
    for text in ("13-01", "6/7", "1 March 2026", "March", ""):
        with pytest.raises(DayUnclear, match="not a day of the year"):
            month_day(text)
