"""What was killed half-way is finished or gone; of two at once neither is lost."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gddcast.book import exchange, leftovers, store
from gddcast.book.exchange import export_book, import_book
from gddcast.book.founding import create_book
from gddcast.book.opening import open_book
from gddcast.book.setting_text import change_settings
from gddcast.book.settings import Settings, read_settings
from gddcast.errors import Refusal
from gddcast.journal.entries import Job
from tests.book.places import HERE, NOW, TODAY, new_book
from tests.book.test_exchange import full_book

SETTER = """
import sys
from pathlib import Path
from gddcast.book.setting_text import change_settings
for number in range(20):
    change_settings(Path(sys.argv[1]) / "book.toml", {("looking", sys.argv[2]): number + 1})
"""


def test_two_who_change_settings_at_once_both_keep_theirs(tmp_path: Path) -> None:
    new_book(tmp_path)
    keys = ("every_days", "look_again_days", "dust_again_days")
    setters = [subprocess.Popen([sys.executable, "-c", SETTER, str(tmp_path), key]) for key in keys]
    assert [setter.wait(timeout=60) for setter in setters] == [0, 0, 0]
    habits = read_settings(tmp_path / "book.toml").habits
    assert [getattr(habits, key) for key in keys] == [20, 20, 20]


def test_whoever_changes_settings_waits_for_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Known truth: with the record held by another, the text is not even read."""
    book = new_book(tmp_path)
    monkeypatch.setattr(store.writing.__wrapped__, "__defaults__", (0.05,))  # type: ignore[attr-defined]
    with (
        store.writing(book.records),
        pytest.raises(Refusal, match="somebody else is writing into it"),
    ):
        change_settings(tmp_path / "book.toml", {("show", "temperature"): "C"})
    assert read_settings(tmp_path / "book.toml").show == "F"


def test_of_two_new_books_in_one_folder_one_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other comes in between the look and the making, and keeps what it recorded."""
    first = tmp_path / "garden"
    put_beside = store.put_beside

    def late(fresh: Path, file: Path) -> None:
        monkeypatch.setattr(store, "put_beside", put_beside)
        full_book(first)
        put_beside(fresh, file)

    monkeypatch.setattr(store, "put_beside", late)
    with pytest.raises(Refusal, match="there is a season book in it"):
        create_book(first, Settings(HERE))
    assert len(open_book(first).entries()) == 7


def test_an_import_killed_before_its_last_step_is_finished_by_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = full_book(tmp_path / "garden")
    export_book(book, tmp_path / "copy", NOW)
    again = tmp_path / "again"
    again.mkdir()
    settle = exchange.settle
    monkeypatch.setattr(exchange, "settle", _killed)
    with pytest.raises(KeyboardInterrupt, match="killed"):
        import_book(tmp_path / "copy", again)
    monkeypatch.setattr(exchange, "settle", settle)
    assert [each.name for each in again.iterdir()] == ["book.sqlite"]
    assert import_book(tmp_path / "copy", again).entries() == book.entries()
    assert sorted(each.name for each in again.iterdir()) == ["book.sqlite", "book.toml"]


def _killed(*_: object) -> None:
    raise KeyboardInterrupt("killed")


def test_a_record_of_something_else_is_not_taken_for_that_import(tmp_path: Path) -> None:
    export_book(full_book(tmp_path / "garden"), tmp_path / "copy", NOW)
    other = new_book(tmp_path / "other")
    with other.writing(NOW, TODAY) as pen:
        pen.add(Job("rained", TODAY))
    (other.folder / "book.toml").unlink()
    before = other.records.read_bytes()
    with pytest.raises(Refusal, match="there is a season book in it"):
        import_book(tmp_path / "copy", other.folder)
    assert other.records.read_bytes() == before


IMPORTER = """
import sys
from gddcast.book import exchange
real = exchange._fill
def slow(*arguments):
    real(*arguments)
    print("filled", flush=True)
    sys.stdin.read()
exchange._fill = slow
exchange.import_book(sys.argv[1], sys.argv[2])
"""


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL is a signal of POSIX")
def test_what_a_killed_import_left_is_gone_with_the_next_writing(tmp_path: Path) -> None:
    export_book(full_book(tmp_path / "garden"), tmp_path / "copy", NOW)
    again = tmp_path / "again"
    with subprocess.Popen(
        [sys.executable, "-c", IMPORTER, str(tmp_path / "copy"), str(again)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as importer:  # fmt: skip
        assert importer.stdout is not None
        assert importer.stdout.readline() == "filled\n"
        importer.send_signal(signal.SIGKILL)
    (left,) = again.iterdir()
    assert left.name.startswith(".import-")
    book = import_book(tmp_path / "copy", again)
    assert left.exists()  # it might still be running
    _make_old(left)
    with book.writing(NOW, TODAY):
        pass
    assert sorted(each.name for each in again.iterdir()) == ["book.sqlite", "book.toml"]


def _make_old(folder: Path) -> None:
    past = time.time() - leftovers.ABANDONED - 60
    for each in (*folder.rglob("*"), folder):
        os.utime(each, (past, past))


def test_only_what_is_ours_is_removed(tmp_path: Path) -> None:
    """A folder of the same name with somebody's own file in it stays."""
    for name, file in (
        (".import-abcd1234", "book/book.sqlite"), (".new-book-abcd_123", "book.sqlite-wal"),
        (".export-abcd1234", "export/job.csv"), (".import-abcdefgh", "book/garden.xlsx"),
        (".import-mine", "book/book.sqlite"), ("import-abcd1234", "book.sqlite"),
        (".export-abcdefgh", "job.csv/mine.txt"),
    ):  # fmt: skip
        path = tmp_path / name / file
        path.parent.mkdir(parents=True)
        path.touch()
        _make_old(tmp_path / name)
    leftovers.sweep(tmp_path)
    assert sorted(each.name for each in tmp_path.iterdir()) == [
        ".export-abcdefgh", ".import-abcdefgh", ".import-mine", "import-abcd1234",
    ]  # fmt: skip


def test_a_private_book_toml_stays_private(tmp_path: Path) -> None:
    new_book(tmp_path)
    file = tmp_path / "book.toml"
    file.chmod(0o600)
    change_settings(file, {("show", "temperature"): "C"})
    assert file.stat().st_mode & 0o077 == 0
