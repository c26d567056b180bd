"""Who may ask: every request of a stranger's page, name or program is refused, and writes nothing.

The rules are those of the WHATWG Fetch standard (Origin of a write), of RFC 6265bis (SameSite) and
of Content Security Policy Level 3; which header refuses what is tried in a browser beside these.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.web import guard
from gddcast.web.keys import Keys
from tests.web.conftest import HOME, PORT, token_of

LOOK = {"organism": "squash-bug", "where": "row 2"}


@pytest.fixture
def entries(book: PageBook) -> int:
    return _entries(book)


def _entries(book: PageBook) -> int:
    from gddcast.book.opening import open_book

    return len(open_book(book.folder).entries())


def test_a_form_of_ours_writes_one_entry(browser: TestClient, book: PageBook, entries: int) -> None:
    answer = browser.post("/looked", data={**LOOK, "token": token_of(browser)})
    assert answer.status_code == 303
    assert _entries(book) == entries + 1


@pytest.mark.parametrize(
    "host",
    ["example.org", f"example.org:{PORT}", "127.0.0.1", f"127.0.0.1:{PORT + 1}", "", "127.1:8460",
     f"127.0.0.1.example.org:{PORT}", f"localhost.:{PORT}", f"[::2]:{PORT}", f"0.0.0.0:{PORT}"],
)  # fmt: skip
def test_a_foreign_name_that_leads_here_is_refused(browser: TestClient, host: str) -> None:
    """A page of a stranger that had its own name resolve to this machine reads nothing."""
    answer = browser.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "Row 2" not in answer.text


@pytest.mark.parametrize("host", [f"localhost:{PORT}", f"[::1]:{PORT}", f"127.0.0.1:{PORT}"])
def test_the_names_of_this_machine_are_its_own(browser: TestClient, host: str) -> None:
    cookie = {"cookie": f"gddcast-{PORT}={browser.cookies[f'gddcast-{PORT}']}"}
    assert browser.get("/", headers={"host": host, **cookie}).status_code == 200


@pytest.mark.parametrize(
    "origin",
    [None, "null", "", "http://example.org", f"https://127.0.0.1:{PORT}", "http://127.0.0.1",
     f"http://127.0.0.1:{PORT + 1}", f"http://localhost:{PORT}", f"{HOME}/", f"{HOME}.example.org"],
)  # fmt: skip
def test_a_write_from_anywhere_else_is_refused(
    browser: TestClient, book: PageBook, entries: int, origin: str | None
) -> None:
    """Scheme, host and port: a program on another port of this machine is another site."""
    token = token_of(browser)
    del browser.headers["origin"]
    headers = {} if origin is None else {"origin": origin}
    answer = browser.post("/looked", data={**LOOK, "token": token}, headers=headers)
    assert answer.status_code == 403
    assert _entries(book) == entries


@pytest.mark.parametrize("token", [None, "", "0" * 64, "é"])
def test_a_form_without_this_run_s_token_is_refused(
    browser: TestClient, book: PageBook, entries: int, token: str | None
) -> None:
    data = LOOK if token is None else {**LOOK, "token": token}
    assert browser.post("/looked", data=data).status_code == 403
    assert _entries(book) == entries


def test_a_token_of_another_session_is_refused(
    browser: TestClient, keys: Keys, book: PageBook, entries: int
) -> None:
    other = keys.admit(keys.start)
    assert other is not None
    data = {**LOOK, "token": keys.token(other)}
    assert browser.post("/looked", data=data).status_code == 403
    assert _entries(book) == entries


@pytest.mark.parametrize("path", ["/", "/saw?organism=squash-bug", "/nothing", "/favicon.ico"])
def test_without_the_cookie_nothing_is_shown(stranger: TestClient, path: str) -> None:
    """Other accounts and other programs of this machine reach the port, and no screen."""
    answer = stranger.get(path)
    assert answer.status_code == 403
    assert "opens with the address" in answer.text


def test_without_the_cookie_nothing_is_written(
    stranger: TestClient, book: PageBook, entries: int
) -> None:
    answer = stranger.post("/looked", data={**LOOK, "token": ""}, headers={"origin": HOME})
    assert answer.status_code == 403
    assert _entries(book) == entries


def test_the_start_key_opens_once(stranger: TestClient, keys: Keys) -> None:
    first = keys.start
    answer = stranger.get(f"/start?key={first}")
    assert answer.headers["location"] == "/"
    said = answer.headers["set-cookie"]
    assert "HttpOnly" in said
    assert "SameSite=strict" in said
    assert first not in said
    assert "Domain" not in said
    assert keys.start != first
    for key in (first, "", "x" * 32, "é"):
        assert stranger.get("/start", params={"key": key}).status_code == 403


def test_what_every_answer_says_to_the_browser(browser: TestClient, stranger: TestClient) -> None:
    nonces = set()
    for path in ("/", "/saw?organism=squash-bug", "/nothing"):
        answer = browser.get(path)
        policy = dict(part.split(" ", 1) for part in answer.headers[
            "content-security-policy"].split("; "))  # fmt: skip
        assert policy["default-src"] == "'none'"
        assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
        assert policy["form-action"] == "'self'"
        assert policy["script-src"] == policy["style-src"]
        nonces.add(policy["style-src"])
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert "server" not in answer.headers
    assert len(nonces) == 3
    assert "unsafe" not in " ".join(nonces)


def test_no_other_way_to_ask(browser: TestClient) -> None:
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"):
        assert browser.request(method, "/").status_code == 405


def test_more_than_is_taken_is_not_even_read(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Said by its length beforehand, or counted while it comes."""
    monkeypatch.setattr(guard, "MOST_SENT", 1000)
    token = token_of(browser)
    assert browser.post("/looked", data={"token": token, "where": "x" * 2000}).status_code == 413

    def stream():
        yield f"token={token}&where=".encode()
        for _ in range(20):
            yield b"x" * 100

    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert browser.post("/looked", content=stream(), headers=kind).status_code == 413


def test_too_many_fields_are_refused(browser: TestClient, book: PageBook, entries: int) -> None:
    many = {f"f{number}": "x" for number in range(200)}
    answer = browser.post("/looked", data={**LOOK, "token": token_of(browser), **many})
    assert 400 <= answer.status_code < 500
    assert _entries(book) == entries


def test_a_name_from_outside_is_no_path(browser: TestClient, tmp_path: Path) -> None:
    for name in ("../../etc/passwd", "<script>alert(1)</script>", "a" * 5000):
        answer = browser.get("/saw", params={"organism": name})
        assert answer.status_code == 422
        assert "<script>alert" not in answer.text
