"""The card that an address or a form names."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol

from gddcast.readers.card_files import no_such_card

if TYPE_CHECKING:
    from gddcast.cards.model import Card

#: Letters of a name that are said back.
_LONGEST = 80


class HasCards(Protocol):
    """A book, or cards alone."""

    def cards(self) -> Mapping[str, Card]:
        """By key."""


def card_of(book: HasCards, key: str) -> Card:
    """The card of a key.

    Raises
    ------
    Refusal
        If there is none, with the nearest.
    """
    cards = book.cards()
    if key not in cards:
        raise no_such_card(key[:_LONGEST], cards)
    return cards[key]
