"""A weather station as the browser asks for it: near the place, fetched, kept, up to date."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.cli.book_here import OpenedBook
    from gddcast.weather.stations import Near
    from gddcast.web.season_book import Logged


def stations(opened: OpenedBook) -> tuple[Near, ...]:
    """Stations near the place, best first."""
    from gddcast.cli.weather_network import weather_session
    from gddcast.online.station_list import nearby

    latitude, longitude = _point(opened)
    with weather_session() as session:
        return tuple(nearby(latitude, longitude, session, opened.today,
                            elevation=opened.book.place.elevation))  # fmt: skip


def fetch(opened: OpenedBook, station: str, file: Path, *, forecast: bool) -> None:
    """Write the years of a station near the place into a new file."""
    from gddcast.cli.weather_fetch import fetched_file
    from gddcast.cli.weather_wanted import Flags

    flags = Flags(_point(opened), station, forecast=forecast, on=opened.today)
    fetched_file(file, flags, opened.book.show)


def keep_file(opened: OpenedBook, file: Path, called: str, answers: Mapping[str, Any]) -> Logged:
    """Bring a fetched file into the book; it stays in the book's folder, and is remembered."""
    from gddcast.cli.page_weather import bring
    from gddcast.cli.weather_again import is_fetched
    from gddcast.output_file import write_bytes

    target = opened.book.folder / called
    write_bytes(target, file.read_bytes(), force=target.exists() and is_fetched(target))
    return bring(opened, target, None, answers)


def last_station(opened: OpenedBook) -> str:
    """Whose file the book remembers last, where it is still there; else nothing."""
    from gddcast.cli.weather_again import fetched_files
    from gddcast.text.weather.record_csv import station_in

    for file in fetched_files(opened)[:1]:
        with file.open(encoding="utf-8") as lines:
            head = takewhile(lambda line: line.startswith("#"), lines)
            said = (line.removeprefix("# station: ") for line in head
                    if line.startswith("# station: "))  # fmt: skip
            with suppress(ValueError, StopIteration):
                station = station_in(next(said).strip())
                return station.name or station.id
        return "the place itself, modelled"
    return ""


def fetch_again(opened: OpenedBook) -> Logged:
    """Bring the file up to date from its own station, and its new days into the book."""
    from gddcast.cli.page_weather import bring
    from gddcast.cli.weather_again import bring_up_to_date, fetched_files, reading_options

    file = next(iter(fetched_files(opened)), None)
    if file is None:
        raise Refusal(
            "this book", "no station’s file of it is there",
            "It is brought up to date from the file that a fetch kept.", "", slug="no-file",
        )  # fmt: skip
    bring_up_to_date(file, opened.today)
    return bring(opened, file, None, reading_options(opened, file))


def _point(opened: OpenedBook) -> tuple[float, float]:
    place = opened.book.place
    if place.latitude is None or place.longitude is None:
        raise Refusal(
            place.name, "nobody said where it lies",
            "Stations are looked for round its latitude and longitude: Record, The place.", "",
            slug="place-missing",
        )  # fmt: skip
    return place.latitude, place.longitude
