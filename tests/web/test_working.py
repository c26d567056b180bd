"""What takes minutes goes on by itself; a screen says so, and then shows what it came to."""

from __future__ import annotations

from threading import Event

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.errors import Refusal
from gddcast.web import working
from gddcast.web.working import Errands
from tests.web.conftest import token_of, words_of


def test_a_fetch_says_that_it_is_going_on_and_then_what_it_came_to(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No script: the browser is sent on, told to look again, and in the end shown the list."""
    may_end = Event()

    def stations(_: PageBook) -> tuple[()]:
        may_end.wait(20)
        return ()

    monkeypatch.setattr(PageBook, "stations", stations)
    monkeypatch.setattr(working, "SOON", 0.05)
    answer = browser.post("/stations", data={"token": token_of(browser)})
    assert answer.status_code == 303
    waiting = browser.get(answer.headers["location"])
    assert "It is being fetched" in words_of(waiting.text)
    assert waiting.headers["refresh"] == str(working.AGAIN)
    may_end.set()
    for _ in range(200):
        ended = browser.get(answer.headers["location"])
        if "refresh" not in ended.headers:
            break
    assert "Stations near here" in words_of(ended.text)


def test_what_failed_is_told_to_whoever_looks(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stations(_: PageBook) -> tuple[()]:
        raise Refusal("the list", "it could not be reached", "Try later.", "", slug="offline")

    monkeypatch.setattr(PageBook, "stations", stations)
    answer = browser.post("/stations", data={"token": token_of(browser)})
    assert answer.status_code == 422
    assert "it could not be reached" in words_of(answer.text)
    assert "nothing is known of it" in words_of(browser.get("/working?key=guess").text)


def test_few_ends_are_kept() -> None:
    errands = Errands()
    keys = [errands.begin(lambda: pytest.fail("told to whoever looks")) for _ in range(12)]
    with pytest.raises(Refusal, match="nothing is known of it"):
        errands.end_of(keys[0], 5)
    with pytest.raises(pytest.fail.Exception, match="told to whoever looks"):
        errands.end_of(keys[-1], 5)
