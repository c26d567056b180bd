"""Record: a file is looked at before it is kept, and never by a path of somebody else's."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from gddcast.web.app import page_app
from gddcast.web.keys import Keys
from gddcast.web.serving import names_of
from tests.web.conftest import HOME, PORT, token_of, words_of

SAMPLES = Path(__file__).parents[1] / "samples"


def _hand_over(browser: TestClient, content: bytes, name: str) -> str:
    answer = browser.post(
        "/file", data={"token": token_of(browser)}, files={"file": (name, content, "text/csv")}
    )
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def _sample(browser: TestClient, name: str) -> str:
    return _hand_over(browser, (SAMPLES / name).read_bytes(), name)


def test_a_file_is_judged_before_it_is_kept(browser: TestClient, book: PageBook) -> None:
    """Stuck for ten days, as the sample's own account says: told, and nothing written."""
    before = book.today().record.as_read
    page = browser.get(_sample(browser, "12_stuck_maximum.csv")).text
    said = words_of(page)
    assert "Nothing of it is kept yet" in said
    assert "Weather record: SHAKY" in said
    assert "20–29 May 2026: the maximum is 88 °F on 10 days running" in said
    assert (book.today().record.as_read.tmax == before.tmax).sum() == (
        before.tmax == before.tmax
    ).sum()


def test_what_it_leaves_open_is_asked_then_kept(browser: TestClient, book: PageBook) -> None:
    address = _sample(browser, "02_celsius_no_unit.csv")
    asked = words_of(browser.get(address).text)
    assert "It doesn’t say whether it is °F or °C." in asked
    assert "Keep it" not in asked
    answered = browser.get(f"{address}&unit=C")
    assert "Keep it" in words_of(answered.text)
    data = {"token": token_of(browser), "key": address.split("=")[1], "unit": "C"}
    kept = browser.post("/keep", data=data)
    assert kept.headers["location"].startswith("/record?said=")
    said = words_of(browser.get(kept.headers["location"]).text)
    assert "[entry " in said
    (source,) = (each for each in book._book().book.sources() if each.name != "weather.csv")
    assert source.name == "02_celsius_no_unit.csv"
    assert source.unit == "C"
    assert browser.get(address).status_code == 422  # it is gone once it was kept


def test_several_facts_are_asked_at_once(browser: TestClient) -> None:
    page = words_of(browser.get(_sample(browser, "04_ambiguous_dates.csv")).text)
    assert "day first or month first" in page
    assert "whether it is °F or °C" in page


@pytest.mark.parametrize(
    ("content", "why"),
    [(b"", "It is empty"), (b"\x00\x01" * 500, "It "), (b"<html><script>alert(1)</script>", "It ")],
)
def test_what_is_no_weather_is_said_and_not_kept(
    browser: TestClient, content: bytes, why: str
) -> None:
    answer = browser.get(_hand_over(browser, content, "odd.csv"))
    assert answer.status_code == 200
    assert why in words_of(answer.text)
    assert "Keep it" not in words_of(answer.text)
    assert "<script>alert" not in answer.text


@pytest.mark.parametrize(
    "name", ["../../escape.csv", "..\\..\\escape.csv", "/etc/escape.csv", "a\x00b.csv", "x" * 900,
             "<img src=x onerror=alert(1)>.csv", "con.csv", ".."],
)  # fmt: skip
def test_a_name_is_words_and_no_path(browser: TestClient, tmp_path: Path, name: str) -> None:
    browser.get("/")  # the first screen of a day leaves a copy of the book beside it
    before = {file for file in tmp_path.rglob("*") if "scratch" not in file.parts}
    content = (SAMPLES / "01_clean_iso_f.csv").read_bytes()
    page = browser.get(_hand_over(browser, content, name)).text
    assert "Weather record:" in words_of(page)
    assert "<img" not in page
    held = list((tmp_path / "scratch").iterdir())
    assert len(held) == 1
    assert "escape" not in held[0].name
    assert {file for file in tmp_path.rglob("*") if "scratch" not in file.parts} == before


def test_files_that_nobody_kept_make_room(browser: TestClient, tmp_path: Path) -> None:
    for _ in range(7):
        address = _sample(browser, "01_clean_iso_f.csv")
    assert len(list((tmp_path / "scratch").iterdir())) == 4
    data = {"token": token_of(browser), "key": address.split("=")[1]}
    assert browser.post("/leave", data=data).headers["location"] == "/record"
    assert len(list((tmp_path / "scratch").iterdir())) == 3


def test_a_night_s_reading(browser: TestClient, book: PageBook) -> None:
    data = {"low": "48,5", "high": "81", "day": "2026-06-11", "token": token_of(browser)}
    answer = browser.post("/note", data=data)
    said = words_of(browser.get(answer.headers["location"]).text)
    assert "Noted for Thu 11 June 2026: high 81.0 °F, low 48.5 °F." in said
    assert book._book().book.series().last.isoformat() == "2026-06-11"


@pytest.mark.parametrize(
    ("low", "high", "why"),
    [("88", "61", "the high lies below the low"), ("", "", "no reading"),
     ("warm", "", "no reading"), ("61", "181", "no thermometer"), ("nan", "80", "no reading"),
     ("1e9", "2e9", "no thermometer"),
     ("20", "24", "no June of this record has shown")],
)  # fmt: skip
def test_a_reading_that_cannot_be_or_may_be_a_slip_is_asked_about(
    browser: TestClient, book: PageBook, low: str, high: str, why: str
) -> None:
    before = book._book().book.series().last
    answer = browser.post("/note", data={"low": low, "high": high, "token": token_of(browser)})
    assert answer.status_code == 422
    assert why in words_of(answer.text)
    assert f'name="low" inputmode="decimal" autocomplete="off" value="{low}"' in answer.text
    assert book._book().book.series().last == before


def test_what_leaves_the_book(browser: TestClient, book: PageBook) -> None:
    """Sheet and report as pages, a calendar, and everything as tables that import again."""
    from gddcast.book.exchange import import_book

    for path in ("/sheet", "/report"):
        answer = browser.get(path)
        nonce = answer.headers["content-security-policy"].split("'nonce-")[1].split("'")[0]
        assert f'<style nonce="{nonce}">' in answer.text
    days = browser.get("/calendar.ics")
    assert days.text.startswith("BEGIN:VCALENDAR")
    assert "SUMMARY" in days.text
    archive = browser.get("/export.zip")
    assert archive.headers["content-disposition"].startswith("attachment")
    folder = book.folder.parent / "out"
    with zipfile.ZipFile(io.BytesIO(archive.content)) as held:
        assert all(".." not in name for name in held.namelist())
        held.extractall(folder)
    (inner,) = folder.iterdir()
    again = import_book(inner, book.folder.parent / "again")
    assert again.journal() == book.journal()


def test_a_calendar_program_has_an_address_of_its_own(
    browser: TestClient, book: PageBook, keys: Keys, tmp_path: Path
) -> None:
    """No cookie, its own key, on this machine only; taken back, it opens nothing more."""
    page = browser.get("/record").text
    assert "/calendar/" not in page
    token = token_of(browser)
    browser.post("/calendar-address", data={"token": token, "make": "yes"})
    address = re.findall(r'href="(/calendar/[\w-]+\.ics)"', browser.get("/record").text)[0]
    assert (book.folder / "calendar-key.txt").stat().st_mode & 0o077 == 0
    app = page_app(book, Keys(), names_of(PORT), PORT, tmp_path / "scratch")  # another run
    with TestClient(app, base_url=HOME, client=("127.0.0.1", 5)) as program:
        assert program.get(address).text.startswith("BEGIN:VCALENDAR")
        assert program.get("/calendar/guess.ics").status_code == 404
        assert program.get("/record").status_code == 403
        assert program.post(address, headers={"origin": HOME}).status_code == 403
        with TestClient(app, base_url=HOME, client=("192.168.1.9", 5)) as other:
            assert other.get(address).status_code == 404
        browser.post("/calendar-address", data={"token": token})
        assert program.get(address).status_code == 404


def test_an_undo_of_years_of_weather_is_asked_about_once(
    browser: TestClient, book: PageBook
) -> None:
    weather = next(each for each in book.lately(1_000) if each.words.startswith("Weather from"))
    token, days = token_of(browser), len(book._book().book.series())
    data = {"entry": weather.name, "to": "/record", "token": token}
    asked = browser.post("/undo", data=data)
    assert asked.status_code == 422
    assert "it is 4,524 days of weather" in words_of(asked.text)
    assert f'name="entry" value="{weather.name}"' in asked.text
    assert len(book._book().book.series()) == days
    assert browser.post("/undo", data={**data, "certain": "yes"}).status_code == 303
    assert book._book().book.weather() is None
    assert browser.post("/redo", data=data).status_code == 303
    assert len(book._book().book.series()) == days


def test_a_second_reading_of_a_day_says_what_it_replaces(browser: TestClient) -> None:
    token, said = token_of(browser), ""
    for low in ("50", "52"):
        data = {"low": low, "high": "81", "day": "2026-06-11", "token": token}
        answer = browser.post("/note", data=data)
        assert "It takes the place of" not in said
        said = words_of(browser.get(answer.headers["location"]).text)
    assert "It takes the place of high 81.0 °F, low 50.0 °F" in said


def test_what_was_logged_lately_is_taken_back_where_it_stands(
    browser: TestClient, book: PageBook
) -> None:
    name = book.lately(2)[1].name
    token = token_of(browser)
    before = words_of(browser.get("/record").text)
    assert f"[entry {name}] Undo" in before
    answer = browser.post("/undo", data={"entry": name, "to": "/record", "token": token})
    assert answer.headers["location"].startswith("/record?said=")
    assert book.lately(2)[1].is_withdrawn
    odd = browser.post("/redo", data={"entry": name, "to": "//example.org", "token": token})
    assert odd.headers["location"].startswith("/?said=")
    assert not book.lately(2)[1].is_withdrawn
