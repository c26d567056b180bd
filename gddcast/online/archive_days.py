"""Modelled weather since 1950 at any place on land, from Open-Meteo's archive.

For places without a station. A model cell is no thermometer: every day is marked model.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from gddcast.online import open_meteo
from gddcast.online.modelled import Daily
from gddcast.online.session import NEVER, Answer, WeatherSession
from gddcast.online.trouble import Trouble
from gddcast.weather.provenance import Sourced
from gddcast.weather.series import Place

KEY = "open-meteo-archive"
MODEL = "era5_land"
#: Days by which the archive trails.
TRAILS = 6
KEPT = dt.timedelta(days=3)


def daily(
    place: Place, first: dt.date, last: dt.date, session: WeatherSession, today: dt.date
) -> Sourced:
    """Modelled days, to the end of the last month the archive holds whole.

    Parameters
    ----------
    place : Place
        With coordinates; its time zone cuts the days.
    first, last : datetime.date
    session : WeatherSession
    today : datetime.date
        At the place.

    Raises
    ------
    Refusal
        If no answer can be used, or the place lies at sea.
    """
    try:
        answers = [
            _part(place, begin, end, keep, session)
            for begin, end, keep in _parts(first, last, today)
        ]
    except Trouble as trouble:
        raise trouble.refusal(f"{open_meteo.SERVICE} (archive)") from trouble
    parts = [answer.value for answer in answers if answer.value is not None]
    newest = answers[-1]
    whole = Daily(
        parts[0].first,
        np.concatenate([part.low for part in parts]),
        np.concatenate([part.high for part in parts]),
        parts[0].timezone,
    )
    place = replace(place, timezone=place.timezone or whole.timezone)
    series, struck = whole.series(place, today, f"{open_meteo.SERVICE} archive")
    cell = f"model cell ({MODEL}) at {place.latitude:.4f},{place.longitude:.4f}"
    notes = newest.notes(open_meteo.SERVICE, struck, "the archive")
    source = open_meteo.provenance(KEY, cell, whole.timezone, newest)
    return Sourced.of(series.between(first, last), source, notes)


def _parts(
    first: dt.date, last: dt.date, today: dt.date
) -> list[tuple[dt.date, dt.date, dt.timedelta | None]]:
    """Finished years, kept for ever, and the rest up to a month's end: requests that repeat."""
    reaches = (today - dt.timedelta(days=TRAILS)).replace(day=1) - dt.timedelta(days=1)
    end = min(last, reaches)
    finished = dt.date(today.year - 2, 12, 31)
    if first > end:
        raise Trouble(
            "it trails a month behind", f"It reaches {reaches.isoformat()}.", slug="no-days"
        )
    if first > finished or end <= finished:
        return [(first, end, NEVER if end <= finished else KEPT)]
    return [(first, finished, NEVER), (finished + dt.timedelta(days=1), end, KEPT)]


def _part(
    place: Place, first: dt.date, last: dt.date, keep: dt.timedelta | None, session: WeatherSession
) -> Answer[Daily]:
    read = open_meteo.reader(place, "the archive")

    def whole(body: bytes) -> Daily:
        daily = read(body)
        if daily.first != first or daily.low.size != (last - first).days + 1:
            raise Trouble("the archive answers for other days", slug="not-data")
        return daily

    return session.get(
        session.services.archive,
        params={
            **open_meteo.question(place),
            "start_date": first.isoformat(),
            "end_date": last.isoformat(),
            "models": MODEL,
        },
        read=whole,
        keep=keep,
    )
