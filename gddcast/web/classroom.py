"""For a class: a day by hand, worksheets and cards; no book, nothing to log, nobody let in."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.responses import Response
from starlette.routing import Route

from gddcast.errors import Refusal
from gddcast.lessons.worked_day import Day, moral
from gddcast.lessons.worksheet import FORMS, make_worksheet
from gddcast.pages.lessons.class_pages import quiz_page
from gddcast.pages.lessons.day import day_figure, day_page, methods_table
from gddcast.pages.lessons.sheet import sheet_page
from gddcast.pages.paper import Figure, PageTable
from gddcast.readers.quiz_file import load_quizzes
from gddcast.web import fields, whole_card
from gddcast.web.guard import Guard
from gddcast.web.screen import Shown, our_page, refused, script, shown

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.cards.model import Card
    from gddcast.units import Unit

_TABS = (("lessons", "Lessons", "/"), ("cards", "Cards", "/cards"))
#: The day a class begins with.
_BLACKBOARD = {"high": "72", "low": "46", "lower": "50", "upper": ""}


@dataclass(frozen=True, slots=True)
class Library:
    """Cards alone."""

    by_key: Mapping[str, Card]

    def cards(self) -> Mapping[str, Card]:
        """By key."""
        return self.by_key


@dataclass(frozen=True, slots=True)
class LessonsPage:
    """What ``web/lessons.html`` shows: a day typed or slid, its picture, sheets and questions."""

    typed: Mapping[str, str]
    unit: Unit
    figure: Figure
    methods: PageTable
    moral: str
    forms: tuple[tuple[str, str], ...]
    quizzes: tuple[tuple[str, str], ...]
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
        "/": _lessons,
        "/card": lambda request: whole_card.screen(request, library),
        "/cards": lambda _: _cards(cards),
        "/day": _day,
        "/page.js": script,
        "/quiz": _quiz,
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


def _lessons(request: Request) -> Shown:
    """The first screen; without a day of its own it shows that of the blackboard."""
    typed = {name: request.query_params.get(name, usual) for name, usual in _BLACKBOARD.items()}
    day = _day_typed(typed, _scale(request))
    page = LessonsPage(
        typed, day.unit, day_figure(day), methods_table(day), moral(day),
        tuple((form.name, form.teaches) for form in FORMS.values()),
        tuple((quiz.lesson, quiz.title) for quiz in load_quizzes().values()),
    )  # fmt: skip
    return Shown("lessons.html", page, "lessons")


def _day(request: Request) -> Response:
    """One day worked by every method, step by step, with its picture."""
    return our_page(request, day_page(_day_typed(request.query_params, _scale(request))))


def _day_typed(typed: Mapping[str, str], unit: Unit) -> Day:
    high, low, lower = (_number(typed.get(name, ""), name) for name in ("high", "low", "lower"))
    upper = _number(typed["upper"], "upper") if typed.get("upper") else float("inf")
    return Day(high, low, lower, unit, upper=upper)


def _worksheet(request: Request) -> Response:
    """A sheet to fill in; its key stays with the teacher, who has the command."""
    seed = int(_number(request.query_params.get("seed", "1"), "number"))
    form = request.query_params.get("form", "week")
    if form not in FORMS:
        raise Refusal("the form", f"there is no {form[:20]}", f"Forms are {', '.join(FORMS)}.", "",
                      slug="field")  # fmt: skip
    return our_page(request, sheet_page(make_worksheet(seed, unit=_scale(request), form=form)))


def _quiz(request: Request) -> Response:
    """Five questions; their answers stay with the teacher."""
    quizzes, lesson = load_quizzes(), request.query_params.get("lesson", "")
    if lesson not in quizzes:
        raise Refusal("the lesson", f"there is no {lesson[:20]}",
                      f"Lessons are {', '.join(quizzes)}.", "", slug="field")  # fmt: skip
    return our_page(request, quiz_page(quizzes[lesson], answers=False))


def _scale(request: Request) -> Unit:
    return "C" if request.query_params.get("unit") == "C" else "F"


def _number(text: str, name: str) -> float:
    number = fields.number(text)
    if number is None or abs(number) > 1_000_000:
        raise Refusal(f"the {name}", f"'{text[:20]}' is no number of use here",
                      "Write it as 72 or 21.5.", "", slug="field")  # fmt: skip
    return number
