"""Today: the same walk as the command's, and what a tap writes."""

from __future__ import annotations

import datetime as dt
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.text.dates.bed_words import to_do
from tests.web.conftest import token_of, words_of


def test_it_says_what_the_walk_says(browser: TestClient, book: PageBook) -> None:
    """One composition: sentence, beds, reasons."""
    said, today = words_of(browser.get("/").text), book.today()
    assert "Thursday 11 June" in said
    assert to_do(today.plan, today.by_bed) in said
    for block in today.by_bed.blocks:
        assert block.card.name.capitalize()[:1] + block.card.name[1:] in said
        assert (block.windows[0].look.where_on_plant or "")[5:] in said


def test_a_tap_logs_today_and_is_taken_back(browser: TestClient, book: PageBook) -> None:
    before = book.journal()
    token = token_of(browser)
    data = {"organism": "squash-bug", "where": "row 2", "token": token}
    answer = browser.post("/looked", data=data)
    (look,) = set(book.journal().sightings) - set(before.sightings)
    assert (look.organism, look.where, look.kind) == ("squash-bug", "row 2", "none")
    assert look.seen_on == dt.date(2026, 6, 11)
    address = answer.headers["location"]
    page = browser.get(address).text
    assert "Logged: a clean look for squash bug, row 2, Thu 11 June 2026." in words_of(page)
    assert "gddcast" not in words_of(page)
    again = browser.post("/looked", data=data)
    assert again.status_code == 422
    assert "the same is on record already" in words_of(again.text)
    back = browser.post("/undo", data={"entry": look.entry, "token": token})
    assert book.journal() == before
    assert "Withdrawn: clean look for squash bug" in words_of(
        browser.get(back.headers["location"]).text
    )
    browser.post("/redo", data={"entry": look.entry, "token": token})
    assert look in book.journal().sightings


def test_a_find_restarts_its_clock_and_says_so(browser: TestClient, book: PageBook) -> None:
    form = browser.get("/saw?organism=squash-vine-borer&event=moths&where=row+2").text
    assert 'value="2026-06-11" max="2026-06-11" required' in form
    data = {"organism": "squash-vine-borer", "event": "moths", "seen": "2026-06-11",
            "clean": "2026-06-09", "where": "row 2", "with": "3", "looked": "10", "sure": "sure",
            "note": "", "token": token_of(browser)}  # fmt: skip
    answer = browser.post("/saw", data=data)
    if answer.status_code == 422:  # earlier than past years: asked, and typed words are kept
        assert "before the fastest past year" in words_of(answer.text)
        assert (
            'name="with" inputmode="numeric" aria-label="Plants with it" value="3"' in answer.text
        )
        answer = browser.post("/saw", data={**data, "certain": "yes"})
    assert answer.status_code == 303
    said = words_of(browser.get(answer.headers["location"]).text)
    assert "Clock restarts for" in said
    assert "on 3 of 10 plants" in said
    find = book.journal().sightings[-1]
    assert (find.clean_on, find.plants_with, find.sure) == (dt.date(2026, 6, 9), 3, True)


@pytest.mark.parametrize(
    ("wrong", "why"),
    [({"seen": "2026-06-12"}, "in the future"), ({"clean": "2026-06-11"}, "not before the find"),
     ({"seen": "2026-02-30"}, "is no day"), ({"with": "3"}, "so many of so many"),
     ({"with": "11", "looked": "10"}, "so many of so many"), ({"with": "-1"}, "no number"),
     ({"event": "unicorn"}, "names no stage"), ({"organism": "unicorn"}, "no card"),
     ({"note": "x" * 3000}, "too long")],
)  # fmt: skip
def test_what_cannot_be_is_said_and_not_written(
    browser: TestClient, book: PageBook, wrong: dict[str, str], why: str
) -> None:
    before = book.journal()
    data = {"organism": "squash-bug", "event": "eggs", "seen": "2026-06-11", "sure": "sure",
            "certain": "yes", "token": token_of(browser)}  # fmt: skip
    answer = browser.post("/saw", data={**data, **wrong})
    assert answer.status_code == 422
    assert why in words_of(answer.text)
    assert book.journal() == before


def test_the_second_of_two_opposites_is_told(browser: TestClient, book: PageBook) -> None:
    """One person found it, another looked and found none: both stand, and the second hears so."""
    token, before = token_of(browser), len(book.journal().sightings)
    find = {"organism": "squash-bug", "event": "nymphs", "seen": "2026-06-11", "where": "row 4",
            "sure": "sure", "certain": "yes", "token": token}  # fmt: skip
    first = browser.post("/saw", data={**find, "event": "eggs"})
    assert "opposite" not in words_of(browser.get(first.headers["location"]).text)
    look = {"organism": "squash-bug", "where": "row 4", "token": token}
    second = browser.post("/looked", data=look)
    said = words_of(browser.get(second.headers["location"]).text)
    assert "The opposite is on record too: Squash bug eggs, row 4, Thu 11 June 2026." in said
    other = browser.post("/looked", data={**look, "where": "row 5"})
    assert "opposite" not in words_of(browser.get(other.headers["location"]).text)
    assert len(book.journal().sightings) == before + 3


def test_a_job_is_done_by_a_button(browser: TestClient, book: PageBook) -> None:
    sowing = book.today().sowings[0]
    data = {"job": "uncovered", "what": sowing.sowing.name or "", "token": token_of(browser)}
    answer = browser.post("/did", data=data)
    assert answer.status_code == 303
    assert book.journal().jobs[-1].job == "uncovered"
    assert not book.today().sowings[0].covered


@pytest.mark.parametrize("job", ["uncovered", "watered", "rained"])
def test_the_second_of_two_who_do_the_same_job_is_told(
    browser: TestClient, book: PageBook, job: str
) -> None:
    """Two devices, one job, one day: of a sowing, a bed, the whole place; it is written once."""
    sowing, bed = str(book.today().sowings[0].sowing.name), "compost"
    what = {"uncovered": sowing, "watered": bed, "rained": ""}[job]
    data = {"job": job, "what": what, "token": token_of(browser)}
    before = len(book.journal().jobs)
    assert browser.post("/did", data=data).status_code == 303
    entry = book.journal().jobs[-1].entry
    second = browser.post("/did", data={**data, "what": what.upper() if job == "watered" else what})
    assert second.status_code == 422
    said = words_of(second.text)
    assert "it is on record already" in said
    assert f"Entry {entry} says Thu 11 June 2026." in said
    assert len(book.journal().jobs) == before + 1


def test_names_of_beds_are_words_and_nothing_else(browser: TestClient, book: PageBook) -> None:
    bed = "<img src=x onerror=alert(1)>\"'&\u202e"
    data = {"organism": "squash-bug", "where": bed, "token": token_of(browser)}
    page = browser.get(browser.post("/looked", data=data).headers["location"]).text
    assert "<img" not in page
    assert "&lt;img src=x onerror=alert(1)&gt;" in page
    assert "\u202e" not in page


def test_what_another_program_wrote_shows_at_once(browser: TestClient, book: PageBook) -> None:
    """A command, another tab, another device: one book."""
    from gddcast.journal.entries import Sighting

    other = PageBook(book.folder, book.on)
    browser.get("/")
    other.log(Sighting("squash-bug", "", dt.date(2026, 6, 11), "none", where="row 2"), sure=False)
    assert "Logged today: looked, none." in words_of(browser.get("/").text)


def test_a_screen_is_remembered_as_a_walk_once(browser: TestClient, book: PageBook) -> None:
    """The next walk says what moved since: so the book keeps what was told, and no more."""
    from gddcast.book.opening import open_book

    opened = open_book(book.folder)
    season = book.season().name
    assert not [each for each in opened.announced("walk", season) if each.day == book.on]
    browser.get("/")
    told = len(opened.announced("walk", season))
    assert told
    browser.get("/")
    assert len(opened.announced("walk", season)) == told


def test_many_at_once_lose_nothing_and_write_nothing_twice(
    browser: TestClient, book: PageBook
) -> None:
    """Ten tabs log ten beds, each by two taps at once: ten entries, ten times told."""
    before, token = len(book.journal().sightings), token_of(browser)

    def tap(bed: int) -> int:
        data = {"organism": "squash-bug", "where": f"bed {bed}", "token": token}
        return browser.post("/looked", data=data).status_code

    with ThreadPoolExecutor(20) as pool:
        codes = list(pool.map(tap, [bed for bed in range(10) for _ in range(2)]))
    assert sorted(codes) == [303] * 10 + [422] * 10
    looks = book.journal().sightings[before:]
    assert sorted(str(each.where) for each in looks) == [f"bed {bed}" for bed in range(10)]


def test_no_screen_sends_anybody_to_a_terminal(browser: TestClient, book: PageBook) -> None:
    """Every card's reasons and card among them; each is a page and no refusal."""
    paths = ["/", "/ahead", "/beds", "/seasons", "/record"]
    paths += [f"/why?organism={key}" for key in book.cards()]
    paths += [f"/card?organism={key}" for key in book.cards()]
    for path in paths:
        answer = browser.get(path)
        assert answer.status_code == 200, path
        assert not re.search(r"gddcast [a-z]+", words_of(answer.text)), path
