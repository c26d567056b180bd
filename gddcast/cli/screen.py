r"""The gate that every printed character passes, on a terminal and down a pipe.

A file's column, a cell, a bed's name may hold anything: letters that move the cursor, write the
clipboard, turn text round or cannot be seen. Such a character is printed as its escape
(``\u001b``), the form that JSON has too: an answer for programs stays valid and loses nothing.
What the terminal's encoding lacks gets a mark that it has.
"""

from __future__ import annotations

import codecs
import os
import re
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TextIO

# Control characters but the tab and the end of a line; what turns, joins or hides letters
# (Unicode's general categories Cc, Cf, Zl, Zp and Cs, where they are in use).
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u115f\u1160\u180e\u200b-\u200f\u2028-\u202e"
    "\u2060-\u206f\u3164\ufeff\uffa0\ufff9-\ufffb\U000e0000-\U000e007f\ud800-\udfff]"
)

#: Marks for signs of ours that an encoding may lack; letters lose their accents.
_MARKS = {
    "°": "deg", "·": ".", "−": "-", "–": "-", "—": "-", "±": "+-", "×": "x", "÷": "/",
    "●": "*", "◑": "%", "◔": "~", "○": "o", "▲": "^", "✓": "v", "∅": "0", "∞": "inf",
    "“": '"', "”": '"', "’": "'", "→": "->", "←": "<-", "≥": ">=", "≤": "<=", "½": "1/2",
    "¼": "1/4", "√": "sqrt ", "Σ": "sum ", "█": "#", "│": "|", "─": "-",
}  # fmt: skip


class AnswerLost(Exception):
    """What the answer is written to takes no more of it."""

    def __init__(self, error: OSError) -> None:
        super().__init__(error.strerror or str(error))
        self.errno = error.errno


class Gate:
    """A stream that lets nothing through which a person would not see."""

    def __init__(self, stream: TextIO, lacking: str) -> None:
        self.stream = stream
        self._lacking = lacking

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)

    @property
    def encoding(self) -> str:
        """The stream's own; click would write UTF-8 past the gate to what says that it is ASCII."""
        return "latin-1" if _codec(self.stream) == "ascii" else self.stream.encoding

    def write(self, text: str) -> int:
        """Write, made visible and fitted to the encoding."""
        shown, codec = visible(text), _codec(self.stream)
        if not codec.startswith("utf"):
            shown = shown.encode(codec, self._lacking).decode(codec)
        try:
            self.stream.write(shown)
        except BrokenPipeError:
            raise
        except OSError as error:
            raise AnswerLost(error) from error
        return len(text)

    def flush(self) -> None:
        """Pass on what is held back."""
        try:
            self.stream.flush()
        except BrokenPipeError:
            raise
        except OSError as error:
            raise AnswerLost(error) from error


def visible(text: str) -> str:
    r"""A text whose hidden characters are printed as their escapes.

    Examples
    --------
    >>> visible("bed \x1b[31m3")
    'bed \\u001b[31m3'
    """
    return _HIDDEN.sub(lambda found: _escape(found[0]), text)


@contextmanager
def gate(*, as_json: bool) -> Iterator[None]:
    """Lead all that is printed through the gate; streams that are closed lead nowhere.

    Parameters
    ----------
    as_json : bool
        Whether the answer is for programs: what an encoding lacks is escaped then, not replaced.
    """
    streams = sys.stdin, sys.stdout, sys.stderr
    nowhere = Path(os.devnull)  # opened in the place of a closed stream, where no book may land
    sys.stdin = sys.stdin or nowhere.open(encoding="utf-8")
    out, err = (each or nowhere.open("w", encoding="utf-8") for each in streams[1:])
    sys.stdout = Gate(out, "gddcast-escapes" if as_json else "gddcast-marks")
    sys.stderr = Gate(err, "gddcast-marks")
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = streams
        for each in streams[1:]:
            _let_go(each)


def _let_go(stream: TextIO | None) -> None:
    """Where a stream takes no more, lead its rest nowhere: Python would complain at its end."""
    try:
        if stream is not None:
            stream.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())  # type: ignore[union-attr]


def _codec(stream: TextIO) -> str:
    return codecs.lookup(stream.encoding or "utf-8").name


def _escape(characters: str) -> str:
    """As JSON has it: one past U+FFFF is two."""
    pairs = characters.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{pairs[at : at + 4]}" for at in range(0, len(pairs), 4))


def _mark(character: str) -> str:
    plain = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    return _MARKS.get(character) or plain or "?"


def _marks(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return "".join(map(_mark, error.object[error.start : error.end])), error.end


def _escapes(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return _escape(error.object[error.start : error.end]), error.end


codecs.register_error("gddcast-marks", _marks)
codecs.register_error("gddcast-escapes", _escapes)
