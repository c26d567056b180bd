"""The commands that look after the book, as a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from gddcast.book import store
from tests.cli.test_book_commands import book, flat, here, run, weathered  # noqa: F401


def damage(records: Path) -> None:
    """A word of an entry changed by the disk."""
    raw = records.read_bytes()
    assert b"squash-bug" in raw
    records.write_bytes(raw.replace(b"squash-bug", b"squash-bog"))


@pytest.fixture
def logged(weathered: Path) -> Path:  # noqa: F811
    """A book with weather, a find, a copy of both, and a second find."""
    assert run("saw", "squash-bug", "eggs", "--on", "2026-06-25").exit_code == 0
    store.copy(weathered / "book.sqlite", weathered / "book-copy-2026-06-25.sqlite")
    assert run("saw", "squash-bug", "eggs", "--on", "2026-06-26").exit_code == 0
    return weathered


def test_a_sound_book_says_so_and_names_its_copies(logged: Path) -> None:
    answer = run("book", "check")
    assert answer.exit_code == 0
    assert flat(answer).startswith("Sound: 3 entries, each as it was written; the last was written")
    assert "copy book-copy-2026-06-25.sqlite: 2 entries, to " in answer.stdout


def test_a_damaged_book_sends_to_the_rescue_which_saves_it(logged: Path) -> None:
    damage(logged / "book.sqlite")
    refused = run("book", "check")
    assert refused.exit_code == 3
    assert "gddcast book rescue NEWDIR --book larkhollow-patch" in " ".join(refused.output.split())
    saved = run("book", "rescue", "saved")
    assert saved.exit_code == 0, saved.output
    assert flat(saved).startswith(
        "Saved 2 entries into saved. From a copy: 2026-002. Lost: 2026-003."
    )
    assert run("book", "check", "--book", "saved").exit_code == 0
    walk = run("walk", "--book", "saved", "--on", "2026-06-26")
    assert walk.exit_code == 0, walk.output


def test_what_a_rescue_has_lost_the_last_export_brings(logged: Path) -> None:
    assert run("export", "copy").exit_code == 0
    damage(logged / "book.sqlite")
    asked = "Should an export of yours have them: gddcast book rescue NEWDIR --export DIR --book"
    assert asked in flat(run("book", "rescue", "saved"))
    whole = run("book", "rescue", "whole", "--export", "copy", "--book", str(logged))
    assert whole.exit_code == 0, whole.output
    assert flat(whole).startswith(
        "Saved 3 entries into whole. From a copy or the export: 2026-002, 2026-003. Next:"
    )
    assert flat(run("book", "check", "--book", "whole")).startswith("Sound: 3 entries")


def test_going_back_says_where_the_record_is_and_can_be_taken_back(logged: Path) -> None:
    answer = run("book", "restore")
    assert answer.exit_code == 0, answer.output
    assert "Back to copy book-copy-2026-06-25.sqlite: 2 entries" in answer.stdout
    assert flat(run("book", "check")).startswith("Sound: 2 entries")
    (aside,) = logged.glob("book-replaced-*.sqlite")
    assert f"gddcast book restore {aside.name}" in flat(answer)
    assert run("book", "restore", aside.name).exit_code == 0
    assert flat(run("book", "check")).startswith("Sound: 3 entries")


def test_a_record_that_is_gone_comes_back_from_its_copy(logged: Path) -> None:
    (logged / "book.sqlite").unlink()
    refused = run("walk", "--book", str(logged))
    assert "gddcast book restore --book" in refused.output
    assert run("book", "restore", "--book", str(logged)).exit_code == 0
    assert flat(run("book", "check")).startswith("Sound: 2 entries")


def test_where_there_is_no_copy_it_says_what_there_is(book: Path) -> None:  # noqa: F811
    answer = run("book", "restore")
    assert answer.exit_code == 3
    assert "no sound copy of the record stands in it" in answer.output


def test_another_file_is_no_copy(logged: Path) -> None:
    (logged / "garden.sqlite").write_bytes(b"mine")
    answer = run("book", "restore", "garden.sqlite")
    assert answer.exit_code == 3
    assert "These are: book-copy-2026-06-25.sqlite." in answer.output
