"""What stands below a picture: place and weather, how it was counted, what a source leaves out."""

from __future__ import annotations

import datetime as dt

from gddcast import words
from gddcast.heat.counting import Counting
from gddcast.scouting.windows import ScoutingWindow
from gddcast.text import numbers, weather_so_far
from gddcast.today.plan import SeasonPlan
from gddcast.units import Unit


def weather_note(plan: SeasonPlan) -> str:
    """Place, day and weather, as the first line of every surface says them."""
    return f"{weather_so_far.weather_line(plan)}. {weather_so_far.behind(plan)}".strip()


def counting_note(counting: Counting, start: tuple[int, int], show: Unit) -> str:
    """How a sum of one's own is counted.

    Examples
    --------
    >>> counting_note(Counting(lower=10.0), (1, 1), "F")
    'Above 50 °F, single sine, from 1 January.'
    """
    first = words.day(dt.date(2024, *start), weekday=False)
    return _sentence(f"{numbers.counted(counting, show)}, from {first}")


def card_note(window: ScoutingWindow, show: Unit) -> str:
    """How a card's number is counted, who printed it, what is not stated and what that does."""
    start = window.clock.words if window.clock else "?"
    parts = (
        _sentence(f"{numbers.method(window, show)}, from {start}"),
        numbers.own_number(window, show),
        numbers.printed(window),
        numbers.stand_ins(window, window.moves),
    )
    return " ".join(part for part in parts if part)


def emergence_note(window: ScoutingWindow, show: Unit, *, begun: bool = True) -> str:
    """How an emergence curve is counted, what its source says of it, how far it may be trusted.

    ``begun`` where a share is drawn on the day it came.
    """
    number, clock, early, late = window.number, window.clock, window.early, window.late
    curve = number.emergence if number else None
    said = [
        "Dots: one a past year, if the rest of the season ran like it."
        + (" Diamond: the day it came, by the sums." if begun else ""),
        card_note(window, show),
    ]
    if curve is not None:
        kind = "the printed shares" if curve.family == "percentiles" else curve.family.capitalize()
        said += [f"Curve: {kind}.", curve.note or ""]
    said.append("The first and the last to come out are the least certain.")
    if clock and clock.kind == "find" and early and late and early.fastest and late.fastest:
        days = words.count((late.fastest - early.fastest).days, "day")
        said.append(f"Counted from your last clean look on, it runs {days} earlier.")
    return " ".join(part for part in (*said, words.WEATHER_ONLY) if part)


def _sentence(text: str) -> str:
    return words.sentence(text)
