"""The place after set-up: what the form says otherwise is changed in book.toml, nothing else."""

from __future__ import annotations

import re

from starlette.testclient import TestClient

from gddcast.cli.page_book import PageBook
from tests.web.conftest import token_of, words_of


def _form(page: str) -> dict[str, str | list[str]]:
    """What the form of the place would send, untouched."""
    form: dict[str, str | list[str]] = dict(
        re.findall(r'<input id="(\w+)" name="\w+"[^>]*? value="([^"]*)"', page)
    )
    form["stands"] = re.findall(r'name="stands" value="(\w+)"', page)[0]
    form["show"] = re.findall(r'name="show" value="(\w)" checked', page)[0]
    form["spot"] = re.findall(r'<option value="([\w-]+)" selected', page)[0]
    form["grow"] = re.findall(r'name="grow" value="([\w-]+)" checked', page)
    return form


def test_what_is_said_otherwise_is_changed_and_no_other_line(
    browser: TestClient, book: PageBook
) -> None:
    token = token_of(browser)
    form = _form(browser.get("/settings").text) | {"token": token}
    file = book.folder / "book.toml"
    before = file.read_text(encoding="utf-8")
    same = browser.post("/settings", data=form)
    assert "Nothing was changed." in words_of(browser.get(same.headers["location"]).text)
    assert file.read_text(encoding="utf-8") == before
    data = {**form, "spot": "wall", "hour": "7", "grow": ["kale", "leek"]}
    answer = browser.post("/settings", data=data)
    said = words_of(browser.get(answer.headers["location"]).text)
    assert "Changed: where the thermometer hangs, hour of reading, what you grow." in said
    settings = book._book().book.settings
    assert (settings.weather.sensor_spot, settings.weather.reading_hour) == ("wall", 7)
    assert (settings.weather.day_ends, settings.grow) == ("morning-reading", ("kale", "leek"))
    kept = [line for line in before.splitlines() if line in file.read_text(encoding="utf-8")]
    assert len(kept) >= len(before.splitlines()) - 4
    data["stands"] = _form(browser.get("/settings").text)["stands"]
    browser.post("/settings", data={**data, "hour": ""})
    settings = book._book().book.settings
    assert (settings.weather.day_ends, settings.weather.reading_hour) == ("midnight", None)


def test_what_cannot_be_comes_back_and_nothing_is_written(
    browser: TestClient, book: PageBook
) -> None:
    token = token_of(browser)
    form = _form(browser.get("/settings").text) | {"token": token}
    before = (book.folder / "book.toml").read_bytes()
    for name, typed, said in (
        ("timezone", "America/Chicagi", "nobody knows it"),
        ("at", "95, 10", "Latitude and longitude are written as 41.2, -89.4"),
        ("hour", "25", "0 to 23 are."),
        ("name", "", "it is empty"),
    ):
        answer = browser.post("/settings", data={**form, name: typed})
        assert answer.status_code == 422
        assert said in words_of(answer.text)
        assert f'value="{typed}"' in answer.text
    far = browser.post("/settings", data={**form, "at": "41.2, 89.4"})
    assert "was a sign lost" in words_of(browser.get(far.headers["location"]).text)
    assert (book.folder / "book.toml").read_bytes() != before


def test_the_second_of_two_who_change_the_place_is_told(
    browser: TestClient, book: PageBook
) -> None:
    """Two tabs were open: what the first changed is not set back unseen."""
    token = token_of(browser)
    form = _form(browser.get("/settings").text) | {"token": token}
    assert browser.post("/settings", data={**form, "hour": "7"}).status_code == 303
    late = browser.post("/settings", data={**form, "spot": "wall"})
    assert late.status_code == 422
    assert "somebody else changed it since this form was opened" in words_of(late.text)
    assert "read at 7" in words_of(late.text)
    weather = book._book().book.settings.weather
    assert (weather.reading_hour, weather.sensor_spot) == (7, "open-shade")
    again = _form(late.text) | {"token": token}
    assert again["spot"] == "wall"
    assert browser.post("/settings", data=again).status_code == 303
    assert book._book().book.settings.weather.sensor_spot == "wall"
