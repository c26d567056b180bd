"""What is wrong with a card file, said so that a gardener can mend it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from gddcast.errors import Refusal
from gddcast.readers.toml_lines import Path
from gddcast.words import listed


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to mend in a card file.

    Parameters
    ----------
    path : tuple
        Where it stands in the document: keys, and positions in lists from zero.
    found, expected, cure : str
        Three parts, as in a refusal.
    file : str
        File it stands in.
    line : int
        Line in that file, from 1.
    place : str
        ``path`` in words.
    """

    path: Path
    found: str
    expected: str
    cure: str
    file: str = ""
    line: int = 0
    place: str = ""

    def __str__(self) -> str:
        where = f"line {self.line}" + (f", {self.place}" if self.place else "")
        return (
            f"{where}\n      found {self.found}\n      expected {self.expected}\n      {self.cure}"
        )


class CardRefusal(Refusal):
    """Card files cannot be used; ``faults`` lists everything that is wrong with them at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        files = list(dict.fromkeys(fault.file for fault in faults))
        count = f"{len(faults)} fault" + ("s" if len(faults) > 1 else "")
        listing = []
        for file in files:
            if len(files) > 1:
                listing.append(f"{file}:")
            listing += [str(fault) for fault in faults if fault.file == file]
        one = len(files) == 1
        super().__init__(
            files[0] if one else f"{len(files)} card files",
            f"it has {count}" if one else f"they have {count}",
            "\n  ".join(listing),
            "Mend " + ("it" if len(faults) == 1 else "them") + ", then check again.",
            slug="card-faults",
        )
        self.faults = tuple(faults)


def place_in_words(path: Path, document: object) -> str:
    """Name a place in a card as a person would: the event by its key, list items from one.

    Examples
    --------
    >>> place_in_words(("event", 0, "number", 1, "lower"), {"event": [{"key": "eggs"}]})
    'event "eggs", number 2, lower'
    """
    words: list[str] = []
    here = document
    for step in path:
        try:
            here = here[step]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            here = None
        if isinstance(step, str):
            words.append(step)
        elif words:
            key = here.get("key") if isinstance(here, dict) else None
            words[-1] += f' "{key}"' if isinstance(key, str) else f" {step + 1}"
    return ", ".join(words)


def near(word: str, known: Sequence[str]) -> str | None:
    """The known word most like this one, where one is like it at all."""
    found = get_close_matches(word, known, n=1, cutoff=0.6)
    return found[0] if found else None


def one_of(words: Sequence[str]) -> str:
    """Words to choose from.

    Examples
    --------
    >>> one_of(["F", "C"])
    '"F" or "C"'
    """
    return listed([f'"{word}"' for word in words], "or")
