"""Forecasts and archives: right place, right clock, right scale, not too old."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from dataclasses import replace
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.online import archive_days, forecast_days, weather_service
from gddcast.online.modelled import off_the_sun
from gddcast.online.session import WeatherSession
from gddcast.weather.series import Origin, Place
from tests.online import played
from tests.online.conftest import age
from tests.online.played import TODAY, ZONE, Played
from tests.online.test_every_source import DAY, SPOT

Opener = Callable[..., WeatherSession]


def forecast(session: WeatherSession, place: Place = SPOT, today: dt.date = TODAY) -> object:
    return forecast_days.daily(place, today - 9 * DAY, today + 15 * DAY, session, today)


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ('"timezone": "America/Denver", ', "", "names no time zone"),
        ('"timezone": "America/Denver"', '"timezone": "GMT"', "has days of GMT"),
        ('"timezone": "America/Denver"', '"timezone": "Mars/Dune"', "names the time zone 'Mars"),
        ('"timezone": "America/Denver"', '"timezone": "America"', "names the time zone 'America'"),
        ('"latitude": 40.4', f'"latitude": {"9" * 400}, "north": 40.4', "is for another place"),
        ('{"latitude"', '{"deep": ' + "[" * 100_000 + ', "latitude"', "can’t be read"),
        ('"latitude": 40.4', '"latitude": 47.0', "is for another place"),
        ('"temperature_2m_max": "°C"', '"temperature_2m_max": "K"', "names the scale 'K'"),
        ('"2018-05-20", ', "", "skips days"),
        ('"daily_units"', '"dayly_units"', "changed its form"),
        ('{"latitude"', '{"error": true, "reason": "no such", "latitude"', "It says: no such"),
    ],
)
def test_an_answer_that_is_not_what_was_asked_is_refused(
    town: Played, session: WeatherSession, old: str, new: str, found: str
) -> None:
    town.faults["/v1/forecast"] = _ascii_changed(old, new)
    with pytest.raises(Refusal, match=found):
        forecast(session)


def _ascii_changed(old: str, new: str) -> played.Fault:
    escaped = [json.dumps(text)[1:-1].replace('\\"', '"') for text in (old, new)]
    return played.changed(*escaped)


def test_a_labelled_fahrenheit_answer_is_converted(town: Played, session: WeatherSession) -> None:
    """The label decides: 68 °F is 20 °C, whatever was asked for."""

    def in_f(handler: played.Handler, body: bytes) -> bool:
        found = json.loads(body)
        for name in ("temperature_2m_max", "temperature_2m_min"):
            found["daily"][name] = [value * 1.8 + 32 for value in found["daily"][name]]
            found["daily_units"][name] = "°F"
        handler.send(200, json.dumps(found).encode())
        return True

    plain = forecast(session)
    town.faults["/v1/forecast"] = in_f
    age(session)
    np.testing.assert_allclose(forecast(session).series.tmax, plain.series.tmax, rtol=0, atol=1e-9)


def test_another_name_of_the_same_clock_will_do(town: Played, session: WeatherSession) -> None:
    town.faults["/v1/forecast"] = played.changed("America/Denver", "America/Boise")
    forecast(session)


def test_without_a_zone_the_answer_names_it(session: WeatherSession) -> None:
    found = forecast(session, replace(SPOT, timezone=None))
    assert found.series.place.timezone == ZONE


def test_a_zone_worlds_away_from_the_longitude_is_refused(
    town: Played, session: WeatherSession
) -> None:
    town.faults["/v1/forecast"] = played.changed("America/Denver", "Asia/Urumqi")
    with pytest.raises(Refusal, match=r"days of Asia/Urumqi(.|\n)*longitude -101.7"):
        forecast(session, replace(SPOT, timezone=None))


def test_an_old_forecast_is_not_passed_off_as_one(town: Played, open_session: Opener) -> None:
    session = open_session()
    forecast(session)
    age(session)
    town.faults["/v1/forecast"] = played.refused
    late = dt.datetime.now(dt.UTC).date() + 9 * DAY
    with pytest.raises(Refusal, match="too old to use"):
        forecast(open_session(), today=late)


def test_at_sea_the_archive_is_empty_and_says_what_that_means(
    town: Played, session: WeatherSession
) -> None:
    def sea(handler: played.Handler, body: bytes) -> bool:
        found = json.loads(body)
        for name in ("temperature_2m_max", "temperature_2m_min"):
            found["daily"][name] = [None] * len(found["daily"][name])
        handler.send(200, json.dumps(found).encode())
        return True

    town.faults["/v1/archive"] = sea
    with pytest.raises(Refusal, match=r"empty there(.|\n)*open sea(.|\n)*has a minus"):
        archive_days.daily(SPOT, dt.date(2016, 1, 1), TODAY, session, TODAY)


def test_the_archive_asks_the_same_all_month(town: Played, session: WeatherSession) -> None:
    """A request that changed daily would never be found again without a network."""
    for day in (dt.date(2018, 6, 8), dt.date(2018, 6, 30)):
        archive_days.daily(SPOT, dt.date(2014, 1, 1), day, session, day)
    assert session.requests == 2


def test_outside_its_area_the_weather_service_has_nothing(
    town: Played, session: WeatherSession
) -> None:
    town.faults["/points"] = played.status(404)
    with pytest.raises(Refusal, match="nothing at that address") as caught:
        weather_service.daily(SPOT, TODAY, TODAY + 7 * DAY, session, TODAY)
    assert caught.value.slug == "not-there"


@pytest.mark.parametrize(
    ("window", "day"),
    [
        # The night to Sunday 11 March 2018, when Denver's clocks went from 2 to 3 h: 7 pm
        # standard time (02 UTC) to 8 am daylight time (14 UTC), 12 hours.
        ("2018-03-11T02:00:00+00:00/PT12H", dt.date(2018, 3, 11)),
        ("2018-03-11T13:00:00+00:00/PT13H", dt.date(2018, 3, 11)),
        # The night to 4 November, when they went back: 14 hours from 7 pm daylight time.
        ("2018-11-04T01:00:00+00:00/PT14H", dt.date(2018, 11, 4)),
        ("2018-11-04T14:00:00+00:00/PT13H", dt.date(2018, 11, 4)),
        # A window that begins 23 h local after the change must not fall on the next date.
        ("2018-03-11T05:30:00+00:00/PT1H", dt.date(2018, 3, 10)),
        # Half past midnight in summer, half past eleven in winter: one offset is wrong for one.
        ("2018-06-02T06:00:00+00:00/PT1H", dt.date(2018, 6, 2)),
        ("2018-01-02T06:00:00+00:00/PT1H", dt.date(2018, 1, 1)),
        ("2018-06-01T13:00:00+00:00/P1DT2H", dt.date(2018, 6, 1)),
    ],
)
def test_a_window_belongs_to_the_local_date_of_its_middle(window: str, day: dt.date) -> None:
    assert weather_service.middle_of(window, ZoneInfo(ZONE)) == day


@pytest.mark.parametrize("today", [dt.date(2018, 3, 9), dt.date(2018, 11, 2)])
def test_a_week_across_a_clock_change_keeps_its_days(
    town: Played, session: WeatherSession, today: dt.date
) -> None:
    town.today = today
    found = weather_service.daily(SPOT, today, today + 7 * DAY, session, today).series
    truth = town.series[played.NEAR.id].between(today, today + 7 * DAY)
    np.testing.assert_allclose(found.tmin, truth.tmin, rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.tmax, truth.tmax, rtol=0, atol=1e-9)


def test_zones_far_from_the_sun_but_real_are_let_pass() -> None:
    """Western China, Spain and Samoa keep clocks far from the sun's; none is a lost sign."""
    for zone, longitude in (
        ("Asia/Shanghai", 76.0), ("Europe/Madrid", -9.0), ("Pacific/Apia", -172.0),
        ("Pacific/Kiritimati", -157.4), ("America/Argentina/Mendoza", -69.0),
    ):  # fmt: skip
        assert not off_the_sun(zone, longitude)
    assert off_the_sun("America/Denver", 101.7)
    assert off_the_sun("America/Denver", 40.4)


def test_a_forecast_of_another_height_is_refused(town: Played, session: WeatherSession) -> None:
    """The answer says 1030 m; the place is asked for by its own height."""
    near = forecast(session, replace(SPOT, elevation=1100.0))
    assert near.series.count(Origin.FORECAST) > 0  # type: ignore[attr-defined]
    with pytest.raises(Refusal, match="is for another height"):
        forecast(session, replace(SPOT, elevation=300.0))
