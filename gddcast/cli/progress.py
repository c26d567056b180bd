"""A bar on the terminal while something takes its seconds; nothing anywhere else."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click


def can_draw() -> bool:
    """Whether stderr is a terminal whose person wants it drawn upon.

    A bar is drawn with escape codes, which a dumb terminal prints as letters; ``NO_COLOR`` set
    and not empty asks for none (no-color.org).
    """
    dumb = os.environ.get("TERM") == "dumb" or bool(os.environ.get("NO_COLOR"))
    return sys.stderr.isatty() and not dumb


@contextmanager
def progress_bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """Yield what is told how much is done, of how much."""
    if not can_draw():
        yield lambda _done, _of: None
        return
    # Its codes are ours: they go past the gate that makes all others visible.
    screen = getattr(sys.stderr, "stream", sys.stderr)
    with click.progressbar(length=1, label=label, file=screen, show_eta=False) as bar:

        def show(done: int, of: int) -> None:
            bar.length = max(of, 1)
            bar.update(done - bar.pos)

        yield show
