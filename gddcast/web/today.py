"""Today: bed by bed what to look for, with a button for each answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gddcast import words
from gddcast.crops.standing import DUST_AGAIN, OwnChore, SowingToday
from gddcast.draw.svg import identity
from gddcast.errors import Refusal
from gddcast.text import weather_so_far
from gddcast.text.dates import bed_words, plants
from gddcast.text.watching import watch_hint
from gddcast.today.beds import Bed, Block
from gddcast.web import fields
from gddcast.web.notices import Notice, notice_of, sent_on
from gddcast.web.screen import Shown
from gddcast.words import capital, day

if TYPE_CHECKING:
    from starlette.datastructures import FormData
    from starlette.requests import Request
    from starlette.responses import Response

    from gddcast.journal.entries import Journal
    from gddcast.today.today import Today
    from gddcast.units import Unit
    from gddcast.web.season_book import SeasonBook

#: The job that answers a chore.
_ANSWERS = {"side-dress": "side-dressed", DUST_AGAIN: "dusted"}
#: Stages to come that are told; Ahead has them all.
_COMING = 3


@dataclass(frozen=True, slots=True)
class StageLine:
    """One stage of a pest, and why it is looked for."""

    words: str
    reason: str


@dataclass(frozen=True, slots=True)
class Pest:
    """One pest to look for in one place."""

    number: int
    anchor: str
    organism: str
    event: str
    name: str
    picture: str
    status: str
    stages: tuple[StageLine, ...]
    where: str
    beside: str  # plants, how often, hour
    hints: str
    logged: str  # what was logged of it here today
    bed: str
    is_met_again: bool = False


@dataclass(frozen=True, slots=True)
class Chore:
    """Something to do in a bed, and the job that says it was done."""

    words: str
    job: str
    done: str  # on its button
    what: str

    @property
    def anchor(self) -> str:
        """Its place on the screen."""
        return identity(f"{self.words} {self.what}")


@dataclass(frozen=True, slots=True)
class BedStop:
    """One bed."""

    title: str
    pests: tuple[Pest, ...]
    chores: tuple[Chore, ...]


@dataclass(frozen=True, slots=True)
class TodayPage:
    """What ``web/today.html`` shows."""

    title: str
    day: dt.date
    place: str
    weather: str
    banner: str
    to_do: str
    about: tuple[str, ...]
    stops: tuple[BedStop, ...]
    coming: tuple[str, ...]
    notice: Notice | None
    cautions: str = words.CAUTIONS


def screen(request: Request, book: SeasonBook) -> Shown:
    """The day's walk."""
    today, show = book.today(), book.show()
    page = today_page(today, show, notice_of(request), invented=book.is_invented)
    book.tell(today)
    return Shown("today.html", page, "today")


def today_page(today: Today, show: Unit, notice: Notice | None, *, invented: bool) -> TodayPage:
    """The screen of a day."""
    plan, walk = today.plan, today.by_bed
    about = [*weather_so_far.doubts(plan, patched=False)]
    if said := watch_hint(plan.watching):
        about.append(said)
    if invented:
        about.append("This place, its weather and what was seen there are invented.")
    numbers = iter(range(1, 10_000))
    stops = [_stop(bed, today, show, numbers) for bed in walk.beds]
    if walk.anywhere:
        pests = tuple(_pest(each, today, show, next(numbers)) for each in walk.anywhere)
        stops.append(BedStop(bed_words.ANYWHERE, pests, ()))
    if walk.chores:
        stops.insert(0, BedStop("Every bed", (), tuple(map(_chore, walk.chores))))
    return TodayPage(
        title=f"{today.day:%A} {day(today.day, weekday=False)}",
        day=today.day,
        place=plan.place.name,
        weather=_weather(today),
        banner=weather_so_far.behind(plan),
        to_do=bed_words.to_do(plan, walk),
        about=tuple(about),
        stops=tuple(stops),
        coming=tuple(bed_words.coming_words(each, today, show) for each in walk.coming[:_COMING]),
        notice=notice,
    )


def _weather(today: Today) -> str:
    plan = today.plan
    if plan.through == today.day - dt.timedelta(days=1) and not plan.missing:
        return "weather through last night"
    return " · ".join(weather_so_far.known(plan, briefly=True))


def _stop(bed: Bed, today: Today, show: Unit, numbers: Iterator[int]) -> BedStop:
    pests = [_pest(each, today, show, next(numbers), bed.name) for each in bed.blocks]
    pests += [_pest(each, today, show, next(numbers), bed.name, again=True) for each in bed.again]
    return BedStop(bed_words.bed_title(bed), tuple(pests), tuple(_chores(bed)))


def _pest(
    block: Block, today: Today, show: Unit, number: int, bed: str = "", *, again: bool = False
) -> Pest:
    pest_words = bed_words.pest_words(block, today.practice.habits, today.day, show)
    return Pest(
        number,
        identity(f"{block.card.key} {bed}"),
        block.card.key,
        block.windows[0].event.key,
        pest_words.name,
        pest_words.place,
        pest_words.status.word,
        tuple(StageLine(*each) for each in pest_words.stages),
        capital(pest_words.where),
        " · ".join(filter(None, (pest_words.many, pest_words.often, pest_words.hour))),
        pest_words.marks.strip(" ()"),
        _logged(today.journal, block.card.key, bed, today.day),
        bed,
        again,
    )


def _logged(journal: Journal, organism: str, bed: str, on: dt.date) -> str:
    """What somebody logged of a pest in a bed on that day."""
    sightings = [each for each in journal.sightings
             if each.seen_on == on and each.organism in (organism, "") and each.kind != "heard"
             and each.where in (bed or None, None)]  # fmt: skip
    if not sightings:
        return ""
    return "Logged today: " + ("looked, none" if sightings[-1].kind == "none" else "seen") + "."


def _chores(bed: Bed) -> Iterator[Chore]:
    yield from map(_chore, bed.chores)
    for each in bed.to_uncover:
        yield Chore(capital(plants.uncover_words(each)), "uncovered", "Uncovered", _what(each))
    for each, ahead in zip(bed.sowings, bed.ahead, strict=False):
        if ahead.flowers_since is not None:
            said = f"{capital(_called(each, bed.sowings))}: in flower? Put nothing on open flowers."
            yield Chore(said, "first-flower", "In flower", _what(each))


def _called(sowing: SowingToday, sowings: Sequence[SowingToday]) -> str:
    one = sum(other.sowing.crop == sowing.sowing.crop for other in sowings) == 1
    crop = sowing.sowing.crop.replace("-", " ")
    return crop if one else f"{crop}, day {sowing.age_days}"


def _what(sowing: SowingToday) -> str:
    return sowing.sowing.name or sowing.sowing.crop


def _chore(chore: OwnChore) -> Chore:
    job = _ANSWERS.get(chore.words, "")
    where = "" if chore.where == "every bed" else chore.where
    done = capital(job.replace("-", " "))
    return Chore(capital(plants.chore_words(chore)), job, done, where)


def did(request: Request, book: SeasonBook, form: FormData) -> Response:
    """Write a job that was done today, or on another day."""
    done = fields.day(form, "done") or book.day()
    logged = book.did(fields.text(form, "job"), fields.text(form, "what") or None, done)
    return sent_on(request, logged, back="undo", to=_to(form))


@dataclass(frozen=True, slots=True)
class CertainPage:
    """What ``web/certain.html`` shows: an undo that is asked about once."""

    lines: tuple[str, ...]
    entries: tuple[str, ...]
    at: str
    to: str
    title: str = "Undo all of it?"


def undo(request: Request, book: SeasonBook, form: FormData) -> Shown | Response:
    """Withdraw what was logged by mistake; much of it is asked about first."""
    entries = fields.texts(form, "entry")
    try:
        logged = book.withdraw(entries, sure=bool(fields.text(form, "certain")))
    except Refusal as refusal:
        if refusal.slug != "are-you-sure":
            raise
        said = (f"{capital(refusal.where)}: {refusal.problem}.", refusal.expected)
        page = CertainPage(said, tuple(entries), fields.text(form, "at"), _to(form))
        return Shown("certain.html", page, "record", 422)
    return sent_on(request, logged, back="redo", at=fields.text(form, "at"), to=_to(form))


def redo(request: Request, book: SeasonBook, form: FormData) -> Response:
    """Take that back."""
    logged = book.restore(fields.texts(form, "entry"))
    return sent_on(request, logged, back="undo", at=fields.text(form, "at"), to=_to(form))


def _to(form: FormData) -> str:
    """The screen a form came from; never an address of somebody else's."""
    to = fields.text(form, "to")
    return to if to in ("/beds", "/record") else "/"
