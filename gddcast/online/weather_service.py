"""The coming week from the grid of the US National Weather Service: a second opinion.

Its maxima and minima are of day and night windows of about 13 hours, not of calendar days. Each
belongs to the local date of its middle, by the place's own clock on that date: half past one in
the afternoon for maxima, half past one at night for minima.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from gddcast.online import modelled
from gddcast.online.modelled import Daily
from gddcast.online.session import Answer, WeatherSession
from gddcast.online.trouble import Trouble, of_lack
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import Place

KEY = "us-nws"
SERVICE = "US National Weather Service"
TERMS = "US National Weather Service, public domain; weather.gov"
KEPT = dt.timedelta(hours=1)
#: Grids are redrawn now and then.
GRID_KEPT = dt.timedelta(days=14)

_DURATION = re.compile(r"^P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?$")


def daily(
    place: Place, first: dt.date, last: dt.date, session: WeatherSession, today: dt.date
) -> Sourced:
    """Coming days of the grid cell a place lies in.

    Parameters
    ----------
    place : Place
        In the United States.
    first, last : datetime.date
        Cut to what the service has, about a week.
    session : WeatherSession
    today : datetime.date
        At the place.

    Raises
    ------
    Refusal
        If no answer can be used, or the place lies outside its area.
    """
    base = session.services.weather_service
    try:
        if place.latitude is None or place.longitude is None:
            raise Trouble("it needs to know where the place is", slug="place-missing")
        point = session.get(
            f"{base}/points/{place.latitude:.4f},{place.longitude:.4f}",
            read=_cell_in, keep=GRID_KEPT,
        )  # fmt: skip
        if point.value is None:
            raise Trouble("it has no grid there", slug="not-there")
        office, x, y, zone = point.value
        timezone = modelled.zone_of(place.timezone or zone, place, "its grid")
        answer: Answer[Daily] = session.get(
            f"{base}/gridpoints/{office}/{x},{y}",
            read=lambda body: windows_in(body, timezone), keep=KEPT,
        )  # fmt: skip
        if answer.value is None:
            raise Trouble("it has no forecast there", slug="no-days")
        if answer.stale is None:
            answer.value.holding(today, "its forecast")
    except Trouble as trouble:
        raise trouble.refusal(SERVICE) from trouble
    series, struck = answer.value.series(place, today, SERVICE)
    notes = answer.notes(SERVICE, struck)
    source = Provenance(
        key=KEY,
        service=SERVICE,
        what=f"grid cell {office} {x},{y}",
        day=f"day and night windows of about 13 h, by the {timezone} date of their middle",
        terms=TERMS,
        fetched=answer.fetched,
        issued=answer.value.issued,
        stale=answer.stale,
    )
    return Sourced.of(series.between(first, last), source, notes)


def _cell_in(body: bytes) -> tuple[str, int, int, str | None]:
    """Office, column, row and time zone of the cell of a point."""
    found = modelled.json_in(body, "its grid cell")
    try:
        cell = found["properties"]
        office, x, y = str(cell["gridId"]), int(cell["gridX"]), int(cell["gridY"])
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise of_lack("its grid cell", error) from error
    if not re.fullmatch(r"[A-Z0-9]{2,4}", office):
        raise Trouble("its grid cell has no office", slug="form-changed")
    return office, x, y, cell.get("timeZone")


def windows_in(body: bytes, timezone: str) -> Daily:
    """Days of a grid answer.

    Parameters
    ----------
    body : bytes
    timezone : str
        IANA name of the place's zone.
    """
    what = "its forecast"
    found = modelled.json_in(body, what)
    zone = ZoneInfo(timezone)
    try:
        grid = found["properties"]
        high = _by_date(grid["maxTemperature"], zone, max, what)
        low = _by_date(grid["minTemperature"], zone, min, what)
        issued = dt.datetime.fromisoformat(grid["updateTime"])
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise of_lack(what, error) from error
    dates = sorted(set(high) & set(low))
    if not dates:
        raise Trouble(f"{what} has no whole day", slug="no-days")
    days = [dates[0] + dt.timedelta(days=at) for at in range((dates[-1] - dates[0]).days + 1)]
    lows, highs = (np.array([row.get(day, np.nan) for day in days]) for row in (low, high))
    modelled.checked(lows, highs, what)
    return Daily(dates[0], lows, highs, timezone, issued)


def _by_date(layer: dict[str, Any], zone: ZoneInfo, pick: Any, what: str) -> dict[dt.date, float]:
    """Values of a layer by the local date of the middle of their window. [°C]"""
    values = modelled.numbers([each["value"] for each in layer["values"]], what)
    celsius = modelled.in_celsius(values, layer.get("uom"), what)
    found: dict[dt.date, float] = {}
    for each, value in zip(layer["values"], celsius, strict=True):
        if not np.isnan(value):
            date = middle_of(each["validTime"], zone)
            found[date] = pick(found.get(date, value), float(value))
    return found


def middle_of(window: str, zone: ZoneInfo) -> dt.date:
    """Local date of the middle of an ISO 8601 window.

    Examples
    --------
    >>> middle_of("2026-03-08T03:00:00+00:00/PT14H", ZoneInfo("America/Chicago"))
    datetime.date(2026, 3, 8)
    """
    begin, _, length = window.partition("/")
    parts = _DURATION.match(length)
    if parts is None:
        raise ValueError(f"a duration, not {length!r}")
    days, hours, minutes = (int(part or 0) for part in parts.groups())
    half = dt.timedelta(days=days, hours=hours, minutes=minutes) / 2
    return (dt.datetime.fromisoformat(begin) + half).astimezone(zone).date()
