"""Kill whoever writes into a season book, at a random moment, again and again.

    python tests/faults/kill_writers.py --kills 1000 --seed 1

A writer adds finds, weather and withdrawals, or brings an old book up to date, and says what it
has done only after it is done. It is killed with SIGKILL. Then the book must open, hold every
entry that was said to be written, and hold no entry by half. What this does not show is a loss
of power: the operating system goes on writing what a killed process left with it.
"""

from __future__ import annotations

import argparse
import datetime as dt
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import IO

import numpy as np

from gddcast.book import schema, store
from gddcast.book.founding import create_book
from gddcast.book.opening import Book, Pen, open_book
from gddcast.book.settings import Settings
from gddcast.book.weather_rows import WeatherSource
from gddcast.journal.entries import Sighting
from gddcast.weather.series import DailySeries, Place

TODAY = dt.date(2026, 6, 25)
PLACE = Place("Larkhollow Patch", 41.2, -89.4, None, "America/Chicago")
#: Days a writer brings at once.
DAYS = 60
#: Numbers one writer may use: a multiple of three, so that each begins with a find.
NUMBERS = 99_999
#: Entries of the old book that is brought up to date.
OLD = 300


def write_forever(folder: Path, first: int) -> None:
    """The writer: entries with running numbers, each acknowledged once it is written."""
    print("ready", flush=True)
    book = open_book(folder)
    for number in range(first, first + NUMBERS):
        now = dt.datetime.now().astimezone()
        with book.writing(now, TODAY, trust_clock=True) as pen:
            said = _write(pen, number)
        print(said, flush=True)


def _write(pen: Pen, number: int) -> str:
    if number % 3 == 0:
        name = pen.add(Sighting("squash-bug", "eggs", TODAY, note=f"find {number}"))
        return f"saw {name} {number}"
    if number % 3 == 1:
        brought = pen.weather(_weather(number), WeatherSource(f"file {number}", "C", "header"))
        return f"weather {brought.entry} {number}"
    return f"undo {pen.withdraw(note=f'undo {number}').name} {number}"


def _weather(number: int) -> DailySeries:
    low = np.full(DAYS, number / 1000.0)
    return DailySeries(dt.date(2020, 1, 1), low, low + 10.0, place=PLACE)


def migrate(folder: Path) -> None:
    """The other writer: opens an old book, which brings it up to date."""
    print("ready", flush=True)
    open_book(folder)
    print("migrated", flush=True)


def kill_one(mode: str, folder: Path, first: int, patience: float) -> list[str]:
    """Start a writer, kill it after a while, and hear what it had said."""
    command = [sys.executable, __file__, mode, str(folder), str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n", "the writer did not start"
        time.sleep(patience)
        writer.send_signal(signal.SIGKILL)
        return _heard(writer.stdout)


def _heard(pipe: IO[str]) -> list[str]:
    # What was cut off in the middle of a line was not said.
    return [line.rstrip("\n") for line in pipe if line.endswith("\n")]


def check(book: Book, said: list[str]) -> None:
    """Everything said is there, whole; nothing is there by half."""
    with store.reading(book.records) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        sizes = connection.execute(
            "SELECT count(day) FROM weather_source LEFT JOIN weather_day USING (entry) "
            "GROUP BY entry"
        ).fetchall()
    assert {size for (size,) in sizes} <= {DAYS}, f"weather by half: {sizes}"
    there = {entry.name: entry for entry in book.entries()}
    assert all(entry.item or entry.source for entry in there.values()), "an entry of nothing"
    for line in said:
        kind, name, number = line.split()
        entry = there[name]
        if kind == "saw":
            assert isinstance(entry.item, Sighting)
            assert entry.item.note == f"find {number}", f"{line}: {entry}"
        elif kind == "weather":
            assert entry.source == f"file {number}", f"{line}: {entry}"
        else:
            assert entry.withdrawn_at is not None, f"{line}: {entry}"
            assert entry.note == f"undo {number}", f"{line}: {entry}"


def kill_writers(kills: int, folder: Path, chance: random.Random) -> Iterator[list[str]]:
    """Kill writers of one growing book; yields what all so far had said after each kill."""
    book = create_book(folder, Settings(PLACE))
    said: list[str] = []
    for kill in range(kills):
        said += kill_one("write", folder, kill * NUMBERS, chance.expovariate(1 / 0.03))
        check(open_book(folder), said)
        extra = len(book.entries()) - sum(not line.startswith("undo") for line in said)
        # A kill between the disk and the word may leave one entry more than was said.
        assert 0 <= extra <= kill + 1, f"{extra} entries nobody wrote"
        yield said


def kill_migrations(kills: int, folder: Path, chance: random.Random) -> Iterator[bool]:
    """Kill while an old book is brought up to date; yields whether it had come to that."""
    for kill in range(kills):
        here = folder / str(kill)
        create_book(here, Settings(PLACE)).records.unlink()
        _old_record(here / "book.sqlite")
        said = kill_one("migrate", here, 0, chance.uniform(0.0, 0.012))
        with closing(sqlite3.connect(here / "book.sqlite")) as connection:
            (version,) = connection.execute("PRAGMA user_version").fetchone()
        assert version in (1, schema.VERSION), f"version {version}"
        if said:
            assert version == schema.VERSION, "said to be migrated, and is not"
        copy = here / "book-before-version-2.sqlite"
        assert version == 1 or copy.exists(), "migrated without a copy"
        if copy.exists():
            with closing(sqlite3.connect(copy)) as old:
                assert old.execute("PRAGMA integrity_check").fetchone() == ("ok",)
                assert old.execute("SELECT count(*) FROM job").fetchone() == (OLD,)
        assert len(open_book(here).entries()) == OLD
        yield version > 1


def _old_record(file: Path) -> None:
    """A record as version 1 wrote it, with entries."""
    steps, version = schema.STEPS, schema.VERSION
    schema.STEPS, schema.VERSION = steps[:1], 1  # type: ignore[assignment]
    try:
        store.create(file)
    finally:
        schema.STEPS, schema.VERSION = steps, version  # type: ignore[assignment]
    with closing(sqlite3.connect(file)) as old, old:
        for number in range(1, OLD + 1):
            old.execute(
                "INSERT INTO entry VALUES (?, ?, '2025-06-01T08:00:00-05:00')",
                (number, f"2025-{number:03d}"),
            )
            old.execute(
                "INSERT INTO job VALUES (?, 'watered', '2025-06-01', NULL, NULL, NULL)", (number,)
            )


def main() -> None:
    """Kill as often as told, and say what came of it."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--kills", type=int, default=1000)
    words.add_argument("--seed", type=int, default=1)
    told = words.parse_args()
    chance = random.Random(told.seed)
    with tempfile.TemporaryDirectory() as folder:
        writers = told.kills * 3 // 4
        said = list(kill_writers(writers, Path(folder) / "garden", chance))
        print(f"{writers} writers killed; {len(said[-1]):,} entries said to be written, all there.")
        came = list(kill_migrations(told.kills - writers, Path(folder) / "old", chance))
        print(f"{len(came)} migrations killed; {sum(came)} had come through, the others had not "
              "begun; every entry there, every copy whole.")  # fmt: skip


if __name__ == "__main__":
    if sys.argv[1:2] == ["write"]:
        write_forever(Path(sys.argv[2]), int(sys.argv[3]))
    elif sys.argv[1:2] == ["migrate"]:
        migrate(Path(sys.argv[2]))
    else:
        main()
