"""A bar on the terminal while something takes its seconds; nothing anywhere else."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

from gddcast.cli.screen import takes_codes


def can_draw() -> bool:
    """Whether stderr takes the escape codes that a bar is drawn with."""
    return takes_codes(sys.stderr)


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
