"""The address that opens the page: a start key, or a code, is traded for a session."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from gddcast.web.guard import DOOR
from gddcast.web.keys import Keys, Session

if TYPE_CHECKING:
    from starlette.requests import Request


def let_in(session: Session, cookie: str) -> Response:
    """Send a browser to the first screen with the session it was given."""
    answer = RedirectResponse("/", 303)
    answer.set_cookie(cookie, session.key, httponly=True, samesite="strict", path="/")
    return answer


def start_route(keys: Keys, cookie: str, opened: Callable[[], None]) -> Route:
    """The one way in on this machine.

    Parameters
    ----------
    keys : Keys
    cookie : str
        Name of the session's.
    opened : callable
        Told that the start key was used, and another one made.
    """

    async def start(request: Request) -> Response:
        """Trade the start key for a session."""
        session = keys.admit(request.query_params.get("key", ""))
        if session is None:
            said = "This address was used before, or is not ours. The terminal shows a fresh one."
            return PlainTextResponse(f"{said}\n", 403)
        opened()
        return let_in(session, cookie)

    return Route(DOOR, start, methods=["GET"])
