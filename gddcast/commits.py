"""What a command has put on the disk so far, so that no error says otherwise.

Whoever writes says `commit` once it stands; whoever explains a failure asks `commits`. Outside
`counted` nothing is kept: a library has no command that ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_COMMITS: ContextVar[list[str] | None] = ContextVar("commits", default=None)


@contextmanager
def counted() -> Iterator[None]:
    """Keep what is written from here on, for one command."""
    token = _COMMITS.set([])
    try:
        yield
    finally:
        _COMMITS.reset(token)


def commit(what: object) -> None:
    """Say that something stands on the disk, whole: a file, a book, a folder."""
    kept = _COMMITS.get()
    if kept is not None and str(what) not in kept:
        kept.append(str(what))


def commits() -> tuple[str, ...]:
    """What this command has written, in order.

    Examples
    --------
    >>> with counted():
    ...     commit("report.html")
    ...     commits()
    ('report.html',)
    >>> commits()
    ()
    """
    return tuple(_COMMITS.get() or ())
