"""Names of farms that are markup, formulas, escapes and turned text, read by second parsers."""

from __future__ import annotations

import csv
import json
import re
import shutil
import unicodedata
from pathlib import Path
from xml.etree import ElementTree

import pytest
from icalendar import Calendar

from tests.acceptance.terminal import BORER, run, setting
from tests.farms.twelve import ON, as_csv, farm
from tests.markup import Markup

MARKUP = "<script>run()</script></title></svg></style>'\" onload=x &lt; oak"
FORMULA = '=HYPERLINK("http://127.0.0.1/";"a")'
TURNED = "pond \u202egnp.\u2066 end"
ESCAPES = "hill\x1b[31m\x1b]52;c;cm0=\x07 end"
CALENDAR = "a;b,c\\d BEGIN:VALARM"
HIDDEN = set("\u202e\u2066\x1b\x07")
NAMES = (MARKUP, FORMULA, TURNED, ESCAPES, CALENDAR)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A farm of each name with a file, a place of its own and a book that has a look in it."""
    folder = tmp_path_factory.mktemp("farms") / "five"
    folder.mkdir()
    tables = [f'watch = ["{BORER}"]\nshow = "F"\n']
    for number, name in enumerate(NAMES):
        (folder / f"f{number}.csv").write_text(as_csv(farm(number)), encoding="utf-8")
        tables.append(
            f'[farm.{json.dumps(name)}]\nfile = "f{number}.csv"\n'
            f'latitude = 41.{number}\nlongitude = -89.{number}\ntimezone = "America/Chicago"\n'
        )
    book = folder / "kept"
    run("setup", "--book", str(book), "--name", "Kept", "--at", "41.9,-89.9", "--timezone",
        "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", str(folder / "f0.csv"), "--book", str(book), "--no-input", *ON)
    run("watch", "add", BORER, "--book", str(book), *ON)
    for name in (MARKUP, FORMULA, CALENDAR):
        run("saw", BORER, "moths", "--trap", "--count", "1", "--nights", "3", "--where", name,
            "--note", name, "--by", name, "--seen", "2026-06-09", "--book", str(book), "--yes",
            "--no-input", *ON)  # fmt: skip
    tables.append(f'[farm.{json.dumps(FORMULA + " kept")}]\nfile = "kept"\n')
    (folder / "farms.toml").write_text("\n".join(tables), encoding="utf-8")
    return folder


def _hidden(text: str) -> set[str]:
    return {each for each in text
            if unicodedata.category(each) in ("Cc", "Cf", "Zl", "Zp") and each != "\n"}  # fmt: skip


@pytest.mark.parametrize("command", ["ahead", "check", "compare"])
def test_on_the_screen_nothing_hidden_and_every_farm_by_name(folder: Path, command: str) -> None:
    pest = ("--pest", BORER) if command == "compare" else ()
    said = run("farms", command, str(folder), *pest, *ON).stdout
    assert _hidden(said) == set()
    assert "=HYPERLINK" in said
    assert "<script>" in said


@pytest.mark.parametrize("words", [("letter", "--names"), ("map",), ("sheets",)])
def test_on_paper_they_are_text(folder: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    out = tmp_path / "out.html"
    run("farms", words[0], str(folder), *ON, *words[1:], "-o", str(out))
    html = out.read_text(encoding="utf-8")
    page = Markup(html)
    assert "script" not in page.tags
    assert not {name for name in page.attributes if name.startswith("on")}
    assert page.tags.count("style") == html.count("</style>")
    flat = " ".join(page.text.split())
    for name in (MARKUP, FORMULA, CALENDAR):
        assert name in flat, name
    assert not set(html) & HIDDEN
    for drawing in re.findall(r"<svg.*?</svg>", html, re.DOTALL):
        names = {part.tag.rpartition("}")[2] for part in ElementTree.fromstring(drawing).iter()}
        assert "script" not in names


def test_a_map_alone_is_well_formed(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "map.svg"
    run("farms", "map", str(folder), *ON, "-o", str(out))
    root = ElementTree.parse(out).getroot()
    assert "script" not in {part.tag.rpartition("}")[2] for part in root.iter()}
    words = "".join(root.itertext())
    assert MARKUP[:20] in words
    assert not set(words) & HIDDEN


def test_visits_hold_no_formula_and_every_word(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "visits.csv"
    run("farms", "visits", str(folder), "-o", str(out))
    with out.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 3
    cells = [cell for row in rows for cell in row.values()]
    assert not [each for each in cells if each.startswith(("=", "+", "@", "\t", "\r"))]
    assert {row["note"] for row in rows} == {MARKUP, f"'{FORMULA}", CALENDAR}
    assert {row["farm"] for row in rows} == {f"'{FORMULA} kept"}


def test_for_programs_they_are_as_they_stand(folder: Path) -> None:
    answer = json.loads(run("farms", "ahead", str(folder), *ON, "--json").stdout)
    assert {each["name"] for each in answer["farms"]} >= {MARKUP, FORMULA, CALENDAR}


@pytest.mark.parametrize("name", [MARKUP, TURNED, ESCAPES, CALENDAR])
def test_a_chart_and_a_calendar_of_such_a_place_are_whole(
    folder: Path, tmp_path: Path, name: str
) -> None:
    book = ("--book", str(tmp_path / "patch"))
    shutil.copytree(folder / "kept", tmp_path / "patch")
    setting(tmp_path / "patch", 'name = "Kept"', f"name = {json.dumps(name)}")
    run("calendar", *book, *ON, "-o", str(tmp_path / "looks.ics"))
    text = (tmp_path / "looks.ics").read_bytes().decode()
    assert not set(text) & HIDDEN
    assert Calendar.from_ical(text).walk("VEVENT")
    run("chart", "season", *book, *ON, "-o", str(tmp_path / "season.svg"))
    root = ElementTree.parse(tmp_path / "season.svg").getroot()
    assert not set("".join(root.itertext())) & HIDDEN
