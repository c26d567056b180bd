"""What is typed into the page comes out of every screen and file of it as words."""

from __future__ import annotations

import csv
import io
import zipfile

import pytest
from icalendar import Calendar
from starlette.testclient import TestClient

from gddcast.web.app import SCREENS
from tests.markup import Markup
from tests.web.conftest import token_of

MARKUP = "<script>run()</script></title></svg></style>'\" onload=x &lt;"
FORMULA = '=HYPERLINK("http://127.0.0.1/";"a")'
TURNED = "bed \u202egnp.\u2066\x1b[31m end"
CALENDAR = "a;b,c\\d\r\nBEGIN:VALARM"
WORDS = (MARKUP, FORMULA, TURNED, CALENDAR)


@pytest.fixture
def typed(browser: TestClient) -> TestClient:
    """Each of them as a bed, a variety, a note and a place of a find."""
    token = token_of(browser)
    for words in WORDS:
        for address, form in (
            ("/sow", {"crop": "cucumber", "kind": "sown", "bed": words, "variety": words,
                      "sown": "2026-05-20"}),
            ("/saw", {"organism": "squash-bug", "event": "eggs", "where": words, "note": words,
                      "seen": "2026-06-10"}),
            ("/looked", {"organism": "squash-vine-borer", "where": words}),
        ):  # fmt: skip
            answer = browser.post(address, data={"token": token, "certain": "1", **form})
            assert answer.status_code == 303, f"{address}: {answer.text}"
    return browser


def test_on_every_screen_they_are_text(typed: TestClient) -> None:
    shown = ""
    for address in (*SCREENS, "/why?pest=squash-bug", "/saw?pest=squash-bug"):
        answer = typed.get(address)
        if "html" not in answer.headers.get("content-type", ""):
            continue
        page = Markup(answer.text)
        scripts = [tag for tag in page.tags if tag == "script"]
        # A saved copy holds its one script in itself.
        ours = 1 if address == "/copy.html" else answer.text.count('<script src="/page.js"')
        assert len(scripts) == ours, address
        assert not {name for name in page.attributes if name.startswith("on")}, address
        assert not set(answer.text) & set("\u202e\u2066\x1b"), address
        shown += page.text
    for words in (MARKUP, FORMULA):
        assert words in shown


def test_its_calendar_and_its_export_hold_them_as_text(typed: TestClient) -> None:
    text = typed.get("/calendar.ics").text
    lines = text.replace("\r\n ", "").split("\r\n")
    alarms = [each for item in Calendar.from_ical(text).walk("VEVENT")
              for each in item.walk("VALARM")]  # fmt: skip
    assert lines.count("BEGIN:VALARM") == len(alarms)
    cells = []
    with zipfile.ZipFile(io.BytesIO(typed.get("/export.zip").content)) as packed:
        for name in packed.namelist():
            assert "/" not in name.strip("/") or ".." not in name
            if name.endswith(".csv"):
                page = io.StringIO(packed.read(name).decode(), newline="")
                cells += [cell for row in csv.reader(page) for cell in row]
    assert not [each for each in cells if each.startswith(("=", "+", "@", "\t", "\r"))]
    assert f"'{FORMULA}" in cells
    assert MARKUP in cells
