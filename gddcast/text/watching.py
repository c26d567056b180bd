"""What a place watches, and how to change it: in a line, as a list, for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from gddcast.cards.library import pests_of
from gddcast.cards.model import Card, crop_card, crop_names
from gddcast.errors import Command, command
from gddcast.text.answer import as_json
from gddcast.text.terminal import PLAIN, Line, Terminal
from gddcast.today.watching import WatchList
from gddcast.words import count, listed


def nothing_watched(command: Command = command) -> str:
    """What to type where nothing is watched yet."""
    grow = command("setup", "--grow", "summer-squash,kale")
    return f"Nothing is watched yet. Say what you grow:  {grow}"


def watching(watch: WatchList) -> str:
    """How many cards are watched, and of how many crops.

    Examples
    --------
    >>> watching(WatchList((), "said"))
    'watching no pest'
    """
    if not watch.cards:
        return "watching no pest"
    noun = "pest" if all(card.group == "pest" for card in watch.cards) else "card"
    if not watch.crops:
        return f"watching {count(len(watch.cards), noun)}"
    of_crops = count(len(watch.cards) - len(watch.besides), "pest")
    more = f" and {len(watch.besides)} besides" if watch.besides else ""
    return f"watching {of_crops} of {count(len(watch.crops), 'crop')}{more}"


def watch_hint(watch: WatchList, command: Command = command) -> str:
    """What is said where nobody said what to watch; no words where somebody did."""
    if watch.basis != "record":
        return ""
    if not watch.cards:
        return nothing_watched(command)
    change = command("watch")
    return f"No list yet: {watching(watch)}, by what was sown and seen.  {change}  changes it."


def watch_text(
    watch: WatchList,
    cards: Mapping[str, Card],
    terminal: Terminal = PLAIN,
    command: Command = command,
) -> str:
    """One paragraph a crop, then what is watched besides, and how to change it."""
    if not watch.cards and not watch.crops:
        return terminal.show([Line(nothing_watched(command))])
    said = watching(watch).capitalize()
    record = ", by what was sown and seen: no list is kept yet" if watch.basis == "record" else ""
    lines: list[str | Line] = [f"{said}{record}."]
    rows = [*_of_crops(watch, cards)]
    if watch.besides:
        rows.append(("besides" if rows else "by name", _names(watch.besides)))
    if watch.left_out:
        rows.append(("left out", _names([cards[key] for key in watch.left_out])))
    width = max((len(label) for label, _ in rows), default=0)
    lines += [Line(names, f"  {label:<{width}}  ") for label, names in rows]
    add, drop = command("watch", "add", "NAME"), command("watch", "drop", "NAME")
    return terminal.show([*lines, Line(f"{add}     {drop}     NAME is a pest or a crop.")])


def _of_crops(watch: WatchList, cards: Mapping[str, Card]) -> Iterator[tuple[str, str]]:
    for crop in watch.crops:
        pests = pests_of(watch.cards, crop_names(cards, crop))
        yield crop_card(cards, crop).name, _names(pests) or "no card names a pest of it"


def _names(cards: Sequence[Card]) -> str:
    return ", ".join(card.key for card in cards)


def offered(crop: Card, pests: Sequence[Card], command: Command = command) -> str:
    """That pests of a crop new to the book are not watched, and how to watch them."""
    names = [card.name for card in pests]
    few = listed(names) if len(names) < 5 else f"{', '.join(names[:3])} and {len(names) - 3} more"
    add = command("watch", "add", crop.key)
    return f"Not watched on {crop.name}: {few}. Watch them:  {add}"


def watch_json(watch: WatchList, cards: Mapping[str, Card], moment: dt.datetime) -> str:
    """The same for programs; the schema stands in ``data/schemas/watch.json``."""
    parts = {
        "rests_on": watch.basis,
        "crops": [{"key": crop, "name": crop_card(cards, crop).name} for crop in watch.crops],
        "watched": [
            {
                "key": card.key, "name": card.name, "group": card.group,
                "on": list(watch.hosts(card, cards)), "by_name": card in watch.named,
            }
            for card in watch.cards
        ],
        "left_out": list(watch.left_out),
    }  # fmt: skip
    return as_json("watch", moment, parts)
