"""The days of dots as tables: a row a past year, and few enough columns for paper."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from gddcast import words
from gddcast.pages.paper import PageTable

#: So many columns stand on paper side by side under headings of some words.
_COLUMNS = 5


def by_year(
    name: str, columns: Sequence[tuple[str, Mapping[str, dt.date | None]]]
) -> tuple[PageTable, ...]:
    """Tables of days.

    Parameters
    ----------
    name : str
        What they tell, for those who do not see them.
    columns : sequence of (str, mapping of season to date or None)
        Heading, and a day for each past year that has one; None where it is not reached.
    """
    years = sorted({year for _, days in columns for year in days})
    parts = [columns[at : at + _COLUMNS] for at in range(0, len(columns), _COLUMNS)]
    return tuple(
        PageTable(
            name if len(parts) == 1 else f"{name}, part {number}",
            ("past year", *(heading for heading, _ in part)),
            [[year, *(_cell(days, year) for _, days in part)] for year in years],
        )
        for number, part in enumerate(parts, 1)
    )


def _cell(days: Mapping[str, dt.date | None], year: str) -> str:
    if year not in days:
        return "–"
    day = days[year]
    return words.short_day(day) if day else "not"
