"""What people type into a book comes out of every file as words, and runs nowhere."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from icalendar import Calendar

from gddcast.cli import main
from tests.markup import Markup

GARDEN = Path(__file__).parents[1] / "samples" / "larkhollow_2014_2026_f.csv"
ON = ("--on", "2026-06-11")
BAD = '=<script>{}</script>"; , \\ </style>'


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A book in which every free word is markup and a formula."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    shutil.copy(GARDEN, tmp_path / "garden.csv")
    where = ("--book", "patch")
    for words in (
        ("setup", "--name", BAD.format("place"), "--at", "41.2,-89.4", "--timezone",
         "America/Chicago", "--show", "F", "--no-input", *where),
        ("weather", "add", "garden.csv", *where, *ON),
        ("did", "sown", BAD.format("crop"), "--done", "2026-05-20", *where, *ON),
        ("did", "sown", "cucumber", "--done", "2026-05-21", "--bed", BAD.format("bed"),
         "--variety", BAD.format("variety"), "--name", BAD.format("sowing"),
         "--note", BAD.format("note"), *where, *ON),
        ("did", "first-flower", BAD.format("sowing"), "--note", BAD.format("job"), *where, *ON),
        ("saw", "squash-bug", "eggs", "--seen", "2026-06-10", "--clean", "2026-06-08",
         "--where", BAD.format("where"), "--note", BAD.format("find"), "--no-input", *where, *ON),
        ("heard", "squash-vine-borer", "moths", "--note", BAD.format("heard"), *where, *ON),
    ):  # fmt: skip
        done = CliRunner().invoke(main, words)
        assert done.exit_code == 0, f"{words}: {done.output} {done.exception!r}"
    return "patch"


def run(*words: str) -> None:
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.stderr


def test_in_the_report_they_are_text(book: str) -> None:
    watch = ("--watch", "squash-bug,squash-vine-borer,striped-cucumber-beetle")
    run("report", "--book", book, *ON, *watch, "-o", "report.html")
    html = Path("report.html").read_text(encoding="utf-8")
    page = Markup(html)
    assert "script" not in page.tags
    assert page.tags.count("style") == 1
    for field in ("place", "bed", "variety", "where", "find", "heard"):
        assert BAD.format(field) in page.text, field


def test_in_the_sheet_they_are_text(book: str) -> None:
    run("sheet", "--book", book, *ON, "--watch", "squash-bug,squash-vine-borer", "-o", "s.html")
    page = Markup(Path("s.html").read_text(encoding="utf-8"))
    assert "script" not in page.tags
    assert page.tags.count("style") == 1
    for field in ("place", "bed", "sowing"):
        assert BAD.format(field) in page.text, field


def test_in_the_calendar_they_are_text(book: str) -> None:
    run("calendar", "--book", book, *ON, "--watch", "squash-vine-borer", "-o", "out.ics")
    text = Path("out.ics").read_bytes().decode("utf-8")
    lines = text.replace("\r\n ", "").split("\r\n")
    assert all(line.split(":")[0].split(";")[0].replace("-", "").isupper() for line in lines[:-1])
    assert Calendar.from_ical(text).walk("VEVENT")


def test_in_the_export_no_cell_runs_and_all_come_back(book: str) -> None:
    run("export", "out", "--book", book)
    cells = []
    for file in Path("out").glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as page:
            cells += [cell for row in csv.reader(page) for cell in row]
    assert not [each for each in cells if each.startswith(("=", "+", "@", "\t", "\r"))]
    assert [each for each in cells if each.startswith("'=<script>")]
    run("import", "out", "--book", "again")
    run("report", "--book", book, *ON, "-o", "one.html")
    run("report", "--book", "again", *ON, "-o", "two.html")
    assert Path("one.html").read_bytes() == Path("two.html").read_bytes()
