"""The calendar day that something names: a stamp, a text, a month and day in a year."""

from __future__ import annotations

import datetime as dt

import numpy as np

from gddcast.errors import ArgumentRefusal

#: A day: a date, a pandas Timestamp, a NumPy datetime64, or text as in 2026-06-11.
DateLike = dt.date | np.datetime64 | str
#: First and last day.
Span = tuple[dt.date, dt.date]


def date_in(year: int, month: int, day: int) -> dt.date:
    """The date, with 29 February moved to the 28th in common years."""
    if (month, day) == (2, 29) and not (year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)):
        day = 28
    return dt.date(year, month, day)


def date_of(day: DateLike) -> dt.date:
    """The day of anything that names one.

    Raises
    ------
    ArgumentRefusal
        If it names none.

    Examples
    --------
    >>> date_of(np.datetime64("2026-06-11T15", "h")), date_of("2026-06-11")
    (datetime.date(2026, 6, 11), datetime.date(2026, 6, 11))
    """
    given: object = day.astype("datetime64[D]").item() if isinstance(day, np.datetime64) else day
    try:
        given = dt.date.fromisoformat(given) if isinstance(given, str) else given
    except ValueError:
        given = None
    if isinstance(given, dt.datetime):  # a pandas Timestamp is one
        given = given.date()
    if not isinstance(given, dt.date):
        raise ArgumentRefusal(
            f"the day {day!r}", "it is no date",
            "A date, a Timestamp, or text with year, month and day is wanted.",
            'Write it as  "2026-06-11".', slug="date-unreadable",
        )  # fmt: skip
    return given
