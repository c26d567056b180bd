"""What single settings may be, and what is said where they are not."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from gddcast.words import listed

#: Turns a value as written into the value used, or raises `Wrong`.
Rule = Callable[[Any], Any]

SENSOR_SPOTS = ("open-shade", "sun", "wall", "under-cover", "indoors", "unknown")
#: Methods as the file names them, and the functions that do them.
SHAPES = {
    "single-sine": "single_sine",
    "single-triangle": "single_triangle",
    "double-sine": "double_sine",
    "double-triangle": "double_triangle",
    "floor-the-mean": "floor_the_mean",
    "floor-the-readings": "floor_the_readings",
}
CUTOFFS = {
    "none": "no_cutoff",
    "horizontal": "horizontal",
    "intermediate": "intermediate",
    "vertical": "vertical",
    "cap-the-readings": "cap_the_readings",
}
METHODS = SHAPES | CUTOFFS


class Wrong(Exception):
    """A value that cannot stand there: what could, and how to mend it."""

    def __init__(self, expected: str, cure: str) -> None:
        super().__init__(expected, cure)
        self.expected = expected
        self.cure = cure


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to mend in a file of settings."""

    line: int
    place: str
    found: str
    expected: str
    cure: str

    def __str__(self) -> str:
        where = f"line {self.line}" + (f", {self.place}" if self.place else "")
        return (
            f"{where}\n      found {self.found}\n      expected {self.expected}\n      {self.cure}"
        )


def known(word: str, all_known: Sequence[str]) -> tuple[str, str]:
    """What is known instead of an unknown word, and the cure."""
    near = get_close_matches(word, all_known, n=1)
    cure = f"Did you mean {near[0]}?" if near else "Take it away, or use one that is known."
    return f"one of {', '.join(all_known)}", cure


def shown(value: Any) -> str:
    """A value as it would stand in the file."""
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


def words(value: Any) -> str:
    """Some text."""
    if not isinstance(value, str) or not value.strip():
        raise Wrong("some words in quotes", "Put them in straight double quotes.")
    return value.strip()


def number(least: float, most: float) -> Rule:
    """A number between two ends, both included."""

    def rule(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Wrong("a plain number", "Write it without quotes.")
        if not least <= value <= most:
            raise Wrong(f"a number from {least:g} to {most:g}", "Check it; are two swapped?")
        return float(value)

    return rule


def whole(least: int, most: int) -> Rule:
    """A whole number between two ends, both included."""

    def rule(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise Wrong(f"a whole number from {least} to {most}", "Write it without quotes.")
        return value

    return rule


def span(least: int, most: int) -> Rule:
    """Two whole numbers, the low one first."""
    one = whole(least, most)

    def rule(value: Any) -> tuple[int, int]:
        pair = value if isinstance(value, list) else [value, value]
        if len(pair) != 2:
            raise Wrong("a number, or [low, high]", "Write it like [2, 3].")
        low, high = one(pair[0]), one(pair[1])
        if low > high:
            raise Wrong("the low number first", f"Write it like [{high}, {low}].")
        return low, high

    return rule


def one_of(*choices: str) -> Rule:
    """One of some words."""

    def rule(value: Any) -> str:
        if value in choices:
            return str(value)
        same = [choice for choice in choices if choice.lower() == str(value).lower()]
        near = same or get_close_matches(str(value), choices, n=1)
        listing = listed([f'"{choice}"' for choice in choices], "or")
        raise Wrong(listing, f'Did you mean "{near[0]}"?' if near else "Use one of these words.")

    return rule


def timezone(value: Any) -> str:
    """An IANA name."""
    name = words(value)
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        near = get_close_matches(name, available_timezones(), n=1)
        cure = f'Did you mean "{near[0]}"?' if near else "Names are like Europe/Zurich."
        raise Wrong('an IANA time zone, such as "America/Chicago"', cure) from None
    return name


def month_day(value: Any) -> tuple[int, int]:
    """A day of any year, as 07-01."""
    try:
        if not re.fullmatch(r"\d\d-\d\d", value):
            raise ValueError(value)
        day = dt.date.fromisoformat(f"2024-{value}")
    except (TypeError, ValueError):
        raise Wrong('a day of the year, month first: "07-01"', "Put it in quotes.") from None
    return day.month, day.day


def card_or_month_day(value: Any) -> tuple[int, int] | None:
    """The card's own start, or a day of the year."""
    return None if value == "card" else month_day(value)


def keys(value: Any) -> tuple[str, ...]:
    """A list of card keys."""
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise Wrong("a list of card names", 'Write it like ["squash-bug", "cucumber"].')
    return tuple(value)
