"""Crop cards against what was printed, and against each other where they should agree."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from gddcast.cards.model import Card
from gddcast.readers.card_files import load_card, load_cards

PUBLISHED = Path(__file__).parents[1] / "published" / "seedling_emergence.csv"
COMMON = "common practice, no source"


@pytest.fixture(scope="module")
def crops() -> dict[str, Card]:
    return {key: card for key, card in load_cards().items() if card.group == "crop"}


def rows() -> list[dict[str, str]]:
    lines = [line for line in PUBLISHED.read_text("utf-8").splitlines() if line[:1] != "#"]
    return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["card"])
def test_days_to_come_up_are_those_of_the_printed_table(row: dict[str, str]) -> None:
    card = load_card(row["card"])
    up = card.event("up")
    assert up is not None
    days = next(days for days in up.days if days.source == "harrington1954")
    told = days.note or ""
    printed = {int(soil): int(value) for soil, value in row.items() if value.isdecimal()}

    listed = told.partition(": ")[2].partition(". ")[0].removeprefix("days by soil temperature")
    pairs = {int(soil): int(day) for day, soil in re.findall(r"(\d+) at (\d+)", listed)}
    coolest, warmest = map(int, re.findall(r"that of (\d+)-(\d+) °F", told)[0])
    span = [printed[soil] for soil in printed if coolest <= soil <= warmest]

    assert pairs == printed
    assert days.days == (min(span), max(span))


def test_enough_crops_and_each_can_be_picked(crops: dict[str, Card]) -> None:
    assert len(crops) >= 35
    for card in crops.values():
        pick = card.event("first-pick")
        assert pick is not None, card.key
        assert pick.days, f"{card.key} has no span of days to fall back on"


def test_sums_of_crops_start_at_a_stage_of_the_crop(crops: dict[str, Card]) -> None:
    for card in crops.values():
        for event in card.events:
            for number in event.numbers:
                assert number.kind == "biofix", card.key
                assert number.starts_from is None or number.starts_from.crop, card.key


def test_no_total_is_invented_where_none_was_found(crops: dict[str, Card]) -> None:
    """No paper or bulletin with a harvest total was found for these; see their notes."""
    for key in (
        "summer-squash", "pumpkin", "watermelon", "okra", "spinach", "radish", "carrot", "garlic",
        "leek", "celery", "parsnip", "winter-squash", "asparagus", "strawberry",
    ):  # fmt: skip
        card = crops[key]
        assert not any(event.numbers for event in card.events), key
        assert any("No published heat sum" in note for note in card.notes), key
    first = crops["summer-squash"].event("first-pick")
    assert first is not None
    assert (first.days[0].days, first.days[0].evidence) == ((45.0, 50.0), "common practice")


def test_habit_is_never_shown_as_published(crops: dict[str, Card]) -> None:
    """Common practice has no author, and no trade figure is given without its doubt."""
    for card in crops.values():
        for event in card.events:
            for number in event.numbers:
                assert (number.source == COMMON) == (number.evidence == "common practice")
            if event.default and event.default.source == COMMON:
                assert event.default.doubt, card.key


@pytest.mark.parametrize("event", ["up", "first-flower"])
def test_two_years_of_potatoes_agree(crops: dict[str, Card], event: str) -> None:
    """Worthington, northeast Florida: 213 and 804 in 2004, about 200 and 800 in 2005."""
    potato = crops["potato"].event(event)
    assert potato is not None
    first, second = (number.goal for number in potato.numbers)
    assert first is not None
    assert second is not None
    assert second[0] == pytest.approx(first[0], rel=0.07)


def test_cantaloupe_stages_rise_as_printed(crops: dict[str, Card]) -> None:
    """Soto-Ortiz et al., Arizona: 357, 619, 820 and 1,297 above 55 °F, none above 86."""
    keys = ("first-flower", "fruit-set", "netting", "first-pick")
    stages = [crops["cantaloupe"].event(key) for key in keys]
    defaults = [stage.default for stage in stages if stage is not None]

    assert [number.goal[0] for number in defaults if number and number.goal] == [
        357,
        619,
        820,
        1297,
    ]
    assert {(number.lower, number.upper) for number in defaults if number} == {(55.0, 86.0)}
