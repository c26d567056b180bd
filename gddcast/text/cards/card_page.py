"""One card on a page: what to look for, every number with its whole method, and who printed it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gddcast.cards.model import Card, Days, Duration, Event, Evidence, Look, Number, Start
from gddcast.errors import shell
from gddcast.text.cards import card_words as words
from gddcast.text.logged_catch import asked_of_a_catch
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.words import CAUTIONS, count, listed

#: Two temperatures at which laboratory numbers are set side by side. [°C]
_SIDE_BY_SIDE = (20.0, 25.0)
#: So many stages of a card are shown where not all of it is.
_STAGES = 4
#: So many plants it lives on.
_HOSTS = 8
#: Before a number, a sign or a source; what is said of it stands below, further in.
_ITEM = "  ● "


@dataclass(frozen=True, slots=True)
class Block:
    """A stage or a subject of a card.

    Parameters
    ----------
    title : str
        Over it; empty over what stands first.
    lines : tuple of Line
        Facts with their labels, then items: a lead of ``●``, what is said of them below.
    key : str
        By which commands name a stage, with what it is for.
    about : str
        What kind of thing the items are.
    """

    title: str
    lines: tuple[Line, ...]
    key: str = ""
    about: str = ""

    def for_terminal(self) -> Iterator[str | Line]:
        """Its title in capitals, then its lines; nothing where it holds nothing."""
        aside = self.key or self.about
        if self.title and (self.lines or self.key):
            yield f"{self.title.upper()}{f'  ({aside})' if aside else ''}"
        yield from self.lines


def card_page(
    card: Card, *, whole: bool = False, with_sources: bool = False, terminal: Terminal = PLAIN
) -> str:
    """A card as text: the numbers that are used, or all that is on it.

    Parameters
    ----------
    card : Card
        What to print.
    whole : bool
        Whether every number, figure and note is printed.
    with_sources : bool
        Whether full references follow, with what was read of each.
    terminal : Terminal
    """
    if not whole:
        cues = Block("Cues", tuple(_cues(card, sources=False))) if card.is_cue_card else None
        alike = "; ".join(each.name for each in card.look_alikes)
        looks = (*_looked_for(card, _HOSTS), *_look(card.look, 0, ("looks_like", "where_on_plant")),
                 *_fold("Mistaken for", alike))  # fmt: skip
        end = (*_folded(card), *(_full_sources(card) if with_sources else ()))
        caution = [Line(CAUTIONS, weight="dim")] if card.group == "pest" else []
        signs = cues.for_terminal() if cues else ()
        blocks = [(_title(card), *_used(card)), signs, looks, end, caution]
        return _parted(blocks, terminal)
    heading, *others = card_blocks(card)
    parts = [block.for_terminal() for block in others]
    if not with_sources:
        parts[-1] = _where_sources_are(card)
    return _parted([(_title(card), *heading.for_terminal()), *parts], terminal)


def card_blocks(card: Card, *, commands: bool = True) -> list[Block]:
    """All that is on a card, a block a stage or a subject, its sources last.

    Parameters
    ----------
    card : Card
    commands : bool
        Whether its reader may type one.
    """
    return [
        Block("", tuple(_heading(card))),
        *(_event(card, event) for event in card.events),
        *([Block("Also logged", tuple(_signs(card)))] if commands else ()),
        Block("Cues", tuple(_cues(card))),
        Block("Day length", tuple(_day_length(card))),
        Block("Commercial figures", tuple(_actions(card)),
              about="what a bulletin acts on in fields; not a rule for a garden"),
        Block("Not to be confused with", tuple(_look_alikes(card, commands=commands))),
        Block("Notes", tuple(_sentences(card.notes))),
        Block("Cautions", tuple(_sentences((*card.cautions, CAUTIONS)))),
        Block("Sources", tuple(_sources(card))),
    ]  # fmt: skip


def _parted(blocks: Iterable[Iterable[str | Line]], terminal: Terminal) -> str:
    return "\n\n".join(text for block in blocks if (text := terminal.show(block)))


def _used(card: Card) -> Iterator[str | Line]:
    """The number or the days each stage goes by, a line each, and who printed them."""
    printed: dict[str, None] = {}
    for event in _dated(card)[:_STAGES]:
        number = event.default
        if number is not None:
            start = number.starts_from
            began = "start not stated" if start is None else f"from {_start(card, start)}"
            above = words.temperature_both(number.lower, number.unit)
            of = "" if number.of == "air" else f" of {number.of}"
            said = f"{words.heat_both(number.goal, number.unit)} above {above}{of}, {began}"
            source, evidence = number.source, number.evidence
        else:
            days = event.days[0]
            began = _start(card, days.starts_from)
            said = f"{words.days_in_words(days.days)} from {began}"
            source, evidence = days.source, days.evidence
        printed[_short_source(card, source, evidence, brief=True)] = None
        yield Line(f"{event.words}: {said}", "● ", strong=event.words)
    yield Line("; ".join(printed), "  ", weight="dim")


def _dated(card: Card) -> list[Event]:
    """The stages that a sum or days say the time of."""
    return [event for event in card.events if event.default is not None or event.days]


def _start(card: Card, start: Start) -> str:
    """From when, without the key of a stage."""
    event = card.event(start.event or "")
    return event.words if event else words.start_in_words(start, card)


def _folded(card: Card) -> Iterator[Line]:
    """What is left out, counted, and how it is seen."""
    dated = _dated(card)
    shown = sum(event.default is not None for event in dated[:_STAGES])
    look = card.look
    asides = (card.overwinters, card.second_brood, card.frost_kills, look.time_of_day, look.plants)
    notes = len(card.notes) + len(card.cautions) + len(card.day_length)
    notes += sum(each is not None for each in asides)
    notes += sum(event.reading is not None for event in card.events)
    parts = [
        (sum(len(event.numbers) for event in card.events) - shown, "number"),
        (len(card.events) - len(dated[:_STAGES]), "stage"),
        (0 if card.is_cue_card else len(card.cues), "sign"),
        (len(card.actions), "commercial figure"), (len(card.look_alikes), "look-alike"),
        (notes, "note"),
        (len(card.sources), "source"),
    ]  # fmt: skip
    folded = [*(count(many, what) for many, what in parts if many), "methods"]
    yield Line(f"Folded: {listed(folded)}:  gddcast {card.group}s {shell(card.key)} --all")


def _fold(label: str, text: str | None, indent: int = 0, column: int = 16) -> Iterator[Line]:
    """A label and its text, folded under itself."""
    if text:
        first = f"{'':{indent}}{label:<{column - indent - 1}} "
        yield Line(text, first, " " * column)


def _title(card: Card) -> Line:
    return Line(f"{card.name} · {card.latin} · {card.group}", strong=card.name)


def _heading(card: Card) -> Iterator[Line]:
    yield from _looked_for(card)
    yield from _look(card.look, 0)
    yield from _fold("Winters", card.overwinters)
    yield from _fold("Later broods", card.second_brood)
    yield from _fold("Frost kills", _frost(card))
    if card.is_cue_card:
        yield from _fold("Cue card", "no heat sum was published for it; go by the cue below")
    yield from _fold("Not known", ", ".join(card.not_known))


def _looked_for(card: Card, most: int | None = None) -> Iterator[Line]:
    if card.own_file:
        packaged = ", in place of the packaged card" if card.replaces_packaged else ""
        yield from _fold("Your own card", card.own_file + packaged)
    more = len(card.hosts[most:]) if most else 0
    hosts = ", ".join(card.hosts[:most]) + (f" and {more} more" if more else "")
    yield from _fold("Looked for on", hosts)
    yield from _fold("From elsewhere", card.comes_from_elsewhere)


def _frost(card: Card) -> str | None:
    frost = card.frost_kills
    if frost is None:
        return None
    near = words.temperature_both(round(frost.celsius, 1), "C")
    return f"near {near} · {_short_source(card, frost.source, frost.evidence)}"


_LOOK = {
    "looks_like": "Looks like",
    "where_on_plant": "Where",
    "time_of_day": "When in the day",
    "plants": "Plants",
}


def _look(look: Look, indent: int, fields: Iterable[str] = _LOOK) -> Iterator[Line]:
    for name in fields:
        yield from _fold(_LOOK[name], getattr(look, name), indent, 16 + indent)


def _event(card: Card, event: Event) -> Block:
    brood = f" · brood {event.brood}" if event.brood > 1 else ""
    what = f" · {event.purpose}" if card.group == "pest" else ""
    return Block(event.words, tuple(_of_event(card, event)), f"{event.key}{what}{brood}")


def _of_event(card: Card, event: Event) -> Iterator[Line]:
    yield from _look(event.look, 2)
    if event.same_time_as and (other := card.event(event.same_time_as)):
        yield from _fold("Same time as", f"{other.words} ({other.key})", 2, 18)
    if event.catch:
        yield from _fold("In a trap", f"dated by {asked_of_a_catch(event.catch)}", 2, 18)
    for number in sorted(event.numbers, key=lambda each: not each.default):
        yield from _number(card, number)
    for days in event.days:
        yield from _days(card, days, f"from {words.start_in_words(days.starts_from, card)}")
    if event.lasts:
        yield from _days(card, event.lasts, "long, once begun")
    yield from _fold("Caution", event.caution, 2, 18)
    yield from _fold("Side by side", _laboratories(card, event), 2, 18)
    yield from _fold("Which of them", event.reading, 2, 18)


def _signs(card: Card) -> Iterator[Line]:
    """What else can be logged, and the event it says has begun."""
    for sign in card.signs:
        event = card.event(sign.event)
        yield from _fold(sign.key, f"{sign.words}: {event.words if event else sign.event}", 2, 18)


def _number(card: Card, number: Number) -> Iterator[Line]:
    unit = number.unit
    spread = f", ± {words.plain(number.spread)} °{unit}-days" if number.spread else ""
    used = "  ← used" if number.default else ""
    start = number.starts_from
    began = f" from {words.start_in_words(start, card)}" if start else ", start not stated"
    goal = words.heat_both(number.goal, unit)
    yield Line(f"{goal}{spread}{began}{used}", _ITEM, "    ", strong=goal)
    above = words.temperature_both(number.lower, unit)
    yield from _detail(
        f"above {above} · upper threshold {words.temperature_both(number.upper, unit)}"
        f" · cut-off {number.cutoff or 'not stated'} · day shape {number.shape or 'not stated'}"
    )
    of = "" if number.of == "air" else f" of {number.of}, not of air"
    yield from _detail(f"{words.kind_in_words(number)}{of} · found in {number.found_in}")
    cited = _short_source(card, number.source, number.evidence, number.primary)
    yield Line(cited, "    ", "      ", weight="dim")
    if number.kind == "laboratory":
        yield from _detail(_at_constant_temperatures(number))
    yield from _detail(_emergence(number))
    yield from _detail(number.reason and f"Why this one: {number.reason}")
    yield from _detail(number.doubt and f"Doubt: {number.doubt}")
    yield from _detail(number.note and f"Note: {number.note}")


def _detail(text: str | None) -> Iterator[Line]:
    yield from _fold("", text, 4, 6)


def _days(card: Card, days: Days | Duration, when: str) -> Iterator[Line]:
    said = words.days_in_words(days.days)
    yield Line(f"{said} {when}", _ITEM, "    ", strong=said)
    yield Line(_short_source(card, days.source, days.evidence), "    ", "      ", weight="dim")
    yield from _detail(days.note and f"Note: {days.note}")


def _short_source(
    card: Card, key: str, evidence: Evidence, primary: str | None = None, *, brief: bool = False
) -> str:
    source = card.sources.get(key)
    behind = card.sources.get(primary or "")
    cited = source.short if source else key
    if behind:
        cited += f", after {behind.short}"
    # Common practice says so itself.
    worth = evidence if brief else words.EVIDENCE[evidence]
    return cited if source is None else f"{cited} · {worth}"


def _at_constant_temperatures(number: Number) -> str | None:
    times = [(celsius, number.days_at(celsius)) for celsius in _SIDE_BY_SIDE]
    said = [
        f"{words.ends(*time, 1)} days at {words.temperature_both(celsius, 'C')}"
        for celsius, time in times
        if time is not None
    ]
    return "Worked out from it: " + ", ".join(said) if said else None


def _laboratories(card: Card, event: Event) -> str | None:
    """How far laboratory studies of the same stage lie apart."""
    said = []
    for celsius in _SIDE_BY_SIDE:
        times = event.laboratories_at(celsius)
        if len(times) > 1:
            each = [
                f"{words.plain(round(t, 1))} ({_author(card, key)})" for key, t in times.items()
            ]
            apart = 100 * (max(times.values()) / min(times.values()) - 1)
            said.append(f"{words.plain(celsius)} °C: {', '.join(each)}, {apart:.0f} % apart")
    return f"days by each laboratory study at {'; at '.join(said)}" if said else None


def _author(card: Card, key: str) -> str:
    source = card.sources.get(key)
    return source.short if source else key


def _emergence(number: Number) -> str | None:
    if number.emergence is None:
        return None
    parameters = ", ".join(f"{name} {words.plain(v)}" for name, v in number.emergence.parameters)
    return f"Emergence of all of them: {number.emergence.family}, {parameters}"


def _cues(card: Card, *, sources: bool = True) -> Iterator[Line]:
    for cue in card.cues:
        yield from _fold("●", cue.sentence, 2, 4)
        if sources:
            yield from _detail(_short_source(card, cue.source, cue.evidence))


def _day_length(card: Card) -> Iterator[Line]:
    for rule in card.day_length:
        yield from _fold("●", f"{rule.words} ({words.ends(*rule.hours)} hours)", 2, 4)
        told = "" if rule.definition is not None else " · what counts as day not stated: only told"
        cited = _short_source(card, rule.source, rule.evidence)
        yield from _detail(f"found in {rule.found_in}{told} · {cited}")


def _actions(card: Card) -> Iterator[Line]:
    for action in card.actions:
        crop = f" ({action.crop})" if action.crop else ""
        yield from _fold("●", action.words + crop, 2, 4)
        yield from _detail(_short_source(card, action.source, action.evidence))


def _look_alikes(card: Card, *, commands: bool) -> Iterator[Line]:
    for other in card.look_alikes:
        own = commands and other.card
        key = f" (gddcast {card.group}s {shell(own)})" if own else ""
        yield from _fold("●", f"{other.name}: {other.tell}{key}", 2, 4)


def _sentences(sentences: tuple[str, ...]) -> Iterator[Line]:
    for sentence in sentences:
        yield from _fold("●", sentence, 2, 4)


def _full_sources(card: Card) -> Iterator[str | Line]:
    return Block("Sources", tuple(_sources(card))).for_terminal()


def _sources(card: Card) -> Iterator[Line]:
    for source in card.sources.values():
        lacks = listed(source.lacks)
        parts = (
            source.citation, source.url, source.read and f"Read: {source.read}.",
            lacks and f"Not found: {lacks}.",
        )  # fmt: skip
        yield from _fold("●", " ".join(part for part in parts if part), 2, 4)


def _where_sources_are(card: Card) -> Iterator[str | Line]:
    if card.sources:
        count = f"{len(card.sources)} source" + ("s" if len(card.sources) > 1 else "")
        yield f"{count} in full:  gddcast {card.group}s {shell(card.key)} --sources"
