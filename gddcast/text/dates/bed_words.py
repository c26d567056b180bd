"""What is said of a bed and of a pest in it: the same on the terminal, on pages and on paper."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from gddcast import words
from gddcast.cards.values import NOT_STATED, Picture
from gddcast.crops.standing import SowingToday
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import looks, sentences
from gddcast.text.dates.nothing_due import nothing_is_due
from gddcast.today.beds import HINT_DAYS, Bed, BedWalk, Block, Coming, Hints
from gddcast.today.beside_dates import beside
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import Status, capital, day, in_words, listed, spelled

#: Letters of a card's words in a line of a look.
_WHERE, _HOUR = 44, 30


#: What stands over pests of crops that nobody has put into a bed.
ANYWHERE = "On crops with no bed on record"


def to_do(plan: SeasonPlan, walk: BedWalk) -> str:
    """One sentence of what to do, and one of how long that is all."""
    many = len(walk.blocks)
    beds = sum(bool(bed.blocks or bed.again) for bed in walk.beds)
    parts = []
    if many:
        where = f" on {spelled(beds, 'bed')}" if beds else ""
        if walk.anywhere:
            where += " and elsewhere" if beds else ""
        parts.append(f"{spelled(many, 'thing')} to look for{where}{_done(walk.blocks, plan.today)}")
    elif clear := nothing_is_due(plan):
        parts.append(clear)
    chores = len(walk.chores) + sum(len(bed.chores) + len(bed.to_uncover) for bed in walk.beds)
    if chores:
        parts.append(spelled(chores, "chore"))
    said = [words.sentence(", ".join(parts))] if parts else []
    if many:
        warm = ", unless a warm day comes first" if walk.warmth else ""
        new = f"Nothing new before {day(walk.next.day)}{warm}." if walk.next else ""
        said.append(new or ("" if walk.unsaid else "No other look has a date yet."))
    return " ".join(filter(None, said))


def _done(blocks: Sequence[Block], today: dt.date) -> str:
    """How many of them were looked for today already."""
    looked = sum(block.hints.clean == today for block in blocks)
    if not looked:
        return ""
    many = "all" if looked == len(blocks) else in_words(looked)
    return f"; {many} looked for today"


def bed_title(bed: Bed) -> str:
    """The bed, and what stands in it for how long."""
    crops: dict[str, list[SowingToday]] = {}
    for each in bed.sowings:
        crops.setdefault(each.sowing.crop.replace("-", " "), []).append(each)
    said = "; ".join(f"{crop}, {_ages(sown)}" for crop, sown in crops.items())
    if not any(each.sowing.bed for each in bed.sowings):
        return f"{capital(said)} (no bed on record)"
    return f"{capital(bed.name)}: {said}"


def _ages(sown: Sequence[SowingToday]) -> str:
    said = []
    for each in sown:
        state = ["in flower"] if each.in_flower else []
        state += ["covered"] if each.covered else []
        said.append(f"day {each.age_days}" + (f" ({', '.join(state)})" if state else ""))
    return listed(said)


@dataclass(frozen=True, slots=True)
class PestWords:
    """What is said of one pest in a bed, a part a field.

    Parameters
    ----------
    name : str
    status : Status
        That of its most pressing stage.
    place : str
        Which drawing shows where; as a card's `picture`.
    stages : tuple of (str, str)
        Each stage told, and why it is.
    marks : str
        Last clean look, unsure find and hearsay, in brackets.
    looks_like, where, hour : str
        In the card's own words, of every stage told.
    many, often : str
    """

    name: str
    status: Status
    place: Picture
    stages: tuple[tuple[str, str], ...]
    marks: str
    looks_like: str
    where: str
    hour: str
    many: str
    often: str

    @property
    def why(self) -> str:
        """Stages and reasons in one phrase."""
        return "; ".join(f"{stage} · {reason}" for stage, reason in self.stages) + self.marks


def pest_words(
    block: Block, habits: Habits, today: dt.date, show: Unit, *, said: Status | None = None
) -> PestWords:
    """Of one block of a walk.

    Parameters
    ----------
    block : Block
    habits : Habits
    today : datetime.date
    show : {"F", "C"}
    said : Status, optional
        What stands before it already: of such a stage that it is overdue is not said again.
    """
    scouting_windows = stages_shown(block)
    first = scouting_windows[0]
    places = (each.look.where_on_plant or looks.place_briefly(each) for each in scouting_windows)
    return PestWords(
        capital(block.card.name),
        block.status,
        block.place,
        tuple(_reasons(scouting_windows, show, said)),
        hinted(block.hints, *_clean(scouting_windows, block.hints, today)),
        first.look.looks_like or "",
        "; ".join(dict.fromkeys(places)),
        _hour(first),
        looks.plants_briefly(first, habits),
        looks.often(first),
    )


def _reasons(
    stages: Sequence[ScoutingWindow], show: Unit, said: Status | None
) -> Iterator[tuple[str, str]]:
    """Each stage and why, those overdue together: one look answers them."""
    overdue = sentences.due_words if said is Status.OVERDUE else sentences.reason
    late = [each for each in stages if each.status is Status.OVERDUE]
    for each in stages:
        if each not in late:
            yield each.event.words, sentences.reason(each, show)
        elif each is late[0]:
            last = max(late, key=lambda one: one.slowest or dt.date.min)
            yield listed([one.event.words for one in late]), overdue(last, show)


def _clean(
    stages: Sequence[ScoutingWindow], hints: Hints, today: dt.date
) -> Iterator[dt.date | None]:
    """Clean looks that matter: at what was not seen yet, or before a find of these days."""
    if any(each.bracket is None for each in stages):
        yield hints.clean
    for each in stages:
        if each.bracket is not None and (today - each.bracket.found_on).days <= HINT_DAYS:
            yield each.bracket.clean_on


def look_in_a_line(stages: Sequence[ScoutingWindow], habits: Habits, most: int) -> str:
    """Where, how many, how often, when in the day: whole phrases of the card, as one line holds."""
    first = stages[0]
    brief = [looks.place_briefly(each) for each in stages]
    whole = [each.look.where_on_plant or place for each, place in zip(stages, brief, strict=True)]
    short = [words.phrase(each, _WHERE) or place for each, place in zip(whole, brief, strict=True)]
    places, clauses = ("; ".join(dict.fromkeys(each)) for each in (whole, short))
    parts = listed(list(dict.fromkeys(brief)))
    hour = _hour(first)
    briefly = words.phrase(hour, _HOUR)
    many = (looks.plants_briefly(first, habits), looks.often(first))
    tries: list[tuple[str, ...]]
    tries = [(where, *many, hour) for where in (places, clauses)]
    tries += [(clauses, *many, briefly), (parts, *many, briefly), (parts, *many)]
    said = [" · ".join(filter(None, each)) for each in tries]
    return next((each for each in said if len(each) <= most), said[-1])


def _hour(window: ScoutingWindow) -> str:
    """When in the day to look for a stage, as its card says it."""
    hour = window.look.time_of_day
    return "" if hour is None or hour == NOT_STATED else hour


def stages_shown(block: Block) -> list[ScoutingWindow]:
    """Stages told of a pest: those that are due, else the last seen; others by their own place."""
    due = [each for each in block.windows if not each.is_answered]
    shown = due or list(block.windows[:1])
    places = {place for each in shown for place in (each.look.where_on_plant, each.look.picture)}
    for window in block.windows:
        if not places & {window.look.where_on_plant, window.look.picture}:
            shown.append(window)
            places |= {window.look.where_on_plant, window.look.picture}
    return shown


def hinted(hints: Hints, *clean: dt.date | None) -> str:
    """A short mark for what starts no clock, and for the clean look before a find."""
    last = max(filter(None, clean), default=None)
    marks = (("clean", last), ("unsure find", hints.unsure), ("heard of", hints.heard))
    said = [f"{mark} {day(on, weekday=False)}" for mark, on in marks if on is not None]
    return f" ({', '.join(said)})" if said else ""


def again_words(bed: Bed, first_bed: Mapping[str, str]) -> str:
    """Pests whose block stands in a bed before."""
    names: dict[str, list[str]] = {}
    for block in bed.again:
        names.setdefault(first_bed[block.card.key], []).append(block.card.name)
    said = [f"{', '.join(pests)} (see {before})" for before, pests in names.items()]
    return "; ".join(said)


def coming_words(coming: Coming, today: Today, show: Unit) -> str:
    """The day to start looking, and of what; why, where it may have been seen already."""
    window = coming.window
    stage = f"{window.card.name}, {window.event.words}"
    if window.status is not Status.COMING_UP:
        from_day = f"; by its date from {day(window.opens)}" if window.opens else ""
        return f"{capital(stage)}{hinted(coming.hints)}{from_day}"
    stage += f"; {sentences.reason(window, show)}{hinted(coming.hints)}"
    if window.opens is None:
        return capital(stage)
    change = beside(window, today.changes)
    was = f" (not {day(change.opens[0])})" if change is not None and change.opens else ""
    return f"{day(window.opens)}{was}: {stage}"
