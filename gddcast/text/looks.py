"""Looking, in words: where on the plant, how many, how often; why a date asks for no look."""

from __future__ import annotations

import datetime as dt

from gddcast.cards.model import Purpose
from gddcast.cards.values import Picture
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.words import count, day, phrase, sentence

#: Why a date asks for no look.
_NO_LOOK: dict[Purpose, str] = {
    "peak": "The height of it, not its beginning: a reason to look, no look of its own.",
    "end": "An end: no look of its own.",
    "hidden": "In the soil or inside the plant: no look of its own; what follows counts from it.",
}

#: Where to look, in the fewest words.
_PLACES: dict[Picture, str] = {
    "ground": "the ground", "turf": "roots of turf", "boards": "under boards", "root": "roots",
    "fine-roots": "roots", "tubers": "tubers", "bulb": "bulbs", "stem-base": "stem base",
    "fern-base": "stem base", "corn-stalk": "stalks", "trunk": "trunk",
    "grass-edge": "grass at the edge", "seedling": "leaves of seedlings",
    "leaf-underside": "undersides of leaves", "lobed-leaf-underside": "undersides of leaves",
    "bean-leaf-underside": "undersides of leaves", "cabbage-leaf-underside": "undersides of leaves",
    "leaf-top": "tops of leaves", "potato-leaves": "leaves", "corn-leaves": "upper leaves",
    "onion-leaves": "leaves", "fern": "fern", "onion-neck": "between the inner leaves",
    "cabbage-heart": "hearts", "corn-whorl": "whorls", "spears": "spear tips",
    "shoot-tip": "shoot tips", "flower": "flowers", "pods": "pods", "fruit": "fruit",
    "vine-fruit": "fruit", "berries": "berries", "grape-cluster": "clusters",
    "tree-fruit": "fruit", "ear": "ears", "whole-plant": "whole plant", "net": "a sweep net",
    "trap": "traps", "sticky-trap": "sticky traps",
}  # fmt: skip


def place_briefly(window: ScoutingWindow) -> str:
    """The part of the plant, or of what is round it, to look at."""
    return _PLACES[window.look.picture or "whole-plant"]


def plants_briefly(window: ScoutingWindow, habits: Habits) -> str:
    """How many plants to look at, as a number where the card has one."""
    look = window.look
    if look.sample_size is not None:
        return count(look.sample_size, look.sample_unit)
    return phrase(plants_wanted(window, habits), 44)


def look(window: ScoutingWindow, today: dt.date) -> str:
    """From which day to look, where on the plant, when in the day, how often and why.

    Of a peak and an end why there is no look of their own; of a crop's stage nothing.
    """
    if not window.event.opens_looks:
        return _NO_LOOK.get(window.event.purpose, "")
    parts = []
    if window.opens is not None and not window.is_answered:
        parts.append("look now" if window.opens <= today else f"look from {day(window.opens)}")
    else:
        parts.append("look")
    parts.append(_where(window.look.where_on_plant or place_briefly(window)))
    if window.look.time_of_day and window.look.time_of_day != "not stated":
        parts.append(window.look.time_of_day)
    if window.every_days is not None:
        why = f" ({window.every_words})" if window.every_words else ""
        parts.append(f"{often(window)}{why}")
    return sentence(", ".join(parts))


def often(window: ScoutingWindow) -> str:
    """How often to look; nothing where nothing is known of that."""
    if window.every_days is None:
        return ""
    return "every day" if window.every_days == 1 else f"every {window.every_days} days"


def _where(words: str) -> str:
    return words[:1].lower() + words[1:] if not words[:2].isupper() else words


def notes_once(window: ScoutingWindow, notes_shown: set[tuple[str, str]]) -> tuple[str, ...]:
    """The notes of a window that its pest's earlier ones in the same answer have not told.

    Parameters
    ----------
    window : ScoutingWindow
    notes_shown : set of (str, str)
        Pest and note of all told so far; the new ones are added.
    """
    own = window.card.key
    fresh = tuple(note for note in window.notes if (own, note) not in notes_shown)
    notes_shown.update((own, note) for note in fresh)
    return fresh


def plants_wanted(window: ScoutingWindow, habits: Habits) -> str:
    """How many plants to look at: the card's own words, else all of few and some of many."""
    if window.look.plants:
        return window.look.plants.rstrip(".")
    few = habits.plants_all_below
    return f"all if fewer than {few}, else {few} spread over edge and middle"
