"""The demo: an invented place to look at, and its book to play with."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner, Result

from gddcast.cli import main


def run(*arguments: str) -> Result:
    """One command, its two streams apart."""
    return CliRunner().invoke(main, list(arguments))


def test_a_copy_is_a_book_like_any_other(tmp_path: Path) -> None:
    """It can be walked and written into, and shows what the demo shows."""
    patch = str(tmp_path / "patch")
    made = run("demo", "--copy", patch)
    assert made.exit_code == 0, made.output
    assert "an invented place" in made.stdout
    said = run("walk", "--book", patch, "--on", "2026-06-11", "--json")
    shown = run("demo", "--json")
    assert _items(said.stdout) == _items(shown.stdout)
    logged = run("saw", "squash-bug", "eggs", "--book", patch, "--on", "2026-06-11")
    assert logged.exit_code == 0, logged.output


def test_a_copy_never_falls_on_a_book(tmp_path: Path) -> None:
    """Refused, the book there untouched."""
    patch = str(tmp_path / "patch")
    run("demo", "--copy", patch)
    before = (tmp_path / "patch" / "book.sqlite").read_bytes()
    again = run("demo", "--copy", patch)
    assert again.exit_code == 3
    assert "never written over" in again.stderr
    assert (tmp_path / "patch" / "book.sqlite").read_bytes() == before


def _items(answer: str) -> object:
    return json.loads(answer)["items"]
