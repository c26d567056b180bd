"""What is said when something was written into the book: what it was, and what it changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Protocol

from gddcast import words
from gddcast.cards.model import Card
from gddcast.crops.chores import in_words
from gddcast.errors import Command, command
from gddcast.journal.begun import Begun, WayBack
from gddcast.journal.entries import Closing, Job, OwnGoal, Sighting, Sowing
from gddcast.journal.finds import WANDERING
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import looks, sentences, weather_so_far
from gddcast.text.logged_catch import AboutCatch, catch_words
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit
from gddcast.words import any_day, capital, day, heat, reached, span, with_weather_of


def logged_find(
    card: Card,
    find: Sighting,
    before: SeasonPlan | None,
    after: SeasonPlan | None,
    *,
    clean_on: dt.date | None,
    earlier: Sighting | None,
    way_back: WayBack | None,
    about_catch: AboutCatch | None = None,
    begun: Sequence[Begun] = (),
    terminal: Terminal = PLAIN,
    command: Command | None = command,
) -> str:
    """A find, the date the book had expected, the next look; the sums behind them are `why`'s.

    Where there is no ``command``, as on a page with buttons, none is named.
    """
    lines = [f"Logged: {_what(card, find, clean_on)}.  [entry {find.entry}]"]
    lines += _looks_alike(card)
    running = about_catch.entry if about_catch else find.entry
    event = card.event_of(find.event)
    window = _window_of(before, event.key) if event and running else None
    if window is not None and window.bracket is None:
        lines.append(_expected(window))
    if about_catch is not None and about_catch.sentence:
        lines.append(about_catch.sentence)
    if running is None:
        pass  # kept beside what dates the stage
    elif not find.sure:
        lines += _starts_no_clock(find)
    elif earlier is not None and earlier.entry != running:
        lines += _second_find(card, find, earlier, command)
    elif after is None:
        add = f":  {command('weather', 'add', 'YOURFILE.csv')}" if command else "."
        lines.append(f"No weather yet, so no date can follow{add}")
    else:
        lines += _begun(card, begun)
        restarts = list(_restarts(after, running))
        lines += [*restarts, *filter(None, [weather_so_far.behind(after)] if restarts else [])]
    if way_back is not None:
        lines.append(_back(card, way_back, clean_on))
    if command is not None:
        lines.append(f"More:  {command('why', card.key)}     Undo:  {command('undo')}")
    return terminal.show(Line(line, rest="  ") for line in lines if line)


def logged_report(card: Card, report: Sighting, command: Command = command) -> str:
    """Somebody else's report."""
    where = f", {report.where}" if report.where else ""
    when = day(report.seen_on, year=True)
    return (
        f"Logged: heard of {card.name}, {_stage(card, report)}{where}, {when}.  "
        f"[entry {report.entry}]\n"
        "Kept beside your own finds; it starts no clock.  When you see them yourself:  "
        f"{command('saw', card.key, report.event)}\nUndo:  {command('undo')}"
    )


def logged_clean_look(
    card: Card | None, look: Sighting, looks: int | None, command: Command | None = command
) -> str:
    """A look that found none, and how many this season has; one line without that number."""
    what = card.name if card else "everything you watch"
    if card and look.event:
        what = f"{what}, {_stage(card, look)}"
    if look.trap:
        what += f", {catch_words(look)}"
    where = f", {look.where}" if look.where else ""
    plants = f", {look.plants_looked} plants" if look.plants_looked else ""
    plants += f", by {look.by}" if look.by else ""
    logged = (
        f"Logged: a clean look for {what}{where}{plants}, {day(look.seen_on, year=True)}.  "
        f"[entry {look.entry}]"
    )
    if looks is None:
        return logged
    return (
        f"{logged}\n{words.count(looks, 'clean look')} this season. A first find will be "
        "bracketed by the last of them." + (f"\nUndo:  {command('undo')}" if command else "")
    )


def logged_sheet(
    rows: Sequence[Sighting], names: Sequence[str], empty: int, command: Command | None = command
) -> str:
    """A whole sheet: how much of it, and each find."""
    finds = [(each, name) for each, name in zip(rows, names, strict=True) if each.kind == "saw"]
    clean = words.count(len(rows) - len(finds), "clean look")
    left = f"; {words.count(empty, 'row')} left empty" if empty else ""
    entries = names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"
    lines = [f"Logged: {words.count(len(finds), 'find')}, {clean}{left}.  [entry {entries}]"]
    lines += [f"  {_sighting(each)}  [entry {name}]" for each, name in finds]
    days = sorted({each.seen_on for each in rows})
    lines.append(f"Looked on {words.listed([day(each, year=True) for each in days])}.")
    if command is not None:
        changed, undo = command("walk"), command("undo")
        lines.append(f"What it changed:  {changed}     Undo, a row a step:  {undo}")
    return "\n".join(lines)


def _stage(card: Card, find: Sighting) -> str:
    return card.stage_words(find.event)


def _what(card: Card, find: Sighting, clean_on: dt.date | None) -> str:
    parts = [f"{card.name} ({_latin(card)}), {_stage(card, find)}"]
    if find.where:
        parts.append(find.where)
    if find.plants_looked:
        parts.append(f"on {find.plants_with} of {find.plants_looked} plants")
    if find.trap:
        parts.append(catch_words(find))
    elif find.count is not None:
        parts.append(f"{find.count} counted")
    if find.by:
        parts.append(f"by {find.by}")
    if find.trap:
        parts.append(day(find.seen_on, year=True))
    elif clean_on is None:
        parts.append(
            f"seen {day(find.seen_on, year=True)}; no clean look before it, so it may be older"
        )
    elif clean_on + dt.timedelta(days=1) == find.seen_on:
        parts.append(f"on {day(find.seen_on, year=True)} (clean look the day before)")
    else:
        first = clean_on + dt.timedelta(days=1)
        began = span(first, find.seen_on)
        if first.year == find.seen_on.year:  # else both have theirs
            began = f"{began} {first.year}"
        clean = day(clean_on, weekday=False)
        parts.append(f"began {began} (clean look {clean})")
    return ", ".join(parts)


def _latin(card: Card) -> str:
    return " ".join(card.latin.split()[:2])


def _looks_alike(card: Card) -> Iterator[str]:
    """Names that are taken for one another send people to the wrong card."""
    cards = [other for other in card.look_alikes if other.card]
    if cards:
        tell, *_ = cards[0].tell.split(";")
        yield f"If it was {cards[0].name} ({tell}), undo this."


def _window_of(plan: SeasonPlan | None, event: str) -> ScoutingWindow | None:
    windows = plan.windows if plan else ()
    return next((each for each in windows if each.event.key == event and not each.cue), None)


def _expected(window: ScoutingWindow) -> str:
    """The date told before; nothing where the book had none."""
    early, late = window.early, window.late
    if early is None or late is None or early.fastest is None:
        return ""
    if late.reached is not None and early.reached is not None:
        return f"The book expected them {_on(any_day(early.reached, late.reached))}."
    when = _on(any_day(early.fastest, late.slowest))
    if late.slowest is None:
        years = with_weather_of(len(late.days), len(late.dots))
        return f"The book expected them {when}, {years}."
    return f"The book expected them {when}, with past years’ weather from then on."


def _on(when: str) -> str:
    """Of a single day "on" it, which "any day" of several does not take."""
    return when if when.startswith("any day") else f"on {when}"


def _second_find(
    card: Card, find: Sighting, first: Sighting, command: Command | None
) -> Iterator[str]:
    """The first find keeps the clock; what else this one may be."""
    yield (
        f"The clock keeps running from {day(first.seen_on)} (entry {first.entry}); this find is "
        "kept beside it."
    )
    if command is None:
        return
    yield f"If the first was wrong:  {command('undo', first.entry)}"
    later = card.event(f"second-{find.event}")
    if later is not None:
        again = command("saw", card.key, later.key)
        yield f"If these are a new brood, log them as:  {again}"


def _starts_no_clock(find: Sighting) -> Iterator[str]:
    if find.count == 1 and find.event in WANDERING:
        yield "One alone may be a stray: kept as provisional, and no clock starts from it."
        yield "When there are more, log them; if this one is enough for you, log it with --count 2."
    else:
        yield "Kept as 'think so': no clock starts from it, and it replaces no sure find."


def _restarts(plan: SeasonPlan, running: str | None) -> Iterator[str]:
    """The stage looked for next whose clock now runs from this find, and how many more do."""
    windows = []
    for window in plan.windows:
        bracket = window.clock.bracket if window.clock else None
        if bracket is None or bracket.sighting.entry != running or window.number is None:
            continue
        if not window.is_answered:  # else it has come already
            windows.append(window)
    if not windows:
        return
    first = min(
        windows,
        key=lambda each: (
            not each.event.opens_looks, each.opens or each.slowest or dt.date.max
        ),
    )  # fmt: skip
    said = f"Clock restarts for {first.event.words.upper()}: {_may_start(first, plan.today)}"
    if more := [each.event.words for each in windows if each is not first]:
        said += f" Also for {words.listed(more)}."
    yield said


def _begun(card: Card, begun: Sequence[Begun]) -> Iterator[str]:
    """Earlier stages that nobody logged: begun, and by which day at the latest."""
    events = [(card.event(each.event), each) for each in begun]
    said = [
        f"{event.words} by {day(each.latest, weekday=False)}" if each.counted else event.words
        for event, each in events
        if event is not None
    ]
    if not said:
        return
    yield f"So these had begun, at the latest: {'; '.join(said)}."


def _may_start(window: ScoutingWindow, today: dt.date) -> str:
    early, late = window.early, window.late
    if early is None or late is None or early.fastest is None:
        return window.reason or "no date: days are missing since, or no past year is complete."
    if late.reached is not None:
        look = " Look now." if window.event.opens_looks else ""
        said = f"the sum was {reached(early.fastest, late.reached)}."
        return f"{said}{sentences.or_sooner(window)}{look}"
    said = f"{_on(any_day(early.fastest, late.slowest))}." + sentences.or_sooner(window)
    if window.opens is not None and window.every_days is not None:
        from_day = "now" if window.opens <= today else f"from {day(window.opens)}"
        said += f" Look {from_day}, {looks.often(window)}."
    return said


def _back(card: Card, back: WayBack, clean_on: dt.date | None) -> str:
    event = card.event(back.event)
    what = event.words if event else back.event
    said = f"Counted back: {what} about {span(back.first, back.last)}, or earlier if these had "
    said += "been there a while"
    if clean_on is None:
        return f"{said}; no clean look says how much earlier."
    if clean_on >= back.last:
        when = day(clean_on, weekday=False)
        return f"{said}. Your clean look of {when} came after that: probably missed."
    return f"{said}; your last clean look was {day(clean_on, weekday=False)}, so that fits."


class LoggedEntry(Protocol):
    """What an entry is about: one thing, or weather from a source."""

    @property
    def item(self) -> Sighting | Sowing | Job | OwnGoal | Closing | None: ...  # noqa: D102

    @property
    def source(self) -> str | None: ...  # noqa: D102

    @property
    def name(self) -> str: ...  # noqa: D102


class WeatherDays(Protocol):
    """How many days of weather an entry brought, and from when to when."""

    @property
    def count(self) -> int: ...  # noqa: D102

    @property
    def first(self) -> dt.date: ...  # noqa: D102

    @property
    def last(self) -> dt.date: ...  # noqa: D102


def entry_words(entry: LoggedEntry, show: Unit = "F", days: WeatherDays | None = None) -> str:
    """What it was, where and when."""
    item = entry.item
    if item is None:
        return f"weather from {entry.source}{_of_days(days)}"
    if isinstance(item, Sighting):
        return _sighting(item)
    if isinstance(item, Sowing):
        verb = "planted out" if item.planted_out else "sown"
        return f"{item.name} {verb} {day(item.sown_on, year=True)}"
    if isinstance(item, Job):
        entry_words = in_words(item.job, item.sowing or item.bed)
        return f"{entry_words}, {day(item.done_on, year=True)}"
    if isinstance(item, Closing):
        what = f"{item.organism} {item.event}".strip().replace("-", " ")
        return f"{what} closed, {day(item.closed_on, year=True)}"
    stage = f"{item.organism} {item.event}".replace("-", " ")
    return f"your own number for {stage}, {heat(item.goal, show)}"


def contrary_words(other: Sighting) -> str:
    """An entry that says the opposite of the one just written."""
    said = capital(_sighting(other))
    return f"The opposite is on record too: {said}.  [entry {other.entry}] Undo what is not so."


def _of_days(days: WeatherDays | None) -> str:
    if days is None:
        return ""
    if days.count == 1:
        return f", {day(days.first, year=True)}"
    ends = " to ".join(day(each, weekday=False, year=True) for each in (days.first, days.last))
    return f", {words.count(days.count, 'day')} from {ends}"


def _sighting(item: Sighting) -> str:
    what = " ".join(part for part in (item.organism, item.event) if part).replace("-", " ")
    where = f", {item.where}" if item.where else ""
    when = day(item.seen_on, year=True)
    trap = f", {catch_words(item)}" if item.trap else ""
    by = f", by {item.by}" if item.by else ""
    if item.kind == "none":
        return f"clean look for {what or 'everything watched'}{trap}{where}{by}, {when}"
    verb = "heard of " if item.kind == "heard" else ""
    return f"{verb}{what}{trap}{where}{by}, {when}"
