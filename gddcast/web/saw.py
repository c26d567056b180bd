"""Looked, none; and saw it: from a tap to an entry, asking only what a tap leaves open."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gddcast.draw.svg import identity
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from gddcast.journal.finds import last_clean
from gddcast.web import fields
from gddcast.web.cards import card_of
from gddcast.web.notices import sent_on
from gddcast.web.screen import Shown
from gddcast.words import capital

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.cards.model import Card
    from gddcast.web.season_book import SeasonBook

#: Nobody counts further; a number of twenty digits is a slip of the finger.
MOST = 1_000_000


@dataclass(frozen=True, slots=True)
class SawPage:
    """What ``web/saw.html`` shows: the form of a find, filled in as far as is known."""

    title: str
    organism: str
    stages: tuple[tuple[str, str], ...]  # key and words
    event: str
    day: dt.date
    today: dt.date
    clean: dt.date | None
    where: str
    with_: int | None
    looked: int | None
    sure: bool
    one: bool
    note: str
    at: str
    place: str  # of the book
    fault: tuple[str, ...] = ()  # why it was not written
    may_be: bool = False  # whether it can be written all the same


def screen(request: Request, book: SeasonBook) -> Shown:
    """The empty form, filled in with today."""
    asked = request.query_params
    card = card_of(book, asked.get("organism", ""))
    keys = [each.key for each in card.visible]
    event = asked.get("event", "")
    sighting = Sighting(card.key, event if event in keys else next(iter(keys), ""), book.day(),
                    where=asked.get("where", "")[: fields.LONGEST] or None)  # fmt: skip
    clean = last_clean(sighting, card, book.journal(), book.season().first)
    return Shown("saw.html", _page(book, card, replace(sighting, clean_on=clean)), "today")


def _page(book: SeasonBook, card: Card, sighting: Sighting) -> SawPage:
    stages = tuple((each.key, each.words) for each in card.visible)
    return SawPage(
        f"{capital(card.name)} seen",
        card.key,
        stages,
        sighting.event,
        sighting.seen_on,
        book.day(),
        sighting.clean_on,
        sighting.where or "",
        sighting.plants_with,
        sighting.plants_looked,
        sighting.sure,
        sighting.count == 1,
        sighting.note or "",
        place_of(sighting),
        book.name,
    )


def looked(request: Request, book: SeasonBook, form: FormData) -> Response:
    """A clean look of one pest in one bed, today."""
    look = look_meant(book, form)
    return sent_on(request, book.log(look, sure=False), back="undo", at=place_of(look))


def look_meant(book: SeasonBook, form: FormData) -> Sighting:
    """What the button *Looked, none* says."""
    card = card_of(book, fields.text(form, "organism"))
    day = fields.day(form, "seen") or book.day()
    return Sighting(card.key, "", day, "none", where=fields.text(form, "where") or None)


def place_of(sighting: Sighting) -> str:
    """The place on Today that an entry is about."""
    return identity(f"{sighting.organism} {sighting.where or ''}")


def enter(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """A find; what may be a slip, or cannot be, comes back in the form with what was typed."""
    sighting = _typed(book, form)
    try:
        _refuse_odd(card_of(book, sighting.organism), sighting)
        logged = book.log(sighting, sure=bool(fields.text(form, "certain")))
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.problem}.", refusal.expected)
        page = replace(
            _page(book, card_of(book, sighting.organism), sighting),
            fault=said, may_be=refusal.slug == "are-you-sure",
        )  # fmt: skip
        return Shown("saw.html", page, "today", 422)
    return sent_on(request, logged, back="undo", at=place_of(sighting))


def find_meant(book: SeasonBook, form: FormData) -> Sighting:
    """What the form of a find says.

    Raises
    ------
    Refusal
        If that cannot be.
    """
    sighting = _typed(book, form)
    _refuse_odd(card_of(book, sighting.organism), sighting)
    return sighting


def _typed(book: SeasonBook, form: FormData) -> Sighting:
    card = card_of(book, fields.text(form, "organism"))
    one = fields.text(form, "many") == "one"
    return Sighting(
        card.key, fields.text(form, "event"), fields.day(form, "seen") or book.day(),
        clean_on=fields.day(form, "clean"), sure=fields.text(form, "sure") != "think-so",
        where=fields.text(form, "where") or None,
        plants_with=fields.whole(form, "with", MOST),
        plants_looked=fields.whole(form, "looked", MOST),
        note=fields.text(form, "note") or None, count=1 if one else None,
    )  # fmt: skip


def _refuse_odd(card: Card, sighting: Sighting) -> None:
    if sighting.event not in [each.key for each in card.visible]:
        raise Refusal(f"a find of {card.name}", "it names no stage of its card",
                      "Choose one of the list.", "Choose one.", slug="stage-missing")  # fmt: skip
    found, of = sighting.plants_with, sighting.plants_looked
    if (found is None) is not (of is None) or (found is not None and of is not None
                                               and (found > of or of == 0)):  # fmt: skip
        raise Refusal("the plants", "they are not so many of so many",
                      "Give both numbers, as 3 of 10, or none.", "Give both.",
                      slug="plants")  # fmt: skip
