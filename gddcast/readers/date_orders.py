"""Which of a date's numbers is the day, the month, the year: proved by a line, or asked."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.date_cells import DateTexts, calendar_days
from gddcast.readers.reading import DateOrder, Days, Integers, OpenQuestion, in_words

#: Days of a record follow one another; read in a wrong order they leap by months or years. [days]
LEAP = 20


def usual_step(days: Days) -> float | None:
    """Days from one date to the next other one, the median; None where there is but one date.

    Examples
    --------
    >>> usual_step(np.array(["2026-05-01", "2026-05-01", "2026-05-02"], "datetime64[D]"))
    1.0
    """
    steps = np.abs(np.diff(days[~np.isnat(days)]).astype(np.int64))
    steps = steps[steps > 0]
    return float(np.median(steps)) if steps.size else None


def ordered(
    numbers: Integers,
    kind: str,
    has_date: NDArray[np.bool_],
    texts: DateTexts,
    given: DateOrder | None,
) -> tuple[Days, str]:
    """Days of dates like 03/05/2026 or 26-05-01: the whole file is in one order.

    Parameters
    ----------
    numbers : numpy.ndarray of int, shape (rows, 3)
    kind : str
        ``numbers/4`` (mark and digits of the year) or ``named-2``, from `date_cells`.
    has_date : numpy.ndarray of bool
        Rows with a date.
    texts : DateTexts
    given : {"day-first", "month-first", "year-first"}, optional

    Returns
    -------
    days, how : numpy.ndarray of datetime64[D], str

    Raises
    ------
    Refusal
        If two orders are mixed, or more than one makes days.
    """
    first, second, third = numbers.T
    two_digits = kind.endswith("2")
    year = _full_years(third) if two_digits else third
    readings: dict[DateOrder, Days] = {"day-first": calendar_days(year, second, first)}
    if not kind.startswith("named"):
        readings["month-first"] = calendar_days(year, first, second)
    year_first = calendar_days(_full_years(first), second, third) if two_digits else None
    if given == "year-first" and year_first is not None:
        return year_first, "Dates year first, as you said"
    if given in readings:
        return readings[given], f"Dates {given.replace('-', ' ')}, as you said"
    if year_first is not None and _may_be_year_first(year_first, readings, kind, has_date):
        raise _years_in_front(year_first, readings, has_date, texts)
    if "month-first" not in readings:
        return readings["day-first"], "Dates name the month"
    return _day_or_month_first(first, second, readings, has_date, texts)


def _full_years(years: Integers) -> Integers:
    # POSIX strptime: 69–99 are the twentieth century, 00–68 the twenty-first.
    return np.where(years >= 69, 1900, 2000) + years


def _may_be_year_first(
    year_first: Days, others: dict[DateOrder, Days], kind: str, has_date: NDArray[np.bool_]
) -> bool:
    """Whether dates with years of two digits may begin with them.

    Days run on in the right order and leap by years in a wrong one. Where there is but one date,
    dots and named months say that the day stands in front.
    """
    if 2 * np.count_nonzero(np.isnat(year_first[has_date])) > np.count_nonzero(has_date):
        return False
    step = usual_step(year_first)
    steps = [usual_step(days) for days in others.values() if not np.isnat(days[has_date]).all()]
    if step is None:
        return kind not in ("numbers.2", "named-2")
    return step < LEAP and all(other is None or other >= LEAP for other in steps)


def _day_or_month_first(
    first: Integers,
    second: Integers,
    readings: dict[DateOrder, Days],
    has_date: NDArray[np.bool_],
    texts: DateTexts,
) -> tuple[Days, str]:
    day_first, month_first = readings["day-first"], readings["month-first"]
    above_first = np.flatnonzero(has_date & (first > 12) & (first <= 31) & (second <= 12))
    above_second = np.flatnonzero(has_date & (second > 12) & (second <= 31) & (first <= 12))
    if above_first.size and above_second.size:
        raise _two_orders(int(above_first[0]), int(above_second[0]), texts)
    if above_first.size or above_second.size:
        row, where, days, other = (
            (int(above_first[0]), "in front", day_first, month_first)
            if above_first.size
            else (int(above_second[0]), "in the middle", month_first, day_first)
        )
        step, step_of_other = usual_step(days), usual_step(other)
        if step is not None and step_of_other is not None and step_of_other < LEAP <= step:
            # The line that proves the order is alone in it: the others run on in the other.
            odd = next(at for at in np.flatnonzero(has_date) if not np.isnat(other[at]))
            raise _two_orders(row, int(odd), texts)
        number = int(first[row] if above_first.size else second[row])
        order = "day" if above_first.size else "month"
        return days, f"Dates {order} first: line {texts.lines[row]} has {number} {where}"
    # Dates that exist in one order only, such as 05/00/2026, settle nothing.
    has_date = has_date & ~(np.isnat(day_first) | np.isnat(month_first))
    if (day_first[has_date] == month_first[has_date]).all():
        return day_first, "Dates the same day first and month first"
    raise _undecided(day_first, month_first, has_date, texts)


def refuse_swapped_months(days: Days, lines: Sequence[int], name: str) -> None:
    """Refuse a file whose days and months were swapped before it was written.

    The order of the rows tells: where only days up to the 12th were swapped the days run backwards
    at the 2nd and leap at the 13th of months; where all were, they leap from month to month. With
    day and month put back they run on.
    """
    known = ~np.isnat(days)
    steps = np.diff(days[known]).astype(np.int64)
    in_order = bool((steps >= 0).all() or (steps <= 0).all())
    # Days in order are their own sorted days: no need to look for those that stand twice.
    step = usual_step(days[known] if in_order else np.unique(days[known]))
    if step is None or (in_order and step < LEAP):
        return
    month = days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    year = days.astype("datetime64[Y]").astype(np.int64) + 1970
    day = (days - days.astype("datetime64[M]")).astype(np.int64) + 1
    low = day <= 12
    back = calendar_days(year, np.where(low, day, month), np.where(low, month, day))
    mended = np.diff(back[known]).astype(np.int64)
    runs_on = bool((mended >= 0).all() or (mended <= 0).all())
    if step >= LEAP:  # whatever the order of the rows, the newest first or one of them twice
        step = usual_step(np.unique(back[known]))
        runs_on = bool(low[known].all()) and step is not None and step < LEAP
    if not runs_on:
        return
    rows = np.flatnonzero(known)[1:][np.abs(steps) > 1][:2]
    shown = " and ".join(
        f"from {in_words(days[row - 1])} to {in_words(days[row])} on line {lines[row]}"
        for row in rows
    )
    raise Refusal(
        name,
        "day and month are swapped in its dates"
        + ("" if low[known].all() else " up to the 12th of each month"),
        f"The days leap {shown}; with day and month put back they run on without a break.",
        "A spreadsheet probably took the original dates for another order. Export the file once "
        "more from its source, with dates written 2026-05-31. If they are right as they stand, "
        "say --dates year-first.",
        slug="dates-swapped",
    )


# --- refusals -----------------------------------------------------------------------------------


def _two_orders(one: int, other: int, texts: DateTexts) -> Refusal:
    return Refusal(
        texts.name,
        "some of its dates are day first and some month first",
        texts.both(one, other),
        "Write all dates the same way, best as 2026-05-31.",
        slug="dates-mixed",
    )


def _years_in_front(
    year_first: Days, others: dict[DateOrder, Days], has_date: NDArray[np.bool_], texts: DateTexts
) -> Refusal:
    row = int(np.flatnonzero(has_date & ~np.isnat(year_first))[0])
    also = [in_words(days[row]) for days in others.values() if not np.isnat(days[row])]
    evidence = f"{texts.at(row)} is {' or '.join([in_words(year_first[row]), *also])}."
    if usual_step(year_first) is not None:
        evidence += " Read year first, the days run on one after another."
    return OpenQuestion(
        texts.name,
        "its dates can be read year first or year last",
        evidence,
        "Say which:",
        option="dates",
        answer="year-first",
        choices=("year-first", *others),
        slug="dates-ambiguous",
    )


def _undecided(
    day_first: Days, month_first: Days, has_date: NDArray[np.bool_], texts: DateTexts
) -> Refusal:
    runs: dict[str, int] = {
        "day-first": _unbroken(day_first[has_date]),
        "month-first": _unbroken(month_first[has_date]),
    }
    best = max(runs, key=lambda order: runs[order])
    row = int(np.flatnonzero(has_date & (day_first != month_first))[0])
    evidence = (
        f"{texts.at(row)} is {in_words(day_first[row])} or {in_words(month_first[row])}, and no "
        "line has a number above 12 to settle it."
    )
    if runs[best] > min(runs.values()):
        evidence += f" Read {best.replace('-', ' ')}, the days run on one after another."
    return OpenQuestion(
        texts.name,
        "its dates can be read day first or month first",
        evidence,
        "Say which:",
        option="dates",
        answer=best,
        choices=tuple(runs),
        slug="dates-ambiguous",
    )


def _unbroken(days: Days) -> int:
    """How many rows are the same day as the row before, or the next one."""
    steps = np.diff(days).astype(np.int64)
    return int(np.count_nonzero((steps == 1) | (steps == 0) | (steps == -1)))
