"""What cards and quizzes say has the apostrophes of print."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from gddcast.readers.opening import data_folder
from gddcast.scouting.day_length import DEFINITIONS
from tests.apostrophes import straight

FILES = sorted(
    file for part in ("pests", "crops", "lessons") for file in (data_folder() / part).glob("*.toml")
)


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list | dict):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _texts(each)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_text_has_a_straight_one(file: Path) -> None:
    """Words that a card chooses from a list are keys, and stay as the list has them."""
    card = tomllib.loads(file.read_text(encoding="utf-8"))
    assert [text for text in _texts(card) if straight(text) and text not in DEFINITIONS] == []


def test_it_would_see_one() -> None:
    assert straight("look at the plants' crowns, the borer's frass") == [
        "plants' crowns",
        "borer's",
    ]
    assert straight("‘Atlantic’, the borer’s frass; 44° 44′ N; --where 'row 2'") == []
