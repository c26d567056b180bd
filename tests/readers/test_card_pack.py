"""Packed cards are the cards of the files, whole; a file that was changed is read again."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from dataclasses import fields
from pathlib import Path

import pytest

from gddcast.cards.model import Card
from gddcast.readers.card_files import PACK, load_card, load_cards, pack_text
from gddcast.readers.opening import data_folder


def own_data(folder: Path) -> Path:
    """A folder of data with two cards and no pack."""
    for group, key in (("pests", "squash-vine-borer"), ("crops", "cantaloupe")):
        (folder / group).mkdir(parents=True)
        shutil.copy(data_folder() / group / f"{key}.toml", folder / group / f"{key}.toml")
    return folder


def test_the_pack_is_that_of_the_cards() -> None:
    """Write it again with:  python data/pack_cards.py"""
    kept = (data_folder() / PACK).read_text("utf-8")
    assert kept == pack_text(data_folder())


def test_every_card_comes_out_of_the_pack_as_from_its_file(tmp_path: Path) -> None:
    """Equal in every field: numbers, "none" as infinite, tuples that are no lists."""
    shutil.copytree(data_folder(), tmp_path / "data", ignore=shutil.ignore_patterns(PACK))
    from_files, from_pack = load_cards(tmp_path / "data"), load_cards()
    assert from_pack == from_files
    assert repr(list(map(vars_of, from_pack.values()))) == repr(
        list(map(vars_of, from_files.values()))
    )


def vars_of(card: Card) -> list[object]:
    """Every field, deep enough that a list shows itself."""
    return [getattr(card, field.name) for field in fields(card)]


def test_a_changed_file_is_read_and_not_the_pack(tmp_path: Path) -> None:
    folder = own_data(tmp_path / "data")
    (folder / PACK).write_text(pack_text(folder), encoding="utf-8")
    file = folder / "pests" / "squash-vine-borer.toml"
    before = load_cards(folder)["squash-vine-borer"]
    assert counted_reads(folder) == 0
    text = file.read_text("utf-8")
    file.write_text(text.replace("goal = 1000", "goal = 1001"), encoding="utf-8")
    for card in (load_cards(folder)["squash-vine-borer"], load_card("squash-vine-borer", folder)):
        number = card.events[0].default
        assert number is not None
        assert number.goal == (1001.0, 1001.0)
    assert counted_reads(folder) == 1
    # Line ends of another system are no change.
    file.write_bytes(text.replace("\n", "\r\n").encode("utf-8"))
    assert load_cards(folder)["squash-vine-borer"] == before


def counted_reads(folder: Path) -> int:
    """How many files of cards are parsed when all are loaded."""
    parsed = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tomllib, "loads", lambda text, loads=tomllib.loads: (
            parsed.append(text), loads(text))[1])  # fmt: skip
        load_cards(folder)
    return len(parsed)


@pytest.mark.parametrize("damage", ["", "nonsense\n", "pests/squash-vine-borer\tabc\t{}\n"])
def test_a_damaged_pack_is_no_pack(tmp_path: Path, damage: str) -> None:
    folder = own_data(tmp_path / "data")
    whole = load_cards(folder)
    (folder / PACK).write_text(damage, encoding="utf-8")
    assert load_cards(folder) == whole


def test_own_cards_never_come_from_the_pack(tmp_path: Path) -> None:
    folder, own = own_data(tmp_path / "data"), tmp_path / "own"
    (folder / PACK).write_text(pack_text(folder), encoding="utf-8")
    own.mkdir()
    shutil.copy(folder / "pests" / "squash-vine-borer.toml", own)
    card: Card = load_cards(folder, cards_folder=own)["squash-vine-borer"]
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
