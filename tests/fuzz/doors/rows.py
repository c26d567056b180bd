"""Tables of a few columns, which are read strictly: forecasts, jars, a walk typed back."""

from __future__ import annotations

import csv
import datetime as dt
import io
import random
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from functools import cache
from pathlib import Path

from gddcast.cards.model import Card
from gddcast.day_words import day_meant
from gddcast.journal.entries import Sighting
from gddcast.readers.card_files import load_cards
from gddcast.readers.forecast_file import read_forecasts
from gddcast.readers.rearing_file import read_rearing
from gddcast.readers.walk_sheet import read_walk_sheet
from gddcast.words import as_cell
from tests.fuzz.doors.known_file import HOSTILE, NONSENSE, KnownFile, damaged, same_meaning

Facts = tuple[Hashable, ...]
_DAY = dt.date(2026, 6, 25)


def _text(header: list[str], rows: list[list[str]], delimiter: str = ",") -> str:
    page = io.StringIO()
    writer = csv.writer(page, delimiter=delimiter, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return page.getvalue()


def table_befallen(
    known: KnownFile,
    header: list[str],
    rows: list[list[str]],
    facts: list[Facts],
    chance: random.Random,
    numbers: Iterable[int],
    delimiter: str = ",",
    accident: str | None = None,
) -> KnownFile:
    """A table written, after at most one accident whose effect is known."""
    what = (
        accident
        if accident is not None
        else chance.choice(
            ("", "", "order", "nonsense", "short", "twice", "lost", "header", "damage", "damage")
        )
    )
    at = chance.randrange(len(rows))
    known.must = "read"
    if what == "order":  # columns may stand in any order
        places = chance.sample(range(len(header)), len(header))
        header, rows = [header[i] for i in places], [[row[i] for i in places] for row in rows]
    elif what == "nonsense":
        column = chance.choice(list(numbers))
        rows[at] = [*rows[at][:column], chance.choice(NONSENSE), *rows[at][column + 1 :]]
        known.must = "refuse"
    elif what == "short":
        rows[at] = rows[at][: min(numbers) + 1]
        known.must = "refuse"
    elif what == "twice":
        rows.insert(at, list(rows[at]))
        facts.append(facts[at])
        known.must = ""
    elif what == "lost":
        del rows[at], facts[at]
        known.must = "read" if rows else ""
    elif what == "header":
        header[max(numbers)] = chance.choice(("", "wind", header[min(numbers)]))
        known.must = "refuse"
    known.raw = _text(header, rows, delimiter).encode()
    known.facts = Counter(facts)
    known.changes = [what] if what else []
    if what == "damage":
        known.raw, known.must = damaged(known.raw, chance), "damage"
    elif what in ("", "order"):
        known.raw, way = same_meaning(known.raw, chance)
        known.changes += [way] if way else []
    return known


def forecasts(chance: random.Random) -> KnownFile:
    """Days foretold, with the day of issue."""
    unit = chance.choice("CF")
    header = ["issued", "date", f"max_{unit.lower()}", f"min_{unit.lower()}"]
    rows, facts = [], []
    for issue in range(chance.randint(1, 4)):
        issued = _DAY + dt.timedelta(days=issue)
        for ahead in range(chance.randint(1, 7)):
            day = issued + dt.timedelta(days=ahead)
            low, high = chance.randint(-200, 150), chance.randint(160, 400)
            shown = [f"{each / 10:.1f}" for each in (high, low)]
            rows.append([str(issued), str(day), *shown])
            high_c, low_c = (
                (float(each) - 32) * 5 / 9 if unit == "F" else float(each) for each in shown
            )
            facts.append(((issued, day), round(low_c, 6), round(high_c, 6)))
    known = KnownFile("forecasts", "past.csv", b"", Counter(), _forecasts_read)
    return table_befallen(known, header, rows, facts, chance, (2, 3))


def _forecasts_read(path: Path) -> Iterator[Facts]:
    found = read_forecasts(path)
    for issued, day, low, high in zip(
        found.issued.tolist(), found.day.tolist(), found.tmin.tolist(), found.tmax.tolist(),
        strict=True,
    ):  # fmt: skip
        yield (issued, day), round(low, 6), round(high, 6)


def jars(chance: random.Random) -> KnownFile:
    """Rearing data."""
    unit = chance.choice("CF")
    header = [chance.choice(("temperature_{}", "Temp (°{})", "temp_{}")).format(unit), "days", "n"]
    rows, facts = [], []
    for number in range(chance.randint(2, 9)):
        warm, days, count = chance.randint(100, 350) / 10, chance.randint(20, 900) / 10, number + 3
        nobody = chance.random() < 0.1
        rows.append([f"{warm}", "none" if nobody else f"{days}", f"{count}"])
        celsius = (warm - 32) * 5 / 9 if unit == "F" else warm
        facts.append((round(celsius, 6), float("inf") if nobody else days, float(count)))
    known = KnownFile("jars", "jars.csv", b"", Counter(), _jars_read)
    return table_befallen(known, header, rows, facts, chance, (0, 1), chance.choice(",;\t"))


def _jars_read(path: Path) -> Iterator[Facts]:
    found = read_rearing(path)
    counts = [None] * len(found.days) if found.n is None else found.n
    for warm, days, count in zip(found.temperature, found.days, counts, strict=True):
        yield round(float(warm), 6), float(days), None if count is None else float(count)


@cache
def _cards() -> dict[str, Card]:
    return load_cards()


_PESTS = ("squash-bug", "squash-vine-borer", "colorado-potato-beetle", "imported-cabbageworm")


def typed_back(chance: random.Random) -> KnownFile:
    """Rows of a walk's sheet, filled in."""
    header = ["number", "pest", "stage", "bed", "day", "looked", "saw", "count", "note"]
    known_pests = [each for each in _PESTS if each in _cards()]
    rows, facts = [], []
    for number in range(1, chance.randint(2, 12)):
        card = _cards()[chance.choice(known_pests)]
        stage = chance.choice([each.key for each in card.finds])
        bed, note = (
            chance.choice(("", plain, chance.choice(HOSTILE))) for plain in ("north, end", "hot")
        )
        day = _DAY - dt.timedelta(days=chance.randint(0, 9))
        looked = chance.randint(1, 40)
        saw = chance.randint(0, looked)
        rows.append(
            [str(number), card.key, stage, as_cell(bed), str(day), str(looked), str(saw), "",
             as_cell(note)]
        )  # fmt: skip
        facts.append((day, card.key, "saw" if saw else "none", stage if saw else "", bed or None,
                      looked, saw, None, note or None))  # fmt: skip
    known = KnownFile("typed back", "week.csv", b"", Counter(), _typed_read)
    return table_befallen(known, header, rows, facts, chance, (5, 6), chance.choice(",;\t"))


def _typed_read(path: Path) -> Iterator[Facts]:
    for row in read_walk_sheet(path, _cards(), lambda text: day_meant(text, _DAY)).rows:
        yield _fact(row.sighting)


def _fact(each: Sighting) -> Facts:
    return (each.seen_on, each.organism, each.kind, each.event, each.where, each.plants_looked,
            each.plants_with, each.count, each.note)  # fmt: skip


TABLES: dict[str, Callable[[random.Random], KnownFile]] = {
    "forecasts": forecasts,
    "jars": jars,
    "typed back": typed_back,
}
