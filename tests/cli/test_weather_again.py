"""``gddcast weather again``: the same file once more, from wherever the command is given."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.book import schema
from gddcast.book.exchange import export_book
from gddcast.book.opening import open_book
from gddcast.cli import main
from tests.book.places import NOW
from tests.online.played import playing

ON = ("--on", "2026-06-11")
SETUP = (
    "setup", "--name", "Larkhollow", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
    "--show", "F", "--no-input",
)  # fmt: skip
HIGHS = [70, 71, 72, 73, 74, 75, 76, 77]


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def write(file: Path, highs: list[int], columns: str = "date,max,min") -> None:
    days = (dt.date(2026, 6, 1) + dt.timedelta(days=at) for at in range(len(highs)))
    rows = (f"{day},{high},{high - 20}" for day, high in zip(days, highs, strict=True))
    file.write_text("\n".join([columns, *rows, ""]))


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book that took six days of a file that does not say its scale."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    assert run(*SETUP).exit_code == 0
    write(tmp_path / "garden.csv", HIGHS[:6])
    assert run("weather", "add", "garden.csv", "--unit", "F", *ON).exit_code == 0
    return tmp_path / "larkhollow"


def test_new_days_are_brought_and_revised_ones_named(book: Path) -> None:
    write(book.parent / "garden.csv", [70, 81, *HIGHS[2:]])
    answer = run("weather", "again", *ON)

    assert answer.exit_code == 0, answer.output
    assert answer.stdout.splitlines() == [
        "Brought 2 new days of garden.csv.  [entry 2026-002]",
        (
            "1 past day revised: 2 June high 71.0 °F → 81.0 °F and low 51.0 °F → 61.0 °F."
            "  Undo:  gddcast undo"
        ),
        "Weather record: SOUND",
        "Next:  gddcast walk",
    ]
    same = run("weather", "again", *ON)
    assert same.stdout.startswith(
        "Nothing new in garden.csv: the book knows its days already, to 8 June 2026.\n"
    )
    assert len(open_book(book).entries()) == 2


def test_a_new_forecast_is_no_new_day(book: Path) -> None:
    write(book.parent / "garden.csv", HIGHS)
    answer = run("weather", "again", "--on", "2026-06-06")
    assert "Brought a new forecast of garden.csv.  [entry 2026-002]" in answer.stdout
    assert "2 days of forecast, issued Sat 6 June" in answer.stdout


def test_a_book_and_its_file_can_move_together_and_hints_find_the_book(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = tmp_path / "elsewhere"
    there.mkdir()
    for each in (book, tmp_path / "garden.csv"):
        shutil.move(each, there)
    write(there / "garden.csv", HIGHS)
    (tmp_path / "apart").mkdir()
    monkeypatch.chdir(tmp_path / "apart")
    moved = there / "larkhollow"
    answer = run("weather", "again", "--book", str(moved), *ON)

    assert "Brought 2 new days of garden.csv." in answer.stdout
    assert answer.stdout.endswith(f"Next:  gddcast walk --book {moved}\n")
    monkeypatch.setenv("GDDCAST_BOOK", str(moved))
    assert run("weather", "again", *ON).stdout.endswith("Next:  gddcast walk\n")


def test_what_was_said_of_a_file_holds_for_it_alone(book: Path) -> None:
    write(book.parent / "logger.csv", [66, 67, 68], "date,max_f,min_f")
    add = ("weather", "add", "logger.csv", "--only-fill", *ON)
    assert run(*add).exit_code == 0  # every day is known: nothing is written, nor remembered
    write(book.parent / "garden.csv", HIGHS)
    assert "Brought 2 new days of garden.csv" in run("weather", "again", *ON).stdout
    write(book.parent / "logger.csv", [*[66] * 8, 77], "date,max_f,min_f")
    assert run(*add).exit_code == 0
    assert "Nothing new in logger.csv" in run("weather", "again", *ON).stdout
    sources = open_book(book).sources()
    assert dict(sources[-1].options) == {"only_fill": True}
    assert "Nothing new in garden.csv" in run("weather", "again", "garden.csv", *ON).stdout


def test_nothing_to_bring_again_is_refused_with_its_cure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(*SETUP).exit_code == 0
    answer = run("weather", "again", *ON)
    assert answer.exit_code == 3
    assert "it remembers no file of weather" in answer.stderr
    assert "gddcast weather add YOURFILE.csv" in answer.stderr


def test_a_file_that_is_gone_or_was_never_brought_is_refused(book: Path) -> None:
    answer = run("weather", "again", "other.csv", *ON)
    assert (answer.exit_code, "It is of garden.csv." in answer.stderr) == (3, True)
    (book.parent / "garden.csv").unlink()
    answer = run("weather", "again", *ON)
    assert answer.exit_code == 3
    assert "the file is gone" in answer.stderr
    assert "gddcast weather add garden.csv" in answer.stderr


def test_a_book_of_the_version_before_opens_and_remembers_from_now_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    at = next(n for n, step in enumerate(schema.STEPS) if "ADD COLUMN file" in step)
    with monkeypatch.context() as past:
        past.setattr(schema, "STEPS", schema.STEPS[:at])
        past.setattr(schema, "VERSION", at)
        assert run(*SETUP).exit_code == 0
        assert run("weather", "note", "--high", "70", *ON).exit_code == 0
    assert "it remembers no file" in run("weather", "again", *ON).stderr
    write(tmp_path / "garden.csv", HIGHS)
    assert run("weather", "add", "garden.csv", "--unit", "F", *ON).exit_code == 0
    assert "Nothing new in garden.csv" in run("weather", "again", *ON).stdout


def test_a_shared_copy_does_not_say_where_the_file_stood(book: Path, tmp_path: Path) -> None:
    export_book(open_book(book), tmp_path / "copy", NOW, shareable=True)
    sheet = (tmp_path / "copy" / "weather_source.csv").read_text()
    assert "garden" not in sheet
    export_book(open_book(book), tmp_path / "whole", NOW)
    assert "../garden.csv" in (tmp_path / "whole" / "weather_source.csv").read_text()


def test_a_fetched_file_is_fetched_again_first(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with playing() as town:
        for name, value in (
            ("GDDCAST_CACHE", str(tmp_path / "cache")), ("GDDCAST_WEATHER_FROM", town.address),
            ("GDDCAST_WAIT", "40"), ("TZ", "America/Denver"),
        ):  # fmt: skip
            monkeypatch.setenv(name, value)
        fetch = ("weather", "fetch", "--at", "40.41,-101.70", "--years", "1", "-o", "w.csv")
        assert run(*fetch, "--on", "2018-05-20").exit_code == 0
        assert run("weather", "add", "w.csv", "--on", "2018-05-20").exit_code == 0
        answer = run("weather", "again", "--on", "2018-06-01")

    assert answer.exit_code == 0, answer.output
    assert "Brought 12 new days of w.csv." in answer.stdout
