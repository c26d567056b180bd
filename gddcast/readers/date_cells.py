"""One cell to a day: numeric dates, named months, spreadsheet numbers, times, zones."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from gddcast.readers.reading import Days, Integers


def calendar_days(year: Integers, month: Integers, day: Integers) -> Days:
    """Days of year, month and day; NaT where there is no such day.

    Examples
    --------
    >>> calendar_days(np.array([2024, 2023]), np.array([2, 2]), np.array([29, 29]))
    array(['2024-02-29',        'NaT'], dtype='datetime64[D]')
    """
    sound = (month >= 1) & (month <= 12) & (day >= 1) & (day <= 31) & (year >= 1) & (year <= 9999)
    months = (np.where(sound, year, 2000) - 1970) * 12 + np.where(sound, month, 1) - 1
    begins = months.astype("datetime64[M]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, day, 1) - 1)
    days[~sound | (days.astype("datetime64[M]") != begins)] = np.datetime64("NaT")
    return days


def numbered_days(year: Integers, number: Integers) -> Days:
    """Days of a year and the number of the day in it; NaT where there is no such day.

    Examples
    --------
    >>> numbered_days(np.array([2024, 2023]), np.array([366, 366]))
    array(['2024-12-31',        'NaT'], dtype='datetime64[D]')
    """
    sound = (number >= 1) & (number <= 366) & (year >= 1) & (year <= 9999)
    begins = (np.where(sound, year, 2000) - 1970).astype("datetime64[Y]")
    days: Days = begins.astype("datetime64[D]") + (np.where(sound, number, 1) - 1)
    days[~sound | (days.astype("datetime64[Y]") != begins)] = np.datetime64("NaT")
    return days


_NUMERIC = re.compile(r"^(\d{1,4})([-/. ])(\d{1,2})\2(\d{1,4})\.?(?:[T, ]\s*(\S.*))?$")
_NAMED_DAY_FIRST = re.compile(
    r"^(?:[^\W\d]{2,10}[,.]?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[-/\s]*([^\W\d]{3,10})\.?[-/\s,]*"
    r"(\d{4}|\d{2})(?:[T,\s]\s*(\S.*))?$"
)
_NAMED_MONTH_FIRST = re.compile(
    r"^(?:[^\W\d]{2,10}[,.]\s*)?([^\W\d]{3,10})\.?\s*(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})"
    r"(?:[T,\s]\s*(\S.*))?$"
)
_COMPACT = re.compile(r"^(\d{4})(\d{2})(\d{2})(?:[T ]?(\d{2}:?\d{2}.*|\d{2}))?$")
_SERIAL = re.compile(r"^([3-5]\d{4}|60000)(?:[.,](\d+))?$")
# Seconds or milliseconds since 1970; what could be an hour of a day before 2000 is taken for it.
_EPOCH = re.compile(r"^(?!1[89]\d\d(?:0[1-9]|1[0-2])[0-3]\d[0-2]\d$)1\d{9}(?:\d{3})?$")
_TIME = re.compile(
    r"^(\d{1,2})(?:[:.h](\d{2}))?(?:[:.](\d{2})(?:[.,]\d+)?)?\s*(?:h|uhr)?\s*(?:([ap])\.?m\.?)?\s*"
    r"(z|utc|gmt|[-+]\d{2}(?::?\d{2})?)?$",
    re.IGNORECASE,
)
_TIME_TOGETHER = re.compile(r"^(\d{1,2})(\d{2})$")

_MONTHS = {
    name: month
    for month, names in enumerate(
        (
            "jan ene gen", "feb fev", "mar mrz maa mrt", "apr avr abr", "may mai mei mag maj",
            "jun juin giu", "jul juil lug", "aug aou ago", "sep set", "oct okt ott out", "nov",
            "dec dez dic des",
        ),
        start=1,
    )
    for name in names.split()
}  # fmt: skip


class DateCell(NamedTuple):
    """What one cell says: the way it is written, three numbers, and the text of its time.

    Attributes
    ----------
    kind : str
        ``year-first``, ``numbers/4`` (mark and digits of the year), ``compact``, ``named``,
        ``named-2`` (a year of two digits), ``serial`` or ``epoch``. Cells of two kinds are two
        formats.
    first, second, third : int
        Year, month and day, or the three numbers as they stand.
    time : str
    """

    kind: str
    first: int
    second: int
    third: int
    time: str = ""


class DateTexts(NamedTuple):
    """A column of dates as it stands in a file, to be quoted."""

    cells: Sequence[str]
    lines: Sequence[int]
    name: str

    def at(self, row: int) -> str:
        """A cell and its line, within a sentence."""
        return f"'{self.cells[row].strip()[:30]}' on line {self.lines[row]}"

    def both(self, one: int, other: int) -> str:
        """Two lines that do not agree."""
        shown = [f"ine {self.lines[at]} has '{self.cells[at].strip()[:30]}'" for at in (one, other)]
        return f"L{shown[0]}, l{shown[1]}."


def whole_numbers(cells: Sequence[str]) -> Integers:
    """Whole numbers of a column, -1 where a cell holds none or one of more than six digits."""
    meaning = {text: _whole_number(text) for text in set(cells)}
    return np.fromiter(map(meaning.__getitem__, cells), np.int64, len(cells))


def _whole_number(text: str) -> int:
    plain = text.strip().removesuffix(".0")
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) <= 6 else -1


def months_in(cells: Sequence[str]) -> Integers:
    """Months of a column, by number or, where it holds none, by name; -1 where there is none."""
    numbers = whole_numbers(cells)
    if (numbers > 0).any():
        return numbers
    return np.array([month_of(cell.strip(" .")) or -1 for cell in cells], np.int64)


def looks_like_a_date(cell: str) -> bool:
    """Whether a cell holds a whole date.

    Examples
    --------
    >>> looks_like_a_date("03/05/2026"), looks_like_a_date("13:30"), looks_like_a_date("46143")
    (True, False, True)
    """
    return date_cell(cell.strip()) is not None


def names_its_zone(cell: str) -> bool:
    """Whether a stamp says how far from UTC it is."""
    parts = date_cell(cell.strip())
    clock = clock_of(parts.time) if parts and parts.time else None
    return clock is not None and clock[1] is not None


def date_cell(cell: str) -> DateCell | None:
    """What a cell that begins with a date says, or None.

    Examples
    --------
    >>> date_cell("03/05/2026 1:30 PM")
    DateCell(kind='numbers/4', first=3, second=5, third=2026, time='1:30 PM')
    """
    if (match := _NUMERIC.match(cell)) is not None:
        first, mark, second, third = match[1], match[2], match[3], match[4]
        if len(first) == 4 and len(third) <= 2:
            kind = "year-first"
        elif len(first) <= 2 and len(third) in (2, 4):
            kind = f"numbers{mark}{len(third)}"
        else:
            return None
        return DateCell(kind, int(first), int(second), int(third), match[5] or "")
    if _EPOCH.match(cell):
        return DateCell("epoch", int(cell[:10]), 0, 0)
    if (match := _COMPACT.match(cell)) is not None:
        return DateCell("compact", int(match[1]), int(match[2]), int(match[3]), match[4] or "")
    if (match := _SERIAL.match(cell)) is not None:
        minutes = round(float(f"0.{match[2] or 0}") * 1440)
        return DateCell("serial", int(match[1]), minutes, int(bool(match[2])))
    return _named_month(cell) if cell[-1:].isalnum() or cell[-1:] in ".Zz" else None


def _named_month(cell: str) -> DateCell | None:
    if len(cell) > 60:
        return None
    if (match := _NAMED_DAY_FIRST.match(cell)) is not None and (month := month_of(match[2])):
        if len(match[3]) == 2:  # 26-May-01 may begin with the year
            return DateCell("named-2", int(match[1]), month, int(match[3]), match[4] or "")
        return DateCell("named", int(match[3]), month, int(match[1]), match[4] or "")
    if (match := _NAMED_MONTH_FIRST.match(cell)) is not None and (month := month_of(match[1])):
        return DateCell("named", int(match[3]), month, int(match[2]), match[4] or "")
    return None


def month_of(word: str) -> int | None:
    """Number of a month named in one of several languages.

    Examples
    --------
    >>> month_of("März"), month_of("juillet"), month_of("Total")
    (3, 7, None)
    """
    plain = word.casefold().replace("ä", "a").replace("é", "e").replace("û", "u")
    return _MONTHS.get(plain[:4]) or _MONTHS.get(plain[:3])


def clock_of(text: str) -> tuple[int, int | None] | None:
    """Minute of the day and distance from UTC [min] of a time, or None."""
    match = _TIME.match(text.strip())
    together = None if match else _TIME_TOGETHER.match(text.strip())
    if together:
        hour, minute, half, zone = int(together[1]), int(together[2]), None, None
    elif match:
        hour, minute, half, zone = int(match[1]), int(match[2] or 0), match[4], match[5]
    else:
        return None
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half in "pP" else 0)
    if hour > 24 or minute > 59 or (hour == 24 and minute):
        return None
    return hour * 60 + minute, _from_utc(zone)


def _from_utc(zone: str | None) -> int | None:
    if not zone:
        return None
    if zone[0] not in "+-":
        return 0
    digits = zone[1:].replace(":", "").ljust(4, "0")
    minutes = int(digits[:2]) * 60 + int(digits[2:])
    return -minutes if zone[0] == "-" else minutes
