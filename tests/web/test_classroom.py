"""A class looks at lessons and cards; there is no book to reach, and nothing to write."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from gddcast.readers.card_files import load_cards
from gddcast.web.classroom import class_app
from gddcast.web.serving import names_of
from tests.web.conftest import HOME, PORT, words_of


@pytest.fixture(scope="module")
def pupil() -> Iterator[TestClient]:
    app = class_app(load_cards(), names_of(PORT), PORT)
    with TestClient(app, base_url=HOME) as client:
        yield client


def test_a_day_is_worked_by_every_method(pupil: TestClient) -> None:
    """72/46 over 50 °F: 9 by the mean of the readings, as every bulletin counts it."""
    assert 'action="/day"' in pupil.get("/").text
    said = words_of(pupil.get("/day?high=72&low=46&lower=50&unit=F").text)
    assert "9.0" in said
    assert "single sine" in said
    nonce = pupil.get("/day?high=72&low=46&lower=50").headers["content-security-policy"]
    assert "'nonce-" in nonce


def test_a_card_works_a_day_by_its_own_method(pupil: TestClient) -> None:
    """84/61 over 50 °F by floor the mean: 22.5. Another stage, its own number; one at a time."""
    moths = words_of(pupil.get("/card?organism=squash-vine-borer").text)
    assert "22.5 °F-days, above 50 °F, floor the mean: first moths by 1,000 °F-days" in moths
    page = pupil.get("/card?organism=squash-vine-borer&event=moths&high=70&low=52").text
    assert "11.0 °F-days, above 50 °F" in words_of(page)
    assert 'name="shape"' not in page
    assert 'name="cutoff"' not in page
    for odd, said in (("high=warm&low=50", "is no reading"), ("high=40&low=60", "above its high"),
                      ("high=1e9&low=1", "is no reading")):  # fmt: skip
        answer = pupil.get(f"/card?organism=squash-vine-borer&{odd}")
        assert said in words_of(answer.text)
        assert "°F-days, above 50 °F" not in words_of(answer.text)


def test_the_first_screen_draws_the_day_that_is_slid(pupil: TestClient) -> None:
    """Picture, table and moral of the day in the address; without one, of the blackboard's."""
    said = words_of(pupil.get("/").text)
    assert "9.7 °F-days by the single sine" in said
    said = words_of(pupil.get("/?high=95&low=70&lower=50&upper=86&unit=F").text)
    assert "30.1 °F-days instead of 32.5" in said
    assert "they give 10.0 to 32.5" in said
    assert 'value="95"' in pupil.get("/?high=95&low=70&lower=50&unit=F").text


def test_questions_come_without_their_answers(pupil: TestClient) -> None:
    said = words_of(pupil.get("/quiz?lesson=day").text)
    assert "Its heat above 50 °F by floor the mean is" in said
    assert "59 − 50 = 9" not in said


def test_sheets_and_cards(pupil: TestClient) -> None:
    assert words_of(pupil.get("/worksheet?seed=7").text) == words_of(
        pupil.get("/worksheet?seed=7").text
    )
    assert "/card?organism=squash-bug" in pupil.get("/cards").text
    assert "Squash bug" in pupil.get("/card?organism=squash-bug").text


@pytest.mark.parametrize(
    "address",
    ["/day?high=warm&low=46&lower=50", "/day?high=40&low=46&lower=50", "/day", "/day?high=nan",
     "/worksheet?seed=-1", "/worksheet?seed=1&form=x", "/quiz?lesson=x",
     "/worksheet?seed=1e5000", "/card?organism=../../etc",
     "/day?high=1e300&low=1&lower=5"],
)  # fmt: skip
def test_what_cannot_be_is_said(pupil: TestClient, address: str) -> None:
    answer = pupil.get(address)
    assert answer.status_code == 422
    assert "Not done" in answer.text


def test_no_book_is_reached_and_nothing_is_written(pupil: TestClient) -> None:
    for path in ("/record", "/export.zip", "/beds", "/devices", "/start?key=x", "/join"):
        assert pupil.get(path).status_code == 404
    for path in ("/looked", "/", "/file"):
        assert pupil.post(path, data={}, headers={"origin": HOME}).status_code == 405
    assert pupil.get("/", headers={"host": "example.org"}).status_code == 421
    assert "set-cookie" not in pupil.get("/").headers
