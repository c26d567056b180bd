"""Names of a class list and words of a sheet typed back that are markup, formulas, escapes."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.acceptance.terminal import BORER, run
from tests.farms.test_hostile_names import CALENDAR, ESCAPES, FORMULA, HIDDEN, MARKUP, TURNED
from tests.farms.twelve import as_csv, farm
from tests.markup import Markup

NAMES = (MARKUP, FORMULA, TURNED, ESCAPES, CALENDAR)
ON = ("--on", "2026-06-11")


def written(file: Path, header: list[str], *rows: list[str]) -> Path:
    """A table as somebody types it."""
    with file.open("w", encoding="utf-8", newline="") as page:
        csv.writer(page).writerows([header, *rows])
    return file


def is_text(file: Path, *names: str) -> None:
    """A page whose words are words, by a second reader of HTML."""
    html = file.read_text(encoding="utf-8")
    page = Markup(html)
    assert "script" not in page.tags
    assert not {name for name in page.attributes if name.startswith("on")}
    flat = " ".join(page.text.split())
    for name in names:
        assert name in flat, name
    assert not set(html) & HIDDEN


def no_formula(file: Path) -> None:
    """A table in which a spreadsheet finds nothing to run."""
    with file.open(encoding="utf-8", newline="") as page:
        cells = [cell for row in csv.reader(page) for cell in row]
    assert not [each for each in cells if each.startswith(("=", "+", "@", "\t", "\r"))]


def test_students_of_such_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    written(Path("names.csv"), ["student"], *([each] for each in NAMES))
    run("lesson", "class", "--students", "names.csv", "-o", "class.html")
    for page in ("class.html", "class-key.html"):
        is_text(Path(page), MARKUP, FORMULA, CALENDAR)
    no_formula(Path("class-key.csv"))
    with Path("class-key.csv").open(encoding="utf-8", newline="") as file:
        key = list(csv.DictReader(file))
    answers = [[each["student"], each["sheet"], each["A"], each["B"], ""] for each in key]
    written(Path("answers.csv"), ["student", "sheet", "A", "B", "C"], *answers)
    said = run("lesson", "mark", "class-key.csv", "answers.csv").stdout
    assert "5 sheets: 10 of 15 answers right." in said
    assert not set(said) & HIDDEN
    for ending in ("html", "csv"):
        run("lesson", "mark", "class-key.csv", "answers.csv", "-o", f"marks.{ending}")
    is_text(Path("marks.html"), MARKUP, FORMULA, CALENDAR)
    no_formula(Path("marks.csv"))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book whose finds, of a sheet typed back, have such words."""
    book, weather = tmp_path / "patch", tmp_path / "weather.csv"
    weather.write_text(as_csv(farm(0)), encoding="utf-8")
    run("setup", "--book", str(book), "--name", "Patch", "--at", "41.2,-89.4", "--timezone",
        "America/Chicago", "--show", "F", "--no-input")  # fmt: skip
    run("weather", "add", str(weather), "--book", str(book), "--no-input", *ON)
    run("watch", "add", BORER, "--book", str(book), *ON)
    day = dt.date(2026, 6, 9)
    rows = [[str(at), BORER, "moths", name, str(day), "20", "3", "", name]
            for at, name in enumerate(NAMES, start=1)]  # fmt: skip
    sheet = written(
        tmp_path / "week.csv",
        ["number", "pest", "stage", "bed", "day", "looked", "saw", "count", "note"], *rows,
    )  # fmt: skip
    run("saw", "--from", str(sheet), "--book", str(book), "--yes", "--no-input", *ON)
    return book


def test_finds_of_such_beds(book: Path, tmp_path: Path) -> None:
    here = ("--book", str(book), *ON)
    for words in (("walk",), ("walk", "--full"), ("why", BORER, "moths")):
        assert not set(run(*words, *here).stdout) & HIDDEN, words
    for page in ("report", "sheet"):
        run(page, "-o", str(tmp_path / f"{page}.html"), *here)
        is_text(tmp_path / f"{page}.html")
    run("calendar", "-o", str(tmp_path / "looks.ics"), *here)
    text = (tmp_path / "looks.ics").read_bytes().decode()
    assert not set(text) & HIDDEN
    assert Calendar.from_ical(text).walk("VEVENT")
    run("export", str(tmp_path / "out"), "--book", str(book))
    with (tmp_path / "out" / "sighting.csv").open(encoding="utf-8", newline="") as file:
        notes = [row["note"] for row in csv.DictReader(file)]
    assert notes == [f"'{each}" if each == FORMULA else each for each in NAMES]
