"""Days of a station are the days of its record, marked where a model made them."""

from __future__ import annotations

import datetime as dt
import gzip
import logging
from collections.abc import Callable

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.online import station_days
from gddcast.online.mirror import year_file
from gddcast.online.session import WeatherSession
from gddcast.weather.provenance import Sourced
from gddcast.weather.series import Origin
from gddcast.weather.stations import Station
from tests.online import played
from tests.online.conftest import HASTY, age
from tests.online.played import NEAR, TODAY, Played

Opener = Callable[..., WeatherSession]
FIRST, LAST = dt.date(2013, 1, 1), TODAY - dt.timedelta(days=1)


def fetch(session: WeatherSession, first: dt.date = FIRST, station: Station = NEAR) -> Sourced:
    return station_days.daily(station, first, LAST, session, TODAY)


def test_days_are_those_of_the_record(town: Played, session: WeatherSession) -> None:
    """Champion NE, five years, day for day; read by the meteostat library from the mirror."""
    found = fetch(session)
    truth = town.series[NEAR.id].between(FIRST, LAST)
    assert (found.series.first, found.series.last) == (truth.first, truth.last)
    np.testing.assert_allclose(found.series.tmin, truth.tmin, rtol=0, atol=1e-9)
    np.testing.assert_allclose(found.series.tmax, truth.tmax, rtol=0, atol=1e-9)
    assert found.series.count(Origin.MEASURED) == len(truth)
    assert session.requests == 6
    (source,) = found.sources
    assert "CC BY 4.0" in source.terms
    assert source.key == NEAR.id


def test_the_library_itself_asks_nobody(
    town: Played, session: WeatherSession, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its own way to the network has no timeout: every request must be ours."""
    import urllib.request

    import requests

    def never(*_: object, **__: object) -> None:
        raise AssertionError("the meteostat library went to the network")

    monkeypatch.setattr(urllib.request, "urlopen", never)
    monkeypatch.setattr(requests, "get", never)
    fetch(session)
    assert len(town.seen) == session.requests


def test_its_settings_are_left_as_they_were(session: WeatherSession) -> None:
    """Those it documents, and the address its reader of year files took from them."""
    import meteostat
    from meteostat.providers.meteostat import daily

    names = [name for name in vars(type(meteostat.config)) if not name.startswith("_")]
    before = {name: getattr(meteostat.config, name) for name in names}
    fetch(session)
    assert {name: getattr(meteostat.config, name) for name in names} == before
    assert meteostat.config.daily_endpoint == daily.ENDPOINT
    assert "meteostat.net" in daily.ENDPOINT
    assert logging.getLogger("meteostat").level == logging.NOTSET


def test_a_day_with_any_model_label_is_marked_model(town: Played, session: WeatherSession) -> None:
    """A composite label such as "dwd_poi dwd_mosmix" hides a forecast among observations."""
    days = [dt.date(2018, 5, day) for day in (10, 11, 12, 13)]
    labels = ["dwd_poi dwd_mosmix", "dwd_mosmix", "metno_forecast", "isd_lite metar"]
    town.labels[NEAR.id] = dict(zip(days, labels, strict=True))
    found = fetch(session).series
    origins = [Origin(found.origin[found.index(day)]) for day in days]
    assert origins == [Origin.MODEL, Origin.MODEL, Origin.MODEL, Origin.MEASURED]


def test_a_day_the_station_lacks_is_unknown(town: Played, session: WeatherSession) -> None:
    town.absent_days[NEAR.id] = {dt.date(2017, 5, 3), dt.date(2017, 5, 4)}
    found = fetch(session).series
    assert found.missing == 2
    assert np.isnan(found.tmin[found.index(dt.date(2017, 5, 3))])


def test_offline_with_an_old_cache_the_days_stay(town: Played, open_session: Opener) -> None:
    """Where the library's own cache overwrites itself with nothing: ours keeps files and days."""
    session = open_session()
    good = fetch(session)
    files = {path: path.read_bytes() for path in session.folder.rglob("*.csv.gz")}
    age(session)
    for fault in (played.refused, played.sign_in_page, played.cut_short, played.status(404)):
        town.faults["/daily"] = fault
        again = fetch(open_session())
        np.testing.assert_array_equal(again.series.tmin, good.series.tmin)
        np.testing.assert_array_equal(again.series.tmax, good.series.tmax)
        assert again.sources[0].stale
        assert any("as of" in note for note in again.notes)
        assert {path: path.read_bytes() for path in files} == files


def test_a_dead_service_is_given_up_after_three_years(town: Played, open_session: Opener) -> None:
    """Offline with thirty years asked and five kept: three tries, and the five are there."""
    session = open_session()
    fetch(session, dt.date(2013, 1, 1))
    age(session)
    town.faults["/daily"] = played.stalled
    again = open_session(HASTY)
    found = fetch(again, dt.date(1988, 1, 1))
    assert again.requests == station_days._ENOUGH
    assert found.series.between(dt.date(2013, 1, 1), LAST).missing == 0
    assert any(note.startswith("Meteostat: 1988–2012 left out") for note in found.notes)


def test_a_year_that_came_broken_is_left_out_and_said(
    town: Played, session: WeatherSession
) -> None:
    town.faults["/daily/2014"] = played.cut_short
    found = fetch(session)
    assert found.series.between(dt.date(2014, 1, 1), dt.date(2014, 12, 31)).missing == 365
    assert any("2014 left out" in note for note in found.notes)


@pytest.mark.parametrize("date", ["2017,2,30", "2017,13,1", "2017,May,3", "2017,,", "2016,5,3"])
def test_a_row_without_a_date_costs_its_day_and_not_its_year(
    town: Played, session: WeatherSession, date: str
) -> None:
    """The library that reads a year gives it up whole for one such row."""

    def odd(handler: played.Handler, body: bytes) -> bool:
        text = gzip.decompress(body).decode().replace("\n2017,5,3,", f"\n{date},")
        handler.send(200, gzip.compress(text.encode(), mtime=0))
        return True

    truth = town.series[NEAR.id].between(FIRST, LAST)
    town.faults["/daily/2017"] = odd
    found = fetch(session)
    lost = truth.index(dt.date(2017, 5, 3))
    expected = np.where(np.arange(len(truth)) == lost, np.nan, truth.tmax)
    np.testing.assert_allclose(found.series.tmax, expected, rtol=0, atol=1e-9)
    assert "Meteostat: 1 row of 2017 without a date of that year was left out." in found.notes


def test_a_year_without_dates_is_left_out(town: Played, session: WeatherSession) -> None:
    def odd(handler: played.Handler, body: bytes) -> bool:
        text = gzip.decompress(body).decode().replace("\n2017,", "\nMMXVII,")
        handler.send(200, gzip.compress(text.encode(), mtime=0))
        return True

    town.faults["/daily/2017"] = odd
    assert any("2017 left out: most dates" in note for note in fetch(session).notes)


def test_an_encoding_undone_on_the_way_is_packed_again(
    town: Played, session: WeatherSession
) -> None:
    """Some servers call the gzip of a file its content encoding; it then arrives unpacked."""

    def encoded(handler: played.Handler, body: bytes) -> bool:
        handler.send(200, body, Content_Encoding="gzip")
        return True

    town.faults["/daily"] = encoded
    assert fetch(session).series.missing == 0
    kept = year_file(session.folder, NEAR.id, 2017).read_bytes()
    assert gzip.decompress(kept).startswith(b"year,month,day")


@pytest.mark.parametrize("identity", ["../../x", "a", "72911/..", "seventy-two"])
def test_what_is_no_id_never_becomes_a_path(session: WeatherSession, identity: str) -> None:
    with pytest.raises(Refusal, match="that is no station id"):
        fetch(session, station=Station(identity))
    assert session.requests == 0


def test_a_station_without_days_is_refused(session: WeatherSession) -> None:
    with pytest.raises(Refusal, match="no daily readings from 2013 to 2018"):
        fetch(session, station=Station("99999"))
