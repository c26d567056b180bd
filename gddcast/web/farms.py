"""Several farms in a browser: who is due where, each farm's day and report; nothing is written."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response
from starlette.routing import Route

from gddcast.errors import Refusal
from gddcast.pages.farms.map_page import MapPage
from gddcast.web.guard import Guard, cookie_name
from gddcast.web.keys import Keys
from gddcast.web.letting_in import start_route
from gddcast.web.screen import Shown, our_page, refused, script, shown
from gddcast.web.today import TodayPage, today_page

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.today.today import Today
    from gddcast.units import Unit

_TABS = (("farms", "Farms", "/"),)


class ListOfFarms(Protocol):
    """The farms of a folder, each time as they stand. Every method may raise a `Refusal`."""

    def board(self) -> MapPage:
        """Who is due where."""

    def today(self, name: str) -> Today:
        """What one farm says on the day."""

    def show(self) -> Unit:
        """What is read."""

    def report(self, name: str) -> str:
        """The season's report of one farm, a page."""


@dataclass(frozen=True, slots=True)
class FarmPage:
    """What ``web/farm.html`` shows."""

    title: str
    walk: TodayPage


Shows = Callable[["Request", ListOfFarms], Shown | Response]


def farms_app(
    farms: ListOfFarms,
    keys: Keys,
    names: Collection[str],
    port: int,
    opened: Callable[[], None] = lambda: None,
) -> Guard:
    """The farms behind a guard; no address of theirs writes.

    Parameters
    ----------
    farms : ListOfFarms
    keys : Keys
    names : collection of str
        Hosts with their ports under which it may be asked for.
    port : int
    opened : callable, optional
        Told that the start key was used, and another one made.
    """
    app = Starlette(routes=[
        *(Route(path, _showing(screen, farms), methods=["GET"])
          for path, screen in SCREENS.items()),
        start_route(keys, cookie_name(port), opened),
    ])  # fmt: skip
    app.state.tabs = _TABS
    return Guard(app, keys, names, port)


def _showing(screen: Shows, farms: ListOfFarms) -> Callable[[Request], Awaitable[Response]]:
    def answered(request: Request) -> Response:
        try:
            made = screen(request, farms)
        except Refusal as refusal:
            made = refused(refusal)
        return made if isinstance(made, Response) else shown(request, made)

    async def show(request: Request) -> Response:
        return await run_in_threadpool(answered, request)

    return show


def _board(_: Request, farms: ListOfFarms) -> Shown:
    return Shown("farms.html", farms.board(), "farms")


def _farm(request: Request, farms: ListOfFarms) -> Shown:
    """One farm's walk of the day, to look at."""
    today = farms.today(request.query_params.get("name", ""))
    walk = today_page(today, farms.show(), None, invented=False)
    return Shown("farm.html", FarmPage(today.record.place.name, walk), "farms")


def _report(request: Request, farms: ListOfFarms) -> Response:
    """One farm's season as its report."""
    return our_page(request, farms.report(request.query_params.get("name", "")))


SCREENS: dict[str, Shows] = {
    "/": _board,
    "/farm": _farm,
    "/report": _report,
    "/favicon.ico": lambda *_: Response(status_code=204),
    "/page.js": lambda request, _: script(request),
}
