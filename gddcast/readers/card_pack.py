"""The packaged cards once read, kept beside their files so that a command need not read them again.

A card is taken from the pack only while the text of its file is the one it was made from; a file
that was changed, or is not in the pack, is read and checked as ever. One line a card: the file,
the SHA-256 of its text, the card as JSON.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from gddcast.cards.model import (
    ActionFigure,
    Card,
    Cue,
    DayLength,
    Days,
    Emergence,
    Event,
    Look,
    LookAlike,
    Number,
    Source,
    Start,
)

#: Name of the pack in the folder of data.
PACK = "cards.packed"
_NONE_ABOVE = "none"  # an upper threshold its source rules out: infinity is no JSON


class Pack:
    """The packed cards of a folder of data; empty where it has no pack."""

    def __init__(self, folder: Path) -> None:
        try:
            lines = (folder / PACK).read_text(encoding="utf-8").splitlines()
        except OSError:
            lines = []
        rows = (line.split("\t", 2) for line in lines)
        self._lines = {row[0]: (row[1], row[2]) for row in rows if len(row) == 3}

    def card(self, group: str, key: str, text: str) -> Card | None:
        """The card of a file with this text, if it was packed from the very same text."""
        made_from, card = self._lines.get(_name(group, key), ("", ""))
        return unpacked(json.loads(card)) if made_from == _fingerprint(text) else None


def pack_text(cards: Iterable[tuple[Card, str]]) -> str:
    """The pack of cards with the texts they were read from."""
    rows = (
        (_name(card.group, card.key), _fingerprint(text),
         json.dumps(packed(card), ensure_ascii=False, separators=(",", ":"), allow_nan=False))
        for card, text in cards
    )  # fmt: skip
    return "".join("\t".join(row) + "\n" for row in rows)


def packed(card: Card) -> dict[str, Any]:
    """A card as plain data; what is empty is left out."""
    plain: dict[str, Any] = _without_empty(asdict(card))
    return plain


def unpacked(plain: dict[str, Any]) -> Card:
    """The card that plain data came from."""
    fields = dict(plain)
    fields["look"] = Look(**plain.get("look", {}))
    fields["events"] = tuple(_event(each) for each in plain.get("events", ()))
    fields["sources"] = {
        key: Source(**_filled(each, "key", "author", "year", "title", "publication"))
        for key, each in plain.get("sources", {}).items()
    }
    for name, kind in (("look_alikes", LookAlike), ("actions", ActionFigure), ("cues", Cue)):
        fields[name] = tuple(kind(**each) for each in plain.get(name, ()))
    fields["day_length"] = tuple(_day_length(each) for each in plain.get("day_length", ()))
    for name in ("also", "hosts", "cautions", "notes"):
        fields[name] = tuple(plain.get(name, ()))
    return Card(**fields)


def _event(plain: dict[str, Any]) -> Event:
    fields = dict(plain)
    fields["numbers"] = tuple(_number(each) for each in plain.get("numbers", ()))
    fields["days"] = tuple(_days(each) for each in plain.get("days", ()))
    fields["look"] = Look(**plain.get("look", {}))
    if "lasts" in plain:
        fields["lasts"] = _days(plain["lasts"])
    return Event(**fields)


def _number(plain: dict[str, Any]) -> Number:
    fields = _filled(plain, "lower", "upper", "cutoff", "shape", "starts_from", "goal", fill=None)
    if fields["upper"] == _NONE_ABOVE:
        fields["upper"] = math.inf
    if fields["starts_from"] is not None:
        fields["starts_from"] = _start(fields["starts_from"])
    if fields["goal"] is not None:
        fields["goal"] = tuple(fields["goal"])
    if "emergence" in plain:
        spread = plain["emergence"]
        pairs = tuple((name, value) for name, value in spread["parameters"])
        fields["emergence"] = Emergence(**{**spread, "parameters": pairs})
    return Number(**fields)


def _days(plain: dict[str, Any]) -> Days:
    fields = {**plain, "days": tuple(plain["days"])}
    return Days(**{**fields, "starts_from": _start(plain["starts_from"])})


def _start(plain: dict[str, Any]) -> Start:
    date = plain.get("date")
    return Start(**{**plain, "date": None if date is None else (date[0], date[1])})


def _day_length(plain: dict[str, Any]) -> DayLength:
    fields = {**plain, "hours": tuple(plain["hours"]), "events": tuple(plain.get("events", ()))}
    return DayLength(**fields)


def _filled(plain: dict[str, Any], *names: str, fill: Any = "") -> dict[str, Any]:
    """The data with what was empty in these fields put back."""
    return {**dict.fromkeys(names, fill), **plain}


def _without_empty(value: Any) -> Any:
    if isinstance(value, dict):
        return {
            key: _without_empty(each)
            for key, each in value.items()
            if each is not None and each not in ((), {}, "")
        }
    if isinstance(value, tuple | list):
        return [_without_empty(each) for each in value]
    return _NONE_ABOVE if value == math.inf else value


def _name(group: str, key: str) -> str:
    return f"{group}s/{key}"


def _fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
