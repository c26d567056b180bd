"""Workbooks of days: cells of every type that a spreadsheet has, and sheets that are hidden."""

from __future__ import annotations

import datetime as dt
import io
import random
import zipfile
from collections import Counter
from collections.abc import Hashable, Iterator
from pathlib import Path
from typing import Any

import openpyxl

from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from tests.fuzz.doors.known_file import KnownFile, damaged

Facts = tuple[Hashable, ...]


def workbook(chance: random.Random) -> KnownFile:
    """Days with their maximum and minimum in °C."""
    known = KnownFile("workbook", "days.xlsx", b"", Counter(), _read, "read")
    first = dt.date(2026, chance.randint(3, 8), chance.randint(1, 28))
    cells: list[list[Any]] = []
    for at in range(chance.randint(8, 40)):
        low = chance.randint(0, 180) / 10
        cells.append(
            [first + dt.timedelta(days=at), round(low + chance.randint(30, 150) / 10, 1), low]
        )
    what = chance.choice(("", "time", "text dates", "text", "blank", "error", "truth", "formula",
                          "hidden", "notes", "xml", "damage"))  # fmt: skip
    facts: list[Facts] = [tuple(row) for row in cells]
    at = chance.randrange(1, len(cells) - 1)
    if what == "time":
        for row in cells:
            row[0] = dt.datetime.combine(row[0], dt.time())
    elif what == "text dates":
        for row in cells:
            row[0] = str(row[0])
    elif what == "text":
        for row in cells:
            row[1] = str(row[1])
    elif what in ("blank", "error", "truth", "formula"):
        odd = {"blank": None, "error": "#N/A", "truth": True, "formula": "=B2+1"}[what]
        cells[at][chance.choice((1, 2))] = odd  # no program has worked the formula out
        del facts[at]
        known.must = ""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    if what == "notes":
        sheet.append(["Garden of Larkhollow"])
        sheet.append([])
    for row in [["Date", "Max °C", "Min °C"], *cells]:
        sheet.append(row)
    if what == "hidden":
        known.must = ""  # which sheet is meant may be asked
        other = book.create_sheet("Old")
        other.sheet_state = chance.choice(("hidden", "veryHidden"))
        for row in [["Date", "Max °C", "Min °C"], [dt.date(2025, 5, 1), 40.0, 39.0]]:
            other.append(row)
    out = io.BytesIO()
    book.save(out)
    known.raw, known.facts, known.changes = out.getvalue(), Counter(facts), [what] if what else []
    if what == "xml":  # a sound archive whose pages are not
        known.raw, known.must = _inside(known.raw, chance), "damage"
    elif what == "damage":
        known.raw, known.must = damaged(known.raw, chance), "damage"
    return known


def _inside(raw: bytes, chance: random.Random) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w") as new:
        chosen = chance.choice(old.namelist())
        for name in old.namelist():
            page = old.read(name)
            new.writestr(name, damaged(page, chance) if name == chosen else page)
    return out.getvalue()


def _read(path: Path) -> Iterator[Facts]:
    series = temperatures_in(path.read_bytes(), path.name, Options()).series
    for day, low, high in zip(
        series.dates.tolist(), series.tmin.tolist(), series.tmax.tolist(), strict=True
    ):
        if low == low and high == high:
            yield day, round(high, 4), round(low, 4)


TABLES = {"workbook": workbook}
