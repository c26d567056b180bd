"""What single values of a card file may be, and what is said where they are not.

A validator turns a value as written into the value a card holds, or raises a fault in our words,
which pydantic collects with all the others.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from pydantic_core import PydanticCustomError

from gddcast.cards.model import NOT_STATED, Range, Start
from gddcast.readers.card_faults import near, one_of

CUTOFFS = ("none", "horizontal", "intermediate", "vertical", "cap the readings")
OF_DAY = ("maximum", "mean")
SHAPES = (
    "floor the mean",
    "floor the readings",
    "single triangle",
    "single sine",
    "double triangle",
    "double sine",
    "hourly",
    "any",
)
CROP_STAGES = ("sowing", "transplanting", "emergence", "first-flower")
#: Drawings there are a place for on a printed sheet.
PICTURES = (
    *("leaf-underside", "stem-base", "flower", "ground", "leaf-top", "shoot-tip", "fruit", "root"),
)
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
#: A century; a date so many days on is still a date.
MOST_DAYS = 36_525
_LONGEST = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DATE = re.compile(r"(\d{1,2}) ([A-Z][a-z]+)")
_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def fault(expected: str, cure: str) -> PydanticCustomError:
    """A fault in our words, collected by pydantic with all the others."""
    return PydanticCustomError("card", "{expected}", {"expected": expected, "cure": cure})


def _number(value: Any) -> float | None:
    """The value as a finite float, or None: true and "50" are not numbers."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:  # hundreds of digits
        return None
    return number if math.isfinite(number) else None


def text_in(value: Any) -> str:
    """Words in quotes."""
    if not isinstance(value, str):
        raise fault("text in quotes", "Put it in straight double quotes.")
    if not value.strip():
        raise fault("some words", f'Write them, or "{NOT_STATED}" where the source is silent.')
    return value.strip()


def key_in(value: Any) -> str:
    """A key that commands take."""
    text = text_in(value)
    if not _KEY.fullmatch(text):
        raise fault(
            "a key of small letters, digits and hyphens",
            f'Write it like "{re.sub("[^a-z0-9]+", "-", text.lower()).strip("-") or "eggs"}".',
        )
    return text


def threshold_in(value: Any) -> float | None:
    """A threshold as printed; None where it is not stated."""
    if value == NOT_STATED:
        return None
    if (number := _number(value)) is None:
        raise fault(
            f'a temperature as a plain number, or "{NOT_STATED}"',
            "Write the number without quotes or degree sign; the unit stands in its own key.",
        )
    return number


def upper_in(value: Any) -> float | None:
    """An upper threshold; infinite where the source rules one out."""
    if value == "none":
        return math.inf
    if isinstance(value, str) and value != NOT_STATED:
        raise fault(
            f'a temperature as a plain number, "none" or "{NOT_STATED}"',
            f'"none" is for a source that rules an upper threshold out; else "{NOT_STATED}".',
        )
    return threshold_in(value)


def range_in(value: Any) -> Range:
    """Both ends of a printed range, equal for a single number."""
    ends = value if isinstance(value, list) else [value, value]
    numbers = [_number(end) for end in ends]
    if len(numbers) != 2 or None in numbers:
        raise fault("a number, or [low, high]", "Write it like 245 or [245, 300].")
    low, high = numbers
    assert low is not None
    assert high is not None
    if not 0 <= low <= high or high == 0:
        raise fault(
            "numbers of zero or more, the low end first",
            "Check both ends against the source.",
        )
    return low, high


def days_in(value: Any) -> Range:
    """Days that a stage takes, both ends."""
    low, high = range_in(value)
    if high > MOST_DAYS:
        raise fault(f"no more than {MOST_DAYS:,} days", "Check the number against the source.")
    return low, high


def goal_in(value: Any) -> Range | None:
    """A heat sum as printed; None where it is not stated."""
    return None if value == NOT_STATED else range_in(value)


def choice_of(words: tuple[str, ...]) -> Callable[[Any], str | None]:
    """A validator of one of the words or "not stated", which becomes None."""

    def choose(value: Any) -> str | None:
        if value == NOT_STATED:
            return None
        if value in words:
            return str(value)
        guess = near(str(value), words)
        raise fault(
            one_of([*words, NOT_STATED]),
            f'Did you mean "{guess}"?' if guess else f'Where the source is silent: "{NOT_STATED}".',
        )

    return choose


def parse_date(text: str) -> tuple[int, int] | None:
    """Month and day of a date in words such as ``1 January``; None where it is none."""
    match = _DATE.fullmatch(text)
    if match is None or match[2] not in MONTHS:
        return None
    month, day = MONTHS.index(match[2]) + 1, int(match[1])
    return (month, day) if 1 <= day <= _LONGEST[month - 1] else None


def start_in(value: Any) -> Start | None:
    """A date in words, a crop stage, an event key (checked later), or "not stated"."""
    text = text_in(value)
    if text == NOT_STATED:
        return None
    if date := parse_date(text):
        return Start(date=date)
    if text in CROP_STAGES:
        return Start(crop=text)
    if _KEY.fullmatch(text):
        return Start(event=text)
    raise fault(
        'a date such as "1 January", the key of an event of this card, '
        f"{one_of([*CROP_STAGES, NOT_STATED])}",
        "Write the day first and the month in full.",
    )


def stated_start_in(value: Any) -> Start:
    """A start that must be known."""
    start = start_in(value)
    if start is None:
        raise fault("a date, an event key or a crop stage", "Say from when the days are counted.")
    return start


def picture_in(value: Any) -> str:
    """One of the drawings there are."""
    if value not in PICTURES:
        guess = near(str(value), PICTURES)
        raise fault(one_of(PICTURES), f'Did you mean "{guess}"?' if guess else "Choose one.")
    return str(value)


def not_reserved(value: str) -> str:
    """An event key that is not taken for a stage of the crop."""
    if value in CROP_STAGES and value != "first-flower":
        raise fault("a key that is no crop stage", f'"{value}" means the crop\'s own; rename it.')
    return value
