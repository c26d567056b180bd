"""What a saved copy of Today, or a sheet filled in at a desk, gives back: entered whole or not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from starlette.datastructures import UploadFile

from gddcast.errors import Refusal
from gddcast.readers.opening import decoded
from gddcast.web import fields
from gddcast.web.notices import sent_on
from gddcast.web.screen import Shown
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.web.season_book import SeasonBook

#: A season of walks is shorter. [bytes]
MOST = 200_000


@dataclass(frozen=True, slots=True)
class WalkedPage:
    """What ``web/walked.html`` shows."""

    rows: str = ""
    fault: tuple[str, ...] = ()
    may_be: bool = False
    title: str = "What a copy or a sheet holds"


def screen(_: Request, __: SeasonBook) -> Shown:
    """The empty form."""
    return Shown("walked.html", WalkedPage(), "today")


def enter(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Enter all of it; what is wrong or may be a slip comes back with its rows, to be mended."""
    rows = _rows(form)
    try:
        logged = book.walked(rows, sure=bool(fields.text(form, "certain")))
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.problem}.", *refusal.expected.splitlines())
        page = WalkedPage(rows, said, refusal.slug == "are-you-sure")
        return Shown("walked.html", page, "today", 422)
    return sent_on(request, logged, back="undo")


def _rows(form: FormData) -> str:
    """The rows as text, of a file or pasted."""
    file, pasted = form.get("file"), form.get("rows", "")
    if isinstance(file, UploadFile) and file.filename:
        content = file.file.read(MOST + 1)
        pasted = decoded(content, "this file").text if len(content) <= MOST else "," * (MOST + 1)
    if not isinstance(pasted, str) or len(pasted) > MOST:
        raise Refusal("these rows", "they are too many", f"It takes {MOST // 1000} kB.", "",
                      slug="too-many-rows")  # fmt: skip
    return pasted
