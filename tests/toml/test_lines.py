"""The line of a key in TOML text, against what tomllib makes of the same text."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from gddcast.readers.opening import data_folder
from gddcast.toml.lines import line_of

AWKWARD = '''\
# a comment with = and [brackets]
name = "a # that is no comment, and a \\" quote"
"quoted key" = 1
list = [
  "one",  # with ] in a comment
  "two = [three",
]
nested = [
  [1, 2],
]
text = """
[not.a.table]
key = "not a key"
"""
literal = \'\'\'
[[nor.this]]
\'\'\'
inline = { at = 31, unit = "F" }
dotted.key = 2

[[event]]
key = "eggs"
  [[event.number]]
  goal = [245, 300]
  [[event.number]]
  goal = 12
  [event.number.emergence]
  family = "erlang"

[[event]]
key = "moths"
[[event.number]]
goal = 7

[sources."a b"]
year = "1999"'''


def paths_in(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every path to a key of a parsed document."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield (*path, key)
            yield from paths_in(inner, (*path, key))
    elif isinstance(value, list):
        for position, inner in enumerate(value):
            yield from paths_in(inner, (*path, position))


@pytest.mark.parametrize(
    ("path", "written"),
    [
        (("name",), "name ="),
        (("quoted key",), '"quoted key"'),
        (("text",), "text ="),
        (("list", 1), "list = ["),
        (("literal",), "literal"),
        (("inline", "at"), "inline"),
        (("dotted", "key"), "dotted.key"),
        (("event", 0), "[[event]]"),
        (("sources",), '[sources."a b"]'),
        (("event", 0, "number", 1, "goal"), "  goal = 12"),
        (("event", 0, "number", 1, "emergence", "family"), '  family = "erlang"'),
        (("event", 1, "number", 0, "goal"), "goal = 7"),
        (("event", 1, "words"), "[[event]]"),
        (("sources", "a b", "year"), 'year = "1999"'),
        (("nowhere",), "# a comment"),
    ],
)
def test_awkward_text(path: tuple[str | int, ...], written: str) -> None:
    """Quotes, comments, long texts, dotted keys and lists of tables hide no line."""
    assert AWKWARD.splitlines()[line_of(AWKWARD, path) - 1].startswith(written)


def test_second_event_is_not_the_first() -> None:
    first, second = (line_of(AWKWARD, ("event", place)) for place in (0, 1))
    assert (first, second) == (21, 30)


@pytest.mark.parametrize(
    "file", sorted(data_folder().glob("*s/*.toml")), ids=lambda file: file.stem
)
def test_every_key_of_every_packaged_card_is_found(file: Path) -> None:
    """The line found for a key names that key, for each of the thousands there are."""
    text = file.read_text("utf-8")
    lines = text.splitlines()
    document = tomllib.loads(text)
    # Reading a text once for every path would take minutes; one in fifty finds what is wrong.
    for path in list(paths_in(document))[::50]:
        line = lines[line_of(text, path) - 1]
        assert str(path[-1]) in line, path
