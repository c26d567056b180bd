"""The demo's season book: made anew each time, so that nobody can spoil it."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gddcast.book.opening import Book

#: The demo's own today: its record ends the evening before.
DEMO_TODAY = dt.date(2026, 6, 11)
_WEATHER_ENTERED = dt.datetime(2026, 6, 10, 21, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))


def make_demo_book(folder: Path) -> Book:
    """Make the full book of an invented place in a folder.

    Raises
    ------
    Refusal
        If a book is there already, or the folder cannot be written.
    """
    from gddcast.book.exchange import import_book
    from gddcast.book.weather_rows import WeatherSource
    from gddcast.readers.opening import data_folder
    from gddcast.readers.temperature_file import read_temperatures

    source = data_folder() / "demo"
    book = import_book(source, folder)
    reading = read_temperatures(source / "weather.csv", place=book.place, today=DEMO_TODAY)
    with book.writing(_WEATHER_ENTERED, DEMO_TODAY, trust_clock=True) as pen:
        pen.weather(reading.series, WeatherSource("weather.csv", "F", reading.unit_decided_by))
    return book


@contextmanager
def demo_book() -> Iterator[Book]:
    """The book of the invented place, read-only, for as long as the block runs."""
    with tempfile.TemporaryDirectory(prefix="gddcast-demo-") as folder:
        book = make_demo_book(Path(folder) / "brackenrise-patch")
        for file in book.folder.iterdir():
            file.chmod(0o444)
        yield book
