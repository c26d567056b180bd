"""Taps kept out of reach: each placed once, whoever sends it how often; doubts wait for a yes."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from tests.web.conftest import token_of

LOOK = {"organism": "squash-bug", "where": "row 2", "seen": "2026-06-10", "at": "x"}
EARLY = {"organism": "squash-vine-borer", "event": "moths", "seen": "2026-05-25", "sure": "sure"}


def test_a_tap_is_placed_once_though_it_is_sent_by_two_pages(
    browser: TestClient, book: PageBook
) -> None:
    before = len(book.journal().sightings)
    data = {**LOOK, "id": "a", "token": token_of(browser)}
    with ThreadPoolExecutor(4) as pages:
        answers = list(pages.map(lambda _: browser.post("/tap", data=data).json(), range(4)))
    assert len(book.journal().sightings) == before + 1
    assert all(each == answers[0] for each in answers)
    assert "Logged: a clean look" in answers[0]["html"]


def test_what_is_on_record_was_placed_before(browser: TestClient, book: PageBook) -> None:
    """After a restart nobody remembers the names of taps; days, beds and jobs are still there."""
    token = token_of(browser)
    job = {"job": "side-dressed", "what": "summer-squash 2026-1", "done": "2026-06-10"}
    find = {"organism": "squash-bug", "event": "eggs", "seen": "2026-06-09", "sure": "sure"}
    for number, said in enumerate((LOOK, job, find)):
        first = browser.post("/tap", data={**said, "id": f"{number}", "token": token}).json()
        assert "Logged:" in first["html"], first
        entries = len(book.lately(1_000))
        again = browser.post("/tap", data={**said, "id": f"{number}b", "token": token}).json()
        assert "On record already." in again["html"]
        assert len(book.lately(1_000)) == entries


def test_what_may_be_a_slip_is_answered_and_placed_once_it_is_so(
    browser: TestClient, book: PageBook
) -> None:
    before, token = book.journal(), token_of(browser)
    answer = browser.post("/tap", data={**EARLY, "id": "a", "token": token}).json()
    assert "before the fastest past year" in answer["why"]
    assert answer["may_be"] is True
    odd = browser.post("/tap", data={**EARLY, "event": "wings", "id": "b", "token": token}).json()
    assert "it names no stage of its card" in odd["why"]
    assert odd["may_be"] is False
    assert book.journal() == before
    sure = {**EARLY, "certain": "yes", "id": "c", "token": token}
    assert "Logged:" in browser.post("/tap", data=sure).json()["html"]
    assert browser.post("/tap", data={**LOOK, "token": token}).status_code == 422
