"""A file whose facts are known, and what a reading of it is worth."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

#: A cell that is no number, no day, no word of ours.
NONSENSE = ("abc", "2O.5", "--5", "#REF!", "1e999", "nan", "inf", "~", "12:30", "0x14", "1_0",
            "\u0663\u0662", "9" * 400, "=1+1", "<b>", "20.1.3", "\u202e12", "−")  # fmt: skip

#: Words that a screen, a spreadsheet or a page might obey, and words that are merely odd.
HOSTILE = ("\x1b[2Jgone", "\x1b]8;;x\x07y", "\u202eexe.txt", "\u2066isolated", "=HYPERLINK(\"x\")",
           "@SUM(1)", "+1+1", "-2", "'tis", "''", "<script>x</script>", "&lt;", 'a "word"',
           "{{ x }}", "%s {0}", "x" * 5000, "\u200bnothing", "e\u0301")  # fmt: skip


@dataclass
class KnownFile:
    """Bytes, and what is true of them.

    Parameters
    ----------
    kind : str
        Reader it is for.
    name : str
        Of the file.
    raw : bytes
    facts : Counter
        Everything the file says, as the reader's answer says it.
    read : callable
        Takes a path; its answer as facts, or a refusal.
    must : str
        "read" where refusing would be an escape, "refuse" where reading would be a guess,
        "damage" where nobody can know what the bytes say: an answer or a refusal.
    changes : list of str
        What befell it.
    """

    kind: str
    name: str
    raw: bytes
    facts: Counter[tuple[Hashable, ...]]
    read: Callable[[Path], Iterable[tuple[Hashable, ...]]]
    must: str = ""
    changes: list[str] = field(default_factory=list)


def fault_of(known: KnownFile, read: Iterable[tuple[Hashable, ...]]) -> str:
    """Why a reading is wrong; empty where it says what the file says, or nobody can know."""
    got = Counter(read)
    if known.must == "damage":
        return ""
    if known.must == "refuse":
        return "read, though it cannot be known what it says"
    more, less = got - known.facts, known.facts - got
    made_up, lost = list(more), list(less)
    if made_up:
        return f"{len(made_up)} facts made up: {made_up[0]}; the file says {lost[:1]}"
    return f"{len(lost)} facts lost without a word: {lost[0]}" if lost else ""


def same_meaning(raw: bytes, chance: random.Random) -> tuple[bytes, str]:
    """Line ends, a byte-order mark, blank lines at the end: they change nothing."""
    way = chance.choice(("crlf", "mark", "blank end", "no end", ""))
    if way == "crlf":
        return raw.replace(b"\n", b"\r\n"), way
    if way == "mark":
        return b"\xef\xbb\xbf" + raw, way
    if way == "blank end":
        return raw + b"\n\n", way
    return (raw.rstrip(b"\n"), way) if way else (raw, "")


def damaged(raw: bytes, chance: random.Random) -> bytes:
    """Bytes flipped, cut out, doubled or put in, without regard to meaning."""
    way, at = chance.randrange(5), chance.randrange(len(raw) + 1)
    end = min(len(raw), at + chance.choice((1, 5, 60, 2000)))
    if way == 0:
        return raw[:at]
    if way == 1:
        return raw[:at] + raw[end:]
    if way == 2:
        return raw[:end] + raw[at:end] + raw[end:]
    if way == 3:
        return raw[:at] + chance.randbytes(end - at) + raw[end:]
    flipped = bytearray(raw)
    for _ in range(chance.choice((1, 3, 20))):
        flipped[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
    return bytes(flipped)
