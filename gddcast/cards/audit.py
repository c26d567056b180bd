"""What a packaged card must answer beyond being sound: references, disagreement, the unknown.

A card of one's own need not: it may hold one number and no look-alike.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from gddcast.cards.model import Card, Event, Number, Source
from gddcast.cards.values import CUTOFFS, NOT_STATED, SHAPES, UNDATED, Question
from gddcast.toml.faults import Fault
from gddcast.toml.lines import Path

#: Between two publications, of a stage's length or of a sum. A tenth of three weeks is two days.
ALIKE = 1.1
#: At which lengths of a stage are set side by side: a warm June day. [°C]
SIDE_BY_SIDE = 20.0
_YEAR = re.compile(r"(1[89]|20)\d\d")
_QUANTITY = re.compile(r"°([FC])\b")
#: "above 43 °F", but for another sum printed beside it: "107.1 above 12.6 °C".
_BASE = re.compile(r"(?<!\d )\b(?:above|base) (\d+(?:\.\d+)?)")
_METHODS = [name for name in (*SHAPES, *CUTOFFS) if " " in name]


def wanting(card: Card) -> Iterator[Fault]:
    """Everything a packaged card still owes its reader."""
    for key, source in card.sources.items():
        yield from _reference(source, ("sources", key))
    for position, event in enumerate(card.events):
        path: Path = ("event", position)
        for place, number in enumerate(event.numbers):
            yield from _words(number, (*path, "number", place))
        yield from _reading(event, path)
    if card.group == "pest":
        yield from _questions(card)


def disagree(event: Event) -> bool:
    """Whether two publications time this event by more than a tenth apart.

    Only numbers that answer one question are compared: the time from one and the same event, and
    sums from a date above one base.

    Examples
    --------
    >>> def number(goal, source):
    ...     return Number("laboratory", "C", 10.0, None, None, "any", "air", None, (goal, goal),
    ...                   "invented", source, "from memory")
    >>> disagree(Event("eggs", "eggs", (number(90.0, "a"), number(98.0, "b"))))
    False
    >>> disagree(Event("eggs", "eggs", (number(90.0, "a"), number(100.0, "b"))))
    True
    >>> disagree(Event("eggs", "eggs", (number(90.0, "a"), number(100.0, "a"))))
    False
    """
    times = defaultdict(list)
    for number in event.numbers:
        if number.goal_c is None:
            continue
        publication = number.primary or number.source
        start = number.starts_from
        if number.kind == "calendar":
            times["a date", number.lower_c].append((number.goal_c, publication))
        elif (days := number.days_at(SIDE_BY_SIDE)) is not None:
            times[(start and start.event) or "", None].append((days, publication))
    return any(
        first[1] * ALIKE < second[0]
        for alike in times.values()
        for first, one in alike
        for second, other in alike
        if one != other
    )


def _reading(event: Event, path: Path) -> Iterator[Fault]:
    if event.reading is None and disagree(event):
        yield Fault(
            (*path, "reading"), "publications that disagree", "one sentence of what to make of it",
            'Add  reading = "…"',
        )  # fmt: skip
    if event.reading is not None and len(event.numbers) < 2:
        yield Fault(
            (*path, "reading"), f"it, of {len(event.numbers)} numbers", "two numbers at least",
            "Take it away, or make it the note of the number.",
        )  # fmt: skip


def _reference(source: Source, path: Path) -> Iterator[Fault]:
    facts = {
        "year": source.year != UNDATED,
        "address": source.url is not None,
    }
    if source.year != UNDATED and not _YEAR.fullmatch(source.year):
        yield Fault(
            (*path, "year"), f'"{source.year}"', f'four digits, or "{UNDATED}"',
            "Look for its year in the publication, a catalogue or the page’s foot.",
        )  # fmt: skip
    for part, is_there in facts.items():
        if is_there == (part in source.lacks):
            found = f"{'a' if is_there else 'no'} {part}, {'and' if is_there else 'not'} in lacks"
            yield Fault(
                (*path, "lacks"), found.replace("a address", "an address"),
                "what is there, or that it was not found", f'Mend  lacks = ["{part}"]',
            )  # fmt: skip


def _words(number: Number, path: Path) -> Iterator[Fault]:
    """What is said of a number agrees with what it holds: unit, base and method."""
    for field in ("reason", "note", "doubt"):
        said = getattr(number, field) or ""
        if wrong := set(_QUANTITY.findall(said)) - {number.unit}:
            yield Fault(
                (*path, field), f"°{wrong.pop()} of a number in °{number.unit}", "one unit",
                "Say it in the number’s own unit, or mend unit.",
            )  # fmt: skip
        for base in _BASE.findall(said):
            if number.lower != float(base):
                yield Fault(
                    (*path, field), f"a base of {base}", f"the number’s own, {number.lower}",
                    "Mend the sentence or lower.",
                )  # fmt: skip
        for method in _METHODS:
            if method in said and method not in (number.shape, number.cutoff):
                yield Fault(
                    (*path, field), f'"{method}", which the number does not hold',
                    f"{number.shape or NOT_STATED}, {number.cutoff or NOT_STATED}",
                    "Mend the sentence, shape or cutoff.",
                )  # fmt: skip
    if number.inferred and (number.doubt is None or number.evidence == "seen"):
        yield Fault(
            (*path, "inferred"), f"{number.evidence}, doubt: {number.doubt or 'none'}",
            "a doubt that names where they come from, and evidence other than seen",
            "Say in doubt whose unit or base it is.",
        )  # fmt: skip


def _questions(card: Card) -> Iterator[Fault]:
    hatch = card.event("egg-hatch")
    dated = (event for event in card.events if event.opens_looks)
    answers: dict[Question, bool] = {
        "when": bool(card.cues) or any(event.default or event.days for event in dated),
        "how often": bool(hatch and (hatch.default or hatch.days)),
        "look-alikes": bool(card.look_alikes),
    }
    for question, is_answered in answers.items():
        if is_answered == (question in card.not_known):
            found = f"{question}: {'answered, and' if is_answered else 'no answer, and not'} in it"
            yield Fault(
                ("not_known",), found, "an answer, or that nobody read gives one",
                f'Answer it, or  not_known = ["{question}"]',
            )  # fmt: skip
    for field in ("looks_like", "where_on_plant", "time_of_day"):
        if not getattr(card.look, field):
            yield Fault(
                (field,), "nothing", f'what a scout goes by, or "{NOT_STATED}"',
                f'Add  {field} = "…"',
            )  # fmt: skip
