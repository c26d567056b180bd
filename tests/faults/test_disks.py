"""A full disk, a folder for reading only, a clock set back: said in three parts, nothing halved."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from gddcast.book.opening import open_book
from tests.acceptance.terminal import BORER, SAMPLES, WHOLE, flat, refused, run, setting
from tests.faults.disks import fill, small_disk, takes_no_writing

ON = ("--on", "2026-06-11")
OTHER = str(SAMPLES / "farm_two_ponds_f.csv")
#: Everything that writes, once into a book and once beside it.
INTO_THE_BOOK = [
    ("saw", "none", *ON),
    ("saw", BORER, "moths", "--seen", "2026-06-10", *ON),
    ("heard", "squash-bug", "eggs", *ON),
    ("did", "sown", "beet", *ON),
    ("undo", *ON),
    ("watch", "add", "squash-bug", *ON),
    ("weather", "add", OTHER, "--no-input", *ON),
    ("weather", "note", "--high", "80", *ON),
    ("setup", "--sensor-spot", "open-shade"),
]
BESIDE_IT = [
    ("report", *ON, "-o", "season.html"),
    ("lesson", "worksheet", "--seed", "3", "-o", "sheet.html"),
    ("lesson", "errors", "--seed", "3", "-o", "class.csv"),
    ("weather", "patch", OTHER, "-o", "patched.csv", *ON),
    ("export", "out"),
    ("sheet", *ON, "-o", "week.html"),
    ("calendar", *ON, "-o", "looks.ics"),
    ("setup", "--book", "new", "--name", "New", "--timezone", "UTC", "--show", "F", "--no-input"),
    ("demo", "--copy", "demo-book"),
]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with weather, a sowing and a clean look."""
    folder = tmp_path_factory.mktemp("made") / "patch"
    book = ("--book", str(folder))
    run("setup", *book, "--name", "Patch", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
        "--show", "F", "--no-input")  # fmt: skip
    setting(folder, "watch = []", f'watch = ["{BORER}"]')
    run("weather", "add", str(WHOLE), *book, *ON)
    run("did", "sown", "beet", "--done", "2026-05-01", *book, *ON)
    return folder


@pytest.fixture
def disk(tmp_path: Path, made: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A small disk with the book on it, and we are there."""
    folder = tmp_path / "disk"
    with small_disk(folder):
        shutil.copytree(made, folder / "patch")
        monkeypatch.chdir(folder)
        monkeypatch.delenv("GDDCAST_BOOK", raising=False)
        yield folder
        monkeypatch.undo()  # leave it before it goes


def tree(folder: Path) -> dict[str, bytes]:
    """Every file, but for those SQLite keeps beside a book while it is open."""
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file() and not file.name.endswith(("-wal", "-shm"))
    }


def test_a_full_disk(disk: Path) -> None:
    walk = run("walk", *ON).stdout
    filled = fill(disk)
    before = tree(disk)
    for words in INTO_THE_BOOK + BESIDE_IT:
        said = refused(*words)
        assert "the disk is full" in said, words
        assert "Make some room, then run the same command again." in said, words
        assert tree(disk) == before, words
        assert not (disk / "new").exists()
    # What only reads goes on; and with room again, everything does.
    assert run("walk", *ON).stdout == walk
    filled.unlink()
    for words in INTO_THE_BOOK[:-1] + BESIDE_IT:
        run(*words)


def test_a_folder_for_reading_only(disk: Path) -> None:
    walk = run("walk", *ON).stdout
    with takes_no_writing(disk):
        before = tree(disk)
        assert run("walk", *ON).stdout == walk
        for words in INTO_THE_BOOK + BESIDE_IT:
            said = flat(refused(*words))
            assert any(why in said for why in ("can’t be written", "read-only", "Choose a folder"))
            assert tree(disk) == before, words


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="/dev/full is Linux's")
def test_an_answer_nobody_has_room_for(made: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "gddcast", "walk", "--book", str(made), *ON],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=60,
        )  # fmt: skip
    assert done.returncode == 3
    assert done.stderr.startswith("Can’t use what the answer is written to: the disk is full.\n")
    assert len(done.stderr.splitlines()) == 3


@pytest.mark.skipif(os.name != "posix", reason="limits of a process are those of POSIX")
@pytest.mark.parametrize(
    "words", [("report", OTHER, *ON, "-o", "season.html"), ("setup", "--book", "new", "--name",
              "New", "--timezone", "UTC", "--show", "F", "--no-input")], ids=lambda each: each[0],
)  # fmt: skip
def test_a_file_that_may_not_grow_is_not_left_by_half(tmp_path: Path, words: tuple[str]) -> None:
    """Twelve kilobytes and no more, for any user: what a quota does."""
    import resource

    def limited() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (12_288, 12_288))

    done = subprocess.run(
        [sys.executable, "-B", "-m", "gddcast", *words],
        cwd=tmp_path, capture_output=True, text=True, check=False, timeout=60, preexec_fn=limited,
    )  # fmt: skip
    assert done.returncode == 3, done.stderr
    assert "Can’t use " in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.rglob("*")) == []


def test_a_clock_set_back(made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A battery gone flat over the winter: asked for the day, which then is believed."""
    book = tmp_path / "patch"
    shutil.copytree(made, book)
    here = ("--book", str(book))
    entries = len(open_book(book).entries())
    written = max(entry.entered_at for entry in open_book(book).entries())
    flat_battery = written - dt.timedelta(days=400)
    monkeypatch.setattr("gddcast.cli.book_here.now", lambda: flat_battery)
    monkeypatch.setattr("gddcast.cli.book_here.today_at", lambda _place: flat_battery.date())
    for words in (("saw", "none"), ("did", "rained"), ("weather", "note", "--high", "50")):
        said = refused(*words, *here)
        assert "before the last entry of the book" in said
        assert f"{written:%Y-%m-%d}" in said
        assert "--on" in said
    assert len(open_book(book).entries()) == entries
    run("saw", "none", *here, *ON)
    assert len(open_book(book).entries()) == entries + 1
