"""Set-up, and what was set up: the place, what grows there, the thermometer, in one form."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.responses import RedirectResponse, Response

from gddcast.errors import Refusal
from gddcast.web import fields
from gddcast.web.notices import sent_on
from gddcast.web.screen import Shown
from gddcast.web.season_book import Logged, PlaceSettings
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request

    from gddcast.units import Unit
    from gddcast.web.season_book import SeasonBook

#: Where a thermometer may hang: as the book says it, and as people do.
SPOTS = (
    ("open-shade", "in open shade"), ("sun", "in the sun"), ("wall", "on a wall"),
    ("under-cover", "under cover"), ("indoors", "indoors"), ("unknown", "I don’t know"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SetupPage:
    """What ``web/setup.html`` shows."""

    crops: tuple[tuple[str, str], ...]
    spots: tuple[tuple[str, str], ...]
    typed: dict[str, str]
    grow: tuple[str, ...]
    fault: tuple[str, ...] = ()
    is_new: bool = True
    stands: str = ""  # what the book said when the form was filled
    title: str = "Your place"


def screen(_: Request, book: SeasonBook) -> Shown | Response:
    """The empty form; where there is a book, that."""
    if book.exists():
        return RedirectResponse("/", 303)
    return _shown(book, {"timezone": book.machine_timezone()}, ())


def _shown(
    book: SeasonBook, typed: dict[str, str], grow: tuple[str, ...], fault: tuple[str, ...] = ()
) -> Shown:
    crops = [(card.name, card.key) for card in book.cards().values() if card.group == "crop"]
    crops.sort(key=lambda crop: crop[0].casefold())
    is_new = not book.exists()
    page = SetupPage(
        tuple((key, name) for name, key in crops), SPOTS, typed, grow, fault, is_new,
        "" if is_new else _mark(book.settings()),
    )  # fmt: skip
    return Shown("setup.html", page, "" if is_new else "record", 422 if fault else 200)


def _mark(settings: PlaceSettings) -> str:
    """What tells these settings from any others."""
    return hashlib.sha256(repr(settings).encode()).hexdigest()[:16]


def settings(_: Request, book: SeasonBook) -> Shown:
    """What was said of the place, to be changed."""
    place_settings = book.settings()
    typed = {
        "name": place_settings.name,
        "timezone": place_settings.timezone,
        "show": place_settings.show,
        "at": ""
        if place_settings.at is None
        else f"{place_settings.at[0]:g}, {place_settings.at[1]:g}",
        "spot": place_settings.sensor_spot,
        "hour": "" if place_settings.reading_hour is None else str(place_settings.reading_hour),
    }
    return _shown(book, typed, place_settings.grow)


def make(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Make the book; what cannot be comes back with what was typed."""
    return _answered(request, book, form, book.make)


def change(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Change what is said otherwise; the second of two who change it at once is told."""

    def write(place: PlaceSettings) -> Logged:
        stands = book.settings()
        if fields.text(form, "stands") != _mark(stands) and stands != place:
            raise Refusal(
                "the place", "somebody else changed it since this form was opened",
                "The book now says: " + "; ".join(_in_words(stands)) + ". Below stands what you "
                "typed: send it once more, and it holds.", "", slug="changed-meanwhile",
            )  # fmt: skip
        return book.change(place)

    return _answered(request, book, form, write)


def _in_words(place_settings: PlaceSettings) -> Iterator[str]:
    """Settings in words, short enough to be held against a form."""
    yield place_settings.name
    if place_settings.at is not None:
        yield f"{place_settings.at[0]:g}, {place_settings.at[1]:g}"
    yield place_settings.timezone
    yield f"°{place_settings.show}"
    yield "grown: " + (", ".join(place_settings.grow) or "nothing named")
    yield "thermometer " + dict(SPOTS).get(place_settings.sensor_spot, place_settings.sensor_spot)
    hour = place_settings.reading_hour
    yield "records by itself" if hour is None else f"read at {hour}"


def _answered(
    request: Request, book: SeasonBook, form: FormData, write: Callable[[PlaceSettings], Logged]
) -> Shown | Response:
    names = ("name", "at", "timezone", "show", "spot", "hour")
    typed = {name: fields.text(form, name) for name in names}
    grow = tuple(fields.texts(form, "grow"))
    try:
        return sent_on(request, write(_place(typed, grow)), back="", to="/record")
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.problem}.", refusal.expected)
        return _shown(book, typed, grow, said)


def _place(typed: dict[str, str], grow: tuple[str, ...]) -> PlaceSettings:
    if not typed["name"]:
        raise Refusal("the name", "it is empty", "It stands over every page and sheet.", "",
                      slug="field")  # fmt: skip
    if not typed["timezone"]:
        raise Refusal("the time zone", "it is empty", "Names are like America/Chicago.", "",
                      slug="field")  # fmt: skip
    show: Unit = "C" if typed["show"] == "C" else "F"
    hour = typed["hour"]
    if hour and not (hour.isascii() and hour.isdigit() and int(hour[:3]) <= 23):
        raise Refusal("the hour", f"'{hour[:20]}' is none", "0 to 23 are.", "", slug="field")
    spot = typed["spot"] if typed["spot"] in dict(SPOTS) else "unknown"
    return PlaceSettings(
        typed["name"], _point(typed["at"]), typed["timezone"], show, grow, spot,
        int(hour) if hour else None,
    )  # fmt: skip


def _point(text: str) -> tuple[float, float] | None:
    """Latitude and longitude; None where nobody said it."""
    if not text:
        return None
    try:
        latitude, longitude = (float(part) for part in text.split(","))
    except ValueError:
        latitude = longitude = 999.0
    if not (abs(latitude) <= 90 and abs(longitude) <= 180):
        raise Refusal(
            "the place", f"'{text[:40]}' is none",
            "Latitude and longitude are written as 41.2, -89.4: north and east positive.", "",
            slug="field",
        )  # fmt: skip
    return latitude, longitude
