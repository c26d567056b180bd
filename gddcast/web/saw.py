"""Looked, none; and saw it: from a tap to an entry, asking only what a tap leaves open."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from starlette.responses import JSONResponse

from gddcast.draw.svg import identity
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from gddcast.journal.finds import last_clean
from gddcast.web import fields
from gddcast.web.cards import card_of
from gddcast.web.notices import Notice, sent_on
from gddcast.web.screen import Shown, notice_html
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.cards.model import Card
    from gddcast.web.season_book import SeasonBook

#: Nobody counts further; a number of twenty digits is a slip of the finger.
MOST = 1_000_000
#: Answers to taps that are kept, should one of them not have arrived.
_TAPS = 1_000


@dataclass(frozen=True, slots=True)
class SawPage:
    """What ``web/saw.html`` shows: the form of a find, filled in as far as is known."""

    title: str
    organism: str
    stages: tuple[tuple[str, str], ...]  # key and words
    event: str
    seen: dt.date
    today: dt.date
    clean: dt.date | None
    where: str
    with_: int | None
    looked: int | None
    sure: bool
    one: bool
    note: str
    at: str
    fault: tuple[str, ...] = ()  # why it was not written
    may_be: bool = False  # whether it can be written all the same


def screen(request: Request, book: SeasonBook) -> Shown:
    """The empty form, filled in with today."""
    asked = request.query_params
    card = card_of(book, asked.get("organism", ""))
    keys = [each.key for each in card.visible]
    event = asked.get("event", "")
    seen = Sighting(card.key, event if event in keys else next(iter(keys), ""), book.day(),
                    where=asked.get("where", "")[: fields.LONGEST] or None)  # fmt: skip
    clean = last_clean(seen, card, book.journal(), book.season().first)
    return Shown("saw.html", _page(card, replace(seen, clean_on=clean), book.day()), "today")


def _page(card: Card, seen: Sighting, today: dt.date) -> SawPage:
    stages = tuple((each.key, each.words) for each in card.visible)
    return SawPage(
        f"{capital(card.name)} seen", card.key, stages, seen.event, seen.seen_on, today,
        seen.clean_on, seen.where or "", seen.plants_with, seen.plants_looked, seen.sure,
        seen.count == 1, seen.note or "", _at(seen),
    )  # fmt: skip


def looked(request: Request, book: SeasonBook, form: FormData) -> Response:
    """A clean look of one pest in one bed, today."""
    card = card_of(book, fields.text(form, "organism"))
    day = fields.day(form, "seen") or book.day()
    look = Sighting(card.key, "", day, "none", where=fields.text(form, "where") or None)
    return sent_on(request, book.log(look, sure=False), back="undo", at=_at(look))


def tap(request: Request, book: SeasonBook, form: FormData) -> Response:
    """A clean look that a device kept while we were out of reach: placed once, by its id.

    What is on record already, as after a restart, was placed before.
    """
    answers: dict[str, dict[str, str]] = request.app.state.taps
    name = fields.text(form, "id")
    if not name:
        raise Refusal("this tap", "it has no name", "Each has its own.", "", slug="tap-unnamed")
    if name not in answers:
        answers[name] = _placed(request, book, form)
    answer = answers[name]
    while len(answers) > _TAPS:
        del answers[next(iter(answers))]
    return JSONResponse(answer)


def _placed(request: Request, book: SeasonBook, form: FormData) -> dict[str, str]:
    try:
        card = card_of(book, fields.text(form, "organism"))
        where, day = fields.text(form, "where") or None, fields.day(form, "seen") or book.day()
        look = Sighting(card.key, "", day, "none", where=where)
        logged = book.log(look, sure=False)
    except Refusal as refusal:
        if refusal.slug == "are-you-sure":
            said = (f"{capital(refusal.found)}. {refusal.expected}",)
            return {"html": notice_html(request, Notice(said, (), "", "", "/"))}
        return {"why": f"{capital(refusal.where)}: {refusal.found}. {refusal.expected}"}
    notice = Notice(logged.lines, logged.entries, "undo", _at(look), "/")
    return {"html": notice_html(request, notice)}


def _at(seen: Sighting) -> str:
    """The place on Today that an entry is about."""
    return identity(f"{seen.organism} {seen.where or ''}")


def enter(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """A find; what may be a slip, or cannot be, comes back in the form with what was typed."""
    card = card_of(book, fields.text(form, "organism"))
    one = fields.text(form, "many") == "one"
    seen = Sighting(
        card.key, fields.text(form, "event"), fields.day(form, "seen") or book.day(),
        clean_on=fields.day(form, "clean"), sure=fields.text(form, "sure") != "think-so",
        where=fields.text(form, "where") or None,
        plants_with=fields.whole(form, "with", MOST),
        plants_looked=fields.whole(form, "looked", MOST),
        note=fields.text(form, "note") or None, count=1 if one else None,
    )  # fmt: skip
    try:
        _refuse_odd(card, seen)
        logged = book.log(seen, sure=bool(fields.text(form, "certain")))
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.found}.", refusal.expected)
        page = replace(
            _page(card, seen, book.day()), fault=said, may_be=refusal.slug == "are-you-sure"
        )
        return Shown("saw.html", page, "today", 422)
    return sent_on(request, logged, back="undo", at=_at(seen))


def _refuse_odd(card: Card, seen: Sighting) -> None:
    if seen.event not in [each.key for each in card.visible]:
        raise Refusal(f"a find of {card.name}", "it names no stage of its card",
                      "Choose one of the list.", "Choose one.", slug="stage-missing")  # fmt: skip
    found, of = seen.plants_with, seen.plants_looked
    if (found is None) is not (of is None) or (found is not None and of is not None
                                               and (found > of or of == 0)):  # fmt: skip
        raise Refusal("the plants", "they are not so many of so many",
                      "Give both numbers, as 3 of 10, or none.", "Give both.",
                      slug="plants")  # fmt: skip
