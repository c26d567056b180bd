"""Which cards a place watches: the one room that decides it, for every surface."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from gddcast.cards.library import called, guess, pests_of
from gddcast.cards.model import Card, crop_names
from gddcast.errors import ArgumentRefusal
from gddcast.journal.entries import Journal
from gddcast.today.practice import Practice
from gddcast.weather.series import Season

#: What a list rests on: what people said, what is on record in the book, or nothing at all.
Basis = Literal["every card", "said", "record"]
#: Sowings and finds of the season before still count: in March nothing is sown yet.
_BEFORE = dt.timedelta(days=366)


@dataclass(frozen=True, slots=True)
class WatchList:
    """The cards watched, and why.

    ``named`` are those asked for by name, ``crops`` the keys of crops whose pests are watched,
    ``left_out`` the keys of cards that people want to see nothing of, ``besides`` those of the
    cards that are no pests of the crops.
    """

    cards: tuple[Card, ...]
    basis: Basis
    named: tuple[Card, ...] = ()
    crops: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    besides: tuple[Card, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the cards."""
        return tuple(card.key for card in self.cards)

    def hosts(self, card: Card, cards: Mapping[str, Card]) -> tuple[str, ...]:
        """Keys of the crops watched that a card is a pest of."""
        return tuple(crop for crop in self.crops if pests_of([card], crop_names(cards, crop)))


def watch_list(
    practice: Practice, cards: Mapping[str, Card], journal: Journal, season: Season
) -> WatchList:
    """The cards a place watches.

    What was said wins: the cards named and the pests of the crops grown, without those left out.
    Where nothing was said but a book is kept, the pests of what was sown or found in it since the
    season before. A bare file of which nothing is said has every card.

    Raises
    ------
    ArgumentRefusal
        If a name is of no card.

    Examples
    --------
    >>> from gddcast.cards.model import Look
    >>> bug = Card("bug", "bug", "B. b.", "pest", Look(), hosts=("kale",))
    >>> worm = Card("worm", "worm", "W. w.", "pest", Look(), hosts=("beet",))
    >>> season = Season(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    >>> cards = {"bug": bug, "worm": worm}
    >>> watch_list(Practice(grow=("kale",)), cards, Journal(), season).keys
    ('bug',)
    >>> watch_list(Practice(("worm",), grow=("kale",)), cards, Journal(), season).keys
    ('worm', 'bug')
    >>> watch_list(Practice(), cards, Journal(), season).basis
    'every card'
    """
    if practice.watch is None and practice.grow is None:
        return WatchList(tuple(cards.values()), "every card")
    named = tuple(watched_cards(cards, practice.watch or ()))
    crops = practice.grow or ()
    basis: Basis = "said"
    seen: tuple[Card, ...] = ()
    if practice.grow is not None and not (practice.watch or crops):
        since = season.first - _BEFORE
        crops, basis = tuple(_sown(journal, since)), "record"
        seen = tuple(cards[key] for key in _organisms_since(journal, since) if key in cards)
    pests = [pest for crop in crops for pest in pests_of(cards.values(), crop_names(cards, crop))]
    chosen = {
        card.key: card for card in (*named, *pests, *seen) if card.key not in practice.leave_out
    }
    besides = tuple(card for card in chosen.values() if card not in pests)
    return WatchList(tuple(chosen.values()), basis, named, crops, practice.leave_out, besides)


def with_more(
    practice: Practice, now: WatchList, cards: Mapping[str, Card],
    crops: Iterable[str] = (), pests: Iterable[str] = (),
) -> Practice:  # fmt: skip
    """What is chosen once pests of more crops, or more cards, are watched; all by key."""
    base = _as_chosen(practice, now, cards)
    grow = tuple(dict.fromkeys((*(base.grow or ()), *crops)))
    wanted = tuple(pests)
    watch = tuple(dict.fromkeys((*(base.watch or ()), *_besides(wanted, grow, cards))))
    left_out = tuple(key for key in base.leave_out if key not in wanted)
    return replace(base, watch=watch, grow=grow, leave_out=left_out)


def with_fewer(
    practice: Practice, now: WatchList, cards: Mapping[str, Card],
    crops: Iterable[str] = (), pests: Iterable[str] = (),
) -> Practice:  # fmt: skip
    """What is chosen once crops, with the pests of theirs alone, or cards are watched no more."""
    base, gone, unwanted = _as_chosen(practice, now, cards), set(crops), tuple(pests)
    grow = tuple(key for key in base.grow or () if key not in gone)
    watch = tuple(key for key in base.watch or () if key not in unwanted)
    on_crops = [key for key in unwanted if not list(_besides([key], grow, cards))]
    left_out = tuple(dict.fromkeys((*base.leave_out, *on_crops)))
    return replace(base, watch=watch, grow=grow, leave_out=left_out)


def _as_chosen(practice: Practice, now: WatchList, cards: Mapping[str, Card]) -> Practice:
    """What the record gave, as if it had been said: a change of it must lose none of the rest."""
    if now.basis != "record":
        return practice
    return replace(practice, grow=now.crops, watch=tuple(_besides(now.keys, now.crops, cards)))


def _besides(keys: Iterable[str], crops: Iterable[str], cards: Mapping[str, Card]) -> Iterator[str]:
    """Those that are no pests of the crops."""
    names = [crop_names(cards, crop) for crop in crops]
    return (key for key in keys if not any(pests_of([cards[key]], each) for each in names))


def _sown(journal: Journal, since: dt.date) -> Iterator[str]:
    return iter(dict.fromkeys(each.crop for each in journal.sowings if each.sown_on >= since))


def _organisms_since(journal: Journal, since: dt.date) -> Iterator[str]:
    for each in journal.sightings:
        if each.kind == "saw" and each.seen_on >= since:
            yield each.organism


def watched_cards(cards: Mapping[str, Card], watch: Iterable[str]) -> list[Card]:
    """The cards meant by keys or names."""
    chosen = []
    for name in watch:
        card = cards.get(name) or called(cards.values(), name)
        if card is None:
            raise ArgumentRefusal(
                f"the name '{name}' in watch", "no card has that name",
                guess(cards.values(), name) or f"There are {len(cards)} cards.",
                "Use a key of load_cards().", slug="unknown-card",
            )  # fmt: skip
        chosen.append(card)
    return chosen
