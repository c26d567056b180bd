"""On which line of a TOML text a key stands, so that a fault can be mended where it is."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator

#: A place in the parsed document: keys, and positions in lists from zero.
Path = tuple[str | int, ...]

_HEADER = re.compile(r"[ \t]*(\[\[?)([^\]\n]+)\]\]?")
_KEY = re.compile(r"""[ \t]*((?:[\w\-]+|"[^"\n]*"|'[^'\n]*'|[ \t]*\.[ \t]*)+)[ \t]*=""")
_KEY_PART = re.compile(r"""[\w\-]+|"[^"\n]*"|'[^'\n]*'""")
_VALUE_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}\n]|.',
    re.DOTALL,
)


def line_of(text: str, path: Path) -> int:
    r"""The line, from 1, on which ``path`` is written, or on which its nearest table begins.

    Examples
    --------
    >>> line_of('name = "squash bug"\n[[event]]\nkey = "eggs"\n', ("event", 0, "key"))
    3
    >>> line_of('name = "squash bug"\n[[event]]\nkey = "eggs"\n', ("event", 0, "words"))
    2
    """
    lines: dict[Path, int] = {}
    for place, line in _places(text):
        lines.setdefault(place, line)
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)


def what_toml_says(error: ValueError | RecursionError) -> str:
    """Why a text is no TOML, where the reader itself gave up as well."""
    if isinstance(error, RecursionError):
        return "lists or tables stand in one another too deep"
    is_toml = isinstance(error, tomllib.TOMLDecodeError)
    return str(error) if is_toml else "a number of thousands of digits"


def _places(text: str) -> Iterator[tuple[Path, int]]:
    """Every table and key of a TOML text with its line."""
    table: Path = ()
    seen: dict[Path, int] = {}  # array of tables -> how many so far
    position, line = 0, 1
    while position < len(text):
        end = _line_end(text, position)
        if header := _HEADER.match(text, position, end):
            table = _table(header[2], seen, is_array=header[1] == "[[")
            for length in range(1, len(table) + 1):
                yield table[:length], line
        elif key := _KEY.match(text, position, end):
            parts = _parts(key[1])
            for length in range(1, len(parts) + 1):
                yield table + parts[:length], line
            end = _value_end(text, key.end())
        line += text.count("\n", position, end + 1)
        position = end + 1


def _parts(dotted: str) -> Path:
    return tuple(part.strip("\"'") for part in _KEY_PART.findall(dotted))


def _table(dotted: str, counts: dict[Path, int], *, is_array: bool) -> Path:
    """Path of a table header: its parents that are lists get their latest position."""
    path: Path = ()
    parts = _parts(dotted)
    for part in parts[:-1]:
        path += (part,)
        if path in counts:
            path += (counts[path] - 1,)
    path += parts[-1:]
    if is_array:
        counts[path] = counts.get(path, 0) + 1
        path += (counts[path] - 1,)
    return path


def _line_end(text: str, position: int) -> int:
    end = text.find("\n", position)
    return len(text) if end < 0 else end


def _value_end(text: str, position: int) -> int:
    """Where a value ends: at the first line end outside brackets and quoted text."""
    depth = 0
    for token in _VALUE_TOKEN.finditer(text, position):
        mark = token[0]
        if mark in "[{":
            depth += 1
        elif mark in "]}":
            depth -= 1
        elif mark == "\n" and depth <= 0:
            return token.start()
    return len(text)
