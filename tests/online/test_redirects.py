"""A service sends on to its own addresses and to nobody else's; nothing of theirs is kept."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest

from gddcast.online.redirects import sent_on
from gddcast.online.session import WeatherSession
from gddcast.online.trouble import Trouble
from tests.online import played
from tests.online.conftest import HASTY, age
from tests.online.played import Played
from tests.online.test_session import year

Opener = Callable[..., WeatherSession]


@pytest.mark.parametrize(
    "location",
    [
        "http://localhost:{port}/elsewhere",
        "http://example.org/elsewhere",
        "//10.0.0.1/elsewhere",
        "ftp://127.0.0.1/elsewhere",
        "file:///etc/hostname",
        "http://127.0.0.1.example.org/elsewhere",
        "http://[bad/elsewhere",
    ],
)
def test_sent_on_to_somebody_else_nobody_is_asked_and_the_old_days_stand(
    town: Played, open_session: Opener, location: str
) -> None:
    session = open_session()
    good = year(session)
    age(session)
    port = town.server_address[1]
    town.faults["/daily"] = played.status(302, Location=location.format(port=port))
    asked = len(town.seen)
    old = year(open_session())
    assert (old.body, old.stale) == (good.body, "it sends us on to another address")
    assert len(town.seen) == asked + 1
    with pytest.raises(Trouble, match="it sends us on to another address"):
        year(open_session(), 2016)


def test_sent_on_to_its_own_address_it_is_followed(town: Played, session: WeatherSession) -> None:
    moved = played.status(301, Location="/daily/2016/72911.csv.gz")
    town.faults["/daily/2017"] = moved
    assert year(session).value == 366


def test_round_and_round_ends_in_time(town: Played, open_session: Opener) -> None:
    """Each turn is quicker than we are patient; all of them together are not."""

    def slowly_on(handler: played.Handler, _: bytes) -> bool:
        time.sleep(HASTY.whole * 0.4)
        handler.send(302, b"", Location=handler.path + "0")
        return True

    town.faults["/daily"] = slowly_on
    with pytest.raises(Trouble, match="did not answer in time"):
        year(open_session(HASTY))
    assert len(town.seen) <= 3


@pytest.mark.parametrize(
    ("asked", "location", "follows"),
    [
        ("https://data.example.org/a", "https://bulk.example.org/a", True),
        ("https://data.example.org/a", "https://example.org/a", True),
        ("https://data.example.org/a", "/b", True),
        ("http://data.example.org/a", "https://data.example.org/a", True),
        ("https://data.example.org/a", "http://data.example.org/a", False),
        ("https://data.example.org/a", "https://data.example.org.evil.net/a", False),
        ("https://data.example.org/a", "https://notexample.org/a", False),
        ("https://data.example.org/a", "https://data.example.org@evil.net/a", False),
        ("http://10.0.0.1/a", "http://10.0.0.2/a", False),
        ("http://mirror/a", "http://other/a", False),
    ],
)
def test_whose_address_it_is(asked: str, location: str, follows: bool) -> None:
    if follows:
        assert sent_on(asked, location).startswith("http")
        return
    with pytest.raises(Trouble, match="another address"):
        sent_on(asked, location)
