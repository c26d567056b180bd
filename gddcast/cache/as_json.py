"""Frozen values of the garden as JSON and back: the same values, shared where they were shared.

A value that stands in several places is written once, so that what is one object is one again. A
card is written as its key, and what is part of a card as its place there. What is read names kinds
of values, and only those that a question's own answer can hold; nothing of it is ever run.
"""

from __future__ import annotations

import base64
import datetime as dt
import json
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, get_args, get_type_hints

import numpy as np

from gddcast.cards.model import Card
from gddcast.heat.cutoffs import CUTOFFS, Cutoff
from gddcast.heat.shapes import SHAPES, Shape

# What stands for a date, a mapping, an array, a card, a day shape, a cut-off, and for a value that
# was written before.
_DAY, _PAIRS, _ARRAY, _CARD, _SHAPE, _CUTOFF, _AGAIN = (
    "day",
    "pairs",
    "array",
    "card",
    "g",
    "cut",
    "=",
)
_SHAPES = {each.name: each for each in SHAPES.values()}
_CUTOFFS = {each.name: each for each in CUTOFFS.values()}


@dataclass(frozen=True, slots=True)
class AsJson:
    """How values are written that rest on the same cards.

    Parameters
    ----------
    cards : mapping of str to Card

    Examples
    --------
    >>> from gddcast.weather.series import Place
    >>> plain, place = AsJson({}), Place("Two Ponds", 41.2)
    >>> plain.text((dt.date(2026, 6, 11), 1.5, None))
    '[{"day":"2026-06-11"},1.5,null]'
    >>> plain.value(plain.text((place, place)), Place) == (place, place)
    True
    """

    cards: Mapping[str, Card]
    _parts: dict[str, tuple[Any, ...]] = field(default_factory=dict)

    def text(self, value: Any) -> str:
        """A value as JSON.

        Raises
        ------
        TypeError
            If it holds something that is no frozen value of the garden.
        """
        plain = _Writer(self).plain(value)
        return json.dumps(plain, ensure_ascii=False, separators=(",", ":"))

    def value(self, text: str, kind: type) -> Any:
        """The value that was written; no other kinds are made than ``kind`` can hold.

        Raises
        ------
        ValueError, TypeError, LookupError, Refusal
            If it is no such value.
        """
        return _Reader(self, _kinds(kind)).value(json.loads(text))

    def parts(self, key: str) -> tuple[Any, ...]:
        """A card and every record in it, in the order of its fields."""
        if key not in self._parts:
            self._parts[key] = tuple(_parts(self.cards[key]))
        return self._parts[key]


@dataclass(slots=True)
class _Writer:
    with_cards: AsJson
    places: dict[int, int] = field(default_factory=dict)
    held: list[Any] = field(default_factory=list)  # an address is nobody else's while it is held

    def plain(self, value: Any) -> Any:
        """What JSON has words for."""
        if isinstance(value, Enum):
            return {type(value).__name__: value.name}
        if value is None or isinstance(value, bool | str):
            return value
        if isinstance(value, int | np.integer):
            return int(value)
        if isinstance(value, float | np.floating):
            return float(value)
        if isinstance(value, dt.date):
            return {_DAY: value.isoformat()}
        if isinstance(value, tuple | list):
            return [self.plain(each) for each in value]
        if isinstance(value, Mapping):
            return {_PAIRS: [[self.plain(key), self.plain(each)] for key, each in value.items()]}
        if isinstance(value, np.ndarray):
            bits = base64.b64encode(np.ascontiguousarray(value).tobytes()).decode("ascii")
            return {_ARRAY: [value.dtype.str, list(value.shape), bits]}
        return self._record(value)

    def _record(self, value: Any) -> Any:
        if id(value) in self.places:
            return {_AGAIN: self.places[id(value)]}
        if isinstance(value, Card):
            if self.with_cards.cards.get(value.key) is not value:
                raise TypeError(f"{value.key} is another card of that name")
            for part in self.with_cards.parts(value.key):
                self._hold(part)
            return {_CARD: value.key}
        if isinstance(value, Shape):
            return {_SHAPE: value.name}
        if isinstance(value, Cutoff):
            return {_CUTOFF: value.name}
        if not is_dataclass(value):
            raise TypeError(f"{type(value).__name__} is no frozen value")
        written = {type(value).__name__: [self.plain(getattr(value, each.name))
                                          for each in fields(value)]}  # fmt: skip
        self._hold(value)
        return written

    def _hold(self, value: Any) -> None:
        self.places[id(value)] = len(self.held)
        self.held.append(value)


@dataclass(slots=True)
class _Reader:
    with_cards: AsJson
    kinds: Mapping[str, Any]
    held: list[Any] = field(default_factory=list)

    def value(self, plain: Any) -> Any:
        """The value of something JSON had words for."""
        if isinstance(plain, list):
            return tuple(map(self.value, plain))
        if not isinstance(plain, dict):
            return plain
        ((kind, said),) = plain.items()
        match kind:
            case "day":
                return dt.date.fromisoformat(said)
            case "pairs":
                return {self.value(key): self.value(each) for key, each in said}
            case "array":
                dtype, shape, bits = said
                return np.frombuffer(base64.b64decode(bits), np.dtype(dtype)).reshape(shape)
            case "card":
                parts = self.with_cards.parts(said)
                self.held += parts
                return parts[0]
            case "g":
                return _SHAPES[said]
            case "cut":
                return _CUTOFFS[said]
            case "=":
                return self.held[said]
        made = self.kinds[kind]
        if issubclass(made, Enum):
            return made[said]
        record = made(*map(self.value, said))
        self.held.append(record)
        return record


def _parts(card: Card) -> Iterator[Any]:
    def within(value: Any) -> Iterator[Any]:
        if isinstance(value, Mapping):
            value = tuple(value.values())
        if isinstance(value, tuple):
            for each in value:
                yield from within(each)
        elif is_dataclass(value):
            yield value
            for each in fields(value):
                yield from within(getattr(value, each.name))

    return within(card)


@cache
def _kinds(root: type) -> Mapping[str, Any]:
    """Every kind of record and of choice that a kind of record can hold, by name."""
    found: dict[str, Any] = {}

    def note(hint: Any) -> None:
        for each in get_args(hint):
            note(each)
        if not isinstance(hint, type) or isinstance(hint, types.GenericAlias):
            return
        if hint.__name__ in found or hint in (Shape, Cutoff, Card):
            return
        if issubclass(hint, Enum):
            found[hint.__name__] = hint
        elif is_dataclass(hint):
            found[hint.__name__] = hint
            for each in get_type_hints(hint).values():
                note(each)

    note(root)
    return found
