r"""The gate that every printed character passes, on a terminal and down a pipe.

A file's column, a cell, a bed's name may hold anything: letters that move the cursor, write the
clipboard, turn text round or cannot be seen. Such a character is printed as its escape
(``\u001b``), the form that JSON has too: an answer for programs stays valid and loses nothing.
What the terminal's encoding lacks gets a mark that it has. Bold and dim pass by a door of their
own, `show`, for what a room has laid out: its words were made visible before.
"""

from __future__ import annotations

import codecs
import os
import shutil
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

import click

from gddcast.text.hidden_characters import escaped, visible, visible_but_emphasis

if TYPE_CHECKING:
    from gddcast.text.terminal import Terminal

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
        self._write(visible(text))
        return len(text)

    def write_laid_out(self, text: str) -> None:
        """Write what a `Terminal` laid out: its bold and dim stay."""
        self._write(visible_but_emphasis(text))

    def _write(self, shown: str) -> None:
        codec = _codec(self.stream)
        if not codec.startswith("utf"):
            shown = shown.encode(codec, self._lacking).decode(codec)
        try:
            self.stream.write(shown)
        except BrokenPipeError:
            raise
        except OSError as error:
            raise AnswerLost(error) from error

    def flush(self) -> None:
        """Pass on what is held back."""
        try:
            self.stream.flush()
        except BrokenPipeError:
            raise
        except OSError as error:
            raise AnswerLost(error) from error


def terminal() -> Terminal:
    """What the screen takes that this command answers on: its width, emphasis and marks.

    ``--color`` decides before ``NO_COLOR`` (no-color.org), and that before what stdout is.
    """
    from gddcast.text.terminal import WIDEST, Terminal

    screen = sys.stdout.isatty()
    if screen or os.environ.get("COLUMNS", "").isdecimal():
        columns = shutil.get_terminal_size((WIDEST, 24)).columns
    else:
        columns = WIDEST
    context = click.get_current_context(silent=True)
    asked = context.color if context else None
    styled = takes_codes(sys.stdout) if asked is None else asked
    return Terminal.of(columns, styled=styled, shapes=_holds_shapes())


def takes_codes(stream: TextIO) -> bool:
    """Whether a stream is a terminal whose person wants escape codes on it.

    A dumb terminal prints them as letters; ``NO_COLOR``, set and not empty, asks for none.
    """
    wanted = os.environ.get("TERM") != "dumb" and not os.environ.get("NO_COLOR")
    return wanted and stream.isatty()


def _holds_shapes() -> bool:
    """Whether the encoding holds the marks of statuses."""
    try:
        "●◑◔○▲✓∅—".encode(sys.stdout.encoding or "ascii")
    except (LookupError, UnicodeEncodeError):
        return False
    return True


def show(text: str) -> None:
    """Print what a room laid out for `terminal`."""
    if isinstance(sys.stdout, Gate):
        sys.stdout.write_laid_out(f"{text}\n")
    else:  # a command called without its gate: nothing of ours is emphasised
        click.echo(text)


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


def _mark(character: str) -> str:
    plain = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    return _MARKS.get(character) or plain or "?"


def _marks(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return "".join(map(_mark, error.object[error.start : error.end])), error.end


def _escapes(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return escaped(error.object[error.start : error.end]), error.end


codecs.register_error("gddcast-marks", _marks)
codecs.register_error("gddcast-escapes", _escapes)
