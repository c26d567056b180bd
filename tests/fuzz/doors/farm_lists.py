"""Lists of farms: ``farms.toml``, the table it is made from, one file that holds several sites."""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from pathlib import Path

from gddcast.readers.farms_list import read_farms, site_texts_of
from gddcast.readers.farms_table import farms_in_table
from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in
from tests.fuzz.doors.known_file import KnownFile, damaged
from tests.fuzz.doors.rows import table_befallen
from tests.fuzz.doors.toml_files import befallen

Facts = tuple[Hashable, ...]
_NAMES = ("Two Ponds", "Ashby Ridge", "Oak; north", "Östra \U0001f331", 'the "hill"', "=1+1", "a,b")


def _farms(chance: random.Random) -> Iterator[Facts]:
    """Name, file, degrees north and east, scale and watch of a few farms."""
    for name in chance.sample(_NAMES, chance.randint(2, len(_NAMES))):
        yield (
            name, f"{chance.choice('abc')}{len(name)}.csv", round(chance.uniform(-60, 60), 3),
            round(chance.uniform(-180, 180), 3), chance.choice(("F", "C")),
            chance.choice((("squash-bug",), ("squash-bug", "cucumber"))),
        )  # fmt: skip


def in_toml(chance: random.Random) -> KnownFile:
    """A ``farms.toml``."""
    facts, lines = list(_farms(chance)), ['show = "F"', "leave_out = []"]
    for name, file, north, east, unit, watch in facts:
        lines += [
            f"[farm.{json.dumps(name, ensure_ascii=False)}]", f'file = "{file}"',
            f"latitude = {north}", f"longitude = {east}", f'unit = "{unit}"',
            f"watch = {json.dumps(watch)}",
        ]  # fmt: skip
    known = KnownFile("farms list", "farms.toml", b"", Counter(facts), _list_read, "read")
    return befallen(known, "\n".join(lines) + "\n", chance)


def _list_read(path: Path) -> Iterator[Facts]:
    for farm in read_farms(path.parent).farms:
        if farm.fault is not None:
            raise farm.fault
        place = farm.place
        yield farm.name, farm.file, place.latitude, place.longitude, farm.unit, farm.watch


def in_table(chance: random.Random) -> KnownFile:
    """The table that a ``farms.toml`` is made from."""
    facts = list(_farms(chance))
    header = ["name", "file", "latitude", "longitude", "unit", "watch"]
    rows = [[str(name), str(file), f"{north}", f"{east}", str(unit), ";".join(watch)]  # type: ignore[arg-type]
            for name, file, north, east, unit, watch in facts]  # fmt: skip
    if chance.random() < 0.1:  # a comma too many: whose cell is the last one?
        rows[0].append("4")
        known = KnownFile("farms table", "list.csv", b"", Counter(), _table_read)
        known = table_befallen(known, header, rows, facts, chance, (2, 3), accident="")
        known.must, known.changes = "refuse", ["a cell too many"]
        return known
    known = KnownFile("farms table", "list.csv", b"", Counter(), _table_read)
    known = table_befallen(known, header, rows, facts, chance, (2, 3), chance.choice(",;\t"))
    if known.changes == ["short"]:  # what no cell says is not said, as in a spreadsheet
        known.must = "damage"
    if known.changes == ["twice"]:
        known.must = "refuse"
    return known


def _table_read(path: Path) -> Iterator[Facts]:
    for name, table in farms_in_table(path).items():
        yield (
            name, table.get("file"), table.get("latitude"), table.get("longitude"),
            table.get("unit"), tuple(table.get("watch", ())),
        )  # fmt: skip


def of_sites(chance: random.Random) -> KnownFile:
    """One file of temperatures with a column of sites, their rows in any order."""
    names = chance.sample(("North", "South", "4", "Östra", "a b", "Nörth"), chance.randint(2, 5))
    facts: list[Facts] = [
        (name, f"2026-05-{day:02}", float(chance.randint(30, 50)), float(chance.randint(60, 90)))
        for name in names
        for day in range(1, 15)
    ]
    rows = [f"{day},{name},{high:g},{low:g}" for name, day, low, high in facts]
    if chance.random() < 0.5:
        chance.shuffle(rows)
    raw = ("\n".join(["date,site,max_f,min_f", *rows]) + "\n").encode()
    known = KnownFile("farms of a file", "sites.csv", raw, Counter(facts), _sites_read, "read")
    if chance.random() < 0.4:
        known.raw, known.must = damaged(raw, chance), "damage"
    return known


def _sites_read(path: Path) -> Iterator[Facts]:
    farms = read_farms(path).farms
    texts = site_texts_of(path)
    for farm in farms:
        own = texts.get(str(farm.site))
        if own is None:
            continue
        series = temperatures_in(own.encode(), path.name, Options()).series
        low, high = (each * 1.8 + 32 for each in (series.tmin, series.tmax))
        for at in range(len(series)):
            if series.known[at]:
                yield (
                    str(farm.site),
                    str(series.date(at)),
                    float(round(low[at], 6)),
                    float(round(high[at], 6)),
                )


TABLES: dict[str, Callable[[random.Random], KnownFile]] = {
    "farms list": in_toml,
    "farms table": in_table,
    "farms of a file": of_sites,
}
