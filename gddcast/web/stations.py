"""A weather station near the place: looked for and fetched when asked, judged before it is kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.responses import RedirectResponse, Response

from gddcast.errors import Refusal
from gddcast.text.weather.fetched import station_words
from gddcast.weather.stations import GOOD, Near
from gddcast.web import fields
from gddcast.web.notices import sent_on
from gddcast.web.screen import Shown
from gddcast.web.uploads import Uploads
from gddcast.web.working import awaited

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request

    from gddcast.web.season_book import SeasonBook

#: Letters of a station's key.
_LONGEST = 40


@dataclass(frozen=True, slots=True)
class StationChoice:
    """One to choose."""

    key: str
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class StationsPage:
    """What ``web/stations.html`` shows."""

    stations: tuple[StationChoice, ...]
    years: int
    good: str = GOOD
    title: str = "Stations near here"


def near(request: Request, book: SeasonBook, _: FormData) -> Shown | Response:
    """Stations near the place, best first. Uses the network."""

    def look() -> Shown:
        page = StationsPage(tuple(_stations(book.stations())), book.past_years)
        return Shown("stations.html", page, "record")

    return awaited(request, look)


def _stations(nears: tuple[Near, ...]) -> Iterator[StationChoice]:
    for each in nears:
        yield StationChoice(
            each.station.id, each.station.name or each.station.id, station_words(each)
        )


def fetch(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Fetch the one chosen, and show it before anything is kept. Uses the network."""
    key = fields.text(form, "station")
    if not key.isalnum() or len(key) > _LONGEST:
        raise Refusal("this form", "it names no station", "One of the list is chosen.", "",
                      slug="no-station")  # fmt: skip
    uploads: Uploads = request.app.state.uploads
    forecast = bool(fields.text(form, "forecast"))

    def write() -> Response:
        with uploads.room(f"station-{key}.csv") as upload:
            book.fetch(key, upload.file, forecast=forecast)
        return RedirectResponse(f"/file?key={upload.key}", 303)

    return awaited(request, write)


def fetch_again(request: Request, book: SeasonBook, _: FormData) -> Shown | Response:
    """Bring the book's station up to date. Uses the network."""

    def write() -> Response:
        logged = book.fetch_again()
        return sent_on(request, logged, back="undo" if logged.entries else "", to="/record")

    return awaited(request, write)
