"""A fetched record as CSV: each day with its origin and source, terms and times above them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from zoneinfo import ZoneInfo

import numpy as np

from gddcast.units import Unit, from_celsius
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import Origin
from gddcast.weather.stations import Station

#: First words of every such file; how a later fetch knows its own.
MADE_BY = "gddcast weather fetch"


def fetched_csv(
    record: Sourced, station: Station | None, second: Station | None, unit: Unit, made: dt.date
) -> str:
    """Text of the file; our own reader reads it back, origins included.

    Parameters
    ----------
    record : Sourced
    station, second : Station, optional
        Kept in the file, so that it can be brought up to date without the list of stations.
    unit : {"F", "C"}
    made : datetime.date
    """
    lines = [f"# made by: {MADE_BY}, {made.isoformat()}"]
    lines += _place(record, station, second)
    lines += _forecast_issued(record, made)
    used = sorted({int(at) for at in record.of_day if at >= 0})
    for at in used:
        lines += source_lines(record.sources[at], "# ")
    lines += [f"# note: {note}" for note in record.notes]
    lines = [" ".join(line.split()) for line in lines]  # a name with a new line stays in its own
    low, high = f"min_{unit.lower()}", f"max_{unit.lower()}"
    lines.append(f"date,{high},{low},origin,source")
    lines += _days(record, unit)
    return "\n".join(lines) + "\n"


def source_lines(source: Provenance, before: str = "") -> list[str]:
    """Who, when, what a day is, and on what terms."""
    issued = f"{source.issued:%Y-%m-%dT%H:%MZ}" if source.issued else "not stated"
    times = f"issued {issued}, fetched {source.fetched:%Y-%m-%dT%H:%MZ}"
    lines = [
        f"source {source.key}: {source.service}, {source.what}; {times}",
        f"day of {source.key}: {source.day}",
        f"terms of {source.key}: {source.terms}",
    ]
    if source.stale:
        lines.append(f"stale {source.key}: {source.stale}")
    return [before + line for line in lines]


def _place(record: Sourced, station: Station | None, second: Station | None) -> Iterator[str]:
    place = record.series.place
    if place.latitude is not None and place.longitude is not None:
        yield f"# place: {place.latitude:g},{place.longitude:g}"
    if place.elevation is not None:
        yield f"# elevation: {place.elevation:g} m"
    if place.timezone:
        yield f"# timezone: {place.timezone}"
    for name, each in (("station", station), ("second station", second)):
        if each is not None:
            yield f"# {name}: {station_words(each)}"


def _forecast_issued(record: Sourced, made: dt.date) -> Iterator[str]:
    """The day on which the oldest forecast in it was issued, as days are at the place.

    A copy kept from an earlier day stands in where nothing newer came.
    """
    foretold = record.of_day[(record.series.origin == Origin.FORECAST) & (record.of_day >= 0)]
    if not foretold.size:
        return
    sources = [record.sources[at] for at in np.unique(foretold)]
    moment = min(source.issued or source.fetched for source in sources)
    zone = ZoneInfo(record.series.place.timezone) if record.series.place.timezone else None
    yield f"# forecast issued: {min(moment.astimezone(zone).date(), made).isoformat()}"


def station_words(station: Station) -> str:
    r"""A station in one line, from which ``station_in`` reads it back.

    Examples
    --------
    >>> station_words(Station("72530", "Chicago\nO'Hare", "US", None, None, None, None))
    "72530; Chicago O'Hare; US; -; -; -; -"
    >>> station_words(Station("72530", "Chicago O'Hare", "US", 41.98, -87.9, 205.0, None))
    "72530; Chicago O'Hare; US; 41.98,-87.9; 205 m; -; -"
    """
    at = "-" if station.latitude is None else f"{station.latitude:g},{station.longitude:g}"
    height = "-" if station.elevation is None else f"{station.elevation:g} m"
    first = "-" if station.first is None else station.first.isoformat()
    return "; ".join(
        " ".join(part.replace(";", ",").split()) or "-"
        for part in (
            station.id, station.name, station.country, at, height, station.timezone or "-", first
        )
    )  # fmt: skip


def station_in(words: str) -> Station:
    """The station of a line ``station_words`` wrote.

    Examples
    --------
    >>> station_in("72530; Chicago O'Hare; US; 41.98,-87.9; 205 m; America/Chicago; -").latitude
    41.98
    """
    identity, name, country, at, height, timezone, first = (
        None if part.strip() == "-" else part.strip() for part in words.split(";")
    )
    latitude, longitude = (float(part) for part in at.split(",")) if at else (None, None)
    return Station(
        identity or "", name or "", country or "", latitude, longitude,
        float(height.removesuffix(" m")) if height else None,
        timezone,
        dt.date.fromisoformat(first) if first else None,
    )  # fmt: skip


def _days(record: Sourced, unit: Unit) -> Iterator[str]:
    series = record.series
    high, low = (from_celsius(each, unit).tolist() for each in (series.tmax, series.tmin))
    origins = [Origin(code).name.lower() for code in range(len(Origin))]
    for at, (day, most, least, code) in enumerate(
        zip(series.dates.astype(str).tolist(), high, low, series.origin.tolist(), strict=True)
    ):
        yield f"{day},{_cell(most)},{_cell(least)},{origins[code]},{record.key_on(at)}"


def _cell(value: float) -> str:
    """Two digits, which tenths of °C need in °F."""
    return "" if math.isnan(value) else f"{round(value, 2) + 0.0:g}"
