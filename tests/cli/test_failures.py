"""What is said when something fails never contradicts what has happened."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from gddcast import output_file
from gddcast.book import faults
from gddcast.book.opening import open_book
from gddcast.cli import main
from gddcast.errors import Refusal
from tests.book.places import new_book

ON = ("--on", "2026-06-11")
NOTE = ("weather", "note", "--high", "80", "--low", "60", "--book", "patch", *ON)
posix = pytest.mark.skipif(os.name != "posix", reason="streams are those of POSIX")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A book, and we are in the folder above it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return new_book(tmp_path / "patch").folder


def entries(book: Path) -> int:
    return len(open_book(book).entries())


def test_a_fault_after_an_entry_says_that_it_stands(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> str:
        raise ZeroDivisionError("of ours")

    monkeypatch.setattr("gddcast.cli.weather_add._changes", fails)
    answer = CliRunner().invoke(main, NOTE)
    assert answer.exit_code == 1
    assert entries(book) == 1
    assert "Nothing was written" not in answer.stderr
    assert f"Written before that, and whole: {Path('patch/book.sqlite')}." in answer.stderr


def test_a_fault_before_any_entry_says_so(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError("of ours")

    monkeypatch.setattr("gddcast.cli.weather_add._noted", fails)
    answer = CliRunner().invoke(main, NOTE)
    assert (answer.exit_code, entries(book)) == (1, 0)
    assert "  Nothing was written.\n" in answer.stderr


def test_a_book_that_was_not_finished_is_not_said_to_stand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its record was made, and cleaned away again."""
    monkeypatch.chdir(tmp_path)

    def fails(*_: object) -> None:
        raise faults.disk_full(Path("new/book.toml"))

    monkeypatch.setattr("gddcast.book.founding.write_settings", fails)
    words = ["setup", "--book", "new", "--name", "P", "--timezone", "UTC", "--show", "F"]
    answer = CliRunner().invoke(main, words)
    assert answer.exit_code == 3
    assert not Path("new").exists()
    assert "Written" not in answer.stderr


def test_of_two_files_the_one_that_stands_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("jars.csv").write_text("temperature,days\n18,28.2\n21.5,21.6\n25,16.1\n28,15.0\n")
    write = output_file.write_bytes

    def full(path: Path, content: bytes, *, force: bool = False) -> None:
        if path.suffix == ".toml":
            raise output_file._unwritable(path, OSError(28, "No space left on device"))
        write(path, content, force=force)

    monkeypatch.setattr(output_file, "write_bytes", full)
    words = ["thresholds", "jars.csv", "--unit", "C", "-o", "a.html", "--card", "a.toml"]
    answer = CliRunner().invoke(main, words)
    assert answer.exit_code == 3
    assert "Can’t use a.toml: the disk is full.\n  Nothing of it was written." in answer.stderr
    assert answer.stderr.endswith("  Written before that, and whole: a.html.\n")


def test_a_refusal_of_what_wrote_nothing_names_nothing(book: Path) -> None:
    answer = CliRunner().invoke(main, ["saw", "squash-bug", "--book", "patch", *ON])
    assert answer.exit_code == 3
    assert "Written" not in answer.stderr


def in_a_shell(words: tuple[str, ...], streams: str) -> subprocess.CompletedProcess[bytes]:
    command = f'exec "$0" -m gddcast "$@" {streams}'
    buffered = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    return subprocess.run(
        ["/bin/sh", "-c", command, sys.executable, *words], env=buffered,
        capture_output=True, check=False, timeout=60,
    )  # fmt: skip


@posix
@pytest.mark.parametrize("streams", [">&-", "2>&-", "<&- >&- 2>&-"])
def test_with_closed_streams_a_command_does_its_work(book: Path, streams: str) -> None:
    """And no file of a book is opened in the place of a stream that something writes to."""
    answer = in_a_shell(NOTE, streams)
    assert answer.returncode == 0, answer.stderr
    assert answer.stderr == b""
    assert entries(book) == 1
    assert in_a_shell(("pests", "no-such"), streams).returncode == 3


@posix
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a full device")
@pytest.mark.parametrize(("streams", "why"), [(">/dev/full", b"the disk is full"),
                                              ("1</dev/null", b"bad file descriptor")])  # fmt: skip
def test_an_answer_that_got_lost_says_what_was_done(book: Path, streams: str, why: bytes) -> None:
    answer = in_a_shell(NOTE, streams)
    assert answer.returncode == 3
    assert b"Exception ignored" not in answer.stderr
    assert why in answer.stderr
    assert b"it has done its work" in answer.stderr
    assert entries(book) == 1
    again = in_a_shell(NOTE, streams)
    assert b"nothing was written" in again.stderr
    assert entries(book) == 1


@posix
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a full device")
def test_a_refusal_nobody_can_hear_keeps_its_code(book: Path) -> None:
    assert in_a_shell(("pests", "no-such"), "2>/dev/full").returncode == 3
    assert in_a_shell(("saw", "--book", "patch"), ">/dev/full 2>/dev/full").returncode in (2, 3)


def test_a_refusal_for_programs_is_json(book: Path) -> None:
    words = ["walk", "--book", "none\u202e", "--json"]
    answer = CliRunner().invoke(main, words)
    assert answer.exit_code == 3
    assert "none\u202e" in json.loads(answer.stdout)["refusal"]["where"]
    assert "\u202e" not in answer.output


def test_every_door_that_writes_says_what_stands(book: Path) -> None:
    """A face of its own for each: page, export, settings, entry."""
    from gddcast import commits

    def made(*words: str) -> tuple[str, ...]:
        with pytest.MonkeyPatch.context() as patch:
            kept: list[tuple[str, ...]] = []
            patch.setattr(click.Context, "close", lambda _: kept.append(commits.commits()))
            answer = CliRunner().invoke(main, words)
        assert answer.exit_code == 0, answer.output
        return kept[-1]

    assert made(*NOTE) == (str(Path("patch/book.sqlite")),)
    assert made(*NOTE) == ()
    assert made("pests", "new", "-o", "a.toml") == ("a.toml",)
    assert made("export", "out", "--book", "patch") == ("out",)
    assert made("setup", "--book", "patch", "--show", "C") == (str(Path("patch/book.toml")),)
    with pytest.raises(Refusal, match="there is a file"):
        output_file.write_text(Path("a.toml"), "")
