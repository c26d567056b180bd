"""The walk on a screen: what to do in a sentence, then bed by bed where to look, then when again.

Every line says where to stand and what to look at, or when to come back; sums, sources, figures
and records of success stand in `full_walk` and ``why``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gddcast import words
from gddcast.crops.standing import SowingToday
from gddcast.errors import Command, command
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import sentences, weather_so_far
from gddcast.text.dates.moved import moved_lines
from gddcast.text.dates.nothing_due import NEWS_DAYS, nothing_is_due
from gddcast.text.dates.plants import (
    chore_words,
    picked_too_long,
    uncover_words,
)
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.text.watching import how_to_change
from gddcast.today.beds import HINT_DAYS, Bed, BedWalk, Block, Coming, Hints
from gddcast.today.hindsight import beside, stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import Status, capital, day, listed, spelled

#: Where two lines a pest would make more lines than these, each has one.
_ROOMY = 40
#: So many lines of what is anywhere, coming up or has moved; `full_walk` has them all.
_MOST = {"anywhere": 12, "coming": 6, "moved": 3}
_MOST_OF_MANY = {"anywhere": 12, "coming": 4, "moved": 2}
#: Of what is coming up on a day on which nothing is due: the closing line has the next.
_QUIET = 2
#: Of what only a rough date is known.
_ROUGH = 4
#: A line of a look is made for so many letters; on a narrower screen it folds.
_LINE = 80
#: Letters of a card's words in it.
_WHERE, _HOUR = 44, 30
#: Words that two phrases may share without speaking of the same stage.
_SMALL = {"and", "at", "for", "in", "of", "on", "the", "to", "first", "begin"}


def walk_by_bed_text(
    today: Today, show: Unit, *, terminal: Terminal = PLAIN, command: Command = command
) -> str:
    """The walk, in the order of walking; ``command`` writes its hints."""
    wide = replace(terminal, width=max(terminal.width, _LINE))  # a narrow screen folds more
    roomy = _walk(today, show, wide, command, roomy=True).count("\n") < _ROOMY
    return _walk(today, show, terminal, command, roomy=roomy)


def _walk(today: Today, show: Unit, terminal: Terminal, command: Command, *, roomy: bool) -> str:
    plan, walk = today.plan, today.by_bed
    lines: list[str | Line] = [Line(weather_so_far.weather_briefly(plan), weight="bold")]
    lines += _about_record(plan, command)
    if not plan.watched and walk.is_quiet:
        return terminal.show(lines)
    most = _MOST if roomy else _MOST_OF_MANY
    lines.append(Line(_to_do(plan, walk)))
    lines += _stops(walk, today, show, terminal, command, roomy=roomy)
    lines += _parted(moved_lines(today, most["moved"], command))
    lines += _parted(_coming(today, show, command, most["coming"]))
    lines += _parted([*_unsaid(walk, command), *_other_days(today, command)])
    lines += [*([] if walk.is_quiet and len(lines) < 4 else [""]), *_closing(walk, command)]
    lines += _cautions(today)
    return terminal.show(lines)


def _parted(lines: Sequence[Line] | Iterator[Line]) -> Iterator[str | Line]:
    """Lines after an empty one; nothing where there is none."""
    some = list(lines)
    if some:
        yield ""
        yield from some


def _about_record(plan: SeasonPlan, command: Command) -> Iterator[Line]:
    if said := weather_so_far.behind(plan):
        yield Line(f"{said} Bring them in:  {command('weather', 'add', 'YOURFILE.csv')}")
    yield from map(Line, weather_so_far.doubts(plan, patched=False))
    if said := how_to_change(plan.watching):
        yield Line(said)


def _to_do(plan: SeasonPlan, walk: BedWalk) -> str:
    """One sentence of what to do, and one of how long that is all."""
    many = len(walk.blocks)
    beds = sum(bool(bed.blocks or bed.again) for bed in walk.beds)
    parts = []
    if many:
        where = f" on {spelled(beds, 'bed')}" if beds else ""
        if walk.anywhere:
            where += " and elsewhere" if beds else ""
        parts.append(f"{spelled(many, 'thing')} to look for{where}")
    elif clear := nothing_is_due(plan):
        parts.append(clear)
    chores = len(walk.chores) + sum(len(bed.chores) + len(bed.to_uncover) for bed in walk.beds)
    if chores:
        parts.append(spelled(chores, "chore"))
    said = [words.sentence(", ".join(parts))] if parts else []
    if many:
        warm = ", unless a warm day comes first" if walk.warmth else ""
        new = f"Nothing new before {day(walk.next.day)}{warm}." if walk.next else ""
        said.append(new or ("" if walk.unsaid else "No other date this season."))
    return " ".join(filter(None, said))


def _stops(
    walk: BedWalk,
    today: Today,
    show: Unit,
    terminal: Terminal,
    command: Command,
    *,
    roomy: bool,
) -> Iterator[str | Line]:
    first_bed = {block.card.key: bed.name for bed in walk.beds for block in bed.blocks}
    if walk.beds or walk.chores:
        yield ""
    for chore in walk.chores:
        yield Line(capital(chore_words(chore)))
    for bed in walk.beds:
        yield from _bed(bed, first_bed, today, show, terminal, command, roomy=roomy)
    if walk.anywhere:
        if not walk.beds:
            yield ""
        sown = command("did", "sown", "CROP", "--bed", "NAME")
        yield Line(f"On crops with no bed on record ({sown})", "", "  ", weight="bold")
        for block in walk.anywhere[: _MOST["anywhere"]]:
            yield from _block(block, today, show, terminal, roomy=roomy)
        if more := walk.anywhere[_MOST["anywhere"] :]:
            yield Line(f"And {spelled(len(more), 'more pest')}:  {command('walk', '--full')}", "  ")


def _bed(
    bed: Bed,
    first_bed: Mapping[str, str],
    today: Today,
    show: Unit,
    terminal: Terminal,
    command: Command,
    *,
    roomy: bool,
) -> Iterator[Line]:
    """One stop: its pests, what is met again, its chores, what its plants ask."""
    title, again = _bed_title(bed), _again(bed, first_bed)
    if not bed.blocks and again:
        yield Line(f"{title}: {again}", "", "  ", weight="bold")
    else:
        yield Line(title, weight="bold")
        for block in bed.blocks:
            yield from _block(block, today, show, terminal, roomy=roomy)
        yield Line(again and f"Here too: {again}", "  ")
    chores = [*map(chore_words, bed.chores), *map(uncover_words, bed.to_uncover)]
    yield from (Line(f"- {chore}", "  ", "    ") for chore in chores)
    for each, coming in zip(bed.sowings, bed.ahead, strict=False):
        if coming.flowers_since is not None:
            yield Line(_asks_for_flowers(each, today.sowings, command), "  ")
        if coming.worn is not None:
            picked = picked_too_long(coming.worn, today.practice.rules.picking_days)
            yield Line(f"{each.sowing.name or each.sowing.crop}: {picked}", "  ")


def _asks_for_flowers(each: SowingToday, there: Sequence[SowingToday], command: Command) -> str:
    one = sum(other.sowing.crop == each.sowing.crop for other in there) == 1
    which = each.sowing.crop if one or each.sowing.name is None else each.sowing.name
    said = command("did", "first-flower", which)
    return f"In flower? Nothing on flowers then:  {said}"


def _again(bed: Bed, first_bed: Mapping[str, str]) -> str:
    """Pests whose block stands in a bed before."""
    names: dict[str, list[str]] = {}
    for block in bed.again:
        names.setdefault(first_bed[block.card.key], []).append(block.card.name)
    said = [f"{', '.join(pests)} (see {before})" for before, pests in names.items()]
    return "; ".join(said)


def _bed_title(bed: Bed) -> str:
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


def _block(
    block: Block, today: Today, show: Unit, terminal: Terminal, *, roomy: bool
) -> Iterator[Line]:
    """One pest: why now; then where on the plant, how many, how often, at which hour."""
    stages = _shown(block)
    said = "; ".join(_reasons(stages, show))
    marks = _hinted(block.hints, *_clean(stages, block.hints, today.day))
    title = f"{capital(block.card.name)}: {said}{marks}"
    if roomy:
        yield Line(title, "  ", "    ", status=block.status, weight="bold")
        yield Line(_look(stages, today.practice.habits, max(terminal.width, _LINE) - 4), "    ")
    else:
        said = _in_one_line(block, marks, show, max(terminal.width, _LINE) - 4)
        yield Line(said, "  ", "    ", status=block.status)


def _reasons(stages: Sequence[ScoutingWindow], show: Unit) -> Iterator[str]:
    """Each stage and why, those overdue together: one look answers them."""
    late = [each for each in stages if each.status is Status.OVERDUE]
    for each in stages:
        if each not in late:
            yield f"{each.event.words} · {sentences.reason(each, show)}"
        elif each is late[0]:
            last = max(late, key=lambda one: one.slowest or dt.date.min)
            yield f"{listed([one.event.words for one in late])} · {sentences.reason(last, show)}"


def _in_one_line(block: Block, marks: str, show: Unit, most: int) -> str:
    """The most pressing stage, why and where, as far as one line holds."""
    first = block.windows[0]
    name, place = capital(block.card.name), sentences.place_briefly(first)
    title = f"{name}: {first.event.words} · {sentences.reason(first, show)}{marks}"
    tries = (
        " · ".join(filter(None, (title, place, sentences.often(first)))),
        f"{title} · {place}",
        f"{name}: {place} · {sentences.reason(first, show)}{marks}",
    )
    return next((each for each in tries if len(each) <= most), tries[-1])


def _clean(
    stages: Sequence[ScoutingWindow], hints: Hints, today: dt.date
) -> Iterator[dt.date | None]:
    """Clean looks that matter: at what was not seen yet, or before a find of these days."""
    if any(each.found is None for each in stages):
        yield hints.clean
    for each in stages:
        if each.found is not None and (today - each.found.found_on).days <= HINT_DAYS:
            yield each.found.clean_on


def _look(stages: Sequence[ScoutingWindow], habits: Habits, most: int) -> str:
    """Where, how many, how often, when in the day: whole phrases of the card, as one line holds."""
    first = stages[0]
    brief = [sentences.place_briefly(each) for each in stages]
    whole = [each.look.where_on_plant or place for each, place in zip(stages, brief, strict=True)]
    short = [words.phrase(each, _WHERE) or place for each, place in zip(whole, brief, strict=True)]
    places, clauses = ("; ".join(dict.fromkeys(each)) for each in (whole, short))
    parts = listed(list(dict.fromkeys(brief)))
    hours = _hour(first)
    hour = words.phrase(hours[-1], _HOUR)
    many = (sentences.plants_briefly(first, habits), sentences.often(first))
    tries: list[tuple[str, ...]]
    tries = [(where, *many, each) for each in hours for where in (places, clauses)]
    tries += [(clauses, *many, hour), (parts, *many, hour), (parts, *many)]
    said = [" · ".join(filter(None, each)) for each in tries]
    return next((each for each in said if len(each) <= most), said[-1])


def _hour(window: ScoutingWindow) -> tuple[str, str]:
    """All a card says of the hour, and what of it is for this stage: "any hour for eggs"."""
    whole = window.look.time_of_day or "not stated"
    if whole == "not stated":
        return "", ""
    phrases, event = whole.split("; "), window.event
    stage = {*f"{event.words} {event.key}".replace("-", " ").replace(",", "").split()} - _SMALL
    fits = [each for each in phrases if {*each.replace(",", "").split()} & stage]
    return whole, "; ".join(fits or [each for each in phrases if " for " not in each][:1])


def _shown(block: Block) -> list[ScoutingWindow]:
    """Stages told of a pest: those that are due, else the last seen; others by their own place."""
    due = [each for each in block.windows if not each.is_answered]
    shown = due or list(block.windows[:1])
    places = {place for each in shown for place in (each.look.where_on_plant, each.look.picture)}
    for window in block.windows:
        if not places & {window.look.where_on_plant, window.look.picture}:
            shown.append(window)
            places |= {window.look.where_on_plant, window.look.picture}
    return shown


def _hinted(hints: Hints, *clean: dt.date | None) -> str:
    """A short mark for what starts no clock, and for the clean look before a find."""
    last = max(filter(None, clean), default=None)
    marks = (("clean", last), ("unsure find", hints.unsure), ("heard of", hints.heard))
    said = [f"{mark} {day(on, weekday=False)}" for mark, on in marks if on is not None]
    return f" ({', '.join(said)})" if said else ""


def _coming(today: Today, show: Unit, command: Command, most: int) -> Iterator[Line]:
    walk = today.by_bed
    if not walk.coming:
        return
    most = _QUIET if walk.is_quiet else most
    yield Line("Coming up: start looking", weight="bold")
    for each in walk.coming[:most]:
        yield Line(_coming_words(each, today, show), "  ", "    ", status=each.window.status)
    if more := walk.coming[most:]:
        yield Line(f"And {spelled(len(more), 'more stage')}:  {command('ahead')}", "  ")


def _coming_words(coming: Coming, today: Today, show: Unit) -> str:
    window = coming.window
    stage = f"{window.card.name}, {window.event.words}"
    if window.status is not Status.COMING_UP:
        from_day = f"; by its date from {day(window.opens)}" if window.opens else ""
        return f"{capital(stage)}{_hinted(coming.hints)}{from_day}"
    stage += f"; {sentences.reason(window, show)}{_hinted(coming.hints)}"
    if window.opens is None:
        return capital(stage)
    change = beside(window, today.changes)
    was = f" (not {day(change.opens[0])})" if change is not None and change.opens else ""
    return f"{day(window.opens)}{was}: {stage}"


def _unsaid(walk: BedWalk, command: Command) -> Iterator[Line]:
    """Silence would read as "not about": a rough date, else the way to why there is none."""
    rough = [each for each in walk.unsaid if sentences.rough_days(each)]
    if rough:
        yield Line("Roughly, for want of past years on file", weight="bold")
        for each in rough[:_ROUGH]:
            said = f"{each.card.name}, {each.event.words}; {sentences.rough_days(each)}"
            yield Line(capital(said), "  ", "    ", status=each.status)
        if more := rough[_ROUGH:]:
            yield Line(f"And {spelled(len(more), 'more stage')}:  {command('ahead')}", "  ")
        lend = command("weather", "patch", "YOURFILE.csv", "--from", "OTHER.csv", "--extend")
        yield Line(f"A record near by lends past years:  {lend}", "", "  ")
    rest = [each for each in walk.unsaid if each not in rough]
    if rest:
        stages = list(dict.fromkeys(f"{each.card.name}, {each.event.words}" for each in rest))
        said = "; ".join(stages[:3])
        if more_stages := stages[3:]:
            said += f"; and {len(more_stages)} more"
        yield Line(f"Can't say: {said}. Why:  {command('why', rest[0].card.key)}", "", "  ")


def _other_days(today: Today, command: Command) -> Iterator[Line]:
    """That a calendar was told other days: no day moves without a word."""
    names = []
    for window in today.by_bed.windows:
        was = today.in_calendar.get(stage_of(window))
        if was is None or window.found is not None or window.opens is None:
            continue
        if abs((window.opens - was).days) >= NEWS_DAYS:
            names.append(window.card.name)
    if names:
        said = listed(list(dict.fromkeys(names)))
        again = command("calendar", "-o", "reminders.ics")
        yield Line(f"Your calendar has other days of {said}:  {again}")


def _closing(walk: BedWalk, command: Command) -> Iterator[Line]:
    """When to come back, or how to write down what was found; and where the rest stands."""
    rest = f"Sums, sources, records:  {command('walk', '--full')}  or  {command('why', 'PEST')}"
    if walk.blocks:
        first = walk.blocks[0].windows[0]
        none, found = command("saw", "none"), command("saw", first.card.key, first.event.key)
        yield Line(f"Write it down:  {none}  or  {found}")
        yield Line(rest)
        return
    if walk.next is not None:
        stage = f"{walk.next.window.card.name}, {walk.next.window.event.words}"
        warm = ", or after a warm day before it" if walk.warmth else ""
        yield Line(f"Come back on {day(walk.next.day)}{warm}: {stage}.")
    elif walk.warmth:
        names = listed(list(dict.fromkeys(each.card.name for each in walk.warmth)))
        yield Line(f"Come back after a warm day: {names}. Nothing else has a date to come.")
    elif not walk.unsaid:
        yield Line("No stage on your list has a date still to come this season.")
    yield Line(rest)


def _cautions(today: Today) -> Iterator[Line]:
    """Once a week where there is something to look for; always where it is close at hand."""
    walk = today.by_bed
    weekly = bool(walk.blocks) and today.is_first_walk_of_week
    if walk.needs_caution or weekly:
        yield Line(words.CAUTIONS)
    if weekly:
        yield Line(words.AWAY_BRIEFLY)
