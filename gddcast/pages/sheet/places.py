"""Which drawing shows where to look: an explicit rule over a card's own words."""

from __future__ import annotations

import re

from gddcast.scouting.windows import ScoutingWindow

#: Drawings by the words that call for them, more particular words first.
_WORDS: tuple[tuple[str, str], ...] = (
    ("leaf-underside", r"(?:lea(?:f|ves) )?undersides?|under leaves|veins?"),
    ("trap", r"(?:pheromone |light )?traps?|(?:red |yellow )?sticky|spheres?"),
    ("trunk", r"trunks?|bark|limbs?"),
    ("boards", r"(?:under )?boards?"),
    ("ear", r"(?:fresh )?silks?|ears?|ear tips?|tassels?"),
    ("flower", r"flowers?|flower clusters|flowering|blossoms?|bloom|buds?"),
    (
        "fruit",
        r"(?:young |ripening |ripe )?(?:fruits?|pods?|berries|clusters|grapes)|rinds?|netting",
    ),
    ("stem-base", r"stem bases?|base of the plant|(?:lowest )?foot|crowns?|leaf stalks|stems?"),
    ("root", r"(?:corn |upper )?roots?|bulbs?"),
    ("ground", r"soil|ground|litter|clods|turf|mulch|up"),
    (
        "shoot-tip",
        (
            r"(?:spear|shoot|stem|growing|runner) (?:tips?|points?)|tips?|spears?|hearts?|whorls?"
            r"|(?:young |youngest )?inner leaves|(?:the )?inner leaves|neck|fern"
        ),
    ),
    (
        "leaf-top",
        r"(?:older |young |youngest |upper )?lea(?:f|ves)(?! undersides?)|upper sides?|cotyledons",
    ),
)
_PATTERNS = tuple((name, re.compile(rf"\b(?:{words})\b")) for name, words in _WORDS)
#: A picture a card names is drawn more particularly where the words beside it allow.
_SHARPER = {"stem-base": "trunk", "fruit": "ear", "flower": "ear", "ground": "boards"}
#: Drawn where nothing says more.
ANYWHERE = "whole-plant"
#: Every name a drawing is asked for by.
PLACES = (*(name for name, _ in _WORDS), ANYWHERE)


def places_named(words: str | None) -> tuple[str, ...]:
    """The places that words name, in the order of naming.

    Examples
    --------
    >>> places_named("leaf undersides in the vein forks, sometimes on fruit")
    ('leaf-underside', 'fruit')
    >>> places_named("trunk from 30 cm above ground to 10 cm below")
    ('trunk', 'ground')
    """
    text = (words or "").lower()
    found = {name: match.start() for name, each in _PATTERNS if (match := each.search(text))}
    return tuple(sorted(found, key=found.__getitem__))


def drawing_of(window: ScoutingWindow) -> str:
    """The drawing of the place where a window's stage is looked for.

    What is said nearest to the stage decides: the stage's own picture, else the place its own
    words of where name first; the organism's picture, else its words; what the stage is called
    (a crop's card says no place). A picture is drawn more particularly where the words beside
    it allow: a trunk for a stem base, an ear for a flower or a fruit, boards for the ground.
    """
    for look in (window.event.look, window.card.look):
        named = places_named(look.where_on_plant)
        if look.picture is not None:
            sharper = _SHARPER.get(look.picture)
            return sharper if sharper in named else look.picture
        if named:
            return named[0]
    return next(iter(places_named(window.event.words)), ANYWHERE)
