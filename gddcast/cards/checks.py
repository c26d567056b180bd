"""What must hold between the keys of a card: thresholds, defaults, chains, sources, look-alikes."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from gddcast.cards.model import (
    ANY_STAGE,
    COMMON_PRACTICE,
    ActionFigure,
    Card,
    Cue,
    DayLength,
    Event,
    Look,
    Number,
    Start,
)
from gddcast.limits import HOTTEST_AIR
from gddcast.toml.faults import Fault
from gddcast.toml.lines import Path
from gddcast.toml.rules import near
from gddcast.units import from_celsius, to_celsius

_MOST_LISTED = 25
#: No insect or crop of these gardens is known to start developing outside this. [°C]
LOWEST, HIGHEST = -5.0, 25.0
_BLANK_CUE = Cue("", "", "common practice")


def faults_between_keys(card: Card) -> Iterator[Fault]:
    """Everything that is wrong with a card whose single values are all of the right kind."""
    yield from _events(card)
    yield from _sample(card.look, ())
    for position, event in enumerate(card.events):
        yield from _sample(event.look, ("event", position))
    yield from _signs(card)
    yield from _sources(card)
    yield from _cues(card)
    for position, rule in enumerate(card.day_length):
        for key in rule.events:
            yield from _known_event(card, key, ("day_length", position, "events"))
        if rule.definition is None and rule.events:
            yield Fault(
                ("day_length", position, "events"), "events held to a day nobody defined", "none",
                "Take events away, or give the definition its source has.",
            )  # fmt: skip


def _events(card: Card) -> Iterator[Fault]:
    if not card.events and not card.cues:
        yield Fault((), "no event and no cue", "at least one of them", "Add an [[event]].")
    counts = Counter(event.key for event in card.events)
    for position, event in enumerate(card.events):
        path: Path = ("event", position)
        if counts[event.key] > 1:
            yield Fault(
                (*path, "key"), f'"{event.key}" {counts[event.key]} times', "each key once",
                "Give each event a key of its own.",
            )  # fmt: skip
        yield from _same_time(card, event, path)
        yield from _default(event, path)
        for place, number in enumerate(event.numbers):
            yield from _number(card, event, number, (*path, "number", place))
        for place, days in enumerate(event.days):
            yield from _start(card, event, days.starts_from, (*path, "days", place, "starts_from"))
    yield from _circles(card)
    yield from _rising(card)


def _sample(look: Look, path: Path) -> Iterator[Fault]:
    if look.sample_size is None and look.sample_unit != "plant":
        yield Fault(
            (*path, "sample_unit"), f'"{look.sample_unit}" of no number', "how many of them",
            "Add  sample_size = …  , or take the line away.",
        )  # fmt: skip


def _signs(card: Card) -> Iterator[Fault]:
    """A sign is of an event, and no word stands for two stages."""
    used = Counter([*(event.key for event in card.events), ANY_STAGE])
    for position, sign in enumerate(card.signs):
        path: Path = ("sign", position)
        yield from _known_event(card, sign.event, (*path, "event"))
        used[sign.key] += 1
        if used[sign.key] > 1:
            yield Fault(
                (*path, "key"), f'"{sign.key}", a stage already', "a key of its own",
                "A find of the event is logged by the event’s own key; take the sign away.",
            )  # fmt: skip


def _number(card: Card, event: Event, number: Number, path: Path) -> Iterator[Fault]:
    yield from _thresholds(number, path)
    yield from _kind(number, path)
    yield from _start(card, event, number.starts_from, (*path, "starts_from"))
    if number.default and number.goal is None:
        yield Fault(
            (*path, "default"), "a default without a goal", "a number with a goal",
            "Make another number the default.",
        )  # fmt: skip
    if number.default and number.reason is None:
        yield Fault(
            (*path, "reason"), "a default without its reason", "one sentence: why this number",
            'Add  reason = "…"',
        )  # fmt: skip
    start = number.starts_from
    if card.comes_from_elsewhere and number.default and (start is None or start.date is not None):
        yield Fault(
            (*path, "default"),
            "a default that does not start from a find, on a card that comes from elsewhere",
            "a sum that starts from a find",
            "Heat here does not tell when migrants come: let it start from an event, or take "
            "default away.",
        )


def _thresholds(number: Number, path: Path) -> Iterator[Fault]:
    unit, lower, upper = number.unit, number.lower, number.upper
    if lower is not None and not LOWEST <= to_celsius(lower, unit) <= HIGHEST:
        low, high = from_celsius(LOWEST, unit), from_celsius(HIGHEST, unit)
        wanted = f"between {low:g} and {high:g} °{unit}".replace("-", "−")
        yield Fault(
            (*path, "lower"), f"{lower:g} °{unit}", wanted,
            "Check the number, and that unit says what the source prints.",
        )  # fmt: skip
    if lower is not None and upper is not None and lower >= upper:
        yield Fault(
            (*path, "upper"), f"{upper:g} °{unit} with lower {lower:g}", "an upper above the lower",
            "Check both against the source.",
        )  # fmt: skip
    if upper is not None and HOTTEST_AIR < to_celsius(upper, unit) < math.inf:
        yield Fault(
            (*path, "upper"), f"{upper:g} °{unit}",
            f"no more than {from_celsius(HOTTEST_AIR, unit):g} °{unit}: air is never warmer",
            "Check the number, and that unit says what the source prints.",
        )  # fmt: skip
    if upper == math.inf and number.cutoff not in (None, "none"):
        yield Fault(
            (*path, "cutoff"), f'"{number.cutoff}" without an upper threshold',
            '"none" or "not stated"', "Without an upper threshold there is nothing to cut off.",
        )  # fmt: skip


def _kind(number: Number, path: Path) -> Iterator[Fault]:
    start = number.starts_from
    if number.kind == "laboratory" and number.shape not in ("any", None):
        yield Fault(
            (*path, "shape"), f'"{number.shape}"', '"any" for a laboratory number',
            "At a constant temperature every day shape gives the same sum.",
        )  # fmt: skip
    if number.kind != "laboratory" and number.shape == "any":
        yield Fault(
            (*path, "shape"), '"any"', 'the shape the source used, or "not stated"',
            '"any" is for laboratory numbers.',
        )  # fmt: skip
    if start is not None and (start.date is not None) != (number.kind == "calendar"):
        found = "a date" if start.date is not None else f'"{start.event or start.crop}"'
        wanted = {
            "calendar": 'a date, or "not stated"',
            "biofix": "an event key or a crop stage: a biofix is a find",
            "laboratory": "the event at which that stage begins",
        }[number.kind]
        yield Fault(
            (*path, "starts_from"), f"{found} for a {number.kind} number", wanted,
            "Check kind and starts_from against the source: kinds are never mixed in one sum.",
        )  # fmt: skip


def _default(event: Event, path: Path) -> Iterator[Fault]:
    with_goal = [number for number in event.numbers if number.goal is not None]
    defaults = [place for place, number in enumerate(event.numbers) if number.default]
    if with_goal and len(defaults) != 1:
        found = "no default" if not defaults else f"{len(defaults)} defaults"
        yield Fault(
            path, found, "exactly one number with  default = true",
            "Choose the number to use unless a person asks for another, and give its reason.",
        )  # fmt: skip
    if any(number.of == "air" for number in with_goal):
        for place in defaults:
            if (of := event.numbers[place].of) != "air":
                yield Fault(
                    (*path, "number", place, "default"), f'a default counted on "{of}"',
                    'the default among the numbers of = "air"',
                    "Only air temperatures are at hand; take the default from an air number.",
                )  # fmt: skip


def _same_time(card: Card, event: Event, path: Path) -> Iterator[Fault]:
    if event.same_time_as == event.key:
        yield Fault(
            (*path, "same_time_as"), "the event itself", "the key of another event",
            "Name the other event, or take the line away.",
        )  # fmt: skip
    elif event.same_time_as is not None:
        yield from _known_event(card, event.same_time_as, (*path, "same_time_as"))


def _start(card: Card, event: Event, start: Start | None, path: Path) -> Iterator[Fault]:
    if start is None or start.event is None:
        return
    if start.event == event.key:
        yield Fault(
            path, f'"{event.key}", the event itself', "an earlier event of this card",
            "Name the event from which it is counted.",
        )  # fmt: skip
    else:
        yield from _known_event(card, start.event, path)


def _known_event(card: Card, key: str, path: Path) -> Iterator[Fault]:
    keys = [event.key for event in card.events]
    if key not in keys:
        yield _unknown(f'"{key}", an event this card does not have', key, keys, path)


def _unknown(problem: str, word: str, known: Iterable[str], path: Path) -> Fault:
    keys = sorted(known)
    guess = near(word, keys)
    cure = f'Did you mean "{guess}"?' if guess else "Add it, or use one of these."
    listing = f"one of {', '.join(keys)}" if 0 < len(keys) <= _MOST_LISTED else "one that is there"
    return Fault(path, problem, listing, cure)


def _circles(card: Card) -> Iterator[Fault]:
    """Events that wait for each other would never begin."""
    after = {
        event.key: number.starts_from.event
        for event in card.events
        for number in event.numbers
        if number.default and number.starts_from and number.starts_from.event
    }
    # A next brood's adults may start from larvae that started from last brood's adults, but a
    # chain that comes back to its own event has no beginning.
    for position, event in enumerate(card.events):
        chain, key = [event.key], after.get(event.key)
        while key is not None and key not in chain:
            chain.append(key)
            key = after.get(key)
        if key == event.key and len(chain) > 1:
            yield Fault(
                ("event", position), " ← ".join([*chain, key]), "a chain with a beginning",
                "Let one of these events start from a date or from a find of another event.",
            )  # fmt: skip


def _rising(card: Card) -> Iterator[Fault]:
    """Goals of one source, counted the same way from the same start, rise in the card's order."""
    series = defaultdict(list)
    for position, event in enumerate(card.events):
        for place, number in enumerate(event.numbers):
            if number.goal is not None and number.kind != "laboratory":
                way = (number.source, number.found_in, number.kind, number.of, number.unit)
                method = (number.lower, number.upper, number.shape, number.starts_from)
                series[way + method].append((number.goal, ("event", position, "number", place)))
    for steps in series.values():
        for (earlier, _), (later, path) in pairwise(steps):
            if later[0] < earlier[0]:
                yield Fault(
                    (*path, "goal"), f"{later[0]:g} after {earlier[0]:g}",
                    "goals that rise from event to event",
                    "Put the events in the order in which they happen, or mend the number.",
                )  # fmt: skip


def _sources(card: Card) -> Iterator[Fault]:
    used = set()
    for path, key, evidence in _citations(card):
        if key == COMMON_PRACTICE:
            if evidence in ("seen", "compiled"):
                yield Fault(
                    (*path[:-1], "evidence"), f'"{evidence}" without a source',
                    '"common practice" or "from memory"',
                    "Name the source, or claim no more than habit.",
                )  # fmt: skip
            continue
        used.add(key)
        if key not in card.sources:
            known = [*card.sources, COMMON_PRACTICE]
            yield _unknown(f'"{key}", a source not listed', key, known, path)
    for key in card.sources:
        if key not in used:
            yield Fault(
                ("sources", key), f'source "{key}", which nothing uses', "every source in use",
                "Take it away, or give it to the number it belongs to.",
            )  # fmt: skip


def _citations(card: Card) -> Iterator[tuple[Path, str, str | None]]:
    """Every place that names a source, with the evidence claimed there."""
    for position, event in enumerate(card.events):
        path: Path = ("event", position)
        for place, number in enumerate(event.numbers):
            here = (*path, "number", place)
            yield (*here, "source"), number.source, number.evidence
            if number.primary is not None:
                yield (*here, "primary"), number.primary, None
            if number.emergence is not None:
                yield (*here, "emergence", "source"), number.emergence.source, None
        for place, days in enumerate(event.days):
            yield (*path, "days", place, "source"), days.source, days.evidence
        if event.lasts is not None:
            yield (*path, "lasts", "source"), event.lasts.source, event.lasts.evidence
        if event.catch is not None:
            yield (*path, "catch", "source"), event.catch.source, event.catch.evidence
    resting: list[tuple[str, int, Cue | ActionFigure | DayLength]]
    resting = [("cue", *each) for each in enumerate(card.cues)]
    resting += [("action", *each) for each in enumerate(card.actions)]
    resting += [("day_length", *each) for each in enumerate(card.day_length)]
    for table, position, entry in resting:
        yield (table, position, "source"), entry.source, entry.evidence
        if isinstance(entry, Cue) and entry.dates_source is not None:
            yield (table, position, "dates_source"), entry.dates_source, None
    if card.frost_kills is not None:
        yield ("frost_kills", "source"), card.frost_kills.source, card.frost_kills.evidence


def _cues(card: Card) -> Iterator[Fault]:
    for position, cue in enumerate(card.cues):
        path: Path = ("cue", position)
        if cue.event is not None:
            yield from _known_event(card, cue.event, (*path, "event"))
        others = [cue.after_sowing_days, cue.air_above, cue.earliest, cue.latest]
        if cue.crop_stage is not None and any(value is not None for value in others):
            yield Fault(
                path, "several cues in one", "one of crop_stage and what a record can tell",
                "Write one [[cue]] for each.",
            )  # fmt: skip
        if cue.earliest is None and cue.latest is None and (cue.dates_source or cue.latitude):
            yield Fault(
                path, "whose dates they are, without dates", "earliest, latest or both",
                'Add  earliest = "21 April"  , or take the line away.',
            )  # fmt: skip
        if cue.air_above is not None and cue.unit is None:
            yield Fault(
                (*path, "air_above"), "a temperature without its unit", '"F" or "C" in  unit',
                'Add  unit = "F"  or  unit = "C".',
            )  # fmt: skip
        for key in ("of_day", "stand_in", "days_in_row"):
            value, blank = getattr(cue, key), getattr(_BLANK_CUE, key)
            if value != blank and cue.air_above is None:
                yield Fault(
                    (*path, key), f'"{value}" of no temperature', "a temperature beside it",
                    "Add  air_above = …  with its unit, or take the line away.",
                )  # fmt: skip


def look_alikes_missing(card: Card, keys: Iterable[str]) -> Iterator[Fault]:
    """Look-alikes that name a card which is not among ``keys``."""
    known = set(keys)
    for position, other in enumerate(card.look_alikes):
        if other.card is not None and other.card not in known:
            found = f'"{other.card}", a card that is not there'
            yield _unknown(found, other.card, known, ("look_alike", position, "card"))


def names_used_twice(cards: Mapping[str, Card]) -> Iterator[tuple[str, Fault]]:
    """Cards that share a common or a Latin name, each with its key."""
    for field in ("name", "latin"):
        first: dict[str, str] = {}
        for key, card in cards.items():
            name = getattr(card, field)
            other = first.setdefault(name.lower(), key)
            if other != key:
                yield key, Fault(
                    (field,), f'"{name}", also in the card {other}', "a name of its own",
                    "Add what tells the two apart, or make one card of them.",
                )  # fmt: skip


def follows_from(fault: Fault, faults: Iterable[Fault]) -> bool:
    """Whether a fault between keys may only be there because a value was faulty."""
    keys = {step for one in faults for step in one.path[-1:]}
    if fault.path[:1] == ("sources",) and keys & {"source", "primary"}:
        return True
    if "key" in keys and fault.path[-1:] in (("starts_from",), ("event",), ("same_time_as",)):
        return True
    tables = [one.path[:-1] for one in faults if len(one.path) > 1]
    return any(
        fault.path[: len(table)] == table or table[: len(fault.path)] == fault.path
        for table in tables
    )
