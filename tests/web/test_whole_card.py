"""A card in the page: names as they are written, the numbers behind the one it goes by."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from html import escape

import pytest
from starlette.testclient import TestClient

from gddcast.readers.card_files import load_cards
from gddcast.text.cards.card_page import card_blocks
from gddcast.web.classroom import class_app
from gddcast.web.serving import names_of
from gddcast.words import capital
from tests.web.conftest import HOME, PORT, words_of

CARDS = load_cards()


@pytest.fixture(scope="module")
def pupil() -> Iterator[TestClient]:
    with TestClient(class_app(CARDS, names_of(PORT), PORT), base_url=HOME) as client:
        yield client


@pytest.mark.parametrize("key", ["asparagus-beetle", "colorado-potato-beetle", "sweet-corn"])
def test_every_word_of_a_card_is_there_as_it_is_written(pupil: TestClient, key: str) -> None:
    """No heading is another one's capitals made small again: proper names keep theirs."""
    page = pupil.get(f"/card?organism={key}").text
    headings = re.findall(r'<h2 class="name">(.*?)</h2>', page)
    said = words_of(page)
    for block in card_blocks(CARDS[key], commands=False):
        if block.title and block.lines:
            assert escape(capital(block.title)) in headings
        for line in block.lines:
            assert " ".join(line.text.split()) in said


def test_a_heading_keeps_proper_names() -> None:
    """A stage of a grower's own card may be named after a place, or after another beetle."""
    card = CARDS["colorado-potato-beetle"]
    named = replace(card.events[0], words="beetles back from the Ohio valley")
    cards = {card.key: replace(card, events=(named, *card.events[1:]))}
    with TestClient(class_app(cards, names_of(PORT), PORT), base_url=HOME) as client:
        page = client.get(f"/card?organism={card.key}").text
    assert '<h2 class="name">Beetles back from the Ohio valley</h2>' in page
    assert "<h1>Colorado potato beetle</h1>" in page


def test_what_stands_open_is_what_a_grower_acts_on(pupil: TestClient) -> None:
    """The number that is used with its source; method, other numbers and sources are folded."""
    page = pupil.get("/card?organism=colorado-potato-beetle").text
    opened = words_of(re.sub(r"<details>.*?</details>", "", page, flags=re.DOTALL))
    assert "185 °F-days (103 °C-days) from first egg patches (eggs) ← used" in opened
    assert "a bulletin acts on in fields; not a rule for a garden" in opened
    assert "the label is the law" in opened
    assert "cut-off not stated" not in opened
    assert "How it is counted, and 6 more published" in page
    assert len(opened) < len(words_of(page)) / 2
