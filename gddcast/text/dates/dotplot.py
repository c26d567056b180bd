"""Year dots in plain characters: one ``o`` a past year, stacked over its day."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence

from gddcast.words import month

#: Above this many days, one column holds several.
_MOST_COLUMNS = 16


def dotplot(days: Sequence[dt.date], indent: str = "", width: int = 98) -> str:
    """Stack one ``o`` a year over a line of days.

    Parameters
    ----------
    days : sequence of datetime.date
        One a past year.
    indent : str
        What each line starts with.
    width : int
        Letters in its longest line, where its key can help it.

    Examples
    --------
    >>> print(dotplot([dt.date(2026, 6, day) for day in (18, 20, 20, 21)]))
            o
    o       o   o
    18  19  20  21
    June              o = one past year
    """
    if not days:
        return ""
    first, last = min(days), max(days)
    each = -(-((last - first).days + 1) // _MOST_COLUMNS)
    columns = Counter((day - first).days // each for day in days)
    count = (last - first).days // each + 1
    starts = [first + dt.timedelta(days=each * column) for column in range(count)]
    lines = [
        "".join("o   " if columns[column] >= height else "    " for column in range(count))
        for height in range(max(columns.values()), 0, -1)
    ]
    lines.append("".join(f"{start.day:<4}" for start in starts))
    step = f", {each} days a column" if each > 1 else ""
    months, key = _months(starts), f"o = one past year{step}"
    fits = len(f"{indent}{months}  {key}") <= width
    lines += [f"{months}  {key}"] if fits else [months, key]
    return "\n".join(indent + line.rstrip() for line in lines)


def _months(starts: Sequence[dt.date]) -> str:
    """Each month's name under its first day, as far as there is room."""
    text = ""
    for column, start in enumerate(starts):
        begins = column == 0 or start.month != starts[column - 1].month
        if begins and len(text) <= 4 * column:
            text = f"{text:<{4 * column}}{month(start.month)} "
    return f"{text:<{4 * len(starts)}}"
