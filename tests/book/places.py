"""Books for tests: invented places, made small."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np

from gddcast.book.founding import create_book
from gddcast.book.opening import Book
from gddcast.book.settings import Settings
from gddcast.book.weather_rows import WeatherSource
from gddcast.weather.series import DailySeries, Place

NOW = dt.datetime(2026, 6, 25, 19, 30, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
TODAY = dt.date(2026, 6, 25)
HERE = Place("Larkhollow Patch", 41.2, -89.4, 190.0, "America/Chicago")
FILE = WeatherSource("garden.csv", "F", "header")


def new_book(folder: Path, **settings: object) -> Book:
    """An empty book."""
    return create_book(folder, Settings(HERE, **settings))  # type: ignore[arg-type]


def days(first: str, tmin: list[float], tmax: list[float], **more: object) -> DailySeries:
    """A few days."""
    return DailySeries(
        dt.date.fromisoformat(first), np.array(tmin), np.array(tmax), place=HERE, **more
    )  # type: ignore[arg-type]
