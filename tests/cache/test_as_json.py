"""Values come back as they were written, shared where they were shared, and nothing is run."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from gddcast.cache.as_json import AsJson
from gddcast.cards.model import Card
from gddcast.farms.board import FarmDay, farm_day
from gddcast.farms.check import FarmRecord, farm_record
from gddcast.farms.farm import Farm
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.text.farms.board_json import farm_json
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import Place
from tests.farms.twelve import TODAY, farm

BROOK = Farm("Brook", Place("Brook", 41.2, -89.4), "brook.csv")
WATCH = ("squash-vine-borer", "squash-bug", "apple-maggot", "spotted-wing-drosophila")


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


@pytest.fixture(scope="module")
def brook(cards: dict[str, Card]) -> Today:
    """A place with finds, clean looks and own sums, so that a window holds all it can."""
    seen = [Sighting("squash-vine-borer", "moths", dt.date(year, 6, 20)) for year in (2023, 2024)]
    clean = Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 1), kind="none", by="JK")
    watch = tuple(key for key in WATCH if key in cards)
    return Today(Record(farm(3), TODAY), cards, Journal((*seen, clean)), Practice(watch))


def test_a_farm_on_a_day_comes_back_whole(cards: dict[str, Card], brook: Today) -> None:
    """Every item for programs, to the last number; both ends of a date are one where they were."""
    plain, row = AsJson(cards), farm_day(BROOK, brook)
    again = AsJson(cards).value(plain.text(row), FarmDay)
    for show in ("F", "C"):
        assert farm_json(again, show, "x") == farm_json(row, show, "x")
    assert len(row.due) > 1
    assert repr(again.later) == repr(row.later)
    for one, other in zip(row.due, again.due, strict=True):
        assert other.window.card is cards[one.window.card.key]
        assert (other.window.early is other.window.late) == (one.window.early is one.window.late)
        assert other.window.event is one.window.event
    assert row.recent is not None
    np.testing.assert_array_equal(again.recent, row.recent)
    assert again.recent.dtype == row.recent.dtype
    assert plain.text(again) == plain.text(row)


def test_a_record_that_was_judged_comes_back_whole(cards: dict[str, Card], brook: Today) -> None:
    row = farm_record(BROOK, brook.record)
    again = AsJson(cards).value(AsJson(cards).text(row), FarmRecord)
    assert replace(again, recent=None).farm == row.farm
    for name in ("trust", "reasons", "through", "days_behind", "gaps", "past_years"):
        assert getattr(again, name) == getattr(row, name)
    assert type(again.trust) is type(row.trust)


@pytest.mark.parametrize(
    "text",
    ['{"Popen":["true"]}', '{"Path":["/"]}', '{"eval":["1"]}', '{"Farm":["x"]}', '{"day":"x"}',
     '{"=":7}', '{"card":"unicorn"}', '{"g":"zigzag"}', "{}", '{"day":"2026-01-01","pairs":[]}',
     '{"array":["O",[1],"AAAAAAAAAAA="]}', "[", '{"Status":["LOOK"]}'],
)  # fmt: skip
def test_what_is_no_value_of_that_kind_is_refused(cards: dict[str, Card], text: str) -> None:
    with pytest.raises((ValueError, TypeError, LookupError), match=r"."):
        AsJson(cards).value(text, FarmDay)


def test_a_card_of_another_library_is_not_written_as_ours(cards: dict[str, Card]) -> None:
    other = replace(cards["squash-bug"], name="another bug")
    with pytest.raises(TypeError, match="another card of that name"):
        AsJson(cards).text(other)
    with pytest.raises(TypeError, match="no frozen value"):
        AsJson(cards).text(object())
