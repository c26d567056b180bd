"""What takes minutes, as a fetch does: it goes on by itself, and a screen says so until it ends."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures import TimeoutError as StillGoing
from dataclasses import dataclass, field
from threading import Lock, Thread
from typing import TYPE_CHECKING

from starlette.responses import RedirectResponse, Response

from gddcast.errors import Refusal
from gddcast.web.screen import Shown

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.web.season_book import SeasonBook

#: What ends so soon is answered at once; behind it the screen loads itself again. [s]
SOON, AGAIN = 1.5, 3
#: Ends that wait to be looked at.
_MOST = 8
Answer = Shown | Response


@dataclass(frozen=True, slots=True)
class WorkingPage:
    """What ``web/working.html`` shows."""

    key: str
    title: str = "Asking the network"


@dataclass
class Errands:
    """Those of a run, by name."""

    _errands: OrderedDict[str, Future[Answer]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def begin(self, work: Callable[[], Answer]) -> str:
        """Set it going; it keeps nobody from ending the program."""
        key, end = secrets.token_hex(8), Future[Answer]()

        def run() -> None:
            try:
                end.set_result(work())
            except BaseException as fault:  # whoever looks at the end is told
                end.set_exception(fault)

        with self._lock:
            self._errands[key] = end
            while len(self._errands) > _MOST:
                self._errands.popitem(last=False)
        Thread(target=run, daemon=True).start()
        return key

    def end_of(self, key: str, within: float) -> Answer | None:
        """What it came to, a refusal among it; None where it still goes on."""
        with self._lock:
            end = self._errands.get(key)
        if end is None:
            raise Refusal(
                "this fetch", "nothing is known of it", "It belongs to an earlier run.",
                "Ask again.", slug="no-errand",
            )  # fmt: skip
        try:
            return end.result(within)
        except StillGoing:
            if end.done():  # what was done timed out itself
                raise
            return None


def awaited(request: Request, work: Callable[[], Answer]) -> Answer:
    """The answer, where it comes soon; else the browser sent to where it is waited for."""
    errands: Errands = request.app.state.errands
    key = errands.begin(work)
    answer = errands.end_of(key, SOON)
    return RedirectResponse(f"/working?key={key}", 303) if answer is None else answer


def screen(request: Request, _: SeasonBook) -> Answer:
    """What it came to; or that it goes on, looked at again in a moment, with scripts or without."""
    errands: Errands = request.app.state.errands
    key = request.query_params.get("key", "")
    answer = errands.end_of(key, 0)
    if answer is not None:
        return answer
    page = WorkingPage(key)
    return Shown("working.html", page, "record", headers={"Refresh": str(AGAIN)})
