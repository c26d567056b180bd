"""Invent the demo place's season book; run as ``python data/demo/invent_book.py``.

Five seasons of a grower who is nobody: squash, cucumbers and sweet corn in successions, looks
every few days, finds with the clean looks before them, chores, one mistake taken back. Moths and
crops keep heat sums of their own, a little off the printed ones, so that there is something to
find out. The sheets are what ``gddcast import`` reads; the weather stays in ``weather.csv``.
"""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from gddcast import degree_days

HERE = Path(__file__).parent
ZONE = ZoneInfo("America/Chicago")
SEASONS, LAST = range(2022, 2027), dt.date(2026, 6, 10)
#: Crop, month and day sown, bed; sown again and again so that picking never stops.
SOWINGS = (
    ("sweet-corn", 5, 5, "north end"),
    ("sweet-corn", 5, 21, "north end"),
    ("summer-squash", 5, 18, "row 2"),
    ("cucumber", 5, 24, "row 4"),
    ("sweet-corn", 6, 6, "north end"),
    ("summer-squash", 6, 14, "row 3"),
    ("cucumber", 6, 24, "row 5"),
    ("summer-squash", 7, 8, "row 2"),
)
#: °F-days above 50 from sowing to up, first flower, first pick; days of picking.
LIVES = {
    "summer-squash": (115, 740, 960, 34),
    "cucumber": (120, 770, 1005, 30),
    "sweet-corn": (140, 1150, 1620, 12),
}
#: What is looked for: °F-days above 50 from 1 January at which it truly begins, and first look.
PESTS = (
    ("imported-cabbageworm", "adults", 175, (4, 12), "kale"),
    ("striped-cucumber-beetle", "adults", 430, (5, 8), "row 4"),
    ("squash-bug", "eggs", 760, (6, 1), "row 2"),
    ("squash-vine-borer", "moths", 1052, (6, 8), "row 2"),
)


class Weather:
    """The demo's days, unknown ones bridged: the insects had weather all the same."""

    def __init__(self) -> None:
        text = (HERE / "weather.csv").read_text(encoding="utf-8")
        rows = list(csv.DictReader(text.splitlines()))
        days = np.array([row["date"] for row in rows], dtype="datetime64[D]")
        self.first = days[0].item()
        at = (days - days[0]).astype(int)
        low, high = (
            np.interp(np.arange(at[-1] + 1), at, [float(row[name]) for row in rows])
            for name in ("min_f", "max_f")
        )
        self.heat = np.concatenate([[0.0], np.cumsum(degree_days(low, high, lower=50))])

    def reached(self, start: dt.date, goal: float) -> dt.date | None:
        """Day on which the sum from a day on comes to a goal."""
        begin = (start - self.first).days
        step = int(np.searchsorted(self.heat, self.heat[begin] + goal)) - 1
        return self.first + dt.timedelta(days=step) if step + 1 < len(self.heat) else None


class Notebook:
    """Rows by the evening they were written."""

    def __init__(self) -> None:
        self.rows: list[tuple[dt.date, str, dict[str, object]]] = []

    def add(self, day: dt.date | None, table: str, **cells: object) -> None:
        """Write one row, if its day has come."""
        if day is not None and day <= LAST:
            self.rows.append((day, table, cells))

    def pages(self) -> dict[str, list[dict[str, object]]]:
        """Every sheet, and an entry for each row."""
        sheets: dict[str, list[dict[str, object]]] = {"entry": [], "withdrawal": []}
        counts: dict[int, int] = {}
        for day, table, cells in sorted(self.rows, key=lambda row: row[0]):
            counts[day.year] = counts.get(day.year, 0) + 1
            name = f"{day.year}-{counts[day.year]:03d}"
            moment = dt.datetime.combine(day, dt.time(19, 30 + counts[day.year] % 25), ZONE)
            sheets["entry"].append({"name": name, "entered_at": moment.isoformat()})
            why = cells.pop("taken_back", None)
            sheets.setdefault(table, []).append({"entry": name, **cells})
            if why:
                after = (moment + dt.timedelta(days=2)).isoformat()
                sheets["withdrawal"].append({"entry": name, "withdrawn_at": after, "note": why})
        return sheets


def sow(book: Notebook, weather: Weather, year: int, rng: np.random.Generator) -> None:
    """Sowings with their lives, and the chores that follow from them."""
    counts: dict[str, int] = {}
    for crop, month, day, bed in SOWINGS:
        sown = dt.date(year, month, day) + dt.timedelta(days=int(rng.integers(-2, 4)))
        counts[crop] = counts.get(crop, 0) + 1
        name = f"{crop} {year}-{counts[crop]}"
        book.add(sown, "sowing", name=name, crop=crop, sown_on=sown, planted_out="no", bed=bed)
        if sown > LAST:
            continue
        up, flower, pick, picking = LIVES[crop]
        after = sown + dt.timedelta(days=1)
        own = rng.normal(1.0, 0.025)
        dates = {
            "up": weather.reached(after, up * rng.normal(1.0, 0.05)),
            "first-flower": weather.reached(after, flower * own),
            "first-pick": weather.reached(after, pick * own),
        }
        if (first := dates["first-pick"]) is not None and crop != "sweet-corn":
            dates["side-dressed"] = first + dt.timedelta(days=int(rng.integers(12, 18)))
        if first is not None:
            dates["pulled"] = first + dt.timedelta(days=picking + int(rng.integers(-3, 5)))
        if crop == "summer-squash":
            dates["covered"], dates["uncovered"] = sown, dates["first-flower"]
        for job, done in dates.items():
            book.add(done, "job", job=job, done_on=done, sowing=name, bed=bed)


def look(book: Notebook, weather: Weather, year: int, rng: np.random.Generator) -> None:
    """Looks every few days until the first find, and two more after it."""
    for organism, event, goal, (month, day), where in PESTS:
        truth = weather.reached(dt.date(year, 1, 1), goal * rng.normal(1.0, 0.012))
        walk, finds = dt.date(year, month, day), 0
        while finds < 3 and walk <= dt.date(year, 8, 1):
            found = truth is not None and walk >= truth
            finds += found
            with_ = int(rng.integers(1, 4)) if found else 0
            book.add(
                walk, "sighting", kind="saw" if found else "none", organism=organism, event=event,
                seen_on=walk, sure="yes", where=where, plants_looked=10, plants_with=with_,
            )  # fmt: skip
            walk += dt.timedelta(days=int(rng.integers(2, 4)))


def by_the_way(book: Notebook) -> None:
    """What a real notebook has besides: hearsay, doubt, a mistake, rain, dust."""
    sighting = {"sure": "yes", "organism": "squash-vine-borer", "event": "moths"}
    day = dt.date(2023, 6, 20)
    book.add(day, "sighting", kind="heard", seen_on=day, note="across the river",
             **(sighting | {"sure": "no"}))  # fmt: skip
    day = dt.date(2024, 6, 14)
    book.add(day, "sighting", kind="saw", seen_on=day, where="row 2",
             taken_back="was a paper wasp", **sighting)  # fmt: skip
    day = dt.date(2025, 7, 20)
    book.add(day, "sighting", kind="saw", seen_on=day, where="row 3", note="two or three, small",
             organism="squash-bug", event="egg-hatch", sure="no")  # fmt: skip
    for year in (2022, 2023, 2024, 2025):
        book.add(dt.date(year, 7, 1), "job", job="dusted", done_on=dt.date(year, 7, 1), bed="row 2")
        book.add(dt.date(year, 7, 4), "job", job="rained", done_on=dt.date(year, 7, 4))
        book.add(dt.date(year, 7, 12), "job", job="watered", done_on=dt.date(year, 7, 12))


COLUMNS = {
    "entry": ("name", "entered_at"),
    "withdrawal": ("entry", "withdrawn_at", "note"),
    "sighting": ("entry", "kind", "organism", "event", "seen_on", "clean_on", "sure", "where",
                 "plants_looked", "plants_with", "count", "note"),
    "sowing": ("entry", "name", "crop", "sown_on", "planted_out", "bed", "variety", "note"),
    "job": ("entry", "job", "done_on", "sowing", "bed", "note"),
}  # fmt: skip


def invent() -> None:
    """Write every sheet."""
    rng, weather, book = np.random.default_rng(20220601), Weather(), Notebook()
    for year in SEASONS:
        sow(book, weather, year, rng)
        look(book, weather, year, rng)
    by_the_way(book)
    pages = book.pages()
    for table, columns in COLUMNS.items():
        with (HERE / f"{table}.csv").open("w", encoding="utf-8", newline="") as page:
            writer = csv.DictWriter(page, columns)
            writer.writeheader()
            writer.writerows(pages[table])
    counts = "".join(f"{table} = {len(pages[table])}\n" for table in COLUMNS)
    about = f'format = 1\nmade = "{LAST}T20:00:00-05:00"\nshareable = false\n\n[rows]\n{counts}'
    head = "# The demo's season book: invented, see invent_book.py.\n"
    (HERE / "export.toml").write_text(head + about, encoding="utf-8")


if __name__ == "__main__":
    invent()
