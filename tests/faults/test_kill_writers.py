"""A short run of the killer; the whole one is ``python tests/faults/kill_writers.py``."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from gddcast.book.founding import create_book
from gddcast.book.settings import Settings
from tests.faults import kill_writers as killer

posix = pytest.mark.skipif(os.name != "posix", reason="SIGKILL is a signal of POSIX")


@posix
def test_killed_writers_lose_nothing_they_had_said(tmp_path: Path) -> None:
    """At least ten; on a busy machine as many as it takes to have heard of every kind of entry."""
    kinds: set[str] = set()
    for kill, said in enumerate(killer.kill_writers(200, tmp_path / "garden", random.Random(7))):
        kinds = {line.split()[0] for line in said}
        if kill >= 9 and kinds == {"saw", "weather", "undo"}:
            return
    raise AssertionError(f"after 200 kills only {kinds} had been written")


@posix
def test_killed_migrations_leave_an_old_book_or_a_new_one(tmp_path: Path) -> None:
    assert len(list(killer.kill_migrations(5, tmp_path, random.Random(7)))) == 5


def test_the_killer_sees_a_loss(tmp_path: Path) -> None:
    """What was said and is not there, or is there otherwise, is noticed."""
    book = create_book(tmp_path / "garden", Settings(killer.PLACE))
    now = killer.dt.datetime(2026, 6, 25, 8, tzinfo=killer.dt.UTC)
    with book.writing(now, killer.TODAY) as pen:
        pen.add(killer.Sighting("squash-bug", "eggs", killer.TODAY, note="find 3"))
    killer.check(book, ["saw 2026-001 3"])
    with pytest.raises(KeyError, match="2026-002"):
        killer.check(book, ["saw 2026-001 3", "saw 2026-002 6"])
    with pytest.raises(AssertionError, match="find"):
        killer.check(book, ["saw 2026-001 6"])
    with pytest.raises(AssertionError, match="undo"):
        killer.check(book, ["undo 2026-001 5"])
