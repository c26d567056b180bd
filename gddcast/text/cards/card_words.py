"""What stands in a card, in words: as printed first, in the other unit beside it."""

from __future__ import annotations

import math

from gddcast.cards.model import NOT_STATED, Card, Event, Evidence, Kind, Number, Range, Start
from gddcast.units import (
    Unit,
    from_celsius,
    from_celsius_days,
    rounded,
    to_celsius,
    to_celsius_days,
)  # fmt: skip
from gddcast.words import month

#: What each kind of evidence is worth.
EVIDENCE: dict[Evidence, str] = {
    "seen": "seen",
    "compiled": "compiled (may be refitted by the compiler)",
    "from memory": "from memory, not checked",
    "common practice": "common practice",
}
#: What each kind of number is, for a page and for a line.
KINDS: dict[Kind, str] = {
    "calendar": "field sum from a date",
    "biofix": "field sum from a find",
    "laboratory": "stage duration in the laboratory",
}
SHORT_KINDS: dict[Kind, str] = {"calendar": "date", "biofix": "find", "laboratory": "lab"}


def kind_in_words(number: Number) -> str:
    """How a number came about; a crop is not found but sown."""
    start = number.starts_from
    return "field sum from a stage of the crop" if start and start.crop else KINDS[number.kind]


def plain(value: float) -> str:
    """A number as printed, with thousands marked and a real minus.

    Examples
    --------
    >>> plain(1000.0), plain(148.7), plain(-1.5)
    ('1,000', '148.7', '−1.5')
    """
    return f"{value:,.10g}".replace("-", "−")


def ends(low: float, high: float, digits: int | None = None) -> str:
    """One number or two, with the same digits.

    Examples
    --------
    >>> ends(245.0, 300.0), ends(96.0, 96.0)
    ('245–300', '96')
    """
    first, last = (plain(end if digits is None else rounded(end, digits)) for end in (low, high))
    return first if first == last else f"{first}–{last}"


def other_unit(unit: Unit) -> Unit:
    """The scale a number was not printed in."""
    return "C" if unit == "F" else "F"


def temperature(value: float | None, unit: Unit) -> str:
    """A threshold as printed.

    Examples
    --------
    >>> temperature(50.0, "F"), temperature(None, "F"), temperature(math.inf, "F")
    ('50 °F', 'not stated', 'none')
    """
    if value is None:
        return NOT_STATED
    return "none" if value == math.inf else f"{plain(value)} °{unit}"


def temperature_both(value: float | None, unit: Unit) -> str:
    """A threshold as printed, then in the other scale.

    Examples
    --------
    >>> temperature_both(50.0, "F"), temperature_both(None, "F")
    ('50 °F (10 °C)', 'not stated')
    """
    printed = temperature(value, unit)
    if value is None or value == math.inf:
        return printed
    other = other_unit(unit)
    converted = plain(rounded(from_celsius(to_celsius(value, unit), other), 1))
    return f"{printed} ({converted} °{other})"


def heat_both(goal: Range | None, unit: Unit) -> str:
    """A heat sum as printed, then in the other scale.

    Examples
    --------
    >>> heat_both((245.0, 300.0), "F")
    '245–300 °F-days (136–167 °C-days)'
    """
    if goal is None:
        return NOT_STATED
    other = other_unit(unit)
    low, high = (from_celsius_days(to_celsius_days(end, unit), other) for end in goal)
    digits = 0 if max(goal) >= 20 else 1
    return f"{ends(*goal)} °{unit}-days ({ends(low, high, digits)} °{other}-days)"


def start_in_words(start: Start | None, card: Card) -> str:
    """From when a sum or a number of days is counted."""
    if start is None:
        return NOT_STATED
    if start.date is not None:
        return f"{start.date[1]} {month(start.date[0])}"
    if start.crop is not None:
        return start.crop.replace("-", " ")
    event = card.event(start.event or "")
    return f"{event.words} ({event.key})" if event else str(start.event)


def days_in_words(days: Range) -> str:
    """A duration, in days that can be read off a calendar.

    Examples
    --------
    >>> days_in_words((28.0, 42.0)), days_in_words((1.0, 1.0))
    ('28–42 days', '1 day')
    """
    text = ends(*days)
    return f"{text} day" if text == "1" else f"{text} days"


def event_kind(event: Event) -> str:
    """How an event is dated, in one word."""
    number: Number | None = event.default
    if number is not None:
        of = "" if number.of == "air" else " on soil" if "soil" in number.of else " not on air"
        return SHORT_KINDS[number.kind] + of
    if event.days:
        return "days"
    return "same time" if event.same_time_as else "on sight"
