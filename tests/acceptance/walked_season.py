"""A season at the invented place: weather comes in 16 times, and every week is walked.

What was sown, done and seen is the demo's own of 2025; its first frost of that autumn falls before
the last walk.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from gddcast.book.exchange import import_book
from gddcast.book.opening import open_book
from gddcast.book.today import today_of
from gddcast.readers.card_files import load_cards
from gddcast.readers.opening import data_folder
from gddcast.text.dates.walk_by_bed import walk_by_bed_text
from gddcast.text.terminal import Terminal
from gddcast.today.beds import BedWalk
from tests.acceptance.terminal import run

CARDS = load_cards()
FIRST = dt.date(2025, 4, 7)  # a Monday
WEEKS = 29
#: Weeks in whose beginning the weather is brought in: every other one, in June and July each.
IMPORTS = (0, 2, 4, 6, 8, 9, 10, 11, 12, 13, 14, 15, 17, 20, 24, 28)
#: Six of the demo's pests, of its own crops and of kale.
WATCH = (
    "squash-vine-borer", "squash-bug", "striped-cucumber-beetle", "seedcorn-maggot",
    "cabbage-maggot", "imported-cabbageworm",
)  # fmt: skip


@dataclass(frozen=True)
class Walked:
    """One week's walk: what it holds, and the lines an 80-column terminal shows."""

    day: dt.date
    stale: bool
    walk: BedWalk
    lines: list[str]


@cache
def walked_season() -> tuple[Walked, ...]:
    """Every Monday's walk from spring to frost, in a new book."""
    with TemporaryDirectory(prefix="gddcast-season-") as folder:
        return tuple(_walked(Path(folder)))


def _walked(folder: Path) -> Iterator[Walked]:
    demo = data_folder() / "demo"
    book = folder / "brackenrise-patch"
    import_book(demo, book)
    _watch(book, WATCH)
    rows = (demo / "weather.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    for week in range(WEEKS):
        day = FIRST + dt.timedelta(weeks=week)
        if week in IMPORTS:
            known = [row for row in rows if row < str(day) or row.startswith("date")]
            file = folder / "weather.csv"
            file.write_text("".join(known), encoding="utf-8")
            run("weather", "add", str(file), "--book", str(book), "--on", str(day))
        today = today_of(open_book(book), day, CARDS)
        text = walk_by_bed_text(today, "F", terminal=Terminal(80))
        yield Walked(day, today.plan.is_stale, today.by_bed, text.split("\n"))
        run("walk", "--book", str(book), "--on", str(day))  # the book remembers what it told


def _watch(book: Path, names: tuple[str, ...]) -> None:
    settings = book / "book.toml"
    lines = settings.read_text(encoding="utf-8").splitlines()
    at = next(place for place, line in enumerate(lines) if line.startswith("watch = "))
    lines[at] = f"watch = {json.dumps(names)}"
    settings.write_text("\n".join(lines) + "\n", encoding="utf-8")
