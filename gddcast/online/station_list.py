"""The list of weather stations: got once a month, looked through, asked who is near."""

from __future__ import annotations

import datetime as dt
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path
from typing import Any

from gddcast.errors import Refusal
from gddcast.online.mirror import list_in, meteostat_reading, put
from gddcast.online.session import WeatherSession
from gddcast.online.trouble import Trouble, of_page
from gddcast.weather.stations import Near, Station, ranked

#: A new list is got after this.
LIST_KEPT = dt.timedelta(days=30)
#: How far we look unless told. [km]
WITHIN_KM = 50.0
_MAGIC = b"SQLite format 3\x00"
_WANTED = {
    "stations": {"id", "country", "latitude", "longitude", "elevation", "timezone"},
    "names": {"station", "language", "name"},
    "inventory": {"station", "provider", "parameter", "start", "end", "completeness"},
}


def nearby(
    latitude: float,
    longitude: float,
    session: WeatherSession,
    today: dt.date,
    *,
    elevation: float | None = None,
    within: float = WITHIN_KM,
    most: int = 12,
) -> list[Near]:
    """Stations near a place, best first.

    Parameters
    ----------
    latitude, longitude : float
        [°]
    session : WeatherSession
    today : datetime.date
    elevation : float, optional
        Height of the place. [m]
    within : float, default: 50
        Radius. [km]
    most : int
        Longest list.

    Raises
    ------
    Refusal
        If no station lies within the radius; it names what may be wrong with the point.
    """
    the_list(session)
    found = _within(latitude, longitude, session.folder, within)
    if not found:
        raise _nothing_near(latitude, longitude, session.folder, within)
    return ranked(found, today, elevation)[:most]


def named(identity: str, session: WeatherSession) -> Station:
    """The station of an id.

    Raises
    ------
    Refusal
        If the list has none.
    """
    the_list(session)
    with meteostat_reading(session.folder) as meteostat:
        found = meteostat.stations.meta(identity)
    if found is None:
        raise Refusal(
            f"the station {identity}",
            "the list of stations has none of that id",
            "Ids are short, such as 72530 or KORD0; 11 signs such as USC00381770 name a US record.",
            "Find one near you:  gddcast weather stations --at LAT,LON",
            slug="no-such-station",
        )
    row = {
        "id": identity, "name": found.name, "country": found.country,
        "latitude": found.latitude, "longitude": found.longitude,
        "elevation": found.elevation, "timezone": found.timezone,
    }  # fmt: skip
    return _with_inventory([row], session.folder)[0]


def the_list(session: WeatherSession) -> Path:
    """The station list on disk, got anew where it is old or damaged; an old one beats none.

    Raises
    ------
    Refusal
        If there is none and none can be got.
    """
    path = list_in(session.folder)
    if path.exists() and not _is_sound(path):
        path.unlink()
    now = dt.datetime.now(dt.UTC).timestamp()
    if path.exists() and now - path.stat().st_mtime < LIST_KEPT.total_seconds():
        return path
    try:
        answer = session.download(session.services.station_list, read=_looked_through)
    except Trouble as trouble:
        if path.exists():
            return path
        raise trouble.refusal("Meteostat (list of stations)") from trouble
    put(path, answer.body)
    return path


def _looked_through(body: bytes) -> int:
    """Number of stations in a list; Trouble where it is none."""
    page = of_page(body, "the list of stations")
    if page is not None:
        raise page
    if not body.startswith(_MAGIC):
        raise Trouble("its list of stations can’t be read", "No database came.", slug="not-data")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "stations.db"
        path.write_bytes(body)
        return _counted(path)


def _is_sound(path: Path) -> bool:
    """Whether the list kept here can still be read; a disk may have changed it."""
    try:
        return _counted(path) > 0
    except Trouble:
        return False


def _counted(path: Path) -> int:
    """Number of stations in the list of a file; Trouble where it is none."""
    try:
        with closing(sqlite3.connect(path)) as connection:
            (state,) = connection.execute("PRAGMA quick_check(1)").fetchone()
            if state != "ok":
                raise sqlite3.DatabaseError(state)
            for table, columns in _WANTED.items():
                there = {row[1] for row in connection.execute(f"PRAGMA table_info({table})")}
                if not columns <= there:
                    raise Trouble(
                        "its list of stations has changed its form",
                        f"Table {table} lacks {', '.join(sorted(columns - there))}.",
                        slug="form-changed",
                        cure="Look for a newer gddcast; --station ID needs no list.",
                    )
            count = int(connection.execute("SELECT count(*) FROM stations").fetchone()[0])
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        raise Trouble(
            "its list of stations broke off on the way", f"{error}.", slug="not-data"
        ) from error
    if not count:
        raise Trouble("its list of stations is empty", slug="not-data")
    return count


def _within(
    latitude: float, longitude: float, folder: Path, within: float, limit: int = 60
) -> list[tuple[Station, float]]:
    """Stations and their distance [km], nearest first."""
    with meteostat_reading(folder) as meteostat:
        table = meteostat.stations.nearby(
            meteostat.Point(latitude, longitude), radius=within * 1000.0, limit=limit
        )
    rows = table.reset_index().to_dict("records")
    stations = _with_inventory(rows, folder)
    return [
        (station, float(row["distance"]) / 1000.0)
        for station, row in zip(stations, rows, strict=True)
    ]


def _with_inventory(rows: list[dict[str, Any]], folder: Path) -> list[Station]:
    """Stations with the span and completeness of their minima on file."""
    held: dict[str, list[Any]] = {}
    with meteostat_reading(folder) as meteostat:
        frame = meteostat.stations.inventory([row["id"] for row in rows]).df
    models = model_labels()
    for (station, provider, parameter), line in () if frame is None else frame.iterrows():
        if provider not in models and parameter in ("tmin", "tmax", "temp"):
            held.setdefault(station, []).append((parameter, line))
    return [_station(row, held.get(row["id"], [])) for row in rows]


def _station(row: dict[str, Any], held: list[Any]) -> Station:
    # Days are made of hourly readings where nobody reports extremes.
    lines = [line for name, line in held if name == "tmin"] or [line for _, line in held]
    longest = max(lines, key=lambda line: line["end"] > line["start"] and _span(line), default=None)
    share = None if longest is None else _number(longest["completeness"])
    return Station(
        id=str(row["id"]),
        name=str(row["name"] or ""),
        country=str(row["country"] or ""),
        latitude=_number(row["latitude"]),
        longitude=_number(row["longitude"]),
        elevation=_number(row["elevation"]),
        timezone=row["timezone"] or None,
        first=min((dt.date.fromisoformat(line["start"]) for line in lines), default=None),
        last=max((dt.date.fromisoformat(line["end"]) for line in lines), default=None),
        share=share / 100.0 if share is not None and share > 1.0 else share,
    )


def _span(line: Any) -> int:
    return (dt.date.fromisoformat(line["end"]) - dt.date.fromisoformat(line["start"])).days


def _number(value: Any) -> float | None:
    return None if value is None or value != value else float(value)


def _nothing_near(latitude: float, longitude: float, folder: Path, within: float) -> Refusal:
    """Say what may be wrong with a point that has no station near."""
    evidence = f"No weather station lies within {within:.0f} km of it."
    wider = _within(latitude, longitude, folder, 1000.0, limit=1)
    if wider:
        station, distance = wider[0]
        evidence += f" The nearest, {station.name}, is {distance:.0f} km away."
    else:
        evidence += " None lies within 1,000 km either: open sea?"
    slips = (
        ("the minus of the longitude may be lost", latitude, -longitude),
        ("the minus of the latitude may be lost", -latitude, longitude),
        ("the two may be swapped", longitude, latitude),
    )
    cures = []
    for words, lat, lon in slips:
        if abs(lat) > 90 or (lat, lon) == (latitude, longitude):
            continue
        there = _within(lat, lon, folder, within, limit=1)
        if there:
            cures.append(f"{words}: --at {lat:g},{lon:g} is {_distance(there[0])}")
    cure = "; ".join(cures)
    cure = f"{cure[:1].upper()}{cure[1:]}. " if cure else ""
    return Refusal(
        f"the point {latitude:g},{longitude:g}",
        "there is no weather station near",
        evidence,
        f"{cure}If the point is right: --within KM for a station farther off, or --grid for "
        "modelled weather of the place itself.",
        slug="no-station-near",
    )


def _distance(near: tuple[Station, float]) -> str:
    station, distance = near
    return f"{distance:.0f} km from {station.name} ({station.country})"


def model_labels() -> frozenset[str]:
    """Labels of forecasts and analyses among Meteostat's sources."""
    from meteostat import Provider

    return frozenset({str(Provider.DWD_MOSMIX), str(Provider.METNO_FORECAST)})
