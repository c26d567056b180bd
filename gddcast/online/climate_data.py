"""Days of long US stations, a century at some, from NCEI's access service.

Many of these thermometers are read and reset in the morning: then the maximum of a line belongs
to the day before, and ``gddcast weather check`` tells it from the numbers.
"""

from __future__ import annotations

import csv
import datetime as dt
import re

import numpy as np

from gddcast.errors import Refusal
from gddcast.online.plausible import check_temperatures, cleaned
from gddcast.online.session import NEVER, Answer, WeatherSession
from gddcast.online.station_days import GROWING, UNDATED_ALLOWED
from gddcast.online.trouble import Trouble, of_page
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import DailySeries, Place
from gddcast.weather.stations import Station

SERVICE = "NCEI"
TERMS = "NOAA National Centers for Environmental Information, daily summaries; public domain"
DAY = "24 hours up to the observer’s own reading hour; often the morning"

_ID = re.compile(r"^[A-Z]{2}[A-Z0-9]{9}$")
_Days = dict[dt.date, tuple[float, float]]


def is_id(text: str) -> bool:
    """Whether an id is one of these stations.

    Examples
    --------
    >>> is_id("USC00381770"), is_id("72530")
    (True, False)
    """
    return bool(_ID.match(text))


def daily(
    station: Station, first: dt.date, last: dt.date, session: WeatherSession, today: dt.date
) -> Sourced:
    """Days of a station.

    Parameters
    ----------
    station : Station
        With an id of 11 signs.
    first, last : datetime.date
    session : WeatherSession
    today : datetime.date

    Raises
    ------
    Refusal
        If no answer can be used, or it has no day.
    """
    finished = dt.date(today.year - 2, 12, 31)
    parts = [(max(first, finished + dt.timedelta(days=1)), dt.date(today.year, 12, 31), GROWING)]
    answers: list[Answer[_Days]] = []
    try:
        if first <= finished:
            answers.append(_part(station.id, first, finished, NEVER, session))
        answers += [_part(station.id, *part, session) for part in parts]
    except Trouble as trouble:
        raise trouble.refusal(SERVICE) from trouble
    found = {day: both for answer in answers for day, both in (answer.value or {}).items()}
    last = min(last, today - dt.timedelta(days=1))
    known = [day for day in found if first <= day <= last]
    if not known:
        raise Refusal(
            f"the station {station.id}",
            "it has no daily readings in these years",
            f"{SERVICE} answered and named no day.",
            "Check the id, or take another station.",
            slug="no-days",
        )
    begin = min(known)
    days = [begin + dt.timedelta(days=at) for at in range((last - begin).days + 1)]
    blank = (np.nan, np.nan)
    low, high = np.array([found.get(day, blank) for day in days]).T
    low, high, struck = cleaned(low, high)
    name = station.name or station.id
    place = Place(
        name, station.latitude, station.longitude, station.elevation, station.timezone
    )  # fmt: skip
    series = DailySeries(begin, low, high, None, place, f"station {station.id}", "C")  # type: ignore[arg-type]
    return Sourced.of(series, _provenance(station, answers[-1]), _notes(answers[-1], struck))


def _part(
    station: str,
    first: dt.date,
    last: dt.date,
    keep: dt.timedelta | None,
    session: WeatherSession,
) -> Answer[_Days]:
    return session.get(
        session.services.climate_data,
        params={
            "dataset": "daily-summaries",
            "stations": station,
            "startDate": first.isoformat(),
            "endDate": last.isoformat(),
            "dataTypes": "TMAX,TMIN",
            "units": "metric",  # without it tenths of °C come
            "format": "csv",
        },
        read=lambda body: days_in(body, station),
        keep=keep,
    )


def days_in(body: bytes, station: str | None = None) -> _Days:
    r"""Minimum and maximum by day [°C], of the station asked for.

    Examples
    --------
    >>> days_in(b'"STATION","DATE","TMAX","TMIN"\n"USC00381770","1936-07-01","33.9","20.6"\n')
    {datetime.date(1936, 7, 1): (20.6, 33.9)}
    """
    page = of_page(body, "a table of days")
    if page is not None:
        raise page
    try:
        text = body.decode("utf-8").strip()
        rows = list(csv.DictReader(text.splitlines()))
        if rows and not {"DATE", "TMAX", "TMIN"} <= set(rows[0]):
            raise Trouble(
                "its table has changed its form",
                f"Its columns are {', '.join(map(str, rows[0]))[:100]}.",
                slug="form-changed",
            )
        of = {(row.get("STATION") or station or "").strip() for row in rows}
        if station is not None and of - {station}:
            raise Trouble(
                "its table is of another station",
                f"It names {min(of - {station})[:40]}.",
                slug="wrong-place",
            )
        found = {
            day: (
                float((row["TMIN"] or "nan").strip() or "nan"),
                float((row["TMAX"] or "nan").strip() or "nan"),
            )
            for row in rows
            if (day := _day(row["DATE"])) is not None
        }
    except (ValueError, TypeError, csv.Error) as error:
        raise Trouble("its table can’t be read", f"{error}.", slug="not-data") from error
    if sum(_day(row["DATE"]) is None for row in rows) > UNDATED_ALLOWED * len(rows):
        raise Trouble("most dates in its table can’t be read", slug="not-data")
    if found:
        low, high = np.array(list(found.values())).T
        check_temperatures(low, high, "its table")
    return found


def _day(cell: str | None) -> dt.date | None:
    """The day a cell names; a row without one is left out, and its day unknown."""
    try:
        return dt.date.fromisoformat((cell or "").strip())
    except ValueError:
        return None


def _provenance(station: Station, answer: Answer[_Days]) -> Provenance:
    return Provenance(
        key=station.id,
        service=SERVICE,
        what=f"station {station.id}",
        day=DAY,
        terms=TERMS,
        fetched=answer.fetched,
        issued=answer.issued,
        stale=answer.stale,
    )


def _notes(answer: Answer[_Days], struck: int) -> tuple[str, ...]:
    morning = (
        "If it is read in the morning, its maxima stand a day late: see  gddcast weather check"
    )
    return (morning, *answer.notes(SERVICE, struck))
