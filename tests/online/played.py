"""A loopback server that plays every weather service in its documented shape, and its faults.

The days are real: Champion NE from the open package ``aquacrop`` (its weather files).
"""

from __future__ import annotations

import datetime as dt
import gzip
import json
import sqlite3
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qs, urlparse
from zoneinfo import ZoneInfo

import numpy as np

from gddcast.weather.series import DailySeries
from gddcast.weather.stations import Station
from tests.real_records import champion

TODAY = dt.date(2018, 6, 1)
ZONE = "America/Denver"
NEAR = Station("72911", "Champion", "US", 40.40, -101.72, 1029.0, ZONE)
BESIDE = Station("72912", "Beside Champion", "US", 40.50, -101.80, 1040.0, ZONE)
PLACE = (40.41, -101.70)

Fault = Callable[["Handler", bytes], bool]


def station_series() -> dict[str, DailySeries]:
    """Two stations: the second is the first, 1.0 °C warmer by day and 0.5 °C colder by night."""
    whole = champion()
    first = DailySeries(whole.first, whole.tmin.round(1), whole.tmax.round(1))
    second = DailySeries(first.first, first.tmin - 0.5, first.tmax + 1.0)
    return {NEAR.id: first, BESIDE.id: second}


class Played(ThreadingHTTPServer):
    """The services; ``faults`` are by the start of a path, ``seen`` lists what was asked."""

    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.series = station_series()
        self.stations = [NEAR, BESIDE]
        self.faults: dict[str, Fault] = {}
        self.seen: list[str] = []
        self.agents: set[str] = set()
        self.absent_days: dict[str, set[dt.date]] = {}
        self.labels: dict[str, dict[dt.date, str]] = {}
        self.list_body: bytes | None = None
        self.today = TODAY
        self.stopping = threading.Event()

    @property
    def address(self) -> str:
        """Where it listens."""
        return f"http://127.0.0.1:{self.server_address[1]}"

    def handle_error(self, request: object, client_address: object) -> None:
        """Clients that hang up are part of the play."""


class Handler(BaseHTTPRequestHandler):
    """Answers one request, well or badly."""

    server: Played
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Answer, or play a fault."""
        url = urlparse(self.path)
        self.server.seen.append(self.path)
        self.server.agents.add(self.headers.get("User-Agent", ""))
        asked = {name: values[0] for name, values in parse_qs(url.query).items()}
        body = self.answer(url.path, asked)
        for start, fault in self.server.faults.items():
            if url.path.startswith(start) and fault(self, body or b""):
                return
        if body is None:
            self.send(404, b"not found", "text/plain")
        else:
            self.send(200, body)

    def send(self, status: int, body: bytes, kind: str = "application/octet-stream",
             **headers: str) -> None:  # fmt: skip
        """Send a whole answer."""
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        for name, value in headers.items():
            self.send_header(name.replace("_", "-"), value)
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002
        """Say nothing."""

    def answer(self, path: str, asked: dict[str, str]) -> bytes | None:
        """The right answer; None where there is no such file."""
        server = self.server
        if path == "/stations.db":
            return server.list_body or list_of(server.stations, server.series)
        if path.startswith("/daily/"):
            _, _, year, name = path.split("/")
            return year_file(server, name.removesuffix(".csv.gz"), int(year))
        if path in ("/v1/forecast", "/v1/archive"):
            return json.dumps(open_meteo(server, path, asked)).encode()
        if path.startswith("/points/"):
            cell = {"gridId": "GLD", "gridX": 10, "gridY": 20, "timeZone": ZONE}
            return json.dumps({"properties": cell}).encode()
        if path.startswith("/gridpoints/"):
            return json.dumps(windows(server)).encode()
        if path == "/access/services/data/v1":
            return table(server, asked)
        return None


def year_file(server: Played, station: str, year: int) -> bytes | None:
    """A year as Meteostat has it: value and source by turns, temperatures among others."""
    series = server.series.get(station)
    if series is None:
        return None
    days = series.between(dt.date(year, 1, 1), min(dt.date(year, 12, 31), server.today))
    if not len(days):
        return None
    lines = ["year,month,day,temp,temp_source,tmin,tmin_source,tmax,tmax_source,prcp,prcp_source"]
    absent = server.absent_days.get(station, set())
    labels = server.labels.get(station, {})
    for at in range(len(days)):
        day = days.date(at)
        if day in absent:
            continue
        label = labels.get(day, "ghcnd")
        low, high = days.tmin[at], days.tmax[at]
        lines.append(
            f"{day.year},{day.month},{day.day},{(low + high) / 2:.1f},{label},"
            f"{low:.1f},{label},{high:.1f},{label},,"
        )
    return gzip.compress("\n".join(lines).encode() + b"\n", mtime=0)


def open_meteo(server: Played, path: str, asked: dict[str, str]) -> dict[str, object]:
    """Forecast or archive: the days the station had, half a degree warmer."""
    if path.endswith("forecast"):
        first = server.today - dt.timedelta(days=int(asked["past_days"]))
        last = server.today + dt.timedelta(days=int(asked["forecast_days"]) - 1)
    else:
        first, last = (dt.date.fromisoformat(asked[name]) for name in ("start_date", "end_date"))
    days = server.series[NEAR.id].between(first, last)
    zone = ZONE if asked["timezone"] == "auto" else asked["timezone"]
    return {
        "latitude": round(float(asked["latitude"]), 1),
        "longitude": round(float(asked["longitude"]), 1),
        "elevation": 1030.0,
        "utc_offset_seconds": -21600,
        "timezone": zone,
        "timezone_abbreviation": "GMT-6",
        "daily_units": {
            "time": "iso8601", "temperature_2m_max": "°C", "temperature_2m_min": "°C",
        },
        "daily": {
            "time": days.dates.astype(str).tolist(),
            "temperature_2m_max": np.round(days.tmax + 0.5, 1).tolist(),
            "temperature_2m_min": np.round(days.tmin + 0.5, 1).tolist(),
        },
    }  # fmt: skip


def windows(server: Played) -> dict[str, object]:
    """A grid of the Weather Service: days 7–20 h, nights 19–8 h of the local clock."""
    zone, series = ZoneInfo(ZONE), server.series[NEAR.id]
    high, low = [], []
    for ahead in range(8):
        day = server.today + dt.timedelta(days=ahead)
        at = series.index(day)
        for row, start, value in (
            (high, dt.datetime.combine(day, dt.time(7), zone), series.tmax[at]),
            (low, dt.datetime.combine(day - dt.timedelta(days=1), dt.time(19), zone),
             series.tmin[at]),
        ):  # fmt: skip
            begin = start.astimezone(dt.UTC).isoformat()
            row.append({"validTime": f"{begin}/PT13H", "value": float(value)})
    return {
        "properties": {
            "updateTime": f"{server.today.isoformat()}T09:30:00+00:00",
            "maxTemperature": {"uom": "wmoUnit:degC", "values": high},
            "minTemperature": {"uom": "wmoUnit:degC", "values": low},
        }
    }


def table(server: Played, asked: dict[str, str]) -> bytes:
    """A table of the access service."""
    assert asked["units"] == "metric"
    first, last = (dt.date.fromisoformat(asked[name]) for name in ("startDate", "endDate"))
    days = server.series[NEAR.id].between(first, min(last, server.today))
    lines = ['"STATION","DATE","TMAX","TMIN"']
    lines += [
        f'"{asked["stations"]}","{days.date(at)}","{days.tmax[at]:8.1f}","{days.tmin[at]:8.1f}"'
        for at in range(len(days))
    ]
    return ("\n".join(lines) + "\n").encode()


def list_of(stations: list[Station], series: dict[str, DailySeries] | None = None) -> bytes:
    """The station list as the SQLite file it is; columns as the meteostat library asks for."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "stations.db"
        connection = sqlite3.connect(path)
        connection.executescript(
            "CREATE TABLE stations(id TEXT PRIMARY KEY, country TEXT, region TEXT, latitude REAL,"
            " longitude REAL, elevation INTEGER, timezone TEXT);"
            "CREATE TABLE names(station TEXT, language TEXT, name TEXT);"
            "CREATE TABLE identifiers(station TEXT, key TEXT, value TEXT);"
            "CREATE TABLE inventory(station TEXT, provider TEXT, parameter TEXT, start TEXT,"
            " end TEXT, completeness REAL);"
            "CREATE INDEX of_station ON inventory(station); CREATE INDEX of_name ON names(station);"
        )
        connection.executemany(
            "INSERT INTO stations VALUES(?,?,?,?,?,?,?)",
            [(s.id, s.country, "", s.latitude, s.longitude, s.elevation, s.timezone)
             for s in stations],
        )  # fmt: skip
        connection.executemany(
            "INSERT INTO names VALUES(?,'en',?)", [(s.id, s.name) for s in stations]
        )
        rows = []
        for station in stations:
            days = (series or {}).get(station.id)
            first = station.first or (days.first if days else None)
            last = station.last or (min(days.last, TODAY) if days else None)
            if first and last:
                for parameter in ("tmin", "tmax"):
                    rows.append((station.id, "ghcnd", parameter, str(first), str(last),
                                 0.99 if station.share is None else station.share))  # fmt: skip
                rows.append((station.id, "dwd_mosmix", "tmin", "2020-01-01", "2030-01-01", 1.0))
        connection.executemany("INSERT INTO inventory VALUES(?,?,?,?,?,?)", rows)
        connection.commit()
        connection.close()
        return path.read_bytes()


# --- faults: each returns whether it has answered -------------------------------------------


def status(code: int, **headers: str) -> Fault:
    """An error status."""

    def fault(handler: Handler, _: bytes) -> bool:
        handler.send(code, b"{}", **headers)
        return True

    return fault


def refused(handler: Handler, _: bytes) -> bool:
    """Hang up without a word: as a refused connection looks behind a proxy."""
    handler.close_connection = True
    handler.connection.close()
    return True


def stalled(handler: Handler, _: bytes) -> bool:
    """Take the request and never answer."""
    handler.server.stopping.wait(600)  # whoever waits for the answer hears it too late
    handler.close_connection = True
    return True


def slow_drip(handler: Handler, body: bytes) -> bool:
    """A byte now and then: never silent, never done."""
    handler.send_response(200)
    handler.send_header("Content-Length", str(len(body)))
    handler.end_headers()
    for at in range(len(body)):
        if handler.server.stopping.is_set():
            break
        handler.wfile.write(body[at : at + 1])
        handler.wfile.flush()
        time.sleep(0.05)
    handler.close_connection = True
    return True


def broken_off(handler: Handler, body: bytes) -> bool:
    """Half of what was promised."""
    handler.send_response(200)
    handler.send_header("Content-Length", str(len(body)))
    handler.end_headers()
    handler.wfile.write(body[: len(body) // 2])
    handler.close_connection = True
    return True


def cut_short(handler: Handler, body: bytes) -> bool:
    """Half a file, promised as a whole: a truncated gzip, half a JSON."""
    handler.send(200, body[: len(body) // 2])
    return True


def sign_in_page(handler: Handler, _: bytes) -> bool:
    """What a network answers before one has signed in."""
    handler.send(200, b"<!DOCTYPE html><html><body>Sign in</body></html>", "text/html")
    return True


def changed(old: str, new: str) -> Fault:
    """The right answer with one thing changed; unpacked and packed again where it is gzip."""

    def fault(handler: Handler, body: bytes) -> bool:
        packed = body[:2] == b"\x1f\x8b"
        text = (gzip.decompress(body) if packed else body).decode()
        assert old in text, f"{old!r} is not in the answer: this fault would do nothing"
        text = text.replace(old, new)
        handler.send(200, gzip.compress(text.encode()) if packed else text.encode())
        return True

    return fault


def with_days(change: Callable[[DailySeries], DailySeries]) -> Fault:
    """The answer of a service whose days are wrong."""

    def fault(handler: Handler, _: bytes) -> bool:
        server, url = handler.server, urlparse(handler.path)
        asked = {name: values[0] for name, values in parse_qs(url.query).items()}
        right = server.series
        server.series = {name: change(series) for name, series in right.items()}
        body = handler.answer(url.path, asked)
        server.series = right
        handler.send(200, body or b"")
        return True

    return fault


def in_fahrenheit(series: DailySeries) -> DailySeries:
    """Numbers of the other scale under the same name."""
    return DailySeries(series.first, series.tmin * 1.8 + 32.0, series.tmax * 1.8 + 32.0)


def swapped(series: DailySeries) -> DailySeries:
    """Minima where maxima should be."""
    return DailySeries(series.first, series.tmax, series.tmin)


def noughts(series: DailySeries) -> DailySeries:
    """Blanks that somebody filled."""
    nothing = np.zeros(len(series))
    return DailySeries(series.first, nothing, nothing)


def a_year_of_noughts(series: DailySeries) -> DailySeries:
    """Blanks filled in 2017 alone."""
    blank = series.dates.astype("datetime64[Y]") == np.datetime64("2017")
    low, high = (np.where(blank, 0.0, each) for each in (series.tmin, series.tmax))
    return DailySeries(series.first, low, high)


@contextmanager
def playing() -> Iterator[Played]:
    """The services, up while the block runs."""
    server = Played()
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield server
    finally:
        server.stopping.set()
        server.shutdown()
        thread.join()
        server.server_close()
