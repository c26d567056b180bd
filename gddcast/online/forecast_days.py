"""The coming sixteen days and the last three months from Open-Meteo's forecast service."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from gddcast.online import open_meteo
from gddcast.online.session import WeatherSession
from gddcast.online.trouble import Trouble
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import Place

KEY = "open-meteo"
#: What is always asked for, so that tomorrow's request finds today's answer when offline.
PAST_DAYS, COMING_DAYS = 92, 16
#: How long a forecast holds, and how old one may be when nothing newer comes.
KEPT = dt.timedelta(hours=3)
TOO_OLD = dt.timedelta(days=4)


def daily(
    place: Place, first: dt.date, last: dt.date, session: WeatherSession, today: dt.date
) -> Sourced:
    """Past days marked model and coming days marked forecast.

    Parameters
    ----------
    place : Place
        With coordinates; its time zone cuts the days.
    first, last : datetime.date
        Cut to what the service has: 92 days back, 15 ahead.
    session : WeatherSession
    today : datetime.date
        At the place.

    Raises
    ------
    Refusal
        If no answer can be used.
    """
    what = "the forecast"
    try:
        answer = session.get(
            session.services.forecast,
            params={
                **open_meteo.question(place),
                "past_days": str(PAST_DAYS),
                "forecast_days": str(COMING_DAYS),
            },
            read=open_meteo.reader(place, what),
            keep=KEPT,
        )
        if answer.value is None:
            raise Trouble("it has no forecast", slug="no-days")
        if answer.stale is None:
            answer.value.holding(today, what)
        if dt.datetime.combine(today, dt.time(), dt.UTC) - answer.fetched > TOO_OLD:
            raise Trouble(
                f"its last forecast on file is of {answer.fetched:%d %B}: too old to use",
                answer.stale or "",
                slug="too-old",
            )
    except Trouble as trouble:
        raise trouble.refusal(open_meteo.SERVICE) from trouble
    daily = answer.value
    place = replace(place, timezone=place.timezone or daily.timezone)
    cell = f"model cell at {place.latitude:.4f},{place.longitude:.4f}"
    series, struck = daily.series(place, today, f"{open_meteo.SERVICE} forecast")
    source: Provenance = open_meteo.provenance(KEY, cell, daily.timezone, answer)
    notes = answer.notes(open_meteo.SERVICE, struck, what)
    return Sourced.of(series.between(first, last), source, notes)
