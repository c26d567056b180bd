"""How many boxes there are to tick for the plants of one walk: the sample a card asks for."""

from __future__ import annotations

from dataclasses import dataclass

from gddcast.cards.model import Look

#: More than these are ticked several plants at a time.
_MOST = 20
_SHARES = (1, 2, 5, 10, 20, 50, 100, 200, 500)


@dataclass(frozen=True, slots=True)
class PlantBoxes:
    """Boxes to tick, and what one of them stands for where it is not a plant."""

    count: int
    stands_for: str = ""


def plant_boxes(look: Look, few: int) -> PlantBoxes:
    """Boxes for a sample: one a place, site or tree, else one a plant, else one a few.

    Parameters
    ----------
    look : Look
    few : int
        Boxes where the card asks for no number: below so many plants all are looked at.

    Examples
    --------
    >>> plant_boxes(Look(), 8)
    PlantBoxes(count=8, stands_for='')
    >>> plant_boxes(Look(sample_size=10, sample_unit="place"), 8)
    PlantBoxes(count=10, stands_for='a box a place')
    >>> plant_boxes(Look(sample_size=30), 8)
    PlantBoxes(count=15, stands_for='a box for 2')
    """
    number = look.sample_size or few
    if look.sample_size and look.sample_unit != "plant":
        return PlantBoxes(min(number, _MOST), f"a box a {look.sample_unit}")
    share = next(each for each in _SHARES if number <= each * _MOST or each == _SHARES[-1])
    return PlantBoxes(min(-(-number // share), _MOST), f"a box for {share}" if share > 1 else "")
