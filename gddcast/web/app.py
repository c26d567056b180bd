"""Which address shows which screen, and which form writes what."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from gddcast.errors import Refusal
from gddcast.web import (
    beds,
    copy,
    devices,
    record,
    report_screens,
    saw,
    setup,
    stations,
    taps,
    today,
    walked,
    whole_card,
    why,
    working,
)
from gddcast.web.guard import CALENDAR, JOIN, Guard
from gddcast.web.keys import Keys
from gddcast.web.letting_in import let_in, start_route
from gddcast.web.screen import Shown, refused, script, shown
from gddcast.web.season_book import SeasonBook
from gddcast.web.taps import Taps
from gddcast.web.uploads import Uploads
from gddcast.web.working import Errands

if TYPE_CHECKING:
    from starlette.requests import Request

#: A form of ours has few fields, and a file at most.
_FIELDS, _FILES = 60, 1

#: What has to be there before any screen, and the screen on which it is made.
_FIRST = {"no-book": "/setup", "no-weather": "/record"}

Shows = Callable[["Request", SeasonBook], Shown | Response]
Writes = Callable[["Request", SeasonBook, FormData], Shown | Response]

#: Key, words and address of each screen that is always a tap away.
TABS = (
    ("today", "Today", "/"), ("ahead", "Ahead", "/ahead"), ("beds", "Beds", "/beds"),
    ("seasons", "Seasons", "/seasons"), ("record", "Record", "/record"),
)  # fmt: skip
SCREENS: dict[str, Shows] = {
    "/": today.screen,
    "/ahead": report_screens.ahead,
    "/beds": beds.screen,
    "/calendar.ics": record.calendar,
    "/card": whole_card.screen,
    "/export.zip": record.export,
    "/devices": devices.screen,
    "/file": record.look,
    "/copy.html": copy.download,
    "/record": record.screen,
    "/report": record.report,
    "/saw": saw.screen,
    "/seasons": report_screens.seasons,
    "/settings": setup.settings,
    "/setup": setup.screen,
    "/sheet": record.sheet,
    "/walked": walked.screen,
    "/page.js": lambda request, _: script(request),
    "/why": why.screen,
    "/working": working.screen,
}
#: Screens that are forms: for those who may log.
_TO_LOG = ("/file", "/saw", "/settings", "/setup", "/walked")
FORMS: dict[str, Writes] = {
    "/looked": saw.looked,
    "/saw": saw.enter,
    "/calendar-address": record.calendar_address,
    "/code": devices.code,
    "/did": today.did,
    "/fetch": stations.fetch,
    "/fetch-again": stations.fetch_again,
    "/file": record.take,
    "/keep": record.keep,
    "/leave": record.leave,
    "/note": record.note,
    "/settings": setup.change,
    "/setup": setup.make,
    "/sow": beds.sow,
    "/stations": stations.near,
    "/tap": taps.take,
    "/undo": today.undo,
    "/walked": walked.enter,
    "/redo": today.redo,
    "/revoke": devices.revoke,
}


def page_app(
    book: SeasonBook,
    keys: Keys,
    names: Collection[str],
    port: int,
    scratch: Path,
    at_home: str = "",
    opened: Callable[[], None] = lambda: None,
) -> Guard:
    """The whole page behind its guard.

    Parameters
    ----------
    book : SeasonBook
    keys : Keys
    names : collection of str
        Hosts with their ports under which it may be asked for.
    port : int
    scratch : Path
        A folder for files handed over; it goes with the run.
    at_home : str, optional
        Address under which other devices of the home network reach it; empty where none may.
    opened : callable, optional
        Told that the start key was used, and another one made.
    """
    routes = [Route(path, _showing(_for_loggers(screen) if path in _TO_LOG else screen, book),
                    methods=["GET"]) for path, screen in SCREENS.items()]  # fmt: skip
    routes += [Route(path, _writing(form, book, keys), methods=["POST"])
               for path, form in FORMS.items()]  # fmt: skip
    app = Starlette(routes=routes, exception_handlers={Exception: _fault})
    app.state.tabs = TABS
    app.state.keys, app.state.at_home = keys, at_home
    app.state.notices, app.state.taps, app.state.uploads = {}, Taps(), Uploads(scratch)
    app.state.errands = Errands()
    guard = Guard(app, keys, names, port)

    async def ask_to_join(request: Request) -> Response:
        """A form, so that a code is not used up by whoever only looks at an address."""
        return shown(request, devices.to_join(request.query_params.get("code", "")))

    async def join(request: Request) -> Response:
        """Trade a code for a session."""
        async with request.form(max_files=0, max_fields=_FIELDS) as fields:
            said = fields.get("code", "")
            session = keys.join(said) if isinstance(said, str) else None
        if session is None:
            said = "This code was used, is older than ten minutes, or is not ours."
            return PlainTextResponse(f"{said} The kitchen’s page makes a fresh one.\n", 403)
        return let_in(session, guard.cookie)

    async def icon(_: Request) -> Response:
        return Response(status_code=204)

    app.routes.append(start_route(keys, guard.cookie, opened))
    fetched = _showing(record.fetched_calendar, book)
    app.routes.append(Route(f"{CALENDAR}{{key}}.ics", fetched, methods=["GET"]))
    app.routes.append(Route(JOIN, ask_to_join, methods=["GET"]))
    app.routes.append(Route(JOIN, join, methods=["POST"]))
    app.routes.append(Route("/favicon.ico", icon, methods=["GET"]))
    return guard


async def _fault(_: Request, fault: Exception) -> Response:
    """A fault of ours, said as one."""
    said = f"This is a fault of gddcast, not of yours: {type(fault).__name__}: {fault}"
    return PlainTextResponse(f"{said}\nWhat was logged before it is in the book.\n", 500)


def _for_loggers(screen: Shows) -> Shows:
    """A form, not shown where it could not be sent."""

    def show(request: Request, book: SeasonBook) -> Shown | Response:
        if not request.scope["session"].writes:
            raise Refusal(
                "this screen", "it is a form, and this device may look and not log",
                "The machine that keeps the book says who may log: Record, Other devices.", "",
                slug="may-not-log",
            )  # fmt: skip
        return screen(request, book)

    return show


def _showing(screen: Shows, book: SeasonBook) -> Callable[[Request], Awaitable[Response]]:
    async def show(request: Request) -> Response:
        return await run_in_threadpool(_answered, request, lambda: screen(request, book))

    return show


def _writing(
    form: Writes, book: SeasonBook, keys: Keys
) -> Callable[[Request], Awaitable[Response]]:
    async def write(request: Request) -> Response:
        async with request.form(max_files=_FILES, max_fields=_FIELDS) as fields:
            token = fields.get("token")
            if not isinstance(token, str) or not keys.is_token(request.scope["session"], token):
                said = "That form is older than this run of gddcast. Nothing was written."
                return PlainTextResponse(f"{said} Go back and load the page again.\n", 403)
            return await run_in_threadpool(_answered, request, lambda: form(request, book, fields))

    return write


def _answered(request: Request, answer: Callable[[], Shown | Response]) -> Response:
    """What a screen or a form answers; a refusal is a page with its three parts."""
    try:
        made = answer()
    except Refusal as refusal:
        elsewhere = _FIRST.get(refusal.slug)
        made = RedirectResponse(elsewhere, 303) if elsewhere else refused(refusal)
    if isinstance(made, Response):
        return made
    return shown(request, made)
