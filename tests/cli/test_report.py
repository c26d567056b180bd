"""``gddcast report``: writes one page, whole or not at all, from a file or from a season book."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main

LARKHOLLOW = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
ON = ("--on", "2026-06-11")
WATCH = ("--watch", "squash-vine-borer,squash-bug")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["report", *words])


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


def test_of_a_file(here: Path) -> None:
    """Written beside us under its day; a second run makes the same bytes."""
    assert run(str(LARKHOLLOW), *ON, *WATCH).exit_code == 0
    page = (here / "report-2026-06-11.html").read_bytes()
    assert b"Squash vine borer" in page
    assert run(str(LARKHOLLOW), *ON, *WATCH, "-o", "again.html").exit_code == 0
    assert (here / "again.html").read_bytes() == page


def test_writes_over_nothing_unasked(here: Path) -> None:
    (here / "mine.html").write_text("mine")
    refused = run(str(LARKHOLLOW), *ON, *WATCH, "-o", "mine.html")
    assert refused.exit_code == 3
    assert "--force" in refused.stderr
    assert (here / "mine.html").read_text() == "mine"
    assert run(str(LARKHOLLOW), *ON, *WATCH, "-o", "mine.html", "--force").exit_code == 0
    assert (here / "mine.html").read_text().startswith("<!DOCTYPE html>")


def test_of_a_book() -> None:
    """Its name at the top, its own scale; without weather it is refused with a cure."""
    setup = [
        "setup", "--name", "Larkhollow Patch", "--at", "41.2,-89.4", "--timezone",
        "America/Chicago", "--show", "C", "--no-input",
    ]  # fmt: skip
    assert CliRunner().invoke(main, setup).exit_code == 0
    refused = run("--book", "larkhollow-patch", *ON)
    assert refused.exit_code == 3
    assert "gddcast weather add" in refused.stderr
    Path("garden.csv").write_text(
        "".join(
            row
            for row in LARKHOLLOW.read_text(encoding="utf-8").splitlines(keepends=True)
            if row < "2026-06-11" or not row[0].isdigit()
        )
    )
    book = ["--book", "larkhollow-patch"]
    added = CliRunner().invoke(main, ["weather", "add", "garden.csv", *book, *ON])
    assert added.exit_code == 0, added.stderr
    assert run(*book, *ON, *WATCH, "-o", "book.html").exit_code == 0
    page = Path("book.html").read_text(encoding="utf-8")
    assert "<h1>Larkhollow Patch</h1>" in page
    assert "°C-days, above 10 °C" in page


def test_without_file_or_book_it_says_how() -> None:
    refused = run(*ON)
    assert refused.exit_code == 3
    assert "gddcast setup" in refused.stderr
