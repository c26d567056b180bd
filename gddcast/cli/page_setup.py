"""A new season book, as the browser's form describes it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from gddcast.web.season_book import Logged
from gddcast.words import AFTERNOON, COUNTED_TWICE, file_word

if TYPE_CHECKING:
    from gddcast.web.season_book import NewPlace


def made(place: NewPlace) -> tuple[Path, Logged]:
    """Make the book; its folder, and what is said of it."""
    from gddcast.book.founding import found_book
    from gddcast.book.settings import WeatherHabits
    from gddcast.cli.setup import day_ends, settings_of

    hour = place.reading_hour
    settings = settings_of(place.name, place.at, place.timezone, place.show, None, False)
    habits = WeatherHabits(sensor_spot=place.sensor_spot)
    if hour is not None:
        habits = replace(habits, reading_hour=hour, day_ends=day_ends(hour))
    settings = replace(settings, weather=habits, grow=place.grow)
    book = found_book(Path(file_word(settings.place.name)), settings)
    said = [f"Made the season book of {book.place.name}, in the folder {book.folder.resolve()}."]
    if settings.place.season_begins == (7, 1):
        said.append("Seasons begin on 1 July here.")
    if hour is not None and hour in AFTERNOON:
        said.append(COUNTED_TWICE)
    said.append("Now bring its weather: a file, or what the thermometer shows.")
    return book.folder, Logged((), tuple(said))
