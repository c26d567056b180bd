"""From the flags of a fetch, and from the file of an earlier one, to what is wanted."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.online.joining import Wanted
    from gddcast.online.session import WeatherSession
    from gddcast.weather.series import DailySeries, Place
    from gddcast.weather.stations import Near, Station

Point = tuple[float, float]
#: Past years fetched unless told.
USUAL_YEARS = 20


@dataclass(frozen=True, slots=True)
class Flags:
    """What was said on the command line."""

    at: Point | None = None
    identity: str | None = None
    grid: bool = False
    years: int | None = None
    forecast: bool = False
    within: float = 50.0
    elevation: float | None = None
    on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Earlier:
    """A file fetched before: its days, and what it says of place and station."""

    series: DailySeries
    point: Point | None
    timezone: str | None
    station: Station | None
    second: Station | None


def fetched_before(output: Path, *, force: bool, named: bool) -> Earlier | None:
    """The record of an earlier fetch in the same file; another file is not written over."""
    from gddcast.readers.temperature_file import read_temperatures
    from gddcast.text.weather.record_csv import MADE_BY

    if not output.exists():
        if not named:
            raise Refusal(
                "this fetch", "it does not know for which place",
                f"There is no file {output} that says it.",
                "Say where:  gddcast weather fetch --at LAT,LON -o FILE", slug="place-missing",
            )  # fmt: skip
        return None
    try:
        reading = read_temperatures(output)
    except Refusal:
        reading = None
    said = dict(reading.provenance) if reading else {}
    if reading and said.get("made by", "").startswith(MADE_BY):
        return _earlier(reading.series, said)
    if force and named:
        return None
    raise Refusal(
        str(output), "there is a file of that name that no fetch made",
        "It would be lost.", "Choose another name, or add --force.", slug="file-exists",
    )  # fmt: skip


def _earlier(series: DailySeries, provenance: dict[str, str]) -> Earlier:
    from gddcast.cli.opening import place_named

    point, zone = place_named(series.source, provenance)
    station, second = (
        _station(series.source, key, provenance) for key in ("station", "second station")
    )
    return Earlier(series, point, zone, station, second)


def _station(name: str, key: str, provenance: dict[str, str]) -> Station | None:
    from gddcast.text.weather.record_csv import station_in

    try:
        return station_in(provenance[key]) if key in provenance else None
    except ValueError:
        raise Refusal(
            name, f"its line '# {key}: {provenance[key]}' is not as the fetch wrote it",
            "It names the station the days are of.",
            "Fetch into a new file; this one stays as it is.", slug="line-unclear",
        ) from None  # fmt: skip


def wanted_by(flags: Flags, earlier: Earlier | None, session: WeatherSession) -> Wanted:
    """What is to be fetched."""
    from gddcast.cli.clock import today_at
    from gddcast.online.joining import Wanted
    from gddcast.weather.series import season_of

    station, second = _stations(flags, earlier, session)
    place = _place(flags, station, earlier)
    today = flags.on or today_at(place)
    this = season_of(today, place.season_begins).first
    if earlier is not None:
        _same(earlier, station)
    years = USUAL_YEARS if flags.years is None else flags.years
    first = this.replace(year=max(this.year - years, 1763))
    if earlier is not None:  # a record grows; it never loses years
        first = earlier.series.first if flags.years is None else min(first, earlier.series.first)
    return Wanted(place, first, today, station, second, flags.forecast)


def _stations(
    flags: Flags, earlier: Earlier | None, session: WeatherSession
) -> tuple[Station | None, Station | None]:
    """The station to ask, and the one to ask for what it lacks."""
    from gddcast.cli.clock import today_at
    from gddcast.online import climate_data, station_list
    from gddcast.weather.stations import Station

    if flags.grid:
        if flags.at is None and earlier is None:
            raise click.UsageError("--grid needs --at LAT,LON.")
        return None, None
    if earlier is not None and flags.identity in (None, earlier.station and earlier.station.id):
        return earlier.station, earlier.second
    if flags.identity is not None:
        if climate_data.is_id(flags.identity):
            return Station(flags.identity), None
        return station_list.named(flags.identity, session), None
    if flags.at is None:
        raise click.UsageError("Say where: --at LAT,LON or --station ID.")
    near = station_list.nearby(
        *flags.at, session, flags.on or today_at(),
        elevation=flags.elevation, within=flags.within,
    )  # fmt: skip
    second = next((each for each in near[1:] if each.good), None)
    _say_choice(near[0], second)
    return near[0].station, second.station if second else None


def _place(flags: Flags, station: Station | None, earlier: Earlier | None) -> Place:
    from gddcast.weather.series import Place

    latitude, longitude = flags.at or (earlier.point if earlier else None) or (None, None)
    if latitude is None and station is not None:
        latitude, longitude = station.latitude, station.longitude
    timezone = (station.timezone if station else None) or (earlier.timezone if earlier else None)
    begins = (7, 1) if latitude is not None and latitude < 0 else (1, 1)
    name = station.name or station.id if station else "this place"
    return Place(name, latitude, longitude, flags.elevation, timezone, begins)


def _same(earlier: Earlier, station: Station | None) -> None:
    """A file is brought up to date from its own station, never from another."""
    before, now = earlier.station and earlier.station.id, station and station.id
    if before != now:
        raise Refusal(
            "this file", f"its days are of {before or 'the grid'}, not of {now or 'the grid'}",
            "Two stations in one record make a jump where they meet.",
            "Choose another name for the new record.", slug="other-station",
        )  # fmt: skip


def _say_choice(chosen: Near, second: Near | None) -> None:
    station = chosen.station
    lacks = "" if chosen.good else f"; not good by the rule: {', '.join(chosen.lacks)}"
    click.echo(
        f"Station {station.id}, {station.name}, {chosen.distance:.0f} km off{lacks}.", err=True
    )
    if second is not None:
        other = second.station
        click.echo(f"Beside it: {other.id}, {other.name}, {second.distance:.0f} km off.", err=True)
