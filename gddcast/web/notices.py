"""What was just logged, said once more on the screen that the browser is sent to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from starlette.responses import RedirectResponse, Response

from gddcast.web.season_book import Logged

if TYPE_CHECKING:
    from starlette.requests import Request

#: So many are kept; whoever goes back further sees the book itself.
_MOST = 200


@dataclass(frozen=True, slots=True)
class Notice:
    """What was written, by which entries, and the form that takes it back."""

    lines: tuple[str, ...]
    entries: tuple[str, ...]
    back: str  # "undo", "redo", or nothing
    at: str  # organism or bed it is about
    to: str  # the screen that says so


def sent_on(
    request: Request, logged: Logged, *, back: str, at: str = "", to: str = "/"
) -> Response:
    """The browser sent on to a screen, so that loading it again writes nothing again."""
    notices: dict[str, Notice] = request.app.state.notices
    name = logged.entries[-1] if logged.entries else "nothing"
    notices[name] = Notice(logged.lines, logged.entries, back, at, to)
    while len(notices) > _MOST:
        del notices[next(iter(notices))]
    anchor = f"#{at}" if at else ""
    return RedirectResponse(f"{to}?{urlencode({'said': name})}{anchor}", 303)


def notice_of(request: Request) -> Notice | None:
    """The notice that an address speaks of."""
    notices: dict[str, Notice] = request.app.state.notices
    return notices.get(request.query_params.get("said", ""))
