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
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import looks, sentences, weather_so_far
from gddcast.text.dates.bed_words import (
    ANYWHERE,
    again_words,
    bed_title,
    coming_words,
    look_in_a_line,
    pest_words,
    stages_shown,
    to_do,
)
from gddcast.text.dates.date_news import change_lines
from gddcast.text.dates.nothing_due import NEWS_DAYS
from gddcast.text.dates.plants import (
    chore_words,
    picked_too_long,
    uncover_words,
)
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.text.watching import watch_hint
from gddcast.today.beds import Bed, BedWalk, Block
from gddcast.today.beside_dates import stage_of
from gddcast.today.plan import SeasonPlan
from gddcast.today.today import Today
from gddcast.units import Unit
from gddcast.words import capital, day, listed, spelled

#: Where two lines a pest would make more lines than these, each has one, if one holds it.
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
    lines.append(Line(to_do(plan, walk)))
    lines += _stops(walk, today, show, terminal, command, roomy=roomy)
    lines += _parted(change_lines(today, most["moved"], command))
    lines += _parted(_coming(today, show, command, most["coming"]))
    lines += _parted([*_unsaid(walk, plan.today, command), *_other_days(today, command)])
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
    if said := watch_hint(plan.watching, command):
        yield Line(said)


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
        yield Line(f"{ANYWHERE} ({sown})", "", "  ", weight="bold")
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
    title, again = bed_title(bed), again_words(bed, first_bed)
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
            yield Line(f"{words.capital(each.called)}: {picked}", "  ")


def _asks_for_flowers(sowing: SowingToday, sowings: Sequence[SowingToday], command: Command) -> str:
    one = sum(other.sowing.crop == sowing.sowing.crop for other in sowings) == 1
    which = sowing.sowing.crop if one or sowing.sowing.name is None else sowing.sowing.name
    said = command("did", "first-flower", which)
    return f"In flower? Put nothing on open flowers, and log it:  {said}"


def _block(
    block: Block, today: Today, show: Unit, terminal: Terminal, *, roomy: bool
) -> Iterator[Line]:
    """One pest: why now; then where on the plant, how many, how often, at which hour."""
    pest = pest_words(block, today.practice.habits, today.day, show)
    title = f"{pest.name}: {pest.why}"
    if roomy:
        yield Line(title, "  ", "    ", status=block.status, weight="bold")
        yield Line(
            look_in_a_line(
                stages_shown(block), today.practice.habits, max(terminal.width, _LINE) - 4
            ),
            "    ",
        )
    else:
        said = _in_one_line(block, pest.marks, show, max(terminal.width, _LINE) - 4)
        yield Line(said, "  ", "    ", status=block.status)


def _in_one_line(block: Block, marks: str, show: Unit, most: int) -> str:
    """The most pressing stage, why and where, in one line where it holds them; never less."""
    first = block.windows[0]
    name, place = capital(block.card.name), looks.place_briefly(first)
    title = f"{name}: {first.event.words} · {sentences.reason(first, show)}{marks}"
    whole = " · ".join(filter(None, (title, place, looks.often(first))))
    return whole if len(whole) <= most else f"{title} · {place}"


def _coming(today: Today, show: Unit, command: Command, most: int) -> Iterator[Line]:
    walk = today.by_bed
    if not walk.coming:
        return
    most = _QUIET if walk.is_quiet else most
    yield Line("Coming up: start looking", weight="bold")
    for each in walk.coming[:most]:
        yield Line(coming_words(each, today, show), "  ", "    ", status=each.window.status)
    if more := walk.coming[most:]:
        yield Line(f"And {spelled(len(more), 'more stage')}:  {command('ahead')}", "  ")


def _unsaid(walk: BedWalk, today: dt.date, command: Command) -> Iterator[Line]:
    """Silence would read as "not about": a rough or a wider date, else why there is none."""
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
    gappy = sorted((each for each in walk.unsaid if each.bridged), key=_days_across)
    wide = [each for each in gappy if _days_across(each)[1] >= today]
    if wide:
        yield Line("Days missing; with usual weather on them, four times in five", weight="bold")
        for each in wide[:_ROUGH]:
            when, cost = sentences.across_gap(each)
            said = f"{each.card.name}, {each.event.words}; {when}, {cost}"
            yield Line(capital(said), "  ", "    ", status=each.status)
        if more := wide[_ROUGH:]:
            yield Line(f"And {spelled(len(more), 'more stage')}:  {command('ahead')}", "  ")
    begun = [each for each in gappy if each not in wide]
    rest = [each for each in walk.unsaid if each not in (*rough, *gappy)]
    for what, those in (("Probably begun, but days are missing", begun), ("Can’t say", rest)):
        if those:
            yield Line(f"{what}: {_stages(those)}. Why:  {command('why', those[0].card.key)}",
                       "", "  ")  # fmt: skip


def _stages(windows: Sequence[ScoutingWindow]) -> str:
    """The first three by name."""
    stages = list(dict.fromkeys(f"{each.card.name}, {each.event.words}" for each in windows))
    more = f"; and {len(stages) - 3} more" if stages[3:] else ""
    return "; ".join(stages[:3]) + more


def _days_across(window: ScoutingWindow) -> tuple[dt.date, dt.date]:
    """Days of a date across a gap."""
    early, late = window.bridged or (None, None)
    if early is None or late is None:
        return dt.date.max, dt.date.max
    return early.first, late.last or dt.date.max


def _other_days(today: Today, command: Command) -> Iterator[Line]:
    """That a calendar was told other days: no day moves without a word."""
    names = []
    for window in today.by_bed.windows:
        was = today.in_calendar.get(stage_of(window))
        if was is None or window.bracket is not None or window.opens is None:
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
