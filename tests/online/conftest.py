from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from gddcast.online.services import Patience, Services
from gddcast.online.session import WeatherSession
from tests.online.played import Fault, Played, playing, slow_drip, stalled

#: Of whom a service keeps waiting: it ends soon, however busy this machine is. Whoever is answered
#: has all the patience of a run of the program.
HASTY = Patience(silence=0.3, whole=0.5, retry=0.2)


def patience_with(fault: Fault) -> Patience:
    """How long to wait for a service with such a fault."""
    return HASTY if fault in (stalled, slow_drip) else Patience()


def age(session: WeatherSession) -> None:
    """Everything in the cache becomes older than it may be."""
    cache = session._http.cache
    for response in list(cache.filter()):
        past = dt.datetime.now(dt.UTC) - dt.timedelta(hours=1)
        cache.save_response(response, response.cache_key, past)


@pytest.fixture
def town() -> Iterator[Played]:
    """Every weather service, on loopback."""
    with playing() as server:
        yield server


@pytest.fixture
def open_session(town: Played, tmp_path: Path) -> Iterator[Callable[..., WeatherSession]]:
    """A way to a session: each call is a new run of the program on the same cache."""
    opened: list[WeatherSession] = []

    def run(patience: Patience | None = None) -> WeatherSession:
        while opened:
            opened.pop().close()
        opened.append(WeatherSession(tmp_path / "cache", Services.behind(town.address), patience))
        return opened[-1]

    yield run
    while opened:
        opened.pop().close()


@pytest.fixture
def session(open_session: Callable[..., WeatherSession]) -> WeatherSession:
    return open_session()
