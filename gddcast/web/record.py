"""Record: a file looked at before it is kept, last night's reading, and what leaves the book."""

from __future__ import annotations

import datetime as dt
import hmac
import io
import secrets
import shutil
import tempfile
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.datastructures import UploadFile
from starlette.responses import PlainTextResponse, RedirectResponse, Response

from gddcast.errors import Refusal
from gddcast.names import file_word
from gddcast.pages.report.record import RecordSection, weather_record
from gddcast.text import weather_so_far
from gddcast.web import fields
from gddcast.web.notices import Notice, notice_of, sent_on
from gddcast.web.screen import Shown, our_page
from gddcast.web.season_book import Examined, Written
from gddcast.web.uploads import Uploads
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request

    from gddcast.units import Unit
    from gddcast.web.season_book import SeasonBook

#: Where programs of this machine ask from.
_HERE = ("127.0.0.1", "::1")
#: Entries that are shown again.
_LATELY = 5
#: What can be said of a file, and how.
_WORDS = ("unit", "dates", "site", "max_column", "min_column", "timezone", "stamps", "sheet")


@dataclass(frozen=True, slots=True)
class NoteForm:
    """Last night's reading as it was typed, and why it was not written."""

    low: str = ""
    high: str = ""
    day: dt.date | None = None
    fault: tuple[str, ...] = ()
    may_be: bool = False


@dataclass(frozen=True, slots=True)
class RecordPage:
    """What ``web/record.html`` shows."""

    place: str
    known: str
    banner: str
    record: RecordSection | None  # None where there is no weather yet
    form: NoteForm
    today: dt.date
    show: Unit
    notice: Notice | None
    lately: Sequence[Written]
    calendar: str  # address for a calendar program; empty where there is none
    fetched: str  # whose weather it is, where a station's can be brought up to date
    title: str = "Record"


@dataclass(frozen=True, slots=True)
class FilePage:
    """What ``web/file.html`` shows: a file as it was read, and what it leaves open."""

    title: str
    key: str
    examined: Examined
    answers: dict[str, str]


def screen(request: Request, book: SeasonBook) -> Shown:
    """The record as it stands."""
    return _shown(book, NoteForm(day=book.day()), notice_of(request))


def _shown(
    book: SeasonBook, form: NoteForm, notice: Notice | None = None, status: int = 200
) -> Shown:
    known, banner, record = "no weather yet", "", None
    try:
        plan = book.today().plan
    except Refusal as refusal:
        if refusal.slug != "no-weather":
            raise
    else:
        known, banner = weather_so_far.known_line(plan), weather_so_far.behind(plan)
        record = weather_record(plan, commands=False)
    page = RecordPage(
        book.name,
        known,
        banner,
        record,
        form,
        book.day(),
        book.show(),
        notice,
        book.lately(_LATELY),
        f"/calendar/{key}.ics" if (key := book.calendar_key()) else "",
        book.fetched_from(),
    )
    return Shown("record.html", page, "record", status)


def note(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Write one day's reading; what may be a slip comes back with what was typed."""
    low, high = fields.text(form, "low"), fields.text(form, "high")
    day = fields.day(form, "day") or book.day()
    try:
        logged = book.note(
            fields.reading(form, "high"), fields.reading(form, "low"), day,
            sure=bool(fields.text(form, "certain")),
        )  # fmt: skip
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.problem}.", refusal.expected)
        asks = refusal.slug == "are-you-sure"
        return _shown(book, NoteForm(low, high, day, said, asks), status=422)
    return sent_on(request, logged, back="undo" if logged.entries else "", to="/record")


def take(request: Request, _: SeasonBook, form: FormData) -> Response:
    """Take a file, and show it before anything is kept."""
    file = form.get("file")
    if not isinstance(file, UploadFile) or not file.filename:
        raise Refusal("this form", "it holds no file", "Choose one first.", "", slug="no-file")
    upload = _uploads(request).take(file.filename, file.file)
    return RedirectResponse(f"/file?key={upload.key}", 303)


def look(request: Request, book: SeasonBook) -> Shown:
    """A file as the book would read it, with what was answered so far."""
    upload = _uploads(request).find(request.query_params.get("key", ""))
    said = {name: value for name in (*_WORDS, "reading_hour", "sure")
            if (value := request.query_params.get(name, ""))}  # fmt: skip
    examined = book.examine(upload.file, _answers(said))
    page = FilePage(upload.called, upload.key, examined, said)
    return Shown("file.html", page, "record", 200)


def keep(request: Request, book: SeasonBook, form: FormData) -> Response:
    """Bring the file into the book, read as it was shown."""
    upload = _uploads(request).find(fields.text(form, "key"))
    said = {name: value for name in (*_WORDS, "reading_hour", "sure")
            if (value := fields.text(form, name))}  # fmt: skip
    bring = book.bring_fetched if upload.is_fetched else book.bring
    logged = bring(upload.file, upload.called, _answers(said))
    _uploads(request).drop(upload)
    return sent_on(request, logged, back="undo" if logged.entries else "", to="/record")


def leave(request: Request, _: SeasonBook, form: FormData) -> Response:
    """Forget the file."""
    uploads = _uploads(request)
    uploads.drop(uploads.find(fields.text(form, "key")))
    return RedirectResponse("/record", 303)


def _answers(form: dict[str, str]) -> dict[str, object]:
    """What was answered, as readers take it; whoever names a scale chose it by the evidence."""
    answers: dict[str, object] = {name: form[name][:200] for name in _WORDS if name in form}
    hour = form.get("reading_hour", "")
    if hour.isascii() and hour.isdigit() and int(hour[:3]) <= 24:
        answers["reading_hour"] = int(hour)
    if "sure" in form or "unit" in form:
        answers["sure"] = True
    return answers


def _uploads(request: Request) -> Uploads:
    uploads: Uploads = request.app.state.uploads
    return uploads


def sheet(request: Request, book: SeasonBook) -> Response:
    """The week's sheet, to print from the browser."""
    return our_page(request, book.sheet())


def report(request: Request, book: SeasonBook) -> Response:
    """The season's report."""
    return our_page(request, book.report())


def calendar(_: Request, book: SeasonBook) -> Response:
    """Days to start looking, for a calendar program."""
    return _file(book.calendar().encode(), "text/calendar", f"{file_word(book.name)}.ics")


def calendar_address(_: Request, book: SeasonBook, form: FormData) -> Response:
    """A new address for calendar programs, or none: the one before opens nothing more."""
    book.set_calendar_key(secrets.token_urlsafe(18) if fields.text(form, "make") else None)
    return RedirectResponse("/record#calendar", 303)


def fetched_calendar(request: Request, book: SeasonBook) -> Response:
    """The calendar, for a program of this machine that knows its address."""
    key, client = book.calendar_key(), request.client
    said = request.path_params["key"]
    is_here = client is not None and client.host in _HERE
    if key is None or not is_here or not hmac.compare_digest(key.encode(), said.encode()):
        return PlainTextResponse("This calendar has no such address.\n", 404)
    return Response(book.calendar(), media_type="text/calendar")


def export(_: Request, book: SeasonBook) -> Response:
    """Everything in the book, as CSV and TOML in one archive."""
    with tempfile.TemporaryDirectory(prefix="gddcast-export-") as scratch:
        folder = Path(scratch) / file_word(book.name)
        book.export(folder)
        archive = io.BytesIO()
        with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as target:
            for file in sorted(folder.rglob("*")):
                target.write(file, file.relative_to(folder.parent).as_posix())
        shutil.rmtree(folder)
    return _file(archive.getvalue(), "application/zip", f"{file_word(book.name)}.zip")


def _file(content: bytes, kind: str, name: str) -> Response:
    said = {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
    return Response(content, media_type=kind, headers=said)
