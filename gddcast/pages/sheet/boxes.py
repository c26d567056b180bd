"""How many boxes there are to tick for the plants of one walk: a rule over a card's words."""

from __future__ import annotations

import re
from dataclasses import dataclass

#: More than these are ticked several plants at a time.
_MOST = 20
_SHARES = (1, 2, 5, 10, 20, 50, 100, 200, 500)
_PLACES = re.compile(r"\b(\d+|ten)(?: edge| young)? (place|site|tree)s\b")
#: A number of things, and none that says where all of them are meant, nor a length.
_THINGS = re.compile(r"(?<!under )(?<!fewer than )(?<!below )\b(\d+)(?:[-–]\d+)? (?!feet|foot|%)")


@dataclass(frozen=True, slots=True)
class PlantBoxes:
    """Boxes to tick, and what one of them stands for where it is not a plant."""

    count: int
    each: str = ""


def plant_boxes(words: str, few: int) -> PlantBoxes:
    """Boxes for the words of how many plants: one a place, else one a plant, else one a few.

    Parameters
    ----------
    words : str
        As of `walk_text.plants_wanted`.
    few : int
        Boxes where the words give no number: below so many plants all are looked at.

    Examples
    --------
    >>> plant_boxes("every plant if under 10; otherwise 10 over edge and middle", 8)
    PlantBoxes(count=10, each='')
    >>> plant_boxes("5 plants at 10 places", 8)
    PlantBoxes(count=10, each='a box a place')
    >>> plant_boxes("30 stems from all over", 8)
    PlantBoxes(count=15, each='a box for 2')
    """
    places = _PLACES.search(words)
    if places:
        number = 10 if places[1] == "ten" else int(places[1])
        return PlantBoxes(min(number, _MOST), f"a box a {places[2]}")
    things = _THINGS.search(words)
    number = int(things[1]) if things else few
    share = next(each for each in _SHARES if number <= each * _MOST or each == _SHARES[-1])
    return PlantBoxes(min(-(-number // share), _MOST), f"a box for {share}" if share > 1 else "")
