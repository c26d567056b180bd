"""Put together, each day is the word of one source, and what could not be had is said."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.online.joining import Wanted, collect
from gddcast.online.session import WeatherSession
from gddcast.weather.provenance import NOBODY
from gddcast.weather.series import DailySeries, Origin
from gddcast.weather.stations import Station
from tests.online import played
from tests.online.conftest import age
from tests.online.played import BESIDE, NEAR, TODAY, Played
from tests.online.test_every_source import DAY, SPOT

Opener = Callable[..., WeatherSession]
FIRST = dt.date(2015, 1, 1)
GAP = [dt.date(2016, 5, 5) + at * DAY for at in range(12)]


def wanted(**more: object) -> Wanted:
    return Wanted(**{"place": SPOT, "first": FIRST, "today": TODAY, "station": NEAR, **more})


def keys(record: object, first: dt.date, last: dt.date) -> set[str]:
    at = record.series.index
    return {record.key_on(day) for day in range(at(first), at(last) + 1)}


def test_history_then_model_then_forecast(town: Played, session: WeatherSession) -> None:
    """A station two days late: the days between it and today are a model's, and marked so."""
    late = {TODAY - 2 * DAY, TODAY - DAY}
    town.absent_days[NEAR.id] = late
    record = collect(wanted(forecast=True), session)
    series = record.series
    assert (series.first, series.last) == (FIRST, TODAY + 15 * DAY)
    assert series.missing == 0
    assert series.count(Origin.MODEL) == 2
    assert series.count(Origin.FORECAST) == 16
    assert keys(record, FIRST, TODAY - 3 * DAY) == {NEAR.id}
    assert keys(record, TODAY - 2 * DAY, series.last) == {"open-meteo"}
    assert series.place == SPOT


def test_without_forecast_a_record_that_reaches_yesterday_asks_nobody_else(
    town: Played, session: WeatherSession
) -> None:
    record = collect(wanted(), session)
    assert record.series.last == TODAY - DAY
    assert not [path for path in town.seen if not path.startswith("/daily")]


def test_two_stations_are_never_averaged(town: Played, session: WeatherSession) -> None:
    """The second is 1 °C off by day and half a degree by night: known days do not feel it."""
    town.absent_days[NEAR.id] = set(GAP)
    record = collect(wanted(second=BESIDE), session)
    truth = town.series[NEAR.id].between(FIRST, TODAY - DAY)
    np.testing.assert_allclose(record.series.tmin, truth.tmin, rtol=0, atol=1e-9)
    np.testing.assert_allclose(record.series.tmax, truth.tmax, rtol=0, atol=1e-9)


def test_a_gap_is_lent_with_its_own_offset_and_marked(
    town: Played, session: WeatherSession
) -> None:
    town.absent_days[NEAR.id] = set(GAP)
    record = collect(wanted(second=BESIDE), session)
    at = record.series.index(GAP[0])
    assert set(record.series.origin[at : at + len(GAP)]) == {Origin.PATCHED}
    assert keys(record, GAP[0], GAP[-1]) == {BESIDE.id}
    assert record.series.count(Origin.PATCHED) == len(GAP)
    (note,) = [note for note in record.notes if "lent" in note]
    assert "+1.0 °C by day, −0.5 °C by night" in note
    assert "12 days" in note


def test_a_station_that_books_another_day_lends_nothing(
    town: Played, session: WeatherSession
) -> None:
    """Morning readings: its maxima stand a day late, so they are not this day's."""
    town.absent_days[NEAR.id] = set(GAP)
    other = town.series[BESIDE.id]
    late = np.concatenate([other.tmax[:1], other.tmax[:-1]])
    town.series[BESIDE.id] = DailySeries(other.first, np.minimum(other.tmin, late), late)
    record = collect(wanted(second=BESIDE), session)
    assert record.series.missing == len(GAP)
    assert any("on other days: nothing was lent" in note for note in record.notes)


def test_a_second_station_that_cannot_be_had_is_said(town: Played, session: WeatherSession) -> None:
    town.absent_days[NEAR.id] = set(GAP)
    town.faults[f"/daily/2016/{BESIDE.id}"] = played.status(500)
    record = collect(wanted(second=Station("99999")), session)
    assert (record.of_day == NOBODY).sum() == len(GAP)
    assert any(note.startswith("No second station") for note in record.notes)


def test_without_a_forecast_there_is_still_a_record(town: Played, session: WeatherSession) -> None:
    town.faults["/v1/forecast"] = played.status(500)
    town.faults["/gridpoints"] = played.status(500)
    record = collect(wanted(forecast=True), session)
    assert record.series.last == TODAY - DAY
    assert "No forecast from Open-Meteo: it answers with status 500." in record.notes
    assert "No second forecast: it answers with status 500." in record.notes


def test_the_weather_service_stands_in(town: Played, session: WeatherSession) -> None:
    town.faults["/v1/forecast"] = played.status(500)
    record = collect(wanted(forecast=True), session)
    assert record.series.count(Origin.FORECAST) == 8
    assert keys(record, TODAY, TODAY + 7 * DAY) == {"us-nws"}


def test_a_second_forecast_is_compared_not_mixed_in(session: WeatherSession) -> None:
    record = collect(wanted(forecast=True), session)
    assert keys(record, TODAY, TODAY + 15 * DAY) == {"open-meteo"}
    assert any(
        "Weather Service: −0.5 °C by day, −0.5 °C by night over the next 8 days" in note
        for note in record.notes
    )


def test_a_forecast_in_another_scale_is_left_out(town: Played, session: WeatherSession) -> None:
    """Winter in °F under the name of °C passes every limit; not the record beside it."""
    town.today = winter = dt.date(2018, 2, 10)

    def cold(series: DailySeries) -> DailySeries:
        return DailySeries(series.first, series.tmin * 0.6 + 32.0, series.tmax * 0.6 + 32.0)

    town.faults["/v1/forecast"] = played.with_days(cold)
    town.faults["/points"] = played.status(404)
    record = collect(wanted(forecast=True, today=winter), session)
    assert record.series.count(Origin.FORECAST) == 0
    assert any("another place or another scale" in note for note in record.notes)


def test_offline_the_same_days(town: Played, open_session: Opener) -> None:
    town.absent_days[NEAR.id] = set(GAP)
    session = open_session()
    good = collect(wanted(second=BESIDE, forecast=True), session)
    age(session)
    for path in ("/daily", "/v1", "/points", "/gridpoints"):
        town.faults[path] = played.refused
    again = collect(wanted(second=BESIDE, forecast=True), open_session())
    np.testing.assert_array_equal(again.series.tmin, good.series.tmin)
    np.testing.assert_array_equal(again.series.origin, good.series.origin)
    assert any("as of" in note for note in again.notes)


def test_a_place_without_a_station_takes_the_archive(session: WeatherSession) -> None:
    record = collect(wanted(station=None, forecast=True), session)
    assert keys(record, FIRST, dt.date(2018, 4, 30)) == {"open-meteo-archive"}
    assert keys(record, dt.date(2018, 5, 1), record.series.last) == {"open-meteo"}
    assert record.series.count(Origin.MEASURED) == 0
    assert record.series.missing == 0


def test_no_history_is_a_refusal(town: Played, session: WeatherSession) -> None:
    town.faults["/daily"] = played.status(500)
    with pytest.raises(Refusal, match="weather service Meteostat: it answers with status 500"):
        collect(wanted(forecast=True), session)
