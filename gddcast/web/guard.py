"""Who may ask, and what every answer says to the browser; it stands before everything else.

A browser shows pages of strangers beside ours, so each request proves where it comes from: the
name it asked for is one of this machine's (a foreign name that resolves to it is refused), a write
comes from a page of this very address, port included, and a session cookie says that the person who
started the program let it in.
"""

from __future__ import annotations

import secrets
from collections.abc import Collection
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, Response

from gddcast.web.keys import Keys, Session
from gddcast.web.serving import names_of

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Whatever is sent to us at once: a file of daily weather is far smaller. [bytes]
MOST_SENT = 50_000_000
_TOO_MUCH = f"That is more than {MOST_SENT // 1_000_000} MB."
#: Open without a session: what makes one, on this machine and on another device.
DOOR, JOIN = "/start", "/join"
#: Calendar programs have no session: their address has a key of its own, which its screen asks for.
CALENDAR = "/calendar/"
#: Browsers send ``Origin: null`` with a form of a page that says no-referrer (WHATWG Fetch,
#: "append a request Origin header"), and a write without its origin is refused here. So our own
#: addresses stay with us, and no other site is told any.
_REFERRER = "same-origin"


def cookie_name(port: int) -> str:
    """Of the session: browsers keep cookies by host, not by port."""
    return f"gddcast-{port}"


class Guard:
    """The only way to the screens.

    Parameters
    ----------
    app : ASGIApp
        The screens.
    keys : Keys or None
        None lets everybody look, and nobody write.
    names : collection of str
        Hosts with their ports under which the page may be asked for.
    port : int
    """

    def __init__(self, app: ASGIApp, keys: Keys | None, names: Collection[str], port: int) -> None:
        self.app, self.keys = app, keys
        self.names, self.own = frozenset(names), names_of(port)
        self.cookie = cookie_name(port)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        if scope["type"] != "http":
            return
        scope["nonce"] = nonce = secrets.token_urlsafe(16)
        headers = Headers(scope=scope)
        scope["session"], scope["token"] = None, ""
        if self.keys is not None:
            session = self.keys.session(_cookie(headers.get("cookie", ""), self.cookie))
            scope["session"], scope["token"] = session, self.keys.token(session) if session else ""
        refused = self._refused(scope, headers)
        answer: ASGIApp = refused if refused is not None else self.app
        counted = receive if refused is not None else _counted(receive)

        async def saying(message: Message) -> None:
            if message["type"] == "http.response.start":
                _say(MutableHeaders(scope=message), nonce)
            await send(message)

        await answer(scope, counted, saying)

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        host = headers.get("host", "")
        if len(headers.getlist("host")) != 1 or host not in self.names:
            return _no(421, "This page is not kept under that name.")
        if scope["method"] not in ("GET", "HEAD", *(("POST",) if self.keys else ())):
            return _no(405, "Not a way to ask.")
        if scope["method"] == "POST" and headers.getlist("origin") != [f"http://{host}"]:
            return _no(403, "That form is not of this page. Nothing was written.")
        session: Session | None = scope["session"]
        path = scope["path"]
        if path == DOOR and host not in self.own:
            return _no(403, "That address is for the machine that keeps the book.")
        is_open = path in (DOOR, JOIN) or (path.startswith(CALENDAR) and scope["method"] == "GET")
        if self.keys is not None and session is None and not is_open:
            return _no(
                403,
                "This page opens with the address that gddcast printed when it was started. "
                "Each address opens it once; the terminal shows a fresh one.",
            )
        if session and not session.writes and scope["method"] == "POST":
            return _no(403, "This device may look and not log. Nothing was written.")
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_SENT:
            return _no(413, _TOO_MUCH)
        return None


def _counted(receive: Receive) -> Receive:
    """The same body, cut off where it goes on for too long."""
    so_far = 0

    async def counting() -> Message:
        nonlocal so_far
        message = await receive()
        so_far += len(message.get("body", b""))
        if so_far > MOST_SENT:
            raise HTTPException(413, _TOO_MUCH)
        return message

    return counting


def _say(headers: MutableHeaders, nonce: str) -> None:
    """What the browser must not do with a page of ours."""
    headers["Content-Security-Policy"] = (
        f"default-src 'none'; style-src 'nonce-{nonce}'; script-src 'nonce-{nonce}'; "
        "img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
        "frame-ancestors 'none'"
    )
    headers["Referrer-Policy"] = _REFERRER
    headers["X-Content-Type-Options"] = "nosniff"
    headers["Cache-Control"] = "no-store"
    headers["Cross-Origin-Opener-Policy"] = "same-origin"
    headers["Cross-Origin-Resource-Policy"] = "same-origin"


def _cookie(text: str, name: str) -> str | None:
    try:
        morsel = SimpleCookie(text).get(name)
    except CookieError:
        return None
    return morsel.value if morsel else None


def _no(status: int, why: str) -> Response:
    return PlainTextResponse(f"{why}\n", status)
