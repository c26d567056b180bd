"""Days as people write them, and as `words.day` prints them, read back; what is open is asked.

A day without a year is the one its purpose asks for: the last one of a find, which is never in the
future; the coming one of a week to plan; the nearest one of a day somebody pretends to be in.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterator
from typing import Literal

from gddcast.words import day, listed, month

#: Which of the days that bear a name is meant: today counts as any of them.
Which = Literal["last", "coming", "nearest"]
#: What stands first in 6/7.
NumberOrder = Literal["day-first", "month-first"]

_MONTHS = {month(number).lower(): number for number in range(1, 13)}
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_BESIDE_TODAY = {"yesterday": -1, "today": 0, "tomorrow": 1}
#: Years looked through: 29 February may be eight years away.
_YEARS = 8
_EXAMPLES = "Write it as 2026-06-11, 11 June, Mon, yesterday or 3 days ago"


class DayUnclear(ValueError):
    """Words that name no day, or two; its text says so as sentences."""


def day_meant(
    text: str,
    today: dt.date | Callable[[], dt.date],
    *,
    which: Which = "last",
    order: NumberOrder | Callable[[], NumberOrder | None] | None = None,
) -> dt.date:
    """The day that words mean.

    Parameters
    ----------
    text : str
        2026-06-24, 24 June, June 24 2026, Wed 24 June, 6/24, Mon, yesterday, 3 days ago …
    today : datetime.date or callable
        What days without a year are counted from; a callable is asked only for those.
    which : {"last", "coming", "nearest"}, default: "last"
        Which 24 June: the last one not after today, the first one not before it, the nearest.
        A weekday alone is the last one, unless the coming one is asked for; today counts.
    order : {"day-first", "month-first"} or callable, optional
        How this person writes 6/7. Unless said, a day that can be read both ways is not guessed.

    Raises
    ------
    DayUnclear
        If they mean none, or two.

    Examples
    --------
    >>> june = dt.date(2026, 6, 25)
    >>> [day_meant(each, june).isoformat() for each in ("Wed 24 June", "6/24", "Mon", "1 Sep")]
    ['2026-06-24', '2026-06-24', '2026-06-22', '2025-09-01']
    """
    if (iso := _iso(text)) is not None:
        return iso

    def now() -> dt.date:
        return today if isinstance(today, dt.date) else today()

    words = re.sub(r"[,\s]+", " ", text.strip().lower()).split(" ")
    if (offset := _offset(words)) is not None:
        return now() + dt.timedelta(days=offset)
    named = _weekday(words[0])
    if named is not None and len(words) == 1:
        return _of_weekday(named, now(), which)
    rest = words if named is None else words[1:]
    readings = list(_month_and_day(rest)) or list(_numbers(rest))
    if len(readings) > 1 and order is not None:
        wanted = order if isinstance(order, str) else order()
        readings = [each for each in readings if each[0] == wanted] or readings
    days = dict.fromkeys(
        found
        for _, year, number, of_month in readings
        if (found := _dated(year, number, of_month, now, which)) is not None
    )
    if not days:
        raise DayUnclear(f"'{text}' is not a day. {_EXAMPLES}.")
    if len(days) > 1:
        both = listed([day(each, weekday=False, year=True) for each in days], "or")
        raise DayUnclear(f"'{text}' is {both}. Write the month as a word.")
    (found,) = days
    if named is not None and found.weekday() != named:
        raise DayUnclear(
            f"'{text}' can’t be: {day(found, weekday=False, year=True)} is a "
            f"{_WEEKDAYS[found.weekday()].capitalize()}. Write the year, or leave the weekday out."
        )
    return found


def month_day(text: str) -> tuple[int, int]:
    """A month and a day of any year, as 03-01 or 1 March.

    Raises
    ------
    DayUnclear

    Examples
    --------
    >>> month_day("03-01"), month_day("1 March"), month_day("Feb 29")
    ((3, 1), (3, 1), (2, 29))
    """
    found = _iso(f"2024-{text}")
    for _, year, number, of_month in _month_and_day(text.lower().split()):
        found = _exact(2024, number, of_month) if year is None else None
    if found is None:
        raise DayUnclear(f"'{text}' is not a day of the year. Write 1 March as 03-01 or 1 March.")
    return found.month, found.day


#: A reading: its order where it is of numbers, year, month and day of the month.
_Reading = tuple[NumberOrder | None, int | None, int, int]


def _iso(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        return None


def _offset(words: list[str]) -> int | None:
    """Days from today of "yesterday", "3 days ago"."""
    said = " ".join(words)
    if said in _BESIDE_TODAY:
        return _BESIDE_TODAY[said]
    ago = re.fullmatch(r"(an?|\d{1,4}) (day|week)s? ago", said, re.ASCII)
    if ago is None:
        return None
    return -(1 if ago[1].startswith("a") else int(ago[1])) * (7 if ago[2] == "week" else 1)


def _weekday(word: str) -> int | None:
    """Number of a weekday, whole or cut to three letters or more."""
    hits = [at for at, name in enumerate(_WEEKDAYS) if name.startswith(word.rstrip("."))]
    return hits[0] if len(hits) == 1 and len(word.rstrip(".")) >= 3 else None


def _of_weekday(number: int, today: dt.date, which: Which) -> dt.date:
    back = (today.weekday() - number) % 7
    ahead = (number - today.weekday()) % 7
    return today + dt.timedelta(days=ahead if which == "coming" else -back)


def _month(word: str) -> int | None:
    plain = word.rstrip(".")
    hits = [number for name, number in _MONTHS.items() if name.startswith(plain)]
    if plain == "sept":
        return 9
    return hits[0] if len(hits) == 1 and len(plain) >= 3 else None


def _month_and_day(words: list[str]) -> Iterator[_Reading]:
    """Of "24 June", "June 24th 2026"."""
    if len(words) not in (2, 3):
        return
    year = int(words[2]) if len(words) == 3 and re.fullmatch(r"\d{4}", words[2], re.ASCII) else None
    if len(words) == 3 and year is None:
        return
    for number, name in (words[:2], words[1::-1]):
        of_month = re.fullmatch(r"(\d{1,2})(st|nd|rd|th|\.)?", number, re.ASCII)
        named = _month(name)
        if of_month is not None and named is not None:
            yield None, year, named, int(of_month[1])


def _numbers(words: list[str]) -> Iterator[_Reading]:
    """Both readings of 6/24 and 24.6.2026, as far as there are such days."""
    found = re.fullmatch(
        r"(\d{1,2})([/.])(\d{1,2})(?:\2(\d{4})?)?", " ".join(words), re.ASCII
    )  # fmt: skip
    if found is None or (found[2] == "/" and words[0].endswith("/")):
        return
    one, other, year = int(found[1]), int(found[3]), int(found[4]) if found[4] else None
    if _exact(2024, other, one):
        yield "day-first", year, other, one
    if _exact(2024, one, other):
        yield "month-first", year, one, other


def _exact(year: int, number: int, of_month: int) -> dt.date | None:
    try:
        return dt.date(year, number, of_month)
    except ValueError:
        return None


def _dated(
    year: int | None, number: int, of_month: int, now: Callable[[], dt.date], which: Which
) -> dt.date | None:
    if year is not None:
        return _exact(year, number, of_month)
    today = now()
    years = range(max(1, today.year - _YEARS), today.year + _YEARS + 1)
    days = [found for each in years if (found := _exact(each, number, of_month)) is not None]
    if which == "last":
        return max((each for each in days if each <= today), default=None)
    if which == "coming":
        return min((each for each in days if each >= today), default=None)
    return min(days, key=lambda each: abs(each - today), default=None)
