"""A season book to play with, and a browser's side of its page without a browser."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gddcast.cli.demo_book import DEMO_TODAY, make_demo_book
from gddcast.cli.page_book import PageBook
from gddcast.web.app import page_app
from gddcast.web.keys import Keys
from gddcast.web.serving import names_of

PORT = 8460
HOME = f"http://127.0.0.1:{PORT}"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's book, to be copied."""
    return make_demo_book(tmp_path_factory.mktemp("demo") / "patch").folder


@pytest.fixture
def book(tmp_path: Path, demo: Path) -> PageBook:
    """A copy of it, on the demo's day."""
    return PageBook(Path(shutil.copytree(demo, tmp_path / "patch")), DEMO_TODAY, is_invented=True)


@pytest.fixture
def keys() -> Keys:
    return Keys()


@pytest.fixture
def stranger(book: PageBook, keys: Keys, tmp_path: Path) -> Iterator[TestClient]:
    """A browser that nobody let in."""
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    app = page_app(book, keys, names_of(PORT), PORT, scratch)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        yield client


@pytest.fixture
def browser(stranger: TestClient, keys: Keys) -> TestClient:
    """One that the start key let in, and that says where its forms come from."""
    assert stranger.get(f"/start?key={keys.start}").status_code == 303
    stranger.headers["origin"] = HOME
    return stranger


def token_of(client: TestClient) -> str:
    """What the forms of a page carry."""
    found = re.search(r'name="token" value="([0-9a-f]+)"', client.get("/").text)
    assert found is not None
    return found[1]


def words_of(html: str) -> str:
    """What a page says, without its markup."""
    main = html[html.index("<main>") :]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())
