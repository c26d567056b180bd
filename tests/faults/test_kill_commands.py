"""A short run of the killers of commands, pages and fetches; the whole ones stand at their tops."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.faults import kill_commands, kill_servers
from tests.faults.kill_commands import COMMANDS, Course, Killer, fault
from tests.online.played import playing

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="a fork is of POSIX")


@pytest.mark.slow
def test_killed_commands_leave_nothing_by_half(tmp_path: Path) -> None:
    kinds = list(COMMANDS)
    killer = Killer(tmp_path)
    for kind in ("saw", "import", "export", "farms patch", "book restore"):
        first = kinds.index(kind)
        for number in range(first, first + 3 * len(kinds), len(kinds)):
            assert killer.kill(number)[0] == kind


@pytest.mark.slow
def test_a_killed_page_keeps_what_it_had_answered(tmp_path: Path) -> None:
    assert len(list(kill_servers.kill_pages(range(4), tmp_path))) == 4


@pytest.mark.slow
def test_a_killed_fetch_leaves_no_answer_by_half(tmp_path: Path) -> None:
    with playing() as town:
        assert len(list(kill_servers.kill_fetches(range(4), tmp_path, town))) == 4


WAS = Course({"a": b"1", "patch/book.toml": b"t", "patch/book.sqlite": 1}, {"a": b"2"}, 1.0)


@pytest.mark.parametrize(
    ("now", "answered", "said"),
    [
        (WAS.before, False, ""),
        ({"a": b"2"}, True, ""),
        ({**WAS.before, "a": b"12"}, False, "by half"),
        ({**WAS.before, "b": b""}, False, "by half"),
        (WAS.before, True, "not as the command had said"),
        ({"a": b"2", "patch/book.toml": b"t"}, False, "has no record"),
    ],
)
def test_the_killer_sees_what_is_wrong(now: kill_commands.State, answered: bool, said: str) -> None:
    found = fault(WAS, now, answered=answered)
    assert said in found
    assert bool(said) == bool(found)
