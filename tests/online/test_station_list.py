"""Which stations are near; what is said where none is."""

from __future__ import annotations

import datetime as dt
import math
import os
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.online import station_list
from gddcast.online.session import WeatherSession
from gddcast.weather.stations import Station
from tests.online import played
from tests.online.played import BESIDE, NEAR, PLACE, TODAY, Played, list_of

Opener = Callable[..., WeatherSession]


def great_circle(lat: float, lon: float, station: Station) -> float:
    """Haversine distance on a sphere of 6,371 km. [km]"""
    assert station.latitude is not None
    assert station.longitude is not None
    a, b = math.radians(lat), math.radians(station.latitude)
    turn = math.radians(station.longitude - lon)
    chord = math.sin((b - a) / 2) ** 2 + math.cos(a) * math.cos(b) * math.sin(turn / 2) ** 2
    return 2 * 6371.0 * math.asin(math.sqrt(chord))


def test_the_nearest_good_station_comes_first(session: WeatherSession) -> None:
    near = station_list.nearby(*PLACE, session, TODAY)
    assert [each.station.id for each in near] == [NEAR.id, BESIDE.id]
    for each in near:
        assert each.distance == pytest.approx(great_circle(*PLACE, each.station), abs=0.01)
    best = near[0].station
    assert (best.first, best.last, best.share) == (dt.date(1986, 1, 1), TODAY, 0.99)
    assert (best.timezone, best.elevation) == (NEAR.timezone, 1029.0)
    assert near[0].good


def test_forecasts_of_a_model_are_no_years_on_file(session: WeatherSession) -> None:
    """The list's rows of a forecast reach to 2030; the station's own days do not."""
    assert station_list.nearby(*PLACE, session, TODAY)[0].station.last == TODAY


def test_the_list_is_got_once_and_an_old_one_beats_none(
    town: Played, open_session: Opener, tmp_path: Path
) -> None:
    station_list.nearby(*PLACE, open_session(), TODAY)
    again = open_session()
    station_list.nearby(*PLACE, again, TODAY)
    assert again.requests == 0
    path = tmp_path / "cache" / "stations.db"
    os.utime(path, (0, 0))
    good = path.read_bytes()
    for fault in (played.refused, played.cut_short, played.sign_in_page, played.status(500)):
        town.faults["/stations.db"] = fault
        near = station_list.nearby(*PLACE, open_session(), TODAY)
        assert near[0].station.id == NEAR.id
        assert path.read_bytes() == good


@pytest.mark.parametrize(
    ("fault", "found"),
    [
        (played.refused, "could not be reached"),
        (played.cut_short, "broke off on the way"),
        (played.sign_in_page, "a web page came back"),
        (played.status(503), "status 503"),
    ],
)
def test_without_a_list_it_is_refused(
    town: Played, session: WeatherSession, fault: played.Fault, found: str
) -> None:
    town.faults["/stations.db"] = fault
    with pytest.raises(Refusal, match=found):
        station_list.nearby(*PLACE, session, TODAY)
    assert not (session.folder / "stations.db").exists()


def test_an_empty_list_is_refused(town: Played, session: WeatherSession) -> None:
    town.list_body = list_of([])
    with pytest.raises(Refusal, match="list of stations is empty"):
        station_list.nearby(*PLACE, session, TODAY)


def test_a_list_of_another_form_is_refused(town: Played, session: WeatherSession) -> None:
    town.list_body = list_of([NEAR]).replace(b"timezone", b"timezoom")
    with pytest.raises(Refusal, match=r"changed its form(.|\n)*stations lacks timezone"):
        station_list.nearby(*PLACE, session, TODAY)


@pytest.mark.parametrize(
    ("point", "cure"),
    [
        ((40.41, 101.70), r"minus of the longitude may be lost: --at 40.41,-101.7 is 2 km"),
        ((-40.41, -101.70), r"minus of the latitude may be lost: --at 40.41,-101.7 is 2 km"),
    ],
)
def test_a_lost_sign_is_named(
    session: WeatherSession, point: tuple[float, float], cure: str
) -> None:
    with pytest.raises(Refusal, match=f"no weather station near(.|\n)*{cure}") as caught:
        station_list.nearby(*point, session, TODAY)
    assert caught.value.slug == "no-station-near"


def test_swapped_coordinates_are_named(town: Played, session: WeatherSession) -> None:
    town.stations = [Station("10001", "Inland", "DE", 51.0, 10.0, 300.0, "Europe/Berlin")]
    with pytest.raises(Refusal, match="two may be swapped: --at 51,10 is 0 km from Inland"):
        station_list.nearby(10.0, 51.0, session, TODAY)


def test_a_point_at_sea_is_told_how_far_land_is(session: WeatherSession) -> None:
    with pytest.raises(Refusal, match=r"1,000 km either: open sea\?(.|\n)*--grid"):
        station_list.nearby(-40.0, -20.0, session, TODAY)
    with pytest.raises(Refusal, match=r"nearest, Beside Champion, is 1\d\d km away(.|\n)*--within"):
        station_list.nearby(41.5, -101.7, session, TODAY)


def test_forty_thousand_stations(
    town: Played, session: WeatherSession, capsys: pytest.CaptureFixture[str]
) -> None:
    """As many as there are: the right one is found, and quickly enough to wait for."""
    rng = np.random.default_rng(4)
    spots = zip(rng.uniform(-60, 70, 40_000), rng.uniform(-180, 180, 40_000), strict=True)
    many = [
        replace(NEAR, id=f"S{at:05d}", name=f"S {at}", latitude=float(lat), longitude=float(lon))
        for at, (lat, lon) in enumerate(spots)
    ]
    town.list_body = list_of(many, dict.fromkeys((s.id for s in many), town.series[NEAR.id]))
    begun = time.perf_counter()
    near = station_list.nearby(41.0, -89.0, session, TODAY, within=150.0)
    took = time.perf_counter() - begun
    nearest = min(many, key=lambda station: great_circle(41.0, -89.0, station))
    assert near[0].station.id == nearest.id
    within = sorted(great_circle(41.0, -89.0, each) for each in many)[: len(near)]
    np.testing.assert_allclose([each.distance for each in near], within, rtol=0, atol=0.01)
    with capsys.disabled():
        print(f"\n40,000 stations, {len(town.list_body) / 1e6:.1f} MB: {took:.2f} s")


def test_a_station_is_found_by_its_id(session: WeatherSession) -> None:
    station = station_list.named(BESIDE.id, session)
    assert (station.name, station.latitude) == (BESIDE.name, BESIDE.latitude)
    assert station.first == dt.date(1986, 1, 1)
    with pytest.raises(Refusal, match="list of stations has none of that id"):
        station_list.named("77777", session)


def _middle_overwritten(body: bytes) -> bytes:
    return body[:4096] + b"\x55" * 4096 + body[8192:]


@pytest.mark.parametrize(
    "damage",
    [
        _middle_overwritten,
        lambda body: body[: len(body) // 2],
        lambda _: b"",
        lambda _: b"\0" * 9999,
    ],
    ids=["overwritten", "cut", "empty", "zeros"],
)
def test_a_list_that_was_damaged_is_dropped_and_got_again(
    town: Played, open_session: Opener, tmp_path: Path, damage: Callable[[bytes], bytes]
) -> None:
    """Found when it is opened; with nobody to ask it is said, and no damaged list stays."""
    town.list_body = list_of(town.stations, town.series)
    station_list.nearby(*PLACE, open_session(), TODAY)
    path = tmp_path / "cache" / "stations.db"
    good = path.read_bytes()
    path.write_bytes(damage(good))
    again = open_session()
    assert station_list.nearby(*PLACE, again, TODAY)[0].station.id == NEAR.id
    assert again.requests == 1
    assert path.read_bytes() == good
    path.write_bytes(damage(good))
    town.faults["/stations.db"] = played.refused
    with pytest.raises(Refusal, match="could not be reached"):
        station_list.named(NEAR.id, open_session())
    assert not path.exists()


def test_every_model_among_the_sources_is_known_as_one() -> None:
    """By the grades the library itself gives its sources; it exports their names only."""
    from meteostat.core.providers import provider_service
    from meteostat.enumerations import Grade

    models = {
        str(source.id)
        for source in provider_service.providers
        if source.grade in (Grade.FORECAST, Grade.ANALYSIS)
    }
    assert station_list.model_labels() == models
