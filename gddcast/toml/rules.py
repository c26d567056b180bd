"""What a single value of a TOML file may be, and what is said where it is something else."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from gddcast.words import listed

#: Turns a value as written into the value used, or raises `Wrong`.
Reading = Callable[[Any], Any]


class Wrong(ValueError):
    """A value that cannot stand there: what could, and how to mend it."""

    def __init__(self, expected: str, cure: str) -> None:
        super().__init__(expected, cure)
        self.expected = expected
        self.cure = cure


@dataclass(frozen=True, slots=True)
class Rule:
    """How a value is read, as a mark on the type of a field: ``Annotated[str, Rule(words)]``.

    ``stand_in`` takes the place of a faulty value while the rest of the file is checked;
    ``write`` turns the value used back into what stands in a file.
    """

    read: Reading
    stand_in: Any = "not stated"
    write: Callable[[Any], Any] = lambda value: value

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        """Let pydantic call the rule and collect what it says."""
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(self.read)


def near(word: str, known: Sequence[str]) -> str | None:
    """The known word most like this one, where one is like it at all."""
    same = [each for each in known if each.lower() == word.lower()]
    return next(iter(same or get_close_matches(word, known, n=1, cutoff=0.6)), None)


def choice(words: Sequence[str]) -> str:
    """Words to choose from.

    Examples
    --------
    >>> choice(["F", "C"])
    '"F" or "C"'
    """
    return listed([f'"{word}"' for word in words], "or")


def shown(value: Any) -> str:
    """A value as it would stand in the file, cut where it is long."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return "a list of tables"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:57] + "…"


def finite(value: Any) -> float | None:
    """The value as a finite float, or None: true and "50" are not numbers."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:  # hundreds of digits
        return None
    return number if math.isfinite(number) else None


def words(value: Any) -> str:
    """Some text."""
    if not isinstance(value, str) or not value.strip():
        raise Wrong("some words in quotes", "Put them in straight double quotes.")
    return value.strip()


def one_of(*choices: str, otherwise: str = "Use one of these words.") -> Reading:
    """One of some words; where none is near what was written, the cure is ``otherwise``."""

    def read(value: Any) -> str:
        if value in choices:
            return str(value)
        guess = near(str(value), choices)
        raise Wrong(choice(choices), f'Did you mean "{guess}"?' if guess else otherwise)

    return read


def number(least: float, most: float) -> Reading:
    """A number between two ends, both included."""

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Wrong("a plain number", "Write it without quotes.")
        if not least <= value <= most:
            raise Wrong(f"a number from {least:g} to {most:g}", "Check it; are two swapped?")
        return float(value)

    return read


def whole(least: int, most: int) -> Reading:
    """A whole number between two ends, both included."""

    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            raise Wrong(f"a whole number from {least} to {most}", "Write it without quotes.")
        return value

    return read


def span(least: int, most: int) -> Reading:
    """Two whole numbers, the low one first."""
    one = whole(least, most)

    def read(value: Any) -> tuple[int, int]:
        pair = value if isinstance(value, list) else [value, value]
        if len(pair) != 2:
            raise Wrong("a number, or [low, high]", "Write it like [2, 3].")
        low, high = one(pair[0]), one(pair[1])
        if low > high:
            raise Wrong("the low number first", f"Write it like [{high}, {low}].")
        return low, high

    return read


def timezone(value: Any) -> str:
    """An IANA name."""
    name = words(value)
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        likely = near(name, sorted(available_timezones()))
        cure = f'Did you mean "{likely}"?' if likely else "Names are like Europe/Zurich."
        raise Wrong('an IANA time zone, such as "America/Chicago"', cure) from None
    return name


def names(value: Any) -> tuple[str, ...]:
    """A list of card names."""
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise Wrong("a list of card names", 'Write it like ["squash-bug", "cucumber"].')
    return tuple(value)
