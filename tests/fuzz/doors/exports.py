"""Exports of a book, edited: what is imported is exported again, and has to say the same."""

from __future__ import annotations

import csv
import io
import json
import random
import tempfile
from collections import Counter
from collections.abc import Hashable, Iterator
from functools import cache
from pathlib import Path

from gddcast.book.exchange import export_book, import_book
from tests.book.places import NOW
from tests.book.test_checksums import whole_book
from tests.fuzz.doors.known_file import NONSENSE, KnownFile, damaged

Facts = tuple[Hashable, ...]
#: Sheets whose rows speak of days, and a column of numbers in each.
_NUMBERS = {
    "weather_day.csv": "tmin_c",
    "forecast_day.csv": "tmax_c",
    "own_goal.csv": "goal_c_days",
}


@cache
def _pages() -> dict[str, str]:
    with tempfile.TemporaryDirectory() as folder:
        book = whole_book(Path(folder) / "garden")
        out = Path(folder) / "out"
        export_book(book, out, NOW)
        return {each.name: each.read_bytes().decode() for each in out.iterdir()}


def export(chance: random.Random) -> KnownFile:
    """A folder as one file: its pages by name."""
    pages = {name: text.replace("\r\n", "\n") for name, text in _pages().items()}
    known = KnownFile("export", "export.json", b"", Counter(_facts(pages)), _read, "read")
    sheets = [name for name, text in pages.items() if name.endswith(".csv") and "\n" in text[:-1]]
    what = chance.choice(("", "number", "nonsense", "lost row", "semicolons", "marks", "heading",
                          "no sheet", "damage"))  # fmt: skip
    name = chance.choice(sheets)
    if what in ("number", "nonsense"):
        name = chance.choice([each for each in _NUMBERS if each in sheets])
        rows = list(csv.reader(io.StringIO(pages[name])))
        column = rows[0].index(_NUMBERS[name])
        full = [at for at, row in enumerate(rows) if at and row[column]]
        at = chance.choice(full)
        rows[at][column] = (
            repr(round(float(rows[at][column]) + chance.choice((-0.25, 0.25)), 4))
            if what == "number"
            else chance.choice(NONSENSE)
        )
        pages[name] = _text(rows)
        known.must = "" if what == "number" else "refuse"
        known.facts = Counter(_facts(pages))
    elif what == "lost row":
        rows = list(csv.reader(io.StringIO(pages[name])))
        del rows[chance.randrange(1, len(rows))]
        pages[name], known.must = _text(rows), "refuse"  # export.toml counts them
    elif what == "semicolons":
        rows = list(csv.reader(io.StringIO(pages[name])))
        pages[name] = _text(rows, ";")
    elif what == "marks":
        pages[name] = "\ufeff" + pages[name].replace("\n", "\r\n")
    elif what == "heading":
        pages[name] = "x" + pages[name]
        known.must = "refuse"
    elif what == "no sheet":
        del pages[name]
        known.must = "refuse"
    elif what == "damage":
        raw = damaged(pages[name].encode(), chance)
        pages[name], known.must = raw.decode("utf-8", errors="surrogateescape"), "damage"
    known.changes = [what] if what else []
    known.raw = json.dumps(pages).encode()
    return known


def _text(rows: list[list[str]], delimiter: str = ",") -> str:
    page = io.StringIO()
    csv.writer(page, delimiter=delimiter, lineterminator="\n").writerows(rows)
    return page.getvalue()


def _facts(pages: dict[str, str]) -> Iterator[Facts]:
    for name, text in pages.items():
        if name.endswith(".csv"):
            for row in csv.reader(io.StringIO(text)):
                yield (name, *row)


def _read(path: Path) -> Iterator[Facts]:
    folder = path.parent / "export"
    folder.mkdir()
    for name, text in json.loads(path.read_bytes()).items():
        (folder / name).write_bytes(text.encode("utf-8", errors="surrogateescape"))
    book = import_book(folder, path.parent / "again")
    out = path.parent / "out"
    export_book(book, out, NOW)
    pages = {each.name: each.read_text(encoding="utf-8") for each in out.iterdir()}
    yield from _facts(pages)


TABLES = {"export": export}
