"""Ctrl-C for processes that a test starts."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def heard() -> Iterator[None]:
    """Processes started inside hear Ctrl-C.

    A shell's background job ignores it, and so does every process that a test run in one starts.
    """
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
