"""What can be dated on a grid: stages whose sums start on a calendar day, each as published."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from gddcast.cards.model import Card, Event
from gddcast.errors import Refusal
from gddcast.heat.counting import Counting
from gddcast.heat.daily import in_order
from gddcast.journal.clocks import day_of_year_at
from gddcast.skill.targets import Target, targets_of
from gddcast.weather.series import Place

#: What says a stage of a grid: `Target`s of one's own, or a card.
Wanted = Card | Target | Sequence[Target]
#: Seasons start over in the middle of winter.
NORTH_BEGINS, SOUTH_BEGINS = (1, 1), (7, 1)


@dataclass(frozen=True, slots=True)
class Stage:
    """One sum to be reached, and where it comes from.

    Parameters
    ----------
    name : str
        Label: the event's key, with the end of a printed range.
    words : str
        Plain words.
    counting : Counting
    goal : float
        [°C·d]
    start : (int, int)
        Month and day from which heat is counted on this side of the equator.
    source, evidence : str
        Of the published number; empty for a number of one's own.
    """

    name: str
    words: str
    counting: Counting
    goal: float
    start: tuple[int, int]
    source: str = ""
    evidence: str = ""


def place_on(is_south: bool, begins: tuple[int, int] | None) -> Place:
    """Any place on one side of the equator."""
    usual = SOUTH_BEGINS if is_south else NORTH_BEGINS
    return Place("pixel", -1.0 if is_south else 1.0, season_begins=begins or usual)


def stages_of(wanted: Wanted, is_south: bool, begins: tuple[int, int] | None) -> tuple[Stage, ...]:
    """The stages asked for, with the start they have on one side of the equator.

    Parameters
    ----------
    wanted : Card, Target or sequence of Target
        A card's stages are counted each by its own number; a target's start is a northern date,
        half a year on in the south, unless ``begins`` is said: then it holds as it stands.
    is_south : bool
    begins : (int, int), optional
        Month and day on which a season starts over; by default midwinter.

    Raises
    ------
    Refusal
        If no stage of a card can be dated without finds, or these are no targets.
    ArgumentRefusal
        If a target's lower threshold is not below its upper one.
    """
    place = place_on(is_south, begins)
    if not isinstance(wanted, Card):
        targets = _checked((wanted,) if isinstance(wanted, Target) else tuple(wanted))
        return tuple(
            Stage(
                each.name, each.stage or each.name, each.counting, each.goal,
                each.start if begins else day_of_year_at(place, each.start),
            )
            for each in targets
        )  # fmt: skip
    stages = [stage for event in wanted.events for stage in _of_event(wanted, event, place)]
    if not stages:
        reasons = "; ".join(left_out(wanted)) or "the card has no published sum"
        raise Refusal(
            f"the card {wanted.key}", "none of its stages can be dated on a grid",
            f"{reasons[:1].upper()}{reasons[1:]}.",
            "Sums that start with a find need finds: use them at a place, in a season book.",
            slug="no-dated-stage",
        )  # fmt: skip
    return tuple(stages)


def _checked(targets: tuple[Target, ...]) -> tuple[Target, ...]:
    """Targets whose sums mean something: cards have been checked where they were read."""
    if not targets or not all(isinstance(each, Target) for each in targets):
        raise Refusal(
            "the stages", "they are no sums" if targets else "none is asked for",
            "Stages come from a card, or are Targets: a name, a counting, a heat sum.",
            'Give a card:  gddcast.load_cards()["codling-moth"].', slug="no-stages",
        )  # fmt: skip
    for each in targets:
        in_order(each.counting.lower, each.counting.upper)
        if not 0.0 < each.goal < math.inf:
            raise Refusal(
                f"the heat sum of {each.name}", f"it is {each.goal:g}".replace("-", "−"),
                "It is a number of °C-days above zero.",
                "Look where it comes from.", slug="goal-unknown",
            )  # fmt: skip
    return targets


def _of_event(card: Card, event: Event, place: Place) -> list[Stage]:
    targets, number = targets_of([replace(card, events=(event,))], place), event.default
    if number is None:
        return []
    ends = ("",) if len(targets) == 1 else (" (low end)", " (high end)")
    return [
        Stage(
            f"{event.key}{end}", f"{event.words}{end}", target.counting, target.goal, target.start,
            card.citation(number.source), number.evidence,
        )
        for target, end in zip(targets, ends, strict=False)
    ]  # fmt: skip


def left_out(card: Card) -> tuple[str, ...]:
    """Stages of a card that a grid cannot date, each with its reason."""
    if card.comes_from_elsewhere:
        return ("it comes from elsewhere: heat here does not tell when",)
    reasons = []
    for event in card.events:
        number = event.default
        if number is None or number.goal is None:
            reason = "no published sum"
        elif number.of != "air":
            reason = f"its sum is of {number.of}"
        elif number.starts_from is not None and number.starts_from.date is None:
            start = number.starts_from
            reason = f"counted from {start.event or start.crop}, which no grid knows"
        elif number.lower is None:
            reason = "its lower threshold is not stated"
        else:
            continue
        reasons.append(f"{event.words}: {reason}")
    return tuple(reasons)
