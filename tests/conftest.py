"""Where tests run in several processes, ratios of times are measured while all others wait."""

from __future__ import annotations

import os
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import settings

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

# Processes that run tests are given a width; what commands print is as wide as down any pipe.
os.environ.pop("COLUMNS", None)

# No test is timed: a busy machine is no fault of an example.
settings.register_profile("untimed", settings(), deadline=None)
settings.load_profile("untimed")


@pytest.fixture(scope="session", autouse=True)
def _cache_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads or writes what this machine's user keeps."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GDDCAST_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield


_DOOR, _ROOM = Path(__file__).with_name("__init__.py"), Path(__file__)


@contextmanager
def _turn(alone: bool) -> Iterator[None]:
    """Share the room, or have it alone: whoever wants it alone keeps the door shut meanwhile."""
    with _DOOR.open() as door, _ROOM.open() as room:
        fcntl.flock(door, fcntl.LOCK_EX)
        fcntl.flock(room, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        if not alone:
            fcntl.flock(door, fcntl.LOCK_UN)
        yield


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Take turns, fixtures and all."""
    if fcntl is None or not hasattr(item.config, "workerinput"):
        return (yield)
    with _turn(alone="benchmarks" in item.path.parts):
        return (yield)
