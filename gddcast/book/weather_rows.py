"""Weather days to rows and back: what comes in is laid over what is there, and nothing is lost.

A source adds rows only for days that are new to the book or that differ. On reading, a later row
wins over an earlier one, reading by reading; withdraw its entry and the earlier one is back.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.book.entries import STANDING, add_entry
from gddcast.series import DailySeries, Origin, Place
from gddcast.units import Unit

Mask = NDArray[np.bool_]

#: What may take the place of what: a measured day yields to measured days alone.
_RANK = np.array([0, 4, 2, 3, 1], dtype=np.int8)  # by Origin
#: Closer than this two readings are the same, whatever scale they came in. [°C]
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Source:
    """Where weather came from, and how it was understood."""

    name: str
    unit: str
    unit_decided_by: str
    day_ends: str = "midnight"


@dataclass(frozen=True, slots=True)
class Brought:
    """What a source brought to the book.

    ``entry`` is None where every day was known already, so that nothing was written.
    """

    entry: str | None
    new: int
    changed: tuple[dt.date, ...]  # days known before, now with other readings
    unchanged: int
    kept_out: int  # days the book knows better


def read_series(
    connection: sqlite3.Connection,
    place: Place,
    unit: Unit,
    *,
    today: dt.date | None = None,
    as_of: dt.datetime | None = None,
) -> DailySeries | None:
    """The weather record; None where the book has no day.

    Parameters
    ----------
    connection : sqlite3.Connection
    place : Place
    unit : {"F", "C"}
        Scale people typed or read it in.
    today : datetime.date, optional
        Forecasts of days before it are forgotten.
    as_of : datetime.datetime, optional
        What the book knew at that moment.
    """
    rows = connection.execute(
        f"SELECT day, tmin, tmax, origin FROM weather_day WHERE {_active(as_of)} "
        "AND (origin <> ? OR day >= ?) ORDER BY entry",
        (Origin.FORECAST, str(today or "")),
    ).fetchall()
    if not rows:
        return None
    days, low, high, origin = zip(*rows, strict=True)
    stamps = np.array(days, dtype="datetime64[D]")
    first = stamps.min()
    at = (stamps - first).astype(np.int64)
    # Where a day has several rows the last assignment stands: rows come in the order of writing.
    struck = np.array(origin) == Origin.UNKNOWN
    tmin, tmax = (_laid(at, np.array(each, dtype=np.float64), struck) for each in (low, high))
    origins = np.zeros(tmin.size, dtype=np.int8)
    origins[at] = origin
    origins[np.isnan(tmin) | np.isnan(tmax)] = Origin.UNKNOWN
    return DailySeries(
        first.item(), tmin, tmax, origins, place=place, source="the season book", unit=unit
    )


def _active(as_of: dt.datetime | None) -> str:
    if as_of is None:
        return STANDING
    moment = f"julianday('{as_of.isoformat()}')"
    return (
        f"entry IN (SELECT number FROM entry WHERE julianday(entered_at) <= {moment}) AND entry "
        f"NOT IN (SELECT entry FROM withdrawal WHERE julianday(withdrawn_at) <= {moment})"
    )


def _laid(at: NDArray[np.int64], values: NDArray[np.float64], struck: Mask) -> NDArray[np.float64]:
    laid = np.full(int(at.max()) + 1, np.nan)
    said = struck | ~np.isnan(values)
    laid[at[said]] = values[said]
    return laid


def add(
    connection: sqlite3.Connection,
    coming: DailySeries,
    source: Source,
    entered_at: dt.datetime,
    year: int,
    *,
    only_fill: bool = False,
    strike_blank: bool = False,
) -> Brought:
    """Write the days that are new or differ.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a transaction.
    coming : DailySeries
    source : Source
    entered_at : datetime.datetime
    year : int
    only_fill : bool
        Leave every day that is known as it is.
    strike_blank : bool
        Days ``coming`` does not know become unknown in the book as well.
    """
    present = read_series(connection, coming.place, coming.unit)
    there = _same_days(present, coming)
    fresh, changed, kept_out = _compared(there, coming, only_fill=only_fill)
    if strike_blank:
        nothing = np.isnan(coming.tmin) & np.isnan(coming.tmax)
        changed |= nothing & ~(np.isnan(there.tmin) & np.isnan(there.tmax))
    written = fresh | changed
    known = ~(np.isnan(coming.tmin) & np.isnan(coming.tmax))
    unchanged = int(np.count_nonzero(known & ~written & ~kept_out))
    days = tuple(coming.date(int(place)) for place in np.flatnonzero(changed))
    name = _written(connection, coming, written, source, entered_at, year)
    return Brought(name, int(fresh.sum()), days, unchanged, int(kept_out.sum()))


def _same_days(present: DailySeries | None, coming: DailySeries) -> DailySeries:
    """What the book knows of the days of ``coming``."""
    size = len(coming)
    tmin, tmax = np.full(size, np.nan), np.full(size, np.nan)
    origin = np.zeros(size, dtype=np.int8)
    if present is not None:
        shared = present.between(coming.first, coming.last)
        if len(shared):
            here = slice(begin := coming.index(shared.first), begin + len(shared))
            tmin[here], tmax[here], origin[here] = shared.tmin, shared.tmax, shared.origin
    return replace(coming, tmin=tmin, tmax=tmax, origin=origin)


def _compared(
    there: DailySeries, coming: DailySeries, *, only_fill: bool
) -> tuple[Mask, Mask, Mask]:
    """Days that are new, that differ, and that the book knows better."""
    fills = np.zeros(len(coming), dtype=bool)
    differs = np.zeros(len(coming), dtype=bool)
    for old, new in ((there.tmin, coming.tmin), (there.tmax, coming.tmax)):
        fills |= np.isnan(old) & ~np.isnan(new)
        differs |= np.abs(old - new) > _SAME  # never true of NaN
    differs |= there.known & coming.known & (there.origin != coming.origin)
    promised = there.origin == Origin.FORECAST
    worse = coming.known & (_RANK[coming.origin] < _RANK[there.origin])
    kept_out = differs & there.known & (~promised if only_fill else worse)
    # What a forecast said of a day is no reading of it: whatever comes later is new.
    fresh = (fills & ~there.known) | (differs & promised & ~kept_out)
    return fresh, differs & ~fresh & ~kept_out, kept_out


def _written(
    connection: sqlite3.Connection,
    coming: DailySeries,
    chosen: Mask,
    source: Source,
    entered_at: dt.datetime,
    year: int,
) -> str | None:
    if not chosen.any():
        return None
    number, name = add_entry(connection, entered_at, year)
    connection.execute(
        "INSERT INTO weather_source VALUES (?, ?, ?, ?, ?)",
        (number, source.name, source.unit, source.unit_decided_by, source.day_ends),
    )
    places = np.flatnonzero(chosen)
    # A day with one reading is UNKNOWN as a whole; its one reading was measured all the same.
    half = (coming.origin == Origin.UNKNOWN) & ~(np.isnan(coming.tmin) & np.isnan(coming.tmax))
    origins = np.where(half, Origin.MEASURED, coming.origin)
    connection.executemany(
        "INSERT INTO weather_day VALUES (?, ?, ?, ?, ?)",
        [
            (number, str(day), _or_null(low), _or_null(high), origin)
            for day, low, high, origin in zip(
                coming.dates[places], coming.tmin[places].tolist(),
                coming.tmax[places].tolist(), origins[places].tolist(), strict=True,
            )
        ],
    )  # fmt: skip
    return name


def _or_null(value: float) -> float | None:
    return None if np.isnan(value) else value


def sources(connection: sqlite3.Connection) -> list[Source]:
    """Where the weather that still stands came from, in the order of writing."""
    rows = connection.execute(
        f"SELECT source, unit, unit_decided_by, day_ends FROM weather_source WHERE {STANDING} "
        "ORDER BY entry"
    )
    return [Source(*row) for row in rows]
