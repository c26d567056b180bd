"""Records as CSV: each day with its origin, and above them what was done to it and by whom."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from zoneinfo import ZoneInfo

import numpy as np

from gddcast import words
from gddcast.quality.findings import of_days
from gddcast.quality.mending import Mended
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import DailySeries, Origin
from gddcast.weather.stations import Station

#: First words of every such file; how a later fetch knows its own.
MADE_BY = "gddcast weather fetch"


def fetched_csv(
    record: Sourced, station: Station | None, second: Station | None, unit: Unit, day: dt.date
) -> str:
    """Text of the file; our own reader reads it back, origins included.

    Parameters
    ----------
    record : Sourced
    station, second : Station, optional
        Kept in the file, so that it can be brought up to date without the list of stations.
    unit : {"F", "C"}
    day : datetime.date
    """
    lines = [f"# made by: {MADE_BY}, {day.isoformat()}"]
    lines += _place(record, station, second)
    lines += _forecast_issued(record, day)
    used = sorted({int(at) for at in record.of_day if at >= 0})
    for at in used:
        lines += source_lines(record.sources[at], "# ")
    lines += [f"# note: {note}" for note in record.notes]
    lines = [" ".join(line.split()) for line in lines]  # a name with a new line stays in its own
    low, high = f"min_{unit.lower()}", f"max_{unit.lower()}"
    lines.append(f"date,{high},{low},origin,source")
    lines += _days(record.series, unit, [record.key_on(at) for at in range(len(record.series))])
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


def _forecast_issued(record: Sourced, day: dt.date) -> Iterator[str]:
    """The day on which the oldest forecast in it was issued, as days are at the place.

    A copy kept from an earlier day stands in where nothing newer came.
    """
    foretold = record.of_day[(record.series.origin == Origin.FORECAST) & (record.of_day >= 0)]
    if not foretold.size:
        return
    sources = [record.sources[at] for at in np.unique(foretold)]
    moment = min(source.issued or source.fetched for source in sources)
    zone = ZoneInfo(record.series.place.timezone) if record.series.place.timezone else None
    yield f"# forecast issued: {min(moment.astimezone(zone).date(), day).isoformat()}"


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


def record_csv(mended: Mended, source: str, lender: str | None, day: dt.date) -> str:
    """Text of the file; our own reader reads it back, origins included.

    Parameters
    ----------
    mended : Mended
    source, lender : str
        Names of the files it was made from.
    day : datetime.date
    """
    series = mended.series
    unit = series.unit
    said = _provenance(mended, source, lender, day)
    lines = [" ".join(f"# {key}: {value}".split()) for key, value in said]
    lines.append(f"date,max_{unit.lower()},min_{unit.lower()},origin")
    lines += _days(series, unit)
    return "\n".join(lines) + "\n"


def _provenance(
    mended: Mended, source: str, lender: str | None, day: dt.date
) -> Iterator[tuple[str, str]]:
    unit, wishes = mended.series.unit, mended.wishes
    yield "made by", f"gddcast weather patch, {day.isoformat()}"
    yield "from", source
    for finding in mended.verdict.findings:
        if finding.removed:
            yield "left out as impossible", finding.sentence
    for what, spans in (
        ("blanked", wishes.blank),
        ("maxima blanked", wishes.blank_max),
        ("minima blanked", wishes.blank_min),
        ("maxima moved to the day before", wishes.mornings),
    ):
        for span in spans:
            yield what, of_days(*span)
    if wishes.add_max or wishes.add_min:
        yield (
            "added",
            f"{signed(wishes.add_max, unit)} to maxima, {signed(wishes.add_min, unit)} to minima",
        )
    if mended.loan is not None:
        loan = mended.loan
        yield "lent by", f"{lender}, {words.count(loan.lent, 'day')}"
        moved = (
            f"{signed(loan.offset_max, unit)} (maxima), {signed(loan.offset_min, unit)} (minima)"
        )
        yield "lent readings moved by", f"{moved}, from {loan.in_common:,} days in common"
    yield "patched", words.count(mended.days_patched, "day")
    yield "still unknown", words.count(mended.days_left, "day")


def signed(difference: float, unit: Unit) -> str:
    """A difference of temperatures with its sign.

    Examples
    --------
    >>> signed(-1.0, "F")
    '−1.8 °F'
    """
    value = round(from_celsius_days(difference, unit), 1) + 0.0
    return f"{value:+.1f} °{unit}".replace("-", "−").replace("+0.0", "0.0")


def temperature_csv(series: DailySeries) -> str:
    """Text of the file; an unknown reading is an empty cell.

    Examples
    --------
    >>> import datetime as dt
    >>> print(temperature_csv(DailySeries(dt.date(2026, 5, 1), [4.0], [float("nan")])), end="")
    date,high_C,low_C
    2026-05-01,,4.0
    """
    lines = [f"date,high_{series.unit},low_{series.unit}"]
    for index in range(len(series)):
        high, low = _tenth(series, index, "tmax"), _tenth(series, index, "tmin")
        lines.append(f"{series.date(index).isoformat()},{high},{low}")
    return "\n".join(lines) + "\n"


def _tenth(series: DailySeries, index: int, name: str) -> str:
    value = float(getattr(series, name)[index])
    return "" if math.isnan(value) else f"{from_celsius(value, series.unit):.1f}"


def _days(series: DailySeries, unit: Unit, *keys: Sequence[str]) -> Iterator[str]:
    """A row a day: day, two readings, origin, and what else is known of it."""
    columns = (from_celsius(each, unit).tolist() for each in (series.tmax, series.tmin))
    origins = [Origin(code).name.lower() for code in series.origin.tolist()]
    for day, high, low, *rest in zip(
        series.dates.astype(str).tolist(), *columns, origins, *keys, strict=True
    ):
        yield ",".join([day, _cell(high), _cell(low), *rest])


def _cell(value: float) -> str:
    """Two digits, which tenths of °C need in °F; as many as the reading has."""
    return "" if math.isnan(value) else f"{round(value, 2) + 0.0:g}"
