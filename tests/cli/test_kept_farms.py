"""A board of kept answers is the board; whatever it rests on, a change is answered anew."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gddcast.cli.farms import kept
from gddcast.cli.farms.opening import Farms
from gddcast.farms.farm import Farm
from gddcast.today.today import Today
from tests.acceptance.terminal import BORER, programs, run
from tests.farms.twelve import ON, twelve


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """The names of farms that are worked out, with a cache of this test's own."""
    names: list[str] = []
    work = Farms.today

    def today(self: Farms, farm: Farm) -> Today:
        names.append(farm.name)
        return work(self, farm)

    monkeypatch.setattr(Farms, "today", today)
    monkeypatch.setenv("GDDCAST_CACHE", str(tmp_path / "cache"))
    return names


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two farms and one that can't be read."""
    made = twelve(tmp_path / "twelve")
    for each in made.glob("*.csv"):
        if each.stem not in ("Ashby Ridge", "Gull Point", "Larch Page"):
            each.unlink()
    text = (made / "farms.toml").read_text(encoding="utf-8").partition("[farm.")[0]
    (made / "farms.toml").write_text(text, encoding="utf-8")
    return made


def _asked(folder: Path, *words: str) -> Any:
    answer = programs("farms", "ahead", str(folder), *words, *(() if "--on" in words else ON))
    return {name: value for name, value in answer.items() if name != "made"}


READ = ["Ashby Ridge", "Gull Point"]
BAD = ["Larch Page"]


def test_the_second_answer_is_the_first_one_and_nothing_is_worked_out(
    folder: Path, opened: list[str]
) -> None:
    first = _asked(folder)
    assert opened == READ + BAD
    opened.clear()
    assert _asked(folder) == first
    assert opened == BAD
    text = run("farms", "ahead", str(folder), "--full", *ON).stdout
    check = run("farms", "check", str(folder), *ON).stdout
    opened.clear()
    assert run("farms", "check", str(folder), *ON).stdout == check
    assert opened == BAD
    os.environ["GDDCAST_CACHE"] += "-other"
    assert run("farms", "ahead", str(folder), "--full", *ON).stdout == text
    assert not list(folder.glob("*.sqlite"))


def _byte(folder: Path) -> None:
    file = folder / "Gull Point.csv"
    text = file.read_text(encoding="utf-8")
    file.write_text(text[:-2] + ("3" if text[-2] != "3" else "4") + "\n", encoding="utf-8")


def _row(folder: Path) -> None:
    with (folder / "farms.toml").open("a", encoding="utf-8") as file:
        file.write('[farm."Gull Point"]\nlatitude = 41.0\n')


@pytest.mark.parametrize("change", [_byte, _row])
def test_a_changed_byte_or_row_of_one_farm_is_answered_anew(
    folder: Path, opened: list[str], change: Callable[[Path], None]
) -> None:
    _asked(folder)
    opened.clear()
    change(folder)
    answer = _asked(folder)
    assert opened == ["Gull Point", *BAD] or opened == [*BAD, "Gull Point"]
    opened.clear()
    os.environ["GDDCAST_CACHE"] += "-other"
    assert _asked(folder) == answer


def test_another_day_question_card_or_program_is_answered_anew(
    folder: Path, opened: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "cards"
    own.mkdir()
    packaged = Path(__file__).parents[2] / "data" / "pests" / f"{BORER}.toml"
    text = packaged.read_text(encoding="utf-8")
    (own / f"{BORER}.toml").write_text(text, encoding="utf-8")
    cards = ("--cards", str(own))
    for words in ((), ("--on", "2026-06-12"), ("--days", "14"), ("--pest", "squash-bug"), cards):
        _asked(folder, *words)
        assert set(opened) >= set(READ), words
        opened.clear()
    _asked(folder, *cards)
    assert opened == BAD
    (own / f"{BORER}.toml").write_text(f"# read again\n{text}", encoding="utf-8")
    _asked(folder, *cards)
    assert set(opened) >= set(READ)
    opened.clear()
    monkeypatch.setattr(kept, "__version__", "0.0")
    _asked(folder, *cards)
    assert set(opened) >= set(READ)


def test_a_book_is_answered_anew_when_it_was_written_to(
    folder: Path, opened: list[str], tmp_path: Path
) -> None:
    book = folder / "Gull Point"
    run("setup", "--book", str(book), "--name", "Gull Point", "--at", "41.2,-89.4",
        "--timezone", "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", f"{book}.csv", "--book", str(book), *ON)
    _asked(folder)
    opened.clear()
    _asked(folder)
    assert opened == BAD
    run("farms", "saw", str(folder), "Gull Point", "none", BORER, "--seen", "2026-06-08", *ON)
    answer = _asked(folder)
    assert "Gull Point" in opened
    (row,) = (each for each in answer["farms"] if each["name"] == "Gull Point")
    assert row["last_look"]["day"] == "2026-06-08"
    opened.clear()
    setting = (book / "book.toml").read_text(encoding="utf-8")
    (book / "book.toml").write_text(f"{setting}\n# a remark\n", encoding="utf-8")
    assert json.dumps(_asked(folder)) == json.dumps(answer)
    assert "Gull Point" in opened


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such pipes and devices")
def test_a_pipe_or_a_device_in_the_folder_hides_no_other(
    folder: Path, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither ever ends: it is not read to its end for a fingerprint."""
    monkeypatch.setattr("gddcast.readers.opening.PATIENCE", 0.1)
    os.mkfifo(folder / "pipe.csv")
    (folder / "zero.csv").symlink_to("/dev/zero")
    answer = _asked(folder)
    assert {*READ, "pipe.csv", "zero.csv"} <= set(opened)
    problems = {each["name"]: (each["refusal"] or {}).get("found") for each in answer["farms"]}
    assert problems["Gull Point"] is None
    assert "pipe that did not end" in problems["pipe.csv"]
    assert "device" in problems["zero.csv"]
