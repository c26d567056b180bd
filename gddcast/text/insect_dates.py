"""When the insect itself is seen: by one's own finds, or by the spread its number is printed with.

The second promise, kept apart from the first: not the day its sum is reached, the day it is seen.
"""

from __future__ import annotations

import datetime as dt

import numpy as np

from gddcast.outlook.sightings import InsectDates
from gddcast.scouting.own_seasons import OwnFinds
from gddcast.scouting.windows import ScoutingWindow
from gddcast.units import Unit
from gddcast.words import any_day, count, day, heat, per_cent, span


def by_finds(own_finds: OwnFinds, insect: InsectDates, clean_looks: int = 0) -> str:
    """When the insect is seen, by one's own finds: the date that people act on."""
    by = f"By your {_finds(own_finds)}"
    if insect.middle is None:
        return f"{by} it is not seen this season, more likely than not."
    if insect.by_now >= 0.5:
        looks = count(clean_looks, "clean look") if clean_looks else ""
        logged = f"You have logged {looks}." if looks else "No clean look is logged."
        return f"{by} it has begun already, with a chance of {per_cent(insect.by_now)}. {logged}"
    first, last = insect.spans.get(0.8, (insect.middle, None))
    return (
        f"{by} it is first seen {any_day(first, last)}, 8 times in 10; as likely as not by "
        f"{day(insect.middle)}."
    )


def by_finds_briefly(insect: InsectDates) -> str:
    """The same in the fewest words that are true, for a line of a walk or a title."""
    if insect.middle is None:
        return "not this season by your finds, more likely than not"
    if insect.by_now >= 0.5:
        return f"begun by now by your finds, chance {per_cent(insect.by_now)}"
    return f"{any_day(*insect.spans.get(0.8, (insect.middle, None)))}, 8 times in 10 by your finds"


def _finds(own_finds: OwnFinds) -> str:
    return "finds of {}".format(count(own_finds.finds, "season"))


def first_find_helps(window: ScoutingWindow) -> str:
    """What a printed number is worth at another place, and what the first own find does to that.

    Nothing is said where heat here does not tell, or finds count already.
    """
    number, card = window.number, window.card
    if number is None or number.kind != "calendar" or not window.event.opens_looks:
        return ""
    if window.own_finds is not None or window.finds_beside is not None or card.comes_from_elsewhere:
        return ""
    return (
        "A number published elsewhere may be off by a week or two here; the first find with a "
        "clean look before it about halves that."
    )


def looking_costs(own_finds: OwnFinds, chance: float) -> str:
    """What looking from a day of some chance has cost in past seasons; nothing of one season."""
    looked = [each.looked for each in own_finds.foretold(chance) if each.looked is not None]
    if not looked:
        return ""
    late, before = sum(each < 0 for each in looked), round(float(np.median(np.maximum(looked, 0))))
    seasons = "the one season" if len(looked) == 1 else f"{len(looked)} seasons"
    one = "it" if len(looked) == 1 else f"{late} of them"
    early = f"the find of {one} came before the look" if late else "no find came before the look"
    return (
        f"Looking by the chance of 1 in {round(1 / chance)} would have cost {count(before, 'day')} "
        f"before the find, in the middle of {seasons}; {early}."
    )


def dates(answer: InsectDates, show: Unit, own_finds: OwnFinds | None = None) -> str:
    """The second promise, kept apart from the first: not the sum, the insect."""
    spread = _spread(answer, show, own_finds)
    if answer.middle is None:
        return f"Not this season, by the {spread}."
    return (
        f"by the {spread}, 8 times in 10 on one day of {_eight_in_ten(answer, answer.middle)}; "
        f"as likely as not by {day(answer.middle)}. The dots above say only when the sum is "
        "reached."
    )


def _spread(answer: InsectDates, show: Unit, own_finds: OwnFinds | None) -> str:
    width = heat(answer.spread, show)
    if own_finds is not None:
        return f"spread of ± {width} of your own {_finds(own_finds)}"
    return f"printed spread of ± {width} between fields and years"


def dates_briefly(answer: InsectDates, show: Unit, own_finds: OwnFinds | None = None) -> str:
    """The second promise in one line, its label first."""
    spread = _spread(answer, show, own_finds)
    if answer.middle is None:
        return f"The insect itself, by the {spread}: not this season."
    return (
        f"The insect itself, by the {spread}: seen 8 times in 10 on one day of "
        f"{_eight_in_ten(answer, answer.middle)}. The dates above are of its heat sum."
    )


def _eight_in_ten(answer: InsectDates, middle: dt.date) -> str:
    first, last = answer.spans.get(0.8, (middle, None))
    return span(first, last) if last else f"{day(first, weekday=False)} or later"
