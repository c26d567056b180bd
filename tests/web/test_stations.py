"""A station asked for in the page, against weather services played on loopback."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from time import sleep

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.web.app import page_app
from gddcast.web.keys import Keys
from gddcast.web.season_book import PlaceSettings
from gddcast.web.serving import names_of
from tests.online.played import NEAR, TODAY, Played, playing
from tests.web.conftest import HOME, PORT, words_of

HERE = PlaceSettings(
    "Larkhollow", (40.41, -101.70), "America/Denver", "F", ("kale",), "open-shade", None
)


@pytest.fixture
def town(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Played]:
    monkeypatch.chdir(tmp_path)
    with playing() as server:
        monkeypatch.setenv("GDDCAST_CACHE", str(tmp_path / "cache"))
        monkeypatch.setenv("GDDCAST_WEATHER_FROM", server.address)
        monkeypatch.setenv("GDDCAST_WAIT", "40")
        yield server


@pytest.fixture
def new(town: Played) -> PageBook:
    """A book without weather."""
    book = PageBook(None, TODAY)
    book.make(HERE)
    return book


@pytest.fixture
def page(new: PageBook, tmp_path: Path) -> Iterator[TestClient]:
    keys = Keys()
    (tmp_path / "scratch").mkdir()
    app = page_app(new, keys, names_of(PORT), PORT, tmp_path / "scratch")
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        client.get(f"/start?key={keys.start}")
        client.headers["origin"] = HOME
        session = keys.session(client.cookies[f"gddcast-{PORT}"])
        assert session is not None
        client.token = keys.token(session)  # type: ignore[attr-defined]
        yield client


def _post(page: TestClient, path: str, **fields: str) -> str:
    """What a form leads to, in words, and its address behind it."""
    answer = page.post(path, data={"token": page.token, **fields})  # type: ignore[attr-defined]
    while answer.status_code == 303 or "refresh" in answer.headers:
        path = answer.headers.get("location", path)
        sleep(0.2 if path.startswith("/working") else 0)
        answer = page.get(path)
    if path.startswith(("/file", "/record")):
        return words_of(answer.text) + path
    return words_of(answer.text)


def test_nothing_is_asked_before_a_tap_and_nothing_is_kept_before_a_yes(
    page: TestClient, new: PageBook, town: Played
) -> None:
    for path in ("/record", "/settings"):
        page.get(path)
    assert town.seen == []
    assert f"{NEAR.name} 2 km off · 32 years, 99% of days" in _post(page, "/stations")
    looked_at = _post(page, "/fetch", station=NEAR.id, forecast="yes")
    assert "Nothing of it is kept yet." in looked_at
    assert "Weather record: SOUND." in looked_at
    assert new._book().book.weather() is None
    key = looked_at.partition("/file?key=")[2]
    assert "Brought 7,456 new days." in _post(page, "/keep", key=key)
    assert new.fetched_from() == NEAR.name
    assert (new.folder / f"station-{NEAR.id}.csv").exists()
    later = TODAY + dt.timedelta(days=3)
    new.on = town.today = later
    assert "Brought 3 new days." in _post(page, "/fetch-again")
    assert f"The weather is of {NEAR.name}." in words_of(page.get("/record").text)


def test_without_a_network_it_says_so_and_nothing_is_written(
    page: TestClient, new: PageBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GDDCAST_WEATHER_FROM", "http://127.0.0.1:9")
    assert "could not be reached" in _post(page, "/stations")
    assert "could not be reached" in _post(page, "/fetch", station=NEAR.id)
    assert "it names no station" in _post(page, "/fetch", station="../../etc")
    assert "no station’s file" in _post(page, "/fetch-again").replace("'", "’")
    new.change(PlaceSettings("Larkhollow", None, "America/Denver", "F", (), "unknown", None))
    assert "nobody said where it lies" in _post(page, "/stations")
    assert new._book().book.weather() is None
