"""Packed cards are the cards of the files, whole; a file that was changed is read again."""

from __future__ import annotations

import json
import math
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from gddcast.cards.model import Card, Start
from gddcast.readers.card_files import cards_with_texts, load_card, load_cards
from gddcast.readers.card_pack import PACK, Pack, pack_text, packed, unpacked
from gddcast.readers.packaged import data_folder


def own_data(folder: Path) -> Path:
    """A folder of data with two cards and no pack."""
    for group, key in (("pests", "squash-vine-borer"), ("crops", "cantaloupe")):
        (folder / group).mkdir(parents=True)
        shutil.copy(data_folder() / group / f"{key}.toml", folder / group / f"{key}.toml")
    return folder


def test_the_pack_is_that_of_the_cards() -> None:
    """Write it again with:  python data/pack_cards.py"""
    kept = (data_folder() / PACK).read_text("utf-8")
    assert kept == pack_text(cards_with_texts(data_folder()))


def test_every_card_comes_out_of_the_pack_as_it_went_in() -> None:
    """Equal in every field, from the JSON itself."""
    for card, _ in cards_with_texts(data_folder()):
        again = unpacked(json.loads(json.dumps(packed(card), allow_nan=False)))
        assert again == card, card.key
        assert repr(again) == repr(card)  # lists are no tuples


def test_what_is_empty_or_endless_survives() -> None:
    card = load_card("squash-vine-borer")
    number = card.events[0].numbers[0]
    odd = replace(
        number, upper=math.inf, lower=None, goal=None, starts_from=Start(date=(3, 1)), shape=None
    )
    events = (replace(card.events[0], numbers=(odd,)), *card.events[1:])
    changed = replace(card, events=events, hosts=(), notes=(), sources={})
    assert unpacked(json.loads(json.dumps(packed(changed), allow_nan=False))) == changed


def test_a_changed_file_is_read_and_not_the_pack(tmp_path: Path) -> None:
    folder = own_data(tmp_path / "data")
    (folder / PACK).write_text(pack_text(cards_with_texts(folder)), encoding="utf-8")
    file = folder / "pests" / "squash-vine-borer.toml"
    before = load_cards(folder)["squash-vine-borer"]
    text = file.read_text("utf-8")
    file.write_text(text.replace("goal = 1000", "goal = 1001"), encoding="utf-8")
    for card in (load_cards(folder)["squash-vine-borer"], load_card("squash-vine-borer", folder)):
        number = card.events[0].default
        assert number is not None
        assert number.goal == (1001.0, 1001.0)
    assert Pack(folder).card("pest", "squash-vine-borer", text) == before
    # Line ends of another system are no change.
    file.write_bytes(text.replace("\n", "\r\n").encode("utf-8"))
    assert load_cards(folder)["squash-vine-borer"] == before


@pytest.mark.parametrize("damage", ["", "nonsense\n", "pests/squash-vine-borer\tabc\t{}\n"])
def test_a_damaged_pack_is_no_pack(tmp_path: Path, damage: str) -> None:
    folder = own_data(tmp_path / "data")
    whole = load_cards(folder)
    (folder / PACK).write_text(damage, encoding="utf-8")
    assert load_cards(folder) == whole


def test_own_cards_never_come_from_the_pack(tmp_path: Path) -> None:
    folder, own = own_data(tmp_path / "data"), tmp_path / "own"
    (folder / PACK).write_text(pack_text(cards_with_texts(folder)), encoding="utf-8")
    own.mkdir()
    shutil.copy(folder / "pests" / "squash-vine-borer.toml", own)
    card: Card = load_cards(folder, own=own)["squash-vine-borer"]
    assert card.replaces_packaged
    assert card.own_file is not None


def test_reading_the_packaged_cards_loads_no_validator() -> None:
    """Which takes longer than everything else of a short command."""
    program = (
        "import sys; from gddcast.readers.card_files import load_cards; "
        "assert len(load_cards()) > 80; print('pydantic' in sys.modules, 'tomllib' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert run.stdout.split()[0] == "False"
