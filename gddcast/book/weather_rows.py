"""Weather days to rows and back: what comes in is laid over what is there, and nothing is lost.

A source adds rows only for days that are new to the book or that differ. On reading, a later row
wins over an earlier one, reading by reading; withdraw its entry and the earlier one is back.
Forecast days are no readings; `forecast_rows` keeps them apart.
"""

from __future__ import annotations

import datetime as dt
import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.book import forecast_rows
from gddcast.book.entries import STANDING, add_entry, standing_at
from gddcast.outlook.forecast_archive import ForecastArchive, with_forecasts
from gddcast.units import Unit
from gddcast.weather.series import DailySeries, Origin, Place

Mask = NDArray[np.bool_]

#: What may take the place of what: a measured day yields to measured days alone.
_RANK = np.array([0, 3, 1, 2, 0], dtype=np.int8)  # by Origin
#: Closer than this two readings are the same, whatever scale they came in. [°C]
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class WeatherSource:
    """Where weather came from, and how it was understood.

    Parameters
    ----------
    name, unit, unit_decided_by, day_ends : str
    file : str, optional
        Path from the folder of the book; None where it cannot be read once more.
    options : dict
        What was said of the file when it was read.
    """

    name: str
    unit: str
    unit_decided_by: str
    day_ends: str = "midnight"
    file: str | None = None
    options: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Brought:
    """What a source brought to the book.

    ``entry`` is None where every day was known already, so that nothing was written.
    ``foretold`` are the days of a forecast that were kept as issued; they count nowhere else.
    """

    entry: str | None
    new: int
    changed: tuple[dt.date, ...]  # days known before, now with other readings
    unchanged: int
    known_better: int  # days the book knows better
    foretold: int = field(default=0)


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
        Lay the forecast that held on its morning behind the record. Default: no forecast.
    as_of : datetime.datetime, optional
        What the book knew at that moment.
    """
    # Books of versions 1 to 3 hold forecasts among the readings as well.
    rows = connection.execute(
        f"SELECT day, tmin, tmax, origin FROM weather_day WHERE {standing_at(as_of)} "
        "AND origin <> ? ORDER BY entry",
        (Origin.FORECAST,),
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
    record = DailySeries(
        first.item(), tmin, tmax, origins, place=place, source="the season book", unit=unit
    )
    if today is None:
        return record
    return with_forecasts(record, forecast_rows.read(connection, as_of=as_of), today)


def _laid(at: NDArray[np.int64], values: NDArray[np.float64], struck: Mask) -> NDArray[np.float64]:
    laid = np.full(int(at.max()) + 1, np.nan)
    said = struck | ~np.isnan(values)
    laid[at[said]] = values[said]
    return laid


def add(
    connection: sqlite3.Connection,
    coming: DailySeries,
    source: WeatherSource,
    entered_at: dt.datetime,
    today: dt.date,
    *,
    issued: dt.date | None = None,
    only_fill: bool = False,
    strike_blank: bool = False,
) -> Brought:
    """Write the days that are new or differ, and keep forecast days as issued.

    Parameters
    ----------
    connection : sqlite3.Connection
        In a transaction.
    coming : DailySeries
    source : WeatherSource
    entered_at : datetime.datetime
    today : datetime.date
    issued : datetime.date, optional
        Day its forecast was issued. Default: ``today``.
    only_fill : bool
        Leave every day that is known as it is.
    strike_blank : bool
        Days ``coming`` does not know become unknown in the book as well.
    """
    foretold = forecast_rows.new_rows(connection, coming, issued or today)
    promised = coming.origin == Origin.FORECAST
    coming = _without_forecast(coming)
    present = read_series(connection, coming.place, coming.unit)
    daily_series = _same_days(present, coming)
    fresh, changed, kept_out = _compared(daily_series, coming, only_fill=only_fill)
    if strike_blank:
        nothing = np.isnan(coming.tmin) & np.isnan(coming.tmax) & ~promised[: len(coming)]
        changed |= nothing & ~(np.isnan(daily_series.tmin) & np.isnan(daily_series.tmax))
    written = fresh | changed
    known = ~(np.isnan(coming.tmin) & np.isnan(coming.tmax))
    unchanged = int(np.count_nonzero(known & ~written & ~kept_out))
    days = tuple(coming.date(int(place)) for place in np.flatnonzero(changed))
    name = None
    if foretold or written.any():
        number, name = _entry(connection, source, entered_at, today.year)
        _write_days(connection, number, coming, written)
        forecast_rows.write(connection, number, foretold)
    return Brought(name, int(fresh.sum()), days, unchanged, int(kept_out.sum()), len(foretold))


def add_forecasts(
    connection: sqlite3.Connection,
    forecasts: ForecastArchive,
    source: WeatherSource,
    entered_at: dt.datetime,
    today: dt.date,
) -> Brought:
    """Keep past forecasts, each with its own day of issue."""
    rows = forecast_rows.unknown_rows(connection, forecasts.as_rows())
    name = None
    if rows:
        number, name = _entry(connection, source, entered_at, today.year)
        forecast_rows.write(connection, number, rows)
    return Brought(name, 0, (), len(forecasts) - len(rows), 0, len(rows))


def _without_forecast(coming: DailySeries) -> DailySeries:
    """The days up to the last that is no forecast; what is foretold before it is unknown."""
    foretold = coming.origin == Origin.FORECAST
    if not foretold.any():
        return coming
    low, high = (np.where(foretold, np.nan, each) for each in (coming.tmin, coming.tmax))
    origin = np.where(foretold, np.int8(Origin.UNKNOWN), coming.origin)
    last = int(np.flatnonzero(~foretold).max(initial=-1))
    record = replace(coming, tmin=low, tmax=high, origin=origin)
    return record.between(coming.first, coming.date(last))


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
    record: DailySeries, coming: DailySeries, *, only_fill: bool
) -> tuple[Mask, Mask, Mask]:
    """Days that are new, that differ, and that the book knows better."""
    fills = np.zeros(len(coming), dtype=bool)
    differs = np.zeros(len(coming), dtype=bool)
    for old, new in ((record.tmin, coming.tmin), (record.tmax, coming.tmax)):
        fills |= np.isnan(old) & ~np.isnan(new)
        differs |= np.abs(old - new) > _SAME  # never true of NaN
    differs |= record.known & coming.known & (record.origin != coming.origin)
    worse = coming.known & (_RANK[coming.origin] < _RANK[record.origin])
    kept_out = differs & record.known & (only_fill | worse)
    fresh = fills & ~record.known
    return fresh, differs & ~fresh & ~kept_out, kept_out


def _entry(
    connection: sqlite3.Connection, source: WeatherSource, entered_at: dt.datetime, year: int
) -> tuple[int, str]:
    """An entry that brings weather: its number, and the name people see."""
    number, name = add_entry(connection, entered_at, year)
    values = {
        "entry": number, "source": source.name, "unit": source.unit,
        "unit_decided_by": source.unit_decided_by, "day_ends": source.day_ends,
    }  # fmt: skip
    if source.file is not None:
        values |= {"file": source.file, "options": json.dumps(dict(source.options))}
    connection.execute(
        f"INSERT INTO weather_source ({', '.join(values)}) VALUES ({', '.join('?' * len(values))})",
        tuple(values.values()),
    )
    return number, name


def _write_days(
    connection: sqlite3.Connection, number: int, coming: DailySeries, chosen: Mask
) -> None:
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


def _or_null(value: float) -> float | None:
    return None if np.isnan(value) else value


def sources(connection: sqlite3.Connection) -> list[WeatherSource]:
    """Where the weather that still stands came from, in the order of writing."""
    rows = connection.execute(
        "SELECT source, unit, unit_decided_by, day_ends, file, options FROM weather_source "
        f"WHERE {STANDING} ORDER BY entry"
    )
    return [
        WeatherSource(name, unit, decided_by, ends, file, json.loads(options or "{}"))
        for name, unit, decided_by, ends, file, options in rows
    ]
