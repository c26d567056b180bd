"""All cards together: finding one by what a person calls it, and counting what they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from operator import attrgetter
from typing import get_args

from gddcast.cards.model import Card, Evidence
from gddcast.cards.plant_names import without_aside
from gddcast.words import listed

#: How much of two names must agree (2 M / T of ``difflib``) to be near, and to look misspelt. Ours.
_NEAR, _MISSPELT = 0.6, 0.8
#: So many are named.
_MOST = 3


def called(cards: Iterable[Card], name: str) -> Card | None:
    """The card a person means by key, common, Latin or other name; None where none is meant.

    Upper and lower case, hyphens and the author of a Latin name make no difference. Words that
    stand in the names of one card alone, such as vine borer, mean that one, side by side before
    apart: potato beetle is no potato flea beetle. Another name or words that several cards share,
    such as squash, mean none of them.
    """
    wanted, cards = _plain(name), list(cards)
    first = next((card for card in cards if wanted in _names(card)), None)
    others = [card for card in cards if wanted in map(_plain, card.also)]
    phrases = [card for card in cards if wanted and _has_phrase(card, wanted)]
    parts = [card for card in cards if _has_words(card, wanted.split())]
    return first or next((few[0] for few in (others, phrases, parts) if len(few) == 1), None)


def sharing(cards: Iterable[Card], name: str) -> list[Card]:
    """Cards that have every word of a name in one of theirs; one alone where it is a whole name."""
    wanted, cards = _plain(name), list(cards)
    whole = [card for card in cards if wanted in _names(card)]
    return whole[:1] or [card for card in cards if _has_words(card, wanted.split())]


def search(cards: Iterable[Card], words: str) -> list[Card]:
    """Cards that have every one of the words in their names or hosts.

    Whole words, one or many: pea is no part of peach. Where no card has them all, words that
    begin so.
    """
    wanted, cards = _words_of(words), list(cards)
    whole = [card for card in cards if wanted <= _all_words(card)]
    return whole or [card for card in cards if _has_beginnings(card, wanted)]


def near(cards: Iterable[Card], name: str) -> list[Card]:
    """Cards whose key, common or Latin name is most like the name given, the most alike first."""
    return _nearest(_by_name(cards), _plain(name), _NEAR)


def misspelt(cards: Iterable[Card], name: str) -> list[Card]:
    """Cards of which the name given looks like a slip: very like one of theirs, initials kept.

    A bean aphid is no soybean aphid, however alike in letters.
    """
    wanted = _plain(name)
    known = {each: card for each, card in _by_name(cards).items() if _is_slip(wanted, each)}
    return _nearest(known, wanted, _MISSPELT)


def guess(
    cards: Iterable[Card], name: str, *, shown: Callable[[Card], str] = attrgetter("key")
) -> str | None:
    """What a person may have meant by a name that means no card; None where no name is like it.

    One that several cards share names them, and only one that looks misspelt is asked about. What
    is no more than near in spelling is mostly another organism, and called near.

    Examples
    --------
    >>> from gddcast.cards.model import Card, Look
    >>> cards = [Card("corn-earworm", "corn earworm", "Helicoverpa zea", "pest", Look(), (), {})]
    >>> guess(cards, "corn erworm")
    'Did you mean corn-earworm?'
    >>> guess(cards, "horn earworm")
    'Near in spelling, but no more: corn-earworm.'
    >>> guess(cards, "walrus")
    """
    cards = list(cards)
    if several := [shown(card) for card in sharing(cards, name)]:
        return f"Several have it in their names: {listed(several)}."
    if meant := [shown(card) for card in misspelt(cards, name)]:
        return f"Did you mean {listed(meant, 'or')}?"
    alike = [shown(card) for card in near(cards, name)]
    return f"Near in spelling, but no more: {listed(alike)}." if alike else None


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


def crops_near(cards: Iterable[Card], name: str) -> list[str]:
    """Crops that share a name, else those whose names are most like it; keys, likeliest first."""
    by_name: dict[str, list[str]] = {}
    for card in (cards := list(cards)):
        for known in card.names if card.group == "crop" else ():
            by_name.setdefault(_plain(known), []).append(card.key)
    for host in map(_plain, _hosts(cards)):
        by_name.setdefault(host, [host.replace(" ", "-")])
    said = _singulars(name)
    shared = next((by_name[each] for each in said if each in by_name), [])
    alike = get_close_matches(said[0], by_name, n=2 * _MOST, cutoff=0.7)
    return list(dict.fromkeys(shared or (key for each in alike for key in by_name[each])))[:_MOST]


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


def replacement_notes(cards: Iterable[Card]) -> list[str]:
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


def _by_name(cards: Iterable[Card]) -> dict[str, Card]:
    return {known: card for card in cards for known in (*_names(card), *map(_plain, card.also))}


def _nearest(known: dict[str, Card], wanted: str, cutoff: float) -> list[Card]:
    found = get_close_matches(wanted, known, n=2 * _MOST, cutoff=cutoff)
    return list({known[name].key: known[name] for name in found}.values())[:_MOST]


def _is_slip(wanted: str, known: str) -> bool:
    """Whether two names have the same initials, or differ in nothing but their gaps."""
    initials, theirs = ([word[0] for word in name.split()] for name in (wanted, known))
    return initials == theirs or wanted.replace(" ", "") == known.replace(" ", "")


def _has_phrase(card: Card, wanted: str) -> bool:
    names = (*_names(card), *map(_plain, card.also))
    return any(f" {wanted} " in f" {name} " for name in names)


def _has_words(card: Card, wanted: list[str]) -> bool:
    names = (*_names(card), *map(_plain, card.also))
    return bool(wanted) and any(set(wanted) <= set(name.split()) for name in names)


def _has_beginnings(card: Card, wanted: set[str]) -> bool:
    words = _all_words(card)
    return all(any(word.startswith(part) for word in words) for part in wanted)


def _all_words(card: Card) -> set[str]:
    return _words_of(" ".join((*_names(card), *card.also, *card.hosts)))


def _words_of(text: str) -> set[str]:
    """Its words as a search compares them: no case, brackets or plural."""
    return {word.strip("(),.").removesuffix("s") for word in _plain(text).split()}


def _plain(name: str) -> str:
    return " ".join(name.lower().replace("-", " ").split())
