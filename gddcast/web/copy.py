"""A saved copy of Today: one file that lists the walk, and gives back what was seen as a sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import quote

from starlette.responses import Response

from gddcast.journal.walk_rows import COLUMNS, MOST
from gddcast.names import file_word
from gddcast.pages import paper
from gddcast.web.today import TodayPage, today_page

if TYPE_CHECKING:
    from starlette.requests import Request

    from gddcast.web.season_book import SeasonBook


@dataclass(frozen=True, slots=True)
class CopyPage:
    """What ``web/copy.html`` shows."""

    title: str
    walk: TodayPage
    stages: Mapping[str, tuple[tuple[str, str], ...]]  # by organism: key and words
    columns: tuple[str, ...] = COLUMNS
    most: int = MOST


def saved_copy(book: SeasonBook) -> str:
    """The day's walk as one file that needs no network; the book remembers what it tells."""
    today, cards = book.today(), book.cards()
    walk = today_page(today, book.show(), None, invented=book.is_invented)
    pests = {pest.organism for stop in walk.stops for pest in stop.pests}
    stages = {key: tuple((each.key, each.words) for each in cards[key].finds) for key in pests}
    book.tell(today)
    return paper.fill("web/copy.html", CopyPage(f"{walk.title}, {walk.place}", walk, stages))


def download(_: Request, book: SeasonBook) -> Response:
    """The same, to be kept on a device."""
    name = quote(copy_name(book.name, book.day()))
    said = {"Content-Disposition": f"attachment; filename*=UTF-8''{name}"}
    return Response(saved_copy(book), media_type="text/html", headers=said)


def copy_name(place: str, day: dt.date) -> str:
    """What the file is called."""
    return f"{file_word(place)}-{day}.html"
