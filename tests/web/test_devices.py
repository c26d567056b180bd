"""Another device at home: a code once, for ten minutes, by a form; and let go again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.web.app import page_app
from gddcast.web.keys import CODE_LASTS, Keys
from gddcast.web.serving import names_of
from tests.web.conftest import HOME, PORT, token_of, words_of

KITCHEN = f"http://192.168.1.5:{PORT}"


class Clock:
    """A clock that moves when it is told to."""

    at = 0.0

    def __call__(self) -> float:
        """Seconds."""
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def both(book: PageBook, clock: Clock, tmp_path: Path) -> Iterator[tuple[TestClient, TestClient]]:
    """The kitchen's browser, and a phone that nobody let in."""
    (tmp_path / "scratch").mkdir()
    keys = Keys(clock)
    app = page_app(book, keys, names_of(PORT, "192.168.1.5"), PORT, tmp_path / "scratch", KITCHEN)
    with (
        TestClient(app, base_url=HOME, follow_redirects=False) as kitchen,
        TestClient(app, base_url=KITCHEN, follow_redirects=False) as phone,
    ):
        kitchen.get(f"/start?key={keys.start}")
        kitchen.headers["origin"], phone.headers["origin"] = HOME, KITCHEN
        yield kitchen, phone


def _code(kitchen: TestClient, may: str = "log") -> str:
    data = {"token": token_of(kitchen), "device": "phone", "may": may}
    page = kitchen.post("/code", data=data)
    assert "<svg" in page.text
    return unescape(re.findall(rf"{KITCHEN}/join\?code=([\w-]+)", page.text)[0])


def test_a_code_lets_one_device_in_once(both: tuple[TestClient, TestClient]) -> None:
    kitchen, phone = both
    assert phone.get("/").status_code == 403
    code = _code(kitchen)
    form = phone.get(f"/join?code={code}")
    assert f'name="code" value="{code}"' in form.text
    assert phone.get("/").status_code == 403  # to look at the form uses nothing up
    answer = phone.post("/join", data={"code": code})
    assert answer.status_code == 303
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert "Row 2" in phone.get("/").text
    assert phone.post("/join", data={"code": code}).status_code == 403
    look = {"organism": "squash-bug", "where": "row 2", "token": token_of(phone)}
    assert phone.post("/looked", data=look).status_code == 303


def test_a_code_lasts_ten_minutes_and_the_next_one_ends_it(
    both: tuple[TestClient, TestClient], clock: Clock
) -> None:
    kitchen, phone = both
    first, second = _code(kitchen), _code(kitchen)
    assert phone.post("/join", data={"code": first}).status_code == 403
    clock.at += CODE_LASTS + 1
    assert phone.post("/join", data={"code": second}).status_code == 403


def test_codes_cannot_be_tried_in_numbers(
    both: tuple[TestClient, TestClient], clock: Clock
) -> None:
    """Five wrong ones, and for a minute not even the right one opens."""
    kitchen, phone = both
    code = _code(kitchen)
    for number in range(5):
        assert phone.post("/join", data={"code": f"guess{number}"}).status_code == 403
    assert phone.post("/join", data={"code": code}).status_code == 403
    clock.at += 61
    assert phone.post("/join", data={"code": code}).status_code == 303


def test_a_form_of_a_stranger_s_page_joins_nothing(both: tuple[TestClient, TestClient]) -> None:
    kitchen, phone = both
    code = _code(kitchen)
    foreign = {"origin": "http://example.org"}
    assert phone.post("/join", data={"code": code}, headers=foreign).status_code == 403
    assert phone.get("/").status_code == 403


def test_one_that_may_look_logs_nothing(
    both: tuple[TestClient, TestClient], book: PageBook
) -> None:
    kitchen, phone = both
    phone.post("/join", data={"code": _code(kitchen, may="look")})
    before = book.journal()
    data = {"organism": "squash-bug", "where": "row 2", "token": ""}
    answer = phone.post("/looked", data=data)
    assert answer.status_code == 403
    assert "may look and not log" in answer.text
    assert book.journal() == before


def test_one_that_may_look_is_shown_nothing_to_press(
    both: tuple[TestClient, TestClient],
) -> None:
    """No form, no way to one; and what is for the machine itself is on that machine alone."""
    kitchen, phone = both
    phone.post("/join", data={"code": _code(kitchen, may="look")})
    squash = "organism=squash-bug"
    for path in (
        "/",
        "/ahead",
        "/beds",
        "/seasons",
        "/record",
        f"/why?{squash}",
        f"/card?{squash}",
    ):
        page = phone.get(path)
        assert page.status_code == 200, path
        assert 'method="post"' not in page.text, path
        for address in ("/saw?", "/walked", "/settings", "/devices", "/calendar/"):
            assert f'href="{address}' not in page.text, (path, address)
    for path in (f"/saw?{squash}", "/walked", "/settings", "/file?key=x", "/setup"):
        answer = phone.get(path)
        assert answer.status_code == 422
        assert "this device may look and not log" in words_of(answer.text)
    assert 'href="/devices"' in kitchen.get("/record").text


def test_a_device_is_let_go_and_lets_nobody_in(both: tuple[TestClient, TestClient]) -> None:
    kitchen, phone = both
    phone.post("/join", data={"code": _code(kitchen)})
    assert phone.get("/devices").status_code == 422
    data = {"token": token_of(phone), "device": "x"}
    assert phone.post("/code", data=data).status_code == 422
    assert "phone" in words_of(kitchen.get("/devices").text)
    kitchen.post("/revoke", data={"token": token_of(kitchen), "device": "phone"})
    assert phone.get("/").status_code == 403
    assert kitchen.get("/").status_code == 200


def test_without_the_network_no_code_is_made(browser: TestClient) -> None:
    assert "on this machine alone" in words_of(browser.get("/devices").text)
    data = {"token": token_of(browser), "device": "phone"}
    assert browser.post("/code", data=data).status_code == 422


def test_the_start_key_is_for_the_kitchen_alone(both: tuple[TestClient, TestClient]) -> None:
    """It would cross the network unencrypted."""
    _, phone = both
    answer = phone.get("/start?key=x")
    assert answer.status_code == 403
    assert "machine that keeps the book" in answer.text
