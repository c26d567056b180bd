"""All cards together: finding one by what a person calls it, and counting what they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from difflib import get_close_matches
from typing import get_args

from gddcast.cards.model import Card, Evidence, without_aside


def called(cards: Iterable[Card], name: str) -> Card | None:
    """The card a person means by key, common, Latin or other name; None where none is meant.

    Upper and lower case, hyphens and the author of a Latin name make no difference. Words that
    stand in the names of one card alone, such as vine borer, mean that one; another name or words
    that several cards share, such as squash, mean none of them.
    """
    wanted, cards = _plain(name), list(cards)
    first = next((card for card in cards if wanted in _names(card)), None)
    others = [card for card in cards if wanted in map(_plain, card.also)]
    parts = [card for card in cards if _has_words(card, wanted.split())]
    return first or next((few[0] for few in (others, parts) if len(few) == 1), None)


def search(cards: Iterable[Card], words: str) -> list[Card]:
    """Cards that have every one of the words in their names, hosts or events."""
    wanted = _plain(words).split()
    return [card for card in cards if all(word in _all_words(card) for word in wanted)]


def near(cards: Iterable[Card], name: str, most: int = 3) -> list[Card]:
    """Cards whose key, common or Latin name is most like the name given, the most alike first."""
    by_name = {known: card for card in cards for known in (*_names(card), *map(_plain, card.also))}
    alike = get_close_matches(_plain(name), by_name, n=2 * most, cutoff=0.6)
    return list({by_name[known].key: by_name[known] for known in alike}.values())[:most]


def crop_called(cards: Iterable[Card], name: str) -> str | None:
    """Key of the crop a person means: of its card, or of a plant that a pest's card names.

    A plural is understood. None where nothing is meant, or where several crops share the name.
    """
    cards = list(cards)
    crops = [card for card in cards if card.group == "crop"]
    for said in _singulars(name):
        if (card := called(crops, said)) is not None:
            return card.key
    shared = {_plain(other) for card in crops for other in card.names}
    hosts = {_plain(host) for host in _hosts(cards)} - shared
    return next((said.replace(" ", "-") for said in _singulars(name) if said in hosts), None)


def crops_near(cards: Iterable[Card], name: str, most: int = 3) -> list[str]:
    """Crops that share a name, else those whose names are most like it; keys, likeliest first."""
    by_name: dict[str, list[str]] = {}
    for card in (cards := list(cards)):
        for known in card.names if card.group == "crop" else ():
            by_name.setdefault(_plain(known), []).append(card.key)
    for host in map(_plain, _hosts(cards)):
        by_name.setdefault(host, [host.replace(" ", "-")])
    said = _singulars(name)
    shared = next((by_name[each] for each in said if each in by_name), [])
    alike = get_close_matches(said[0], by_name, n=2 * most, cutoff=0.7)
    return list(dict.fromkeys(shared or (key for each in alike for key in by_name[each])))[:most]


def pests_of(cards: Iterable[Card], names: Iterable[str]) -> list[Card]:
    """Pests looked for on a crop, by any of its names; one that names no host is of none."""
    said = tuple(names)
    return [card for card in cards
            if card.group == "pest" and card.hosts and card.lives_on(said)]  # fmt: skip


def evidence_counts(cards: Iterable[Card]) -> dict[Evidence, int]:
    """How many published numbers rest on each kind of evidence, the best kind first."""
    counts = Counter(
        number.evidence for card in cards for event in card.events for number in event.numbers
    )
    return {kind: counts[kind] for kind in get_args(Evidence)}


def notes_on_own(cards: Iterable[Card]) -> list[str]:
    """One sentence a card of the user's own that is used in place of a packaged one."""
    return [
        f"{card.key}: your own card {card.own_file} is used in place of the packaged one."
        for card in cards
        if card.replaces_packaged
    ]


def _hosts(cards: Iterable[Card]) -> list[str]:
    return [without_aside(host) for card in cards if card.group == "pest" for host in card.hosts]


def _singulars(name: str) -> list[str]:
    """A name as it is said, then what it may be the plural of."""
    said = _plain(name)
    ends = (("ies", "y"), ("es", ""), ("s", ""))
    return [said, *(said.removesuffix(end) + one for end, one in ends if said.endswith(end))]


def _names(card: Card) -> tuple[str, ...]:
    latin = _plain(card.latin)
    return _plain(card.key), _plain(card.name), latin, " ".join(latin.split()[:2])


def _has_words(card: Card, wanted: list[str]) -> bool:
    names = (*_names(card), *map(_plain, card.also))
    return bool(wanted) and any(set(wanted) <= set(name.split()) for name in names)


def _all_words(card: Card) -> str:
    return " ".join((*_names(card), *map(_plain, (*card.also, *card.hosts))))


def _plain(name: str) -> str:
    return " ".join(name.lower().replace("-", " ").split())
