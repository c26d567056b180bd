"""A worksheet of published numbers: what does each source leave out?"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from gddcast.cards.model import Card, Event, Number
from gddcast.lessons.slips import LETTERS, SheetItem, Slip
from gddcast.words import listed

#: What a number needs before it can be counted, by the figure that stands for it on the sheet.
PARTS = {
    1: "lower threshold",
    2: "upper threshold",
    3: "what warmth above the upper threshold does",
    4: "how the heat of a day is worked",
    5: "first day counted",
}


@dataclass(frozen=True, slots=True)
class PrintedNumber:
    """One published number with the card it stands on."""

    card: Card
    event: Event
    number: Number

    @property
    def left_out(self) -> tuple[int, ...]:
        """Figures of what its source does not state."""
        stated = {
            1: self.number.lower, 2: self.number.upper, 3: self.number.cutoff,
            4: self.number.shape, 5: self.number.starts_from,
        }  # fmt: skip
        ruled_out = self.number.upper == float("inf")
        return tuple(
            figure for figure, value in stated.items()
            if value is None and not (figure == 3 and ruled_out)
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class CardSheet:
    """Three published numbers, A, B and C."""

    seed: int
    numbers: tuple[PrintedNumber, ...]


def make_card_sheet(seed: int, cards: Mapping[str, Card]) -> CardSheet:
    """Draw three numbers that leave out different things, from three cards.

    Parameters
    ----------
    seed : int
    cards : mapping of str to Card
    """
    rng = np.random.default_rng(seed)
    kinds: dict[tuple[int, ...], list[PrintedNumber]] = {}
    for each in _printed(cards):
        kinds.setdefault(each.left_out, []).append(each)
    while True:
        sets = sorted(kinds)
        chosen = [sets[at] for at in rng.permutation(len(sets))[: len(LETTERS)]]
        drawn = [kinds[each][int(rng.integers(len(kinds[each])))] for each in chosen]
        if len({each.card.key for each in drawn}) == len(LETTERS):
            return CardSheet(seed, tuple(drawn))


def _printed(cards: Mapping[str, Card]) -> Iterator[PrintedNumber]:
    for _, card in sorted(cards.items()):
        for event in card.events:
            for number in event.numbers:
                if number.goal and number.of == "air" and number.kind != "laboratory":
                    yield PrintedNumber(card, event, number)


def card_items(sheet: CardSheet) -> tuple[SheetItem, ...]:
    """A, B and C: figures of what is left out, in order, as one number; 0 where nothing is."""
    rows = []
    for letter, each in zip(LETTERS, sheet.numbers, strict=True):
        right = set(each.left_out)
        slips = tuple(
            Slip("misread", _as_number(wrong), _difference(right, set(wrong)))
            for count in range(len(PARTS) + 1)
            for wrong in itertools.combinations(PARTS, count)
            if set(wrong) != right
        )
        number = _as_number(each.left_out)
        name = f"{each.card.name}: {each.event.words}"
        rows.append(SheetItem(letter, name, number, f"{number:.0f}", slips, whole=True))
    return tuple(rows)


def _as_number(figures: tuple[int, ...]) -> float:
    return float("".join(map(str, figures)) or 0)


def _difference(right: set[int], given: set[int]) -> str:
    said = []
    if missed := right - given:
        said.append(f"not stated either: {listed([PARTS[each] for each in sorted(missed)])}")
    if extra := given - right:
        said.append(f"is stated: {listed([PARTS[each] for each in sorted(extra)])}")
    return "; ".join(said)
