"""How a record is opened and written: only a sound book, all or nothing, one writer at a time."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sqlite3
import subprocess
import sys
import textwrap
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from gddcast.book import schema, store
from gddcast.book.founding import create_book, with_new_record
from gddcast.book.opening import Book, open_book
from gddcast.book.settings import Settings
from gddcast.errors import Refusal
from gddcast.journal.entries import Closing, Job, OwnGoal, Sighting
from tests.book.places import HERE, NOW, TODAY, new_book

FIND = Sighting("squash-bug", "eggs", TODAY)


def test_a_book_is_two_files_and_keeps_none_open(tmp_path: Path) -> None:
    book = new_book(tmp_path / "garden")
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    assert sorted(file.name for file in book.folder.iterdir()) == ["book.sqlite", "book.toml"]


def test_the_file_says_what_it_is_and_writes_safely(tmp_path: Path) -> None:
    """WAL and synchronous FULL (2) are what SQLite documents as durable across power loss."""
    book = new_book(tmp_path)
    with store.writing(book.records) as connection:
        ask = {
            name: connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in (
                "application_id", "user_version", "journal_mode", "synchronous", "foreign_keys",
            )
        }  # fmt: skip
        strict = connection.execute(
            "SELECT name, strict FROM pragma_table_list WHERE schema = 'main' "
            "AND name NOT LIKE 'sqlite_%'"
        ).fetchall()
    assert ask == {
        "application_id": int.from_bytes(b"gddc", "big"),
        "user_version": schema.VERSION,
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
    }
    assert len(strict) == 13
    assert all(is_strict for _, is_strict in strict)


def test_rows_are_never_rewritten(tmp_path: Path) -> None:
    """Not by us, and not by another program that opens the file."""
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    with closing(sqlite3.connect(book.records)) as other:
        for statement in (
            "UPDATE sighting SET organism = 'leek-moth'",
            "DELETE FROM sighting",
            "UPDATE entry SET name = '2026-999'",
            "DELETE FROM entry",
        ):
            with pytest.raises(sqlite3.IntegrityError, match="added, never rewritten"):
                other.execute(statement)
    tables = [line.split()[2] for line in "".join(schema.STEPS).splitlines() if "TABLE" in line]
    for table in tables:
        assert "".join(schema.STEPS).count(f" ON {table} BEGIN") == 2, table


def test_a_failure_inside_writes_nothing(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for failure in (RuntimeError("half-way"), Refusal("this", "half-way", "…", "…")):
        with pytest.raises(type(failure), match="half-way"):
            _write_and_fail(book, failure)
    assert book.entries() == []


def _write_and_fail(book: Book, failure: Exception) -> None:
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
        raise failure


def test_nothing_is_written_over(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with pytest.raises(Refusal, match="there is a season book in it"):
        create_book(tmp_path, Settings(HERE))
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    (tmp_path / "book.toml").unlink()
    before = book.records.read_bytes()
    with pytest.raises(Refusal, match="there is a season book in it"):
        create_book(tmp_path, Settings(HERE))
    assert book.records.read_bytes() == before


def test_a_setup_that_was_cut_off_can_be_run_again(tmp_path: Path) -> None:
    store.create(tmp_path / "book.sqlite")  # killed before book.toml
    assert new_book(tmp_path).entries() == []


@pytest.mark.parametrize(
    ("content", "found", "slug"),
    [
        (b"", "it is empty", "not-a-book"),
        (b"date,max_f,min_f\n2026-05-01,70,50\n", "it is no SQLite file", "not-a-book"),
        ("another program's", "another program made it", "not-a-book"),
        ("cut in half", "it is damaged", "book-damaged"),
        ("a page overwritten", "it is damaged", "book-damaged"),
        ("of the future", "a later gddcast wrote it", "book-too-new"),
    ],
)
def test_what_is_no_sound_book_is_refused_and_left_alone(
    tmp_path: Path, content: bytes | str, found: str, slug: str
) -> None:
    """Three parts, and not a byte of the file is changed, whether we meant to read or write."""
    book = new_book(tmp_path)
    for _ in range(40):
        with book.writing(NOW, TODAY) as pen:
            pen.add(FIND)
    file = book.records
    if isinstance(content, bytes):
        file.write_bytes(content)
    elif content == "another program's":
        file.unlink()
        with closing(sqlite3.connect(file)) as other:
            other.execute("CREATE TABLE recipes (name TEXT)")
            other.commit()
    elif content == "cut in half":
        whole = file.read_bytes()
        file.write_bytes(whole[: len(whole) // 2])
    elif content == "a page overwritten":
        whole = bytearray(file.read_bytes())
        whole[4096 * 2 : 4096 * 3] = b"\x55" * 4096
        file.write_bytes(whole)
    else:
        with closing(sqlite3.connect(file)) as other:
            other.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    before = file.read_bytes()
    for attempt in (lambda: open_book(tmp_path), lambda: _write(book)):
        with pytest.raises(Refusal, match=found) as caught:
            attempt()
        assert caught.value.slug == slug
        assert len(str(caught.value).splitlines()) == 3
        assert str(file) in str(caught.value)
    assert file.read_bytes() == before


def _write(book: Book, note: str | None = None) -> None:
    with book.writing(NOW, TODAY) as pen:
        pen.add(replace(FIND, note=note))


def test_a_missing_record_is_not_made_anew_unasked(tmp_path: Path) -> None:
    new_book(tmp_path).records.unlink()
    with pytest.raises(Refusal, match=r"book\.sqlite: it is missing, while book\.toml is there"):
        open_book(tmp_path)
    assert not (tmp_path / "book.sqlite").exists()
    assert with_new_record(tmp_path).entries() == []


def test_a_folder_without_a_book_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="there is no season book in it"):
        open_book(tmp_path)


def _old_book(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A book as the first version wrote it."""
    with monkeypatch.context() as past:
        past.setattr(schema, "STEPS", schema.STEPS[:1])
        past.setattr(schema, "VERSION", 1)
        store.create(folder / "book.sqlite")
    with closing(sqlite3.connect(folder / "book.sqlite")) as connection:
        connection.execute("INSERT INTO entry VALUES (1, '2025-001', '2025-06-01T08:00:00-05:00')")
        connection.execute("INSERT INTO job VALUES (1, 'rained', '2025-06-01', NULL, NULL, 'old')")
        connection.commit()


def test_an_old_book_is_copied_and_then_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_book(tmp_path).records.unlink()
    _old_book(tmp_path, monkeypatch)
    book = open_book(tmp_path)
    assert [entry.item for entry in book.entries()] == [
        Job("rained", NOW.date().replace(year=2025, month=6, day=1), note="old", entry="2025-001")
    ]
    with book.writing(NOW, TODAY) as pen:  # a table and columns that were not there
        pen.add(Closing("squash-bug", "eggs", TODAY))
        pen.add(OwnGoal("squash-bug", "eggs", 5.0, 4.0, 6.0, TODAY, 1.0, 4, 10.0, None, "sine"))
    with store.reading(book.records) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (schema.VERSION,)
    copy = tmp_path / "book-before-version-2.sqlite"
    with closing(sqlite3.connect(copy)) as old:
        assert old.execute("PRAGMA user_version").fetchone() == (1,)
        assert old.execute("SELECT note FROM job").fetchall() == [("old",)]
        assert old.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    open_book(tmp_path)  # and only once
    assert sorted(file.name for file in tmp_path.iterdir()) == [
        "book-before-version-2.sqlite", f"book-copy-{TODAY}.sqlite", "book.sqlite", "book.toml",
    ]  # fmt: skip


def test_a_migration_that_fails_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    new_book(tmp_path).records.unlink()
    _old_book(tmp_path, monkeypatch)
    broken = (*schema.STEPS[:1], schema.STEPS[1] + "\nCREATE TABLE entry (name TEXT) STRICT;\n")
    with monkeypatch.context() as future:
        future.setattr(schema, "STEPS", broken)
        with pytest.raises(sqlite3.OperationalError, match="table entry already exists"):
            open_book(tmp_path)
    with closing(sqlite3.connect(tmp_path / "book.sqlite")) as old:
        assert old.execute("PRAGMA user_version").fetchone() == (1,)
        names = {name for (name,) in old.execute("SELECT name FROM sqlite_master")}
    assert "announcement" not in names


def test_who_finds_the_book_busy_waits_and_then_says_so(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    hurried = open_book(tmp_path, wait=0.05)
    with (
        book.writing(NOW, TODAY),
        pytest.raises(Refusal, match="somebody else is writing into it") as caught,
    ):
        _write(hurried)
    assert "Waited 0.05 seconds; nothing was recorded." in str(caught.value)
    # Reading never waits.
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
        assert hurried.journal().sightings == ()
    assert len(hurried.journal().sightings) == 1


WRITER = """
import datetime as dt, sys
from gddcast.book.opening import Book, open_book
from gddcast.journal.entries import Job
book = open_book(sys.argv[1], wait=60)
for number in range(int(sys.argv[3])):
    now = dt.datetime.now().astimezone()
    with book.writing(now, dt.date(2026, 6, 25), trust_clock=True) as pen:
        pen.add(Job("watered", dt.date(2026, 6, 25), bed=sys.argv[2], note=str(number)))
"""


def test_two_processes_write_at_once_and_every_entry_is_kept(tmp_path: Path) -> None:
    new_book(tmp_path)
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), name, "40"])
        for name in ("left", "right")
    ]
    assert [writer.wait(timeout=60) for writer in writers] == [0, 0]
    entries = open_book(tmp_path).entries()
    assert [entry.name for entry in entries] == [f"2026-{count:03d}" for count in range(1, 81)]
    for name in ("left", "right"):
        notes = [entry.item.note for entry in entries if entry.item and entry.item.bed == name]  # type: ignore[union-attr]
        assert notes == [str(number) for number in range(40)]


def test_a_full_disk_writes_nothing_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite reports a page limit as it reports a full disk: SQLITE_FULL."""
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    connected = store._connection

    def small(address: str, wait: float) -> sqlite3.Connection:
        connection = connected(address, wait)
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    monkeypatch.setattr(store, "_connection", small)
    with pytest.raises(Refusal, match="the disk is full") as caught:
        _write(book, note="x" * 100_000)
    assert caught.value.slug == "disk-full"
    monkeypatch.undo()
    assert len(book.entries()) == 1


READ_ONLY = textwrap.dedent("""
    import datetime as dt, os, sys
    from gddcast.book.opening import Book, open_book
    from gddcast.errors import Refusal
    from gddcast.journal.entries import Job
    open_book(sys.argv[1]).entries()  # loads what Python itself may not read any more
    if os.getuid() == 0:
        os.setuid(65534)  # the owner of everything may write everywhere
    book = open_book(sys.argv[1])
    print(len(book.entries()))
    try:
        with book.writing(dt.datetime.now().astimezone(), dt.date(2026, 6, 25)) as pen:
            pen.add(Job("rained", dt.date(2026, 6, 25)))
    except Refusal as refusal:
        print(refusal.slug)
        print(refusal)
""")


@pytest.mark.skipif(os.name != "posix", reason="file modes as POSIX has them")
def test_a_read_only_folder_can_be_read_and_says_that_it_takes_no_writing(tmp_path: Path) -> None:
    folder = tmp_path / "shared"
    book = new_book(folder)
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    above = [tmp_path, *(each for each in tmp_path.parents if each.owner() == tmp_path.owner())]
    modes = {each: each.stat().st_mode for each in above}
    try:
        for each in modes:
            each.chmod(each.stat().st_mode | 0o055)
        for file in folder.iterdir():
            file.chmod(0o444)
        folder.chmod(0o555)
        run = subprocess.run(
            [sys.executable, "-c", READ_ONLY, str(folder)],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
    finally:
        folder.chmod(0o755)
        for each, mode in modes.items():
            each.chmod(mode)
    count, slug, *refusal = run.stdout.splitlines()
    assert (count, slug) == ("1", "book-unwritable")
    assert len(refusal) == 3
    assert "Nothing was recorded." in refusal[1]


def test_a_clock_set_back_is_refused_until_the_day_is_said(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    earlier = NOW - dt.timedelta(days=30)
    with (
        pytest.raises(Refusal, match="before the last entry of the book") as caught,
        book.writing(earlier, earlier.date()) as pen,
    ):
        pen.add(FIND)
    assert caught.value.slug == "clock-set-back"
    assert "2026-06-25 at 19:30" in str(caught.value)
    with book.writing(earlier, earlier.date(), trust_clock=True) as pen:
        pen.add(FIND)
    assert len(book.entries()) == 2


def test_ten_minutes_between_two_clocks_are_no_clock_set_back(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    slow = NOW - dt.timedelta(minutes=10)
    with (
        pytest.raises(Refusal, match="before the last entry of the book"),
        book.writing(slow - dt.timedelta(seconds=1), TODAY) as pen,
    ):
        pen.add(FIND)
    with book.writing(slow, TODAY) as pen:
        pen.add(FIND)
    # Entries stay in the order of writing.
    assert [each.entered_at for each in book.entries()] == [NOW, slow]


def test_a_copied_folder_is_a_book(tmp_path: Path) -> None:
    book = new_book(tmp_path / "one")
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    shutil.copytree(tmp_path / "one", tmp_path / "two")
    assert open_book(tmp_path / "two").entries() == book.entries()


@pytest.mark.skipif(os.name != "posix", reason="Windows lets nobody replace an open file")
@pytest.mark.parametrize("when", ["before the entry", "after it", "taken away"])
def test_a_record_that_a_synced_folder_replaces_under_our_feet_is_no_place_for_an_entry(
    tmp_path: Path, when: str
) -> None:
    """Written into the old file it would be said to be kept, and be nowhere."""
    book = new_book(tmp_path / "garden")
    with book.writing(NOW, TODAY) as pen:
        pen.add(FIND)
    theirs = tmp_path / "theirs.sqlite"
    shutil.copy(book.records, theirs)

    def write() -> None:
        with book.writing(NOW, TODAY, trust_clock=True) as pen:
            if when == "before the entry":
                theirs.replace(book.records)
            pen.add(replace(FIND, note="lost?"))
            if when == "after it":
                theirs.replace(book.records)
            if when == "taken away":
                book.records.rename(tmp_path / "elsewhere.sqlite")

    with pytest.raises(Refusal, match="another file took its place") as caught:
        write()
    assert caught.value.slug == "book-replaced"
    if when == "taken away":
        (tmp_path / "elsewhere.sqlite").rename(book.records)
    assert [each.note for each in open_book(book.folder).journal().sightings] == [None]
    with book.writing(NOW, TODAY, trust_clock=True) as pen:
        pen.add(replace(FIND, note="again"))
    assert len(open_book(book.folder).journal().sightings) == 2
