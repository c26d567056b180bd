"""A line of days in plain characters, which many rows share: what stands in which column."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from gddcast.words import month

DOT, LOOK_FROM, TODAY = "·", "▲", "│"
#: The most years of one column that a digit holds, and the mark of more.
_MOST, _MORE = 9, "+"
_WORDS = {LOOK_FROM: "start looking", TODAY: "today"}


@dataclass(frozen=True, slots=True)
class DayAxis:
    """Days in columns, from a Monday on.

    Parameters
    ----------
    first : datetime.date
    days : int
        So many from the first one on.
    days_a_column : int
        Days of one column.
    """

    first: dt.date
    days: int
    days_a_column: int

    @classmethod
    def over(cls, first: dt.date, last: dt.date, room: int) -> DayAxis:
        """The weeks from one day's Monday to another's Sunday, in so many columns or fewer.

        Examples
        --------
        >>> DayAxis.over(dt.date(2026, 6, 11), dt.date(2026, 7, 20), 54).days_a_column
        1
        >>> DayAxis.over(dt.date(2026, 6, 11), dt.date(2026, 7, 20), 34).days_a_column
        2
        """
        monday = first - dt.timedelta(days=first.weekday())
        days = (last - monday).days // 7 * 7 + 7
        return cls(monday, days, -(-days // room))

    @property
    def columns(self) -> int:
        """How many there are."""
        return -(-self.days // self.days_a_column)

    def column(self, day: dt.date) -> int:
        """The column of a day, which may lie outside."""
        return (day - self.first).days // self.days_a_column

    def head(self) -> tuple[str, str]:
        r"""Months, and the Mondays below them, as far as there is room.

        Examples
        --------
        >>> print(*DayAxis.over(dt.date(2026, 6, 24), dt.date(2026, 7, 10), 30).head(), sep="\n")
        June          July
        22     29     6
        """
        months = mondays = ""
        named = 0
        for week in range(0, self.days, 7):
            monday = self.first + dt.timedelta(days=week)
            at = week // self.days_a_column
            if mondays and len(mondays) >= at:
                continue
            mondays = f"{mondays:<{at}}{monday.day}"
            if monday.month != named and (not months or len(months) < at):
                months, named = f"{months:<{at}}{month(monday.month)}", monday.month
        return months, mondays

    def row(
        self, dots: Iterable[dt.date], *, today: dt.date, look_from: dt.date | None = None
    ) -> str:
        """One line: a dot a past year, the day to start looking, today, where no other stands.

        Several years of one column are their number: none is lost, and none looks like a length.

        Examples
        --------
        >>> june = [dt.date(2026, 6, day) for day in (18, 20, 20, 21)]
        >>> axis = DayAxis.over(dt.date(2026, 6, 11), june[-1], 30)
        >>> axis.row(june, today=dt.date(2026, 6, 11), look_from=dt.date(2026, 6, 15))
        '   │   ▲  · 2·'
        """
        marks = {self.column(today): TODAY}
        if look_from is not None:
            marks[self.column(look_from)] = LOOK_FROM
        marks |= {at: _years(count) for at, count in Counter(map(self.column, dots)).items()}
        return "".join(marks.get(at, " ") for at in range(self.columns)).rstrip()

    def legend(self, rows: Iterable[str]) -> str:
        """What the marks of some rows are, in a line."""
        used = set("".join(rows))
        said = [f"{DOT} one past year’s weather"]
        if any(mark.isdigit() for mark in used):
            said.append("2–9 so many years’")
        if _MORE in used:
            said.append(f"{_MORE} more")
        marks = [", ".join(said)]
        marks += [f"{mark} {word}" for mark, word in _WORDS.items() if mark in used]
        marks.append(
            "1 day a column" if self.days_a_column == 1 else f"{self.days_a_column} days a column"
        )
        return "; ".join(marks) + "."


def _years(count: int) -> str:
    if count == 1:
        return DOT
    return str(count) if count <= _MOST else _MORE
