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
_FIGURES = "what a bulletin acts on in fields; not a rule for a garden"
#: So many plants it lives on.
_HOSTS = 8


@dataclass(frozen=True, slots=True)
class CardBlock:
    """A stage or a subject of a card, with what its heading says in brackets."""

    title: str
    lines: tuple[str | Line, ...]
    aside: str = ""

    def headed(self) -> Iterator[str | Line]:
        """Its lines under the heading."""
        if self.title:
            yield f"{self.title.upper()}  ({self.aside})" if self.aside else self.title.upper()
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
        cues = CardBlock("cues", tuple(_cues(card, sources=False)))
        alike = "; ".join(each.name for each in card.look_alikes)
        looks = (*_looked_for(card, _HOSTS), *_look(card.look, 0, ("looks_like", "where_on_plant")),
                 *_fold("Mistaken for", alike))  # fmt: skip
        end = (*_folded(card), *(_source_block(card).headed() if with_sources else ()))
        caution = [Line(CAUTIONS, weight="dim")] if card.group == "pest" else []
        parts = [
            (_title(card), *_used(card)),
            cues.headed() if card.is_cue_card else (),
            looks,
            end,
            caution,
        ]
    else:
        parts = [each.headed() for each in card_blocks(card, with_sources=with_sources)]
    return "\n\n".join(text for part in parts if (text := terminal.show(part)))


def card_blocks(card: Card, *, with_sources: bool = True, commands: bool = True) -> list[CardBlock]:
    """All that is on a card, a block a stage or a subject."""
    stages = [
        CardBlock(each.words, tuple(_event(card, each)), _aside(card, each)) for each in card.events
    ]
    subjects = (
        CardBlock("also logged", tuple(_signs(card))),
        CardBlock("cues", tuple(_cues(card))),
        CardBlock("day length", tuple(_day_length(card))),
        CardBlock("commercial figures", tuple(_actions(card)), _FIGURES),
        CardBlock("not to be confused with", tuple(_look_alikes(card, commands=commands))),
        CardBlock("notes", tuple(_sentences(card.notes))),
        CardBlock("cautions", tuple(_sentences((*card.cautions, CAUTIONS)))),
        _source_block(card) if with_sources else CardBlock("", tuple(_where_sources_are(card))),
    )
    return [
        CardBlock("", tuple(_heading(card))),
        *stages,
        *(each for each in subjects if each.lines),
    ]


def _source_block(card: Card) -> CardBlock:
    return CardBlock("sources", tuple(_sources(card)))


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


def _heading(card: Card) -> Iterator[str | Line]:
    yield _title(card)
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


def _look(look: Look, indent: int, fields: Iterable[str] = _LOOK) -> Iterator[str | Line]:
    for name in fields:
        yield from _fold(_LOOK[name], getattr(look, name), indent, 16 + indent)


def _aside(card: Card, event: Event) -> str:
    """Of a stage: its key, what it is for, its brood."""
    brood = f" · brood {event.brood}" if event.brood > 1 else ""
    what = f" · {event.purpose}" if card.group == "pest" else ""
    return f"{event.key}{what}{brood}"


def _event(card: Card, event: Event) -> Iterator[str | Line]:
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


def _signs(card: Card) -> Iterator[str | Line]:
    """What else can be logged, and the event it says has begun."""
    for sign in card.signs:
        event = card.event(sign.event)
        yield from _fold(sign.key, f"{sign.words}: {event.words if event else sign.event}", 2, 18)


def _number(card: Card, number: Number) -> Iterator[str | Line]:
    unit = number.unit
    spread = f", ± {words.plain(number.spread)} °{unit}-days" if number.spread else ""
    used = "  ← used" if number.default else ""
    start = number.starts_from
    began = f" from {words.start_in_words(start, card)}" if start else ", start not stated"
    yield f"  ● {words.heat_both(number.goal, unit)}{spread}{began}{used}"
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


def _detail(text: str | None) -> Iterator[str | Line]:
    yield from _fold("", text, 4, 6)


def _days(card: Card, days: Days | Duration, when: str) -> Iterator[str | Line]:
    yield f"  ● {words.days_in_words(days.days)} {when}"
    yield from _detail(_short_source(card, days.source, days.evidence))
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


def _cues(card: Card, *, sources: bool = True) -> Iterator[str | Line]:
    for cue in card.cues:
        yield from _fold("●", cue.sentence, 2, 4)
        if sources:
            yield from _detail(_short_source(card, cue.source, cue.evidence))


def _day_length(card: Card) -> Iterator[str | Line]:
    for rule in card.day_length:
        yield from _fold("●", f"{rule.words} ({words.ends(*rule.hours)} hours)", 2, 4)
        told = "" if rule.definition is not None else " · what counts as day not stated: only told"
        cited = _short_source(card, rule.source, rule.evidence)
        yield from _detail(f"found in {rule.found_in}{told} · {cited}")


def _actions(card: Card) -> Iterator[str | Line]:
    for action in card.actions:
        crop = f" ({action.crop})" if action.crop else ""
        yield from _fold("●", action.words + crop, 2, 4)
        yield from _detail(_short_source(card, action.source, action.evidence))


def _look_alikes(card: Card, *, commands: bool) -> Iterator[str | Line]:
    for other in card.look_alikes:
        own = commands and other.card
        key = f" (gddcast {card.group}s {shell(own)})" if own else ""
        yield from _fold("●", f"{other.name}: {other.tell}{key}", 2, 4)


def _sentences(sentences: tuple[str, ...]) -> Iterator[str | Line]:
    for sentence in sentences:
        yield from _fold("●", sentence, 2, 4)


def _sources(card: Card) -> Iterator[str | Line]:
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
