"""Kill every command that writes, at a random moment: all it had said is there, nothing by half.

    python -m tests.faults.kill_commands --kills 1000 --from 0

Kill number N is always the same command after the same share of that time, so a long run can be
cut and resumed behind the last number it printed. A command is first let run to its end: then it
is known what it changes, and when it begins to: kills fall from shortly before that to shortly
after its end. Killed with SIGKILL, each file must be as it was before or as it is
afterwards, the book must open with the entries of before or those of afterwards, with the latter
if the command had given its answer, and the next entry must find no lock. Each command is a fork
of one warm process, so that the kill meets its work and not its start. `kill_writers` kills one
growing book under its library.
"""

from __future__ import annotations

import argparse
import collections
import contextlib
import datetime as dt
import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from gddcast.book import store
from gddcast.book.opening import open_book
from gddcast.cli import main as gddcast
from gddcast.errors import Refusal
from tests.acceptance.terminal import BORER, run
from tests.farms.twelve import as_csv, farm

DAY = dt.date(2026, 6, 11)
ON = ("--on", str(DAY))
#: The moment of everything, so that two runs of a command write the same.
NOON = dt.datetime(2026, 6, 11, 12, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
BOOK = ("--book", "patch", *ON)
NEW = ("--name", "New", "--timezone", "America/Chicago", "--show", "F", "--no-input")
COMMANDS: dict[str, tuple[str, ...]] = {
    "saw": ("saw", BORER, "moths", "--where", "row 2", *BOOK),
    "saw a sheet": ("saw", "--from", "week.csv", *BOOK),
    "did": ("did", "sown", "beet", *BOOK),
    "undo": ("undo", "2026-004", "--yes", *BOOK),
    "redo": ("redo", "2026-003", *BOOK),
    "watch": ("watch", "add", "cabbage-looper", *BOOK),
    "setup": ("setup", "--book", "new", *NEW),
    "weather add": ("weather", "add", "later.csv", "--no-input", *BOOK),
    "weather again": ("weather", "again", "--no-input", *BOOK),
    "weather note": ("weather", "note", "--high", "80", "--low", "60", *BOOK),
    "weather patch": ("weather", "patch", "farms/North.csv", "--from", "farms/South.csv", "-o",
                      "patched.csv", "--no-input", *ON),
    "import": ("import", "copy", "--book", "new"),
    "export": ("export", "out", "--book", "patch"),
    "sheet": ("sheet", "-o", "sheet.html", *BOOK),
    "report": ("report", "-o", "season.html", *BOOK),
    "calendar": ("calendar", "-o", "looks.ics", *BOOK),
    "calendar again": ("calendar", "-o", "old.ics", "--watch", "cucumber", *BOOK),
    "farms add": ("farms", "add", "farms", "--weather", "downloads", "--yes", *ON),
    "farms setup": ("farms", "setup", "farms", "--from", "list.csv", "--force"),
    "farms saw": ("farms", "saw", "farms", "Kept", BORER, "moths", *ON),
    "farms patch": ("farms", "patch", "farms", "North", "--from", "South", "--yes", *ON),
    "book restore": ("book", "restore", "--book", "patch"),
    "damaged restore": ("book", "restore", "--book", "damaged"),
    "book rescue": ("book", "rescue", "saved", "--export", "copy", "--book", "damaged"),
}  # fmt: skip
#: Files made on the way; a kill may leave them, and nothing reads them.
_ON_THE_WAY = (".half", "-wal", "-shm", "-journal")
_FOLDERS = (".new-book-", ".import-", ".export-")
#: Folders with settings and no record.
_EXPORTS = ("copy/", "out/")

State = dict[str, object]


def make(folder: Path) -> Path:
    """Where the commands are given: a book, a damaged one, an export, and three farms."""
    folder.mkdir()
    with inside(folder):
        early, later = Path("early.csv"), Path("later.csv")
        series = farm(0).between(dt.date(2023, 1, 1), DAY)
        early.write_text(as_csv(series.before(dt.date(2026, 6, 1))))
        run("setup", "--book", "patch", "--at", "41.2,-89.4", *NEW)
        run("watch", "add", BORER, *BOOK)
        run("weather", "add", "early.csv", "--no-input", *BOOK)
        run("did", "sown", "beet", "--done", "2026-05-01", *BOOK)
        run("saw", BORER, "moths", "--seen", "2026-06-09", *BOOK)
        run("undo", "2026-003", "--yes", *BOOK)
        run("export", "copy", "--book", "patch")
        store.copy(Path("patch/book.sqlite"), Path("patch/book-copy-2026-06-10.sqlite"))
        run("saw", "none", *BOOK)
        run("calendar", "-o", "old.ics", *BOOK)
        shutil.copytree("patch", "damaged")
        record = Path("damaged/book.sqlite")
        record.write_bytes(
            record.read_bytes().replace(b"America", b"Amerika").replace(b"beet", b"bent")
        )
        later.write_text(as_csv(series))
        early.write_text(as_csv(series.before(dt.date(2026, 6, 8))))
        Path("week.csv").write_text(
            "pest,stage,bed,day,looked,saw,count,note\n"
            f"{BORER},moths,row 1,2026-06-10,20,3,,\nsquash-bug,eggs,,2026-06-10,20,0,,\n"
        )
        farms, downloads = Path("farms"), Path("downloads")
        farms.mkdir()
        downloads.mkdir()
        shutil.copytree("patch", "farms/Kept")
        south, north = (as_csv(farm(n).between(dt.date(2025, 1, 1), DAY)) for n in (1, 2))
        (farms / "South.csv").write_text(south)
        (downloads / "South.csv").write_text(as_csv(farm(1).between(dt.date(2024, 9, 1), DAY)))
        (downloads / "Kept.csv").write_text(as_csv(series))
        rows = north.splitlines(keepends=True)
        (farms / "North.csv").write_text("".join(rows[:200] + rows[212:]))
        (farms / "farms.toml").write_text('show = "F"\n')
        Path("list.csv").write_text(
            "name,latitude,longitude\nNorth,41,-89\nSouth,41.1,-89\nKept,41,-89\n"
        )
    return folder


@contextlib.contextmanager
def inside(folder: Path) -> Iterator[None]:
    """There, at the one moment."""
    before = Path.cwd()
    os.chdir(folder)
    with mock.patch("gddcast.cli.clock.now", return_value=NOON), \
            mock.patch("gddcast.cli.book_here.now", return_value=NOON):  # fmt: skip
        try:
            yield
        finally:
            os.chdir(before)


def state(folder: Path) -> State:
    """What every file says: of a record its rows, of any other its bytes."""
    found: State = {}
    for file in sorted(folder.rglob("*")):
        name = file.relative_to(folder).as_posix()
        on_the_way = name.endswith(_ON_THE_WAY) or any(each in name for each in _FOLDERS)
        if file.is_file() and not on_the_way:
            found[name] = _rows(file) if file.suffix == ".sqlite" else file.read_bytes()
    return found


def _rows(file: Path) -> object:
    if "damaged" in file.parts:
        return file.read_bytes()
    with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as record:
        assert record.execute("PRAGMA integrity_check").fetchall() == [("ok",)], file
        assert record.execute("PRAGMA foreign_key_check").fetchall() == [], file
        tables = record.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        return {
            table: sorted(map(repr, record.execute(f"SELECT * FROM {table}")))
            for (table,) in tables
        }


@dataclass(frozen=True, slots=True)
class Course:
    """A command that was let run to its end: what it changed; when it began to, how long it took.

    Both are in seconds from its beginning.
    """

    before: State
    after: State
    took: float
    begun: float = 0.0


def given(
    folder: Path,
    words: tuple[str, ...],
    patience: float | None = None,
    watch: Callable[[], None] = lambda: None,
) -> bool:
    """Give a command in a fork and kill it after a while; whether its answer had come."""
    reads, writes = os.pipe()
    child = os.fork()
    if not child:  # pragma: no cover
        os.close(reads)
        code = 1
        with contextlib.suppress(BaseException):
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
            code = _done(folder, words)
        os.write(writes, b"%d" % code)
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads, "rb") as pipe:
        if patience is not None:
            time.sleep(patience)
            os.kill(child, signal.SIGKILL)
        watch()
        answer = pipe.read()
    os.waitpid(child, 0)
    assert answer in (b"", b"0"), f"{' '.join(words)} failed with {answer!r}"
    return answer == b"0"


def written(folder: Path) -> dict[str, tuple[int, int]]:
    """Size and time of each file that a command writes; readers of a record make an empty log."""
    found = {}
    for file in folder.rglob("*"):
        with contextlib.suppress(FileNotFoundError):  # gone in this moment
            now = file.stat()
            if now.st_size and not file.name.endswith("-shm"):
                found[str(file)] = now.st_mtime_ns, now.st_size
    return found


def _done(folder: Path, words: tuple[str, ...]) -> int:
    with inside(folder):
        try:
            gddcast.main(list(words), standalone_mode=True)
        except SystemExit as end:
            return int(end.code or 0)
    return 0


def fault(was: Course, now: State, *, answered: bool) -> str:
    """What is wrong after a kill; empty where nothing is."""
    for name in {*was.before, *was.after, *now}:
        known = [each.get(name) for each in (was.before, was.after)]
        if answered and now.get(name) != was.after.get(name):
            return f"{name} is not as the command had said"
        if now.get(name) not in known:
            return f"{name} is there by half"
    for name in now:
        is_book = name.endswith("/book.toml") and not name.startswith(_EXPORTS)
        if is_book and name.replace(".toml", ".sqlite") not in now:
            return f"{name} has no record"
    return ""


def books(folder: Path) -> Iterator[Path]:
    """Every book that should be sound."""
    for settings in folder.rglob("book.toml"):
        parts = settings.relative_to(folder).parts
        if not {"damaged", "copy", "out"} & set(parts) and not any(p[0] == "." for p in parts):
            yield settings.parent


@dataclass
class Killer:
    """Kills in a folder of its own; each kind's course is known from its first run."""

    folder: Path

    def __post_init__(self) -> None:
        self.world = make(self.folder / "world")
        self.courses: dict[str, Course] = {}

    def course(self, kind: str) -> Course:
        """The command run to its end: twice, for the first finds nothing warm."""
        if kind not in self.courses:
            took = 0.0
            for _ in range(2):
                with self._copy() as here:
                    before, start = state(here), time.perf_counter()
                    assert given(here, COMMANDS[kind]), kind
                    took = time.perf_counter() - start
                    after = state(here)
            assert after != before, f"{kind} writes nothing"
            self.courses[kind] = Course(before, after, took, self._begun(kind, took))
        return self.courses[kind]

    def _begun(self, kind: str, took: float) -> float:
        """When it begins to write."""
        with self._copy() as here:
            untouched, start = written(here), time.perf_counter()
            begun = took

            def watch() -> None:
                nonlocal begun
                while (begun := time.perf_counter() - start) < took and written(here) == untouched:
                    time.sleep(0.001)

            given(here, COMMANDS[kind], watch=watch)
        return min(begun, 0.7 * took)  # what is written last of all still takes some time

    def kill(self, number: int) -> tuple[str, str]:
        """Kill number N: the kind of command, and where the kill fell."""
        kind = list(COMMANDS)[number % len(COMMANDS)]
        course = self.course(kind)
        share = random.Random(f"kill {number}").uniform(-0.1, 1.1)
        moment = max(course.begun + share * (course.took - course.begun), 0.0)
        with self._copy() as here:
            untouched = written(here)
            answered = given(here, COMMANDS[kind], moment)
            is_touched, now = written(here) != untouched, state(here)
            wrong = fault(course, now, answered=answered)
            assert not wrong, f"kill {number}, {kind}: {wrong}"
            for book in books(here):
                with open_book(book).writing(NOON, DAY, trust_clock=True) as pen:
                    pen.withdraw() if open_book(book).entries() else None
        if answered or now == course.after:
            return kind, "answered" if answered else "done"
        between = "under way" if is_touched else "not begun"  # what is not done is not to be seen
        return kind, between if now == course.before else "between"

    @contextlib.contextmanager
    def _copy(self) -> Iterator[Path]:
        here = self.folder / "here"
        shutil.copytree(self.world, here)
        try:
            yield here
        finally:
            shutil.rmtree(here)


def main() -> int:
    """Kill as often as asked, and say where the kills fell."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--from", type=int, default=0, dest="first")
    asked = parser.parse_args()
    fell: dict[str, collections.Counter[str]] = {}
    failures = 0
    with tempfile.TemporaryDirectory() as folder:
        killer = Killer(Path(folder))
        for number in range(asked.first, asked.first + asked.kills):
            try:
                kind, where = killer.kill(number)
            except (AssertionError, Refusal) as error:
                failures += 1
                print(f"{number}: {error}", flush=True)
                continue
            fell.setdefault(kind, collections.Counter())[where] += 1
            print(f"{number} {kind}: {where}", flush=True)
    for kind, row in fell.items():
        print(f"{kind:16}" + ", ".join(f"{count} {where}" for where, count in sorted(row.items())))
    print(f"{asked.kills} kills, {failures} failures.")
    return int(failures > 0)


if __name__ == "__main__":
    sys.exit(main())
