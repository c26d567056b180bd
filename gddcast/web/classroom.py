"""For a class: a day by hand, worksheets and cards; no book, nothing to log, nobody let in."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.responses import Response
from starlette.routing import Route

from gddcast.errors import Refusal
from gddcast.lessons.worked_day import Day
from gddcast.lessons.worksheet import make_worksheet
from gddcast.pages.lessons.day import day_page
from gddcast.pages.lessons.sheet import sheet_page
from gddcast.web import fields, why
from gddcast.web.guard import Guard
from gddcast.web.screen import Shown, our_page, refused, script, shown

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.cards.model import Card
    from gddcast.units import Unit

_TABS = (("lessons", "Lessons", "/"), ("cards", "Cards", "/cards"))
_DAYS = 5


@dataclass(frozen=True, slots=True)
class Library:
    """Cards alone."""

    by_key: Mapping[str, Card]

    def cards(self) -> Mapping[str, Card]:
        """By key."""
        return self.by_key


@dataclass(frozen=True, slots=True)
class LessonsPage:
    """What ``web/lessons.html`` shows."""

    title: str = "Degree-days by hand"


@dataclass(frozen=True, slots=True)
class CardsPage:
    """What ``web/cards.html`` shows: key and name of every card, by what it is of."""

    pests: tuple[tuple[str, str], ...]
    crops: tuple[tuple[str, str], ...]
    title: str = "Cards"


def class_app(cards: Mapping[str, Card], names: Collection[str], port: int) -> Guard:
    """Lessons and cards behind a guard that lets everybody look.

    Parameters
    ----------
    cards : mapping of str to Card
    names : collection of str
        Hosts with their ports under which it may be asked for.
    port : int
    """
    library = Library(cards)
    screens: dict[str, Callable[[Request], Shown | Response]] = {
        "/": lambda _: Shown("lessons.html", LessonsPage(), "lessons"),
        "/card": lambda request: why.card(request, library),
        "/cards": lambda _: _cards(cards),
        "/day": _day,
        "/page.js": script,
        "/worksheet": _worksheet,
    }
    app = Starlette(routes=[Route(path, _showing(each)) for path, each in screens.items()])
    app.state.tabs = _TABS
    return Guard(app, None, names, port)


def _showing(screen: Callable[[Request], Shown | Response]) -> Callable[[Request], Response]:
    def show(request: Request) -> Response:
        try:
            made = screen(request)
        except Refusal as refusal:
            made = refused(refusal)
        return made if isinstance(made, Response) else shown(request, made)

    return show


def _cards(cards: Mapping[str, Card]) -> Shown:
    named = sorted((card.name, card.key, card.group) for card in cards.values())
    pests, crops = (
        tuple((key, name) for name, key, of in named if of == group) for group in ("pest", "crop")
    )
    return Shown("cards.html", CardsPage(pests, crops), "cards")


def _day(request: Request) -> Response:
    """One day worked by every method, with its picture."""
    asked = request.query_params
    high, low, lower = (_number(asked.get(name, ""), name) for name in ("high", "low", "lower"))
    upper = _number(asked["upper"], "upper") if asked.get("upper") else float("inf")
    return our_page(request, day_page(Day(high, low, lower, _scale(request), upper=upper)))


def _worksheet(request: Request) -> Response:
    """A sheet to fill in; its key stays with the teacher, who has the command."""
    seed = int(_number(request.query_params.get("seed", "1"), "number"))
    return our_page(request, sheet_page(make_worksheet(seed, _DAYS, _scale(request))))


def _scale(request: Request) -> Unit:
    return "C" if request.query_params.get("unit") == "C" else "F"


def _number(said: str, name: str) -> float:
    number = fields.number(said)
    if number is None or abs(number) > 1_000_000:
        raise Refusal(f"the {name}", f"'{said[:20]}' is no number of use here",
                      "Write it as 72 or 21.5.", "", slug="field")  # fmt: skip
    return number
