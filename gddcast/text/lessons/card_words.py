"""What a published number states, a line each, and nothing of what it leaves out."""

from __future__ import annotations

from collections.abc import Iterator

from gddcast.lessons.card_sheet import PARTS, PrintedNumber
from gddcast.text.cards.card_words import heat_both, start_in_words
from gddcast.text.numbers import cited

#: What is to be done.
TASK = (
    "A published number can be used only as it was found. Here is all that three sources say. "
    "Write the figures of what each does not say, in order: 24, or 0 where nothing is left out."
)


def parts() -> tuple[str, ...]:
    """What a number needs, each with its figure."""
    return tuple(f"{figure} {what}" for figure, what in PARTS.items())


def statement(printed: PrintedNumber) -> tuple[str, ...]:
    """What the source says of a number.

    Returns
    -------
    tuple of str
        The heat sum, then a line for each part that is stated.
    """
    return tuple(_stated(printed))


def _stated(printed: PrintedNumber) -> Iterator[str]:
    number, card = printed.number, printed.card
    yield f"{heat_both(number.goal, number.unit)}; {number.found_in}."
    if number.lower is not None:
        yield f"Lower threshold {number.lower:g} °{number.unit}."
    if number.upper == float("inf"):
        yield "No upper threshold."
    elif number.upper is not None:
        yield f"Upper threshold {number.upper:g} °{number.unit}."
    if number.cutoff is not None and number.upper != float("inf"):
        yield f"Above the upper threshold: {number.cutoff}."
    if number.shape is not None:
        yield f"A day’s heat: {number.shape}."
    if number.starts_from is not None:
        yield f"Counted from: {start_in_words(number.starts_from, card)}."
    yield cited(card, number.source)
