"""The card that an address or a form names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gddcast.readers.card_files import no_such_card

if TYPE_CHECKING:
    from gddcast.cards.model import Card
    from gddcast.web.season_book import SeasonBook

#: Letters of a name that are said back.
_LONGEST = 80


def card_of(book: SeasonBook, key: str) -> Card:
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
