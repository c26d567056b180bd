"""Kill the page while its forms are sent, and a fetch while it fills the cache.

    python -m tests.faults.kill_servers --kills 200 --from 0

What a browser was answered stands in the book, in order and whole. Of a cache no answer is there
by half: the next fetch has every day right, and asks again for what is not there.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

from gddcast.book.opening import open_book
from gddcast.cli.demo_book import DEMO_TODAY, make_demo_book
from gddcast.cli.page_book import PageBook
from gddcast.online.services import Services
from gddcast.online.session import WeatherSession
from gddcast.web.app import page_app
from gddcast.web.keys import Keys
from gddcast.web.serving import names_of
from tests.online.played import NEAR, Played, playing
from tests.online.test_every_source import SOURCES

#: Longest life of a page, whose first form waits for its first dates, and of a fetch. [s]
OF_A_PAGE, OF_A_FETCH = 6.0, 1.5
PORT = 8460


def killed(work: Callable[[Callable[[int], None]], None], patience: float) -> int:
    """Do it in a fork and kill it a while after its first word; the last number it had said."""
    reads, writes = os.pipe()
    child = os.fork()
    if not child:  # pragma: no cover
        with contextlib.suppress(BaseException):
            work(lambda number: void(os.write(writes, b"%d\n" % number)))
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads, "rb") as pipe:
        assert pipe.readline() == b"-1\n", "it did not begin"
        time.sleep(patience)
        os.kill(child, signal.SIGKILL)
        said = [int(line) for line in pipe.read().split(b"\n")[:-1]]
    os.waitpid(child, 0)
    return said[-1] if said else -1


def void(_: object) -> None:
    """Let an answer go."""


def send_forms(folder: Path, say: Callable[[int], None]) -> None:
    """A browser and its page: clean looks with running numbers, each said once it is answered."""
    from starlette.testclient import TestClient

    from tests.web.conftest import HOME, token_of

    keys, scratch = Keys(), folder.parent / "scratch"
    scratch.mkdir(exist_ok=True)
    page = page_app(PageBook(folder, DEMO_TODAY), keys, names_of(PORT), PORT, scratch)
    with TestClient(page, base_url=HOME, follow_redirects=False) as browser:
        browser.get(f"/start?key={keys.start}")
        browser.headers["origin"] = HOME
        token = token_of(browser)
        say(-1)
        for number in range(10_000):
            form = {"token": token, "organism": "squash-bug", "where": f"spot {number}"}
            answer = browser.post("/looked", data=form)
            assert answer.status_code == 303, answer.text
            say(number)


def kill_pages(kills: range, folder: Path) -> Iterator[int]:
    """Kill pages; yields how many forms each had answered."""
    demo = make_demo_book(folder / "demo").folder
    before = len(open_book(demo).entries())
    for number in kills:
        here = Path(shutil.copytree(demo, folder / "patch"))
        patience = random.Random(f"page {number}").uniform(0.0, OF_A_PAGE)
        last = killed(lambda say, here=here: send_forms(here, say), patience)  # type: ignore[misc]
        book = open_book(here)
        places = (
            [each.where for each in book.journal().sightings][-(last + 2) :] if last >= 0 else []
        )
        rows = [each for each in places if each and each.startswith("spot ")]
        assert rows[: last + 1] == [f"spot {n}" for n in range(last + 1)], f"kill {number}: {rows}"
        assert len(book.entries()) - before - (last + 1) in (0, 1), f"kill {number}"
        shutil.rmtree(here)
        shutil.rmtree(folder / "scratch", ignore_errors=True)
        yield last + 1


def kill_fetches(kills: range, folder: Path, town: Played) -> Iterator[int]:
    """Kill fetches of two services into one cache; yields how many answers were kept."""
    services = Services.behind(town.address)
    wanted = [SOURCES[name] for name in ("station", "climate data")]

    def fetch(say: Callable[[int], None], cache: Path) -> None:
        with WeatherSession(cache, services) as session:
            say(-1)
            for number, source in enumerate(wanted):
                source.fetch(session)
                say(number)

    for number in kills:
        cache = folder / "cache"
        cache.mkdir()
        patience = random.Random(f"fetch {number}").uniform(0.0, OF_A_FETCH)
        killed(lambda say, cache=cache: fetch(say, cache), patience)  # type: ignore[misc]
        with WeatherSession(cache, services) as session:
            kept = sum(1 for _ in session._http.cache.filter())
            for source in wanted:
                found = source.fetch(session).series
                truth = town.series[NEAR.id].between(*source.days)
                np.testing.assert_allclose(found.tmax, truth.tmax, rtol=0, atol=0.06)
        shutil.rmtree(cache)
        yield kept


def main() -> int:
    """Kill as often as asked, half of them pages."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--from", type=int, default=0, dest="first")
    asked = parser.parse_args()
    half = range(asked.first, asked.first + asked.kills // 2)
    with tempfile.TemporaryDirectory() as folder, playing() as town:
        forms = []
        for number, answered in zip(half, kill_pages(half, Path(folder)), strict=True):
            forms.append(answered)
            print(f"{number} page: {answered} forms answered", flush=True)
        print(
            f"{len(forms)} pages killed; {sum(forms)} forms answered, all in the book.", flush=True
        )
        kept = list(kill_fetches(half, Path(folder), town))
        print(f"{len(kept)} fetches killed; between {min(kept)} and {max(kept)} answers were kept, "
              "every day right.")  # fmt: skip
    return 0


if __name__ == "__main__":
    sys.exit(main())
