"""What is wrong with a TOML file: where, found, expected, cure; all of it in one refusal."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gddcast.errors import Refusal
from gddcast.toml.lines import Path, line_of, what_toml_says
from gddcast.words import count


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to mend in a file.

    Parameters
    ----------
    path : tuple
        Where it stands in the document: keys, and positions in lists from zero.
    problem, expected, cure : str
        Three parts, as in a refusal.
    file : str
        File it stands in.
    line : int
        Line in that file, from 1.
    place : str
        ``path`` in words.
    """

    path: Path
    problem: str
    expected: str
    cure: str
    file: str = ""
    line: int = 0
    place: str = ""

    def __str__(self) -> str:
        where = f"line {self.line}" + (f", {self.place}" if self.place else "")
        return (
            f"{where}\n      found {self.problem}\n      expected {self.expected}\n"
            f"      {self.cure}"
        )


class FaultsRefusal(Refusal):
    """Files cannot be used; ``faults`` lists everything that is wrong with them at once."""

    def __init__(self, faults: Sequence[Fault], cure: str, slug: str, many: str = "files") -> None:
        files = list(dict.fromkeys(fault.file for fault in faults))
        one = len(files) == 1
        listing = []
        for file in files:
            listing += [] if one else [f"{file}:"]
            listing += [str(fault) for fault in faults if fault.file == file]
        super().__init__(
            files[0] if one else f"{len(files)} {many}",
            f"{'it has' if one else 'they have'} {count(len(faults), 'fault')}",
            "\n  ".join(listing),
            f"Mend {'it' if len(faults) == 1 else 'them'}{cure}",
            slug=slug,
        )
        self.faults = tuple(faults)


def parsed(text: str, example: str) -> dict[str, Any] | Fault:
    """The document of a text; where it is no TOML, what is wrong with it."""
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        message = what_toml_says(error)
    at = re.search(r" \(at line (\d+), column \d+\)", message)
    lines = text.splitlines() or [""]
    if at:
        line = int(at[1])
    elif "end of document" in message:
        line = text.count("\n") + 1
    else:  # TOML's own reader gave up, and does not say where
        line = 1 + max(range(len(lines)), key=lambda each: len(lines[each]))
    written = lines[min(line, len(lines)) - 1].strip()[:60]
    return Fault(
        (),
        f"{written!r}" if written else "the end of the text",
        f"a line of TOML, such as  {example}  ({re.sub(' .at .*', '', message).lower()})",
        "Text stands in straight double quotes, lists in [ ], each key once in its table.",
        line=line,
    )


def placed(faults: Iterable[Fault], file: str, text: str, document: object) -> list[Fault]:
    """The faults with file, line and place in words, in the order of the lines."""
    return sorted(
        (
            replace(
                fault, file=file, line=fault.line or line_of(text, fault.path),
                place=place_in_words(fault.path, document),
            )
            for fault in faults
        ),
        key=lambda fault: fault.line,
    )  # fmt: skip


def place_in_words(path: Path, document: object) -> str:
    """Name a place in a file as a person would: the event by its key, list items from one.

    Examples
    --------
    >>> place_in_words(("event", 0, "number", 1, "lower"), {"event": [{"key": "eggs"}]})
    'event "eggs", number 2, lower'
    """
    words: list[str] = []
    table = document
    for step in path:
        try:
            table = table[step]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            table = None
        if isinstance(step, str):
            words.append(step)
        elif words:
            key = table.get("key") if isinstance(table, dict) else None
            words[-1] += f' "{key}"' if isinstance(key, str) else f" {step + 1}"
    return ", ".join(words)
