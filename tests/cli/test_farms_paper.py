"""Twelve farms on paper: letter, map, sheets, visits."""

from __future__ import annotations

import csv
import html
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from tests.farms.twelve import ON, PEST, SEVEN, laid_out, twelve

BROKEN = ("Hazel Gap", "Ivy Copy", "Juniper Late", "Kestrel", "Larch Page")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return laid_out(twelve(tmp_path_factory.mktemp("farms") / "twelve"))


def farms(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["farms", *map(str, words)])


def written(folder: Path, out: Path, command: str, *more: str) -> str:
    run = farms(command, folder, *ON, "-o", out, *more)
    assert run.exit_code == 0, run.output
    for name in ("Kestrel", "Larch Page"):
        assert f"{name} " in run.stderr  # said, and no other hidden by it
    return out.read_text(encoding="utf-8")


def words_of(page: str) -> str:
    """What people read of a page, drawings read aloud and all."""
    bare = html.unescape(re.sub(r"<style.*?</style>|<[^>]+>", " ", page, flags=re.S))
    return re.sub(r"\s+", " ", bare)


def test_a_letter_names_no_farm_unless_asked(folder: Path, tmp_path: Path) -> None:
    page = written(folder, tmp_path / "letter.html", "letter")
    assert [name for name in (*SEVEN, *BROKEN) if name in page] == []
    said = words_of(page)
    copies = ("read exactly as at AR: a copy?", "patched · reads as IC")
    for each in ("1 AR", "7 GP", "IC", *copies, "K and LP"):
        assert each in said
    named = words_of(written(folder, tmp_path / "named.html", "letter", "--names"))
    assert [name for name in (*SEVEN, *BROKEN) if name not in named] == []


def test_the_letter_ranks_as_the_board_does(folder: Path, tmp_path: Path) -> None:
    board = farms("ahead", folder, *ON).stdout
    page = words_of(written(folder, tmp_path / "letter.html", "letter", "--names"))
    for line in board.splitlines()[2:9]:
        rank, name, day, span = re.split(r"\s{2,}", line.strip())
        assert f"{rank} {name} {day} {span.partition(' · ')[0]}" in page


def test_the_map_shows_every_farm_and_what_ails_it(folder: Path, tmp_path: Path) -> None:
    page = written(folder, tmp_path / "map.html", "map")
    said = words_of(page)
    for each in (*SEVEN, *BROKEN, "needs your eye", "can’t be read", "to come", " km"):
        assert each in said
    assert (
        "Not on the map, without a place of their own: Dry Creek, Kestrel and Larch Page." in said
    )
    assert "http" not in re.sub(r"http://www.w3.org/\S+", "", page)  # nothing is fetched


def test_a_map_alone_is_a_drawing(folder: Path, tmp_path: Path) -> None:
    drawing = written(folder, tmp_path / "map.svg", "map")
    root = ElementTree.fromstring(drawing)
    assert root.tag.endswith("svg")
    assert "Gull Point" in drawing


def test_a_map_without_any_place_is_refused_and_nothing_written(tmp_path: Path) -> None:
    folder = twelve(tmp_path / "twelve")
    text = re.sub(r"(latitude|longitude) = .*\n", "", (folder / "farms.toml").read_text("utf-8"))
    (folder / "farms.toml").write_text(text, encoding="utf-8")
    run = farms("map", folder, *ON, "-o", tmp_path / "map.svg")
    assert run.exit_code == 3
    assert "no farm has a place of its own" in run.stderr
    assert not (tmp_path / "map.svg").exists()


def test_a_sheet_a_farm_in_one_file(folder: Path, tmp_path: Path) -> None:
    page = written(folder, tmp_path / "sheets.html", "sheets")
    titles = re.findall(r"<h1>(.*?)</h1>", page)
    assert sorted(titles) == sorted((*SEVEN, "Hazel Gap", "Ivy Copy", "Juniper Late"))
    named = re.findall(r'\bid="([^"]+)"', page)
    assert len(set(named)) == len(named)


def test_where_no_farm_can_be_read_nothing_is_written(tmp_path: Path) -> None:
    folder = tmp_path / "none"
    folder.mkdir()
    (folder / "a.csv").write_text("<!DOCTYPE html><html></html>\n", encoding="utf-8")
    for command in ("letter", "map", "sheets"):
        out = tmp_path / f"{command}.html"
        run = farms(command, folder, *ON, "-o", out)
        assert run.exit_code == 3
        assert "a can’t be read" in run.stderr or "a has no sheet" in run.stderr
        assert not out.exists()


def test_a_file_that_is_there_is_kept(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "there.html"
    out.write_text("mine", encoding="utf-8")
    for command in ("letter", "map", "sheets", "visits"):
        assert (
            farms(command, folder, *([] if command == "visits" else ON), "-o", out).exit_code == 3
        )
    assert out.read_text(encoding="utf-8") == "mine"


def test_visits_of_one_client_as_a_table(tmp_path: Path) -> None:
    """What was typed as a formula is words; the other client's looks stay away."""
    folder = tmp_path / "books"
    for name in ("Two Ponds", "Oak"):
        run = CliRunner().invoke(
            main, ["setup", "--book", str(folder / name), "--name", name, "--at", "41,-89",
                   "--timezone", "America/Chicago", "--show", "F", "--no-input"],
        )  # fmt: skip
        assert run.exit_code == 0, run.output
    entry = ("squash-vine-borer", "moths", "--trap", "--count", "3", "--nights", "7", "--by", "JK")
    for farm, more in (("Two Ponds", ("--note", "=1+1")), ("Oak", ())):
        run = farms("saw", folder, farm, *entry, "--seen", "2026-06-09", *more, "--no-input")
        assert run.exit_code == 0, run.output
    assert farms("visits", folder, "two ponds", "-o", tmp_path / "one.csv").exit_code == 0
    with (tmp_path / "one.csv").open(encoding="utf-8", newline="") as file:
        (look,) = csv.DictReader(file)
    assert look == {
        "farm": "Two Ponds", "day": "2026-06-09", "who": "JK", "pest": PEST, "stage": "moths",
        "found": "yes", "sure": "yes", "bed": "", "plants_looked": "", "plants_with": "",
        "count": "3", "in_trap": "yes", "nights": "7", "note": "'=1+1",
    }  # fmt: skip
    assert farms("visits", folder, "-o", tmp_path / "all.csv").exit_code == 0
    assert len((tmp_path / "all.csv").read_text(encoding="utf-8").splitlines()) == 3
    late = farms("visits", folder, "-o", tmp_path / "late.csv", "--since", "2026-06-10")
    assert late.exit_code == 0
    assert len((tmp_path / "late.csv").read_text(encoding="utf-8").splitlines()) == 1


def test_visits_need_a_book(folder: Path, tmp_path: Path) -> None:
    for more in ((), ("Gull Point",)):
        run = farms("visits", folder, *more, "-o", tmp_path / "visits.csv")
        assert run.exit_code == 3
        assert "season book" in run.stderr
    assert not (tmp_path / "visits.csv").exists()
