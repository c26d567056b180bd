"""Taps that a device kept while the kitchen was out of reach: each placed once, on its own day."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from typing import TYPE_CHECKING

from starlette.responses import JSONResponse

from gddcast.crops.chores import job_named
from gddcast.errors import Refusal
from gddcast.journal.finds import same_find
from gddcast.web import fields, saw
from gddcast.web.notices import Notice
from gddcast.web.screen import notice_html
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.web.season_book import Logged, SeasonBook

#: Answers that are kept, should one of them not have arrived.
_MOST = 1_000
Answer = dict[str, str | bool]


@dataclass
class Taps:
    """What each was answered: asked again under the same name, it is not placed again."""

    _answers: OrderedDict[str, Answer] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def once(self, name: str, place: Callable[[], Answer]) -> Answer:
        """The answer to a tap; two pages that send the same one get the same."""
        with self._lock:
            if name not in self._answers:
                self._answers[name] = place()
                while len(self._answers) > _MOST:
                    self._answers.popitem(last=False)
            return self._answers[name]


def take(request: Request, book: SeasonBook, form: FormData) -> Response:
    """Place what was kept; what is on record already, as after a restart, was placed before."""
    taps: Taps = request.app.state.taps
    name = fields.text(form, "id")
    if not name:
        raise Refusal("this tap", "it has no name", "Each has its own.", "", slug="tap-unnamed")
    return JSONResponse(taps.once(name, lambda: _placed(request, book, form)))


def _placed(request: Request, book: SeasonBook, form: FormData) -> Answer:
    try:
        notice = _did(book, form) if "job" in form else _seen(book, form)
    except Refusal as refusal:
        return {
            "why": f"{capital(refusal.where)}: {refusal.problem}. {refusal.expected}",
            "may_be": refusal.slug == "are-you-sure",
        }
    return {"html": notice_html(request, notice)}


def _seen(book: SeasonBook, form: FormData) -> Notice:
    """A find, where it names a stage; else a clean look."""
    sighting = saw.find_meant(book, form) if "event" in form else saw.look_meant(book, form)
    if same := same_find(sighting, book.journal()):
        return _already(same.entry)
    logged = book.log(sighting, sure=bool(fields.text(form, "certain")))
    return _notice(logged, at=saw.place_of(sighting))


def _did(book: SeasonBook, form: FormData) -> Notice:
    job, what = job_named(fields.text(form, "job")), fields.text(form, "what") or None
    done = fields.day(form, "done") or book.day()
    for each in book.journal().jobs:
        if (each.job, each.done_on) == (job, done) and what in (each.sowing, each.bed):
            return _already(each.entry)
    return _notice(book.did(job, what, done))


def _notice(logged: Logged, at: str = "") -> Notice:
    return Notice(logged.lines, logged.entries, "undo", at, "/")


def _already(entry: str | None) -> Notice:
    said = f"On record already.  [entry {entry}]"
    return Notice((said,), (entry,) if entry else (), "undo" if entry else "", "", "/")
