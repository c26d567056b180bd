"""A season book as the browser's form describes it: made, and changed later."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from gddcast.names import file_word
from gddcast.web.season_book import Logged, PlaceSettings
from gddcast.words import AFTERNOON, COUNTED_TWICE

if TYPE_CHECKING:
    from gddcast.book.opening import Book
    from gddcast.book.settings import Settings


def make_book(place: PlaceSettings) -> tuple[Path, Logged]:
    """Make the book; its folder, and what is said of it."""
    from gddcast.book.founding import create_book

    settings = _settings(place)
    book = create_book(Path(file_word(settings.place.name)), settings)
    said = [f"Made the season book of {book.place.name}, in the folder {book.folder.resolve()}."]
    if settings.place.season_begins == (7, 1):
        said.append("Seasons begin on 1 July here.")
    said += _doubts(settings)
    said.append("Now bring its weather: a file, or what the thermometer shows.")
    return book.folder, Logged((), tuple(said))


def settings_of_page(settings: Settings) -> PlaceSettings:
    """Those the form asks for."""
    place, weather = settings.place, settings.weather
    at = None
    if place.latitude is not None and place.longitude is not None:
        at = place.latitude, place.longitude
    return PlaceSettings(
        place.name, at, place.timezone or "", settings.show, settings.grow or (),
        weather.sensor_spot, weather.reading_hour,
    )  # fmt: skip


def changed(book: Book, place: PlaceSettings) -> Logged:
    """Change the lines of ``book.toml`` that say otherwise, and name them."""
    from gddcast.book.opening import SETTINGS
    from gddcast.book.setting_text import change_settings

    before = book.settings
    wanted = _settings(place)
    told = _lines(before)
    changes = {where: value for where, value in _lines(wanted).items() if told[where] != value}
    said = []
    if before.place.latitude is None and wanted.place.season_begins == (7, 1):
        changes["season", "begins"] = "07-01"
        said.append("Seasons begin on 1 July here.")
    if not changes:
        return Logged((), ("Nothing was changed.",))
    change_settings(book.folder / SETTINGS, changes)
    names = [_NAMES[where] for where in changes if where in _NAMES]
    return Logged((), (f"Changed: {', '.join(dict.fromkeys(names))}.", *said, *_doubts(wanted)))


#: What each line is called on the form.
_NAMES = {
    ("place", "name"): "name", ("place", "latitude"): "place", ("place", "longitude"): "place",
    ("place", "timezone"): "time zone", ("show", "temperature"): "scale",
    ("weather", "sensor_spot"): "where the thermometer hangs",
    ("weather", "reading_hour"): "hour of reading", ("looking", "grow"): "what you grow",
}  # fmt: skip


def _lines(settings: Settings) -> dict[tuple[str, str], object]:
    """Lines of ``book.toml`` that the form speaks of, by table and key."""
    place, weather = settings.place, settings.weather
    return {
        ("place", "name"): place.name,
        ("place", "latitude"): place.latitude,
        ("place", "longitude"): place.longitude,
        ("place", "timezone"): place.timezone,
        ("show", "temperature"): settings.show,
        ("weather", "sensor_spot"): weather.sensor_spot,
        ("weather", "reading_hour"): weather.reading_hour,
        ("weather", "day_ends"): weather.day_ends,
        ("looking", "grow"): list(settings.grow or ()),
    }


def _settings(place: PlaceSettings) -> Settings:
    """What the form says, checked, as a book keeps it."""
    from gddcast.book.settings import WeatherHabits
    from gddcast.cli.setup import day_ends, settings_of

    hour = place.reading_hour
    settings = settings_of(place.name, place.at, place.timezone, place.show, None, False)
    habits = WeatherHabits(sensor_spot=place.sensor_spot)
    if hour is not None:
        habits = replace(habits, reading_hour=hour, day_ends=day_ends(hour))
    return replace(settings, weather=habits, grow=place.grow)


def _doubts(settings: Settings) -> Iterator[str]:
    from gddcast.cli.setup import zone_doubt

    if doubt := zone_doubt(settings.place.longitude, settings.place.timezone or "UTC"):
        yield doubt
    if settings.weather.reading_hour in AFTERNOON:
        yield COUNTED_TWICE
