"""A walk's own plants and chores in plain text: what each sowing does next, what is due by rule."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from gddcast import words
from gddcast.crops.chores import in_words
from gddcast.crops.standing import DUST_AGAIN, OwnChore, SowingToday
from gddcast.crops.succession import EventDue
from gddcast.errors import Command, command
from gddcast.text.terminal import Line
from gddcast.today.plants_ahead import PlantAhead, Worn
from gddcast.words import any_day, count, day, span

_OF_DUST = "Label first; nothing on flowers, stem base and outer leaves only."
_STAGES = {"up": "seedlings up", "first-flower": "first flower", "first-pick": "first pick"}
_KNOWN_BY = {
    "own sowings": "by your own sowings",
    "card heat": "by its card’s heat",
    "card days": "by its card’s days",
    "your rule of days": "by your rule of days",
    "your number": "by your number",
}


def plant_lines(
    sowings: Sequence[SowingToday],
    ahead: Sequence[PlantAhead],
    picking_days: int,
    today: dt.date,
    command: Command = command,
) -> Iterator[str | Line]:
    """Every standing sowing: its age, what was done, what comes next and what it asks."""
    yield ""
    if not sowings:
        sown = command("did", "sown", "CROP")
        yield f"MY PLANTS  no sowing of this season is on record:  {sown}"
        return
    yield "MY PLANTS"
    for each, coming in zip(sowings, ahead, strict=True):
        since = "planted out" if each.sowing.planted_out else "sown"
        done = [f"{in_words(job.job, None)} {day(job.done_on, weekday=False)}" for job in each.jobs]
        said = f"{count(each.age_days, 'day')} since {since} {day(each.sowing.sown_on)}"
        bed = f", {each.sowing.bed}" if each.sowing.bed else ""
        name = each.sowing.name or each.sowing.crop  # by which a command means it
        yield _folded("; ".join([f"{name}{bed}: {said}", *done]) + ".")
        if coming.next is not None and coming.basis is not None:
            yield _folded(f"Next: {next_words(coming, today)}.", "    ")
        if coming.flowers_since is not None:
            yield _folded(asks_for_flowers(each, coming.flowers_since, command), "    ")
        if coming.worn is not None:
            yield _folded(_worn(coming.worn, picking_days), "    ")


def asks_for_flowers(sowing: SowingToday, since: dt.date, command: Command = command) -> str:
    """That a sowing may be in flower by now, and how to say so."""
    said = command("did", "first-flower", sowing.sowing.name or sowing.sowing.crop)
    may = f"It may be since {day(since)}; put nothing on open flowers then."
    return f"In flower? {may} Say it:  {said}"


def next_words(coming: PlantAhead, today: dt.date) -> str:
    """The next stage with its span, its past years and what it is known by; or nothing."""
    if coming.next is None or coming.basis is None:
        return ""
    return _next(coming.next, _KNOWN_BY[coming.basis], today)


def _next(due: EventDue, known: str, today: dt.date) -> str:
    words_ = _STAGES[due.key]
    few = due.years is not None and due.years[0] < due.years[1]
    share = f" {words.with_weather_of(*due.years)}" if few and due.years else ""
    if due.first is None:
        return f"{words_} not this season{share or ' with the weather of most past years'}, {known}"
    late = "; not on record" if due.last is not None and due.last < today else ""
    return f"{words_} {any_day(due.first, due.last)}{share}, {known}{late}"


def picked_too_long(worn: Worn, picking_days: int) -> str:
    """That a sowing has been picked for longer than its grower wants."""
    return f"picked for {count(worn.picked_for, 'day')}; your rule is {picking_days}."


def _worn(worn: Worn, picking_days: int) -> str:
    """What speaks for the old plants and for new ones; the choice is the grower's."""
    said = words.capital(picked_too_long(worn, picking_days))
    if worn.new_one is not None:
        share = words.of_past_years(worn.new_one.fits, worn.new_one.years)
        said += f" A sowing of today left {picking_days} days of picking before frost in {share}."
    if worn.pests:
        said += f" On it this season: {'; '.join(worn.pests)}."
    return said


def chore_lines(chores: Sequence[OwnChore], sowings: Sequence[SowingToday]) -> Iterator[str | Line]:
    """What the grower's own rules ask today."""
    lines = [chore_words(chore) for chore in chores]
    lines += [uncover_words(each) for each in sowings if each.covered and each.in_flower]
    if lines:
        yield ""
        yield "CHORES I SET"
        for line in lines:
            yield _folded(line)


def uncover_words(sowing: SowingToday) -> str:
    """That a sowing in flower stands under a cover."""
    return f"uncover {sowing.called}: it is in flower, and bees have to get in (common practice)."


def chore_words(chore: OwnChore) -> str:
    """A chore, where, since when, and the grower's own rule that asks for it."""
    if chore.first == chore.last:
        when = f"since {day(chore.first)}"
    else:
        when = f"from {span(chore.first, chore.last)}"
    if chore.lapses is not None:
        when += f", asked until {day(chore.lapses, weekday=False)}"
    said = f"{chore.words} ({chore.whose or chore.where}): {when}, your rule: {chore.rule}."
    return f"{said} {_OF_DUST}" if chore.words == DUST_AGAIN else said


def _folded(text: str, indent: str = "  ") -> Line:
    return Line(text, indent, "    ")
