"""Beds: every standing sowing with its next stage and a form for what was done there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gddcast.crops.chores import OF_A_BED, OF_A_CROP, OF_A_SOWING, in_words
from gddcast.draw.sowing_bars import called
from gddcast.errors import Refusal
from gddcast.pages.report.sowings import Sowings, sowings
from gddcast.text.dates import plants
from gddcast.today.today import Today
from gddcast.web import fields
from gddcast.web.notices import Notice, notice_of, sent_on
from gddcast.web.screen import Shown
from gddcast.words import capital, count, day

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.web.season_book import SeasonBook


@dataclass(frozen=True, slots=True)
class Plant:
    """One sowing: what it is, what was done, what comes next, what can be logged."""

    name: str
    title: str
    lines: tuple[str, ...]
    jobs: tuple[tuple[str, str], ...]  # key and words


@dataclass(frozen=True, slots=True)
class SowForm:
    """What was typed of a new sowing, and why it was not written."""

    crop: str = ""
    sown: dt.date | None = None
    bed: str = ""
    variety: str = ""
    kind: str = "sown"
    fault: tuple[str, ...] = ()
    may_be: bool = False


@dataclass(frozen=True, slots=True)
class BedsPage:
    """What ``web/beds.html`` shows."""

    today: dt.date
    plants: tuple[Plant, ...]
    crops: tuple[str, ...]
    drawn: Sowings | None
    form: SowForm
    notice: Notice | None
    title: str = "Beds"


def screen(request: Request, book: SeasonBook) -> Shown:
    """Sowings of the season."""
    return _shown(book, SowForm(sown=book.day()), notice_of(request))


def _shown(
    book: SeasonBook, form: SowForm, notice: Notice | None = None, status: int = 200
) -> Shown:
    today = book.today()
    crops = sorted(card.name for card in book.cards().values() if card.group == "crop")
    drawn = sowings(today, book.show())
    page = BedsPage(
        book.day(), tuple(_plants(today)), tuple(crops),
        drawn if drawn and drawn.figures else None, form, notice,
    )  # fmt: skip
    return Shown("beds.html", page, "beds", status)


def _plants(today: Today) -> Iterator[Plant]:
    for each, ahead in zip(today.sowings, today.plants, strict=True):
        sowing = each.sowing
        since = "planted out" if sowing.planted_out else "sown"
        lines = [f"{capital(since)} {day(sowing.sown_on)}, {count(each.age_days, 'day')} ago."]
        lines += [f"{capital(in_words(job.job, None))} {day(job.done_on, weekday=False)}."
                  for job in each.jobs]  # fmt: skip
        if said := plants.next_words(ahead, today.day):
            lines.append(f"Next: {said}.")
        if ahead.worn is not None:
            worn = plants.picked_too_long(ahead.worn, today.practice.rules.picking_days)
            lines.append(capital(worn))
        done = {job.job for job in each.jobs}
        jobs = [job for job in OF_A_SOWING if job == "side-dressed" or job not in done]
        yield Plant(
            sowing.name or sowing.crop,
            capital(f"{sowing.crop.replace('-', ' ')}, {called(sowing)}"), tuple(lines),
            tuple((job, capital(job.replace("-", " "))) for job in (*jobs, *OF_A_BED)),
        )  # fmt: skip


def sow(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Write a sowing; what may be a slip comes back with what was typed."""
    typed = SowForm(
        fields.text(form, "crop"), fields.day(form, "sown") or book.day(), fields.text(form, "bed"),
        fields.text(form, "variety"), fields.text(form, "kind"),
    )  # fmt: skip
    certain = bool(fields.text(form, "certain"))
    try:
        if typed.kind not in OF_A_CROP or typed.sown is None:
            raise Refusal("this sowing", "it is neither sown nor planted out", "", "", slug="kind")
        logged = book.sow(
            typed.kind, typed.crop, typed.sown, typed.bed, typed.variety, sure=certain
        )
    except Refusal as refusal:
        said = (f"{capital(refusal.where)}: {refusal.problem}.", refusal.expected)
        may_be = refusal.slug in ("sown-already", "unknown-crop")
        return _shown(book, replace(typed, fault=said, may_be=may_be), status=422)
    return sent_on(request, logged, back="undo", to="/beds")
