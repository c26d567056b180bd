"""The demo's season book: made anew in a temporary folder, so that nobody can spoil it."""

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


@contextmanager
def demo_book() -> Iterator[Book]:
    """The full book of an invented place, read-only, for as long as the block runs."""
    from gddcast.book.exchange import import_book
    from gddcast.book.weather_rows import Source
    from gddcast.readers.packaged import data_folder
    from gddcast.readers.temperature_file import read_temperatures

    source = data_folder() / "demo"
    with tempfile.TemporaryDirectory(prefix="gddcast-demo-") as folder:
        book = import_book(source, Path(folder) / "brackenrise-patch")
        reading = read_temperatures(source / "weather.csv", place=book.place, today=DEMO_TODAY)
        with book.writing(_WEATHER_ENTERED, DEMO_TODAY, trust_clock=True) as pen:
            pen.weather(reading.series, Source("weather.csv", "F", reading.unit_decided_by))
        for file in book.folder.iterdir():
            file.chmod(0o444)
        yield book
