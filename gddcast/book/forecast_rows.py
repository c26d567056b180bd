"""Forecast days to rows and back: each as it was issued, never rewritten, kept for ever.

What a forecast said is worth something twice: until its day has come it stands behind the
record, and from then on it tells how far this place's forecasts are off.
"""

from __future__ import annotations

import datetime as dt
import sqlite3

import numpy as np

from gddcast.book.entries import standing_at
from gddcast.errors import Refusal
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.weather.series import DailySeries, Origin

#: One row: issued, day, minimum, maximum.
Row = tuple[str, str, float, float]

# Closer than this two readings are the same, whatever scale they came in. [°C]
_SAME = 1e-6
#: What air has been, as the table demands it. [°C]
COLDEST, HOTTEST = -90.0, 60.0


def read(connection: sqlite3.Connection, *, as_of: dt.datetime | None = None) -> ForecastArchive:
    """Every forecast that stands, in the order of writing.

    Parameters
    ----------
    connection : sqlite3.Connection
    as_of : datetime.datetime, optional
        Those the book knew at that moment.
    """
    return ForecastArchive.of(
        connection.execute(
            f"SELECT issued_on, day, tmin, tmax FROM forecast_day WHERE {standing_at(as_of)} "
            "ORDER BY entry, issued_on, day"
        ).fetchall()
    )


def new_rows(connection: sqlite3.Connection, coming: DailySeries, issued: dt.date) -> list[Row]:
    """Rows for the forecast days of a series that the book does not hold as they are.

    Days before ``issued`` are no forecast of that day, and are left out.

    Raises
    ------
    Refusal
        If a day is foretold as hot or as cold as air never was.
    """
    chosen = (coming.origin == Origin.FORECAST) & coming.known
    chosen &= coming.dates >= np.datetime64(issued, "D")
    days, low, high = (each[chosen] for each in (coming.dates, coming.tmin, coming.tmax))
    for day, least, most in zip(days, low, high, strict=True):
        if not COLDEST <= least <= most <= HOTTEST:
            raise _impossible(str(day), float(least), float(most))
    return unknown_rows(connection, [
        (issued.isoformat(), str(day), least, most)
        for day, least, most in zip(days, low.tolist(), high.tolist(), strict=True)
    ])  # fmt: skip


def unknown_rows(connection: sqlite3.Connection, rows: list[Row]) -> list[Row]:
    """Those the book does not hold yet; of one issue and day its last word counts."""
    held: dict[tuple[str, str], tuple[float, float]] = {
        (issued, day): (least, most)
        for issued, day, least, most in connection.execute(
            f"SELECT issued_on, day, tmin, tmax FROM forecast_day WHERE {standing_at(None)} "
            "ORDER BY entry"
        )
    }

    def is_new(row: Row) -> bool:
        there = held.get(row[:2])
        return there is None or any(abs(a - b) > _SAME for a, b in zip(there, row[2:], strict=True))

    return [row for row in rows if is_new(row)]


def write(connection: sqlite3.Connection, entry: int, rows: list[Row]) -> None:
    """Keep them under one entry."""
    connection.executemany(
        "INSERT INTO forecast_day VALUES (?, ?, ?, ?, ?)", [(entry, *row) for row in rows]
    )


def _impossible(day: str, least: float, most: float) -> Refusal:
    return Refusal(
        f"the forecast for {day}",
        f"it says {least:.0f} to {most:.0f} °C",
        f"Air stays between {COLDEST:.0f} and {HOTTEST:.0f} °C, and no minimum lies above its "
        "maximum.".replace("-", "−"),
        "Mend that row, or take it out of the file; nothing was written.",
        slug="impossible-forecast",
    )
