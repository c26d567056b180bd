"""Files of TOML that people edit: the settings of a book, and cards."""

from __future__ import annotations

import random
import re
import tomllib
from collections import Counter
from collections.abc import Hashable, Iterator
from dataclasses import fields
from functools import cache
from pathlib import Path

from gddcast.book.setting_text import settings_text
from gddcast.book.settings import Settings, WeatherHabits, read_settings
from gddcast.readers.card_files import check_card_file
from gddcast.readers.opening import data_folder
from gddcast.scouting.windows import Habits
from gddcast.weather.series import Place
from tests.fuzz.doors.known_file import KnownFile, damaged, same_meaning

Facts = tuple[Hashable, ...]
_VALUE = re.compile(r"^(\w+ = )(-?\d[\d.]*|\"[^\"]*\"|\[[^\]]*\]|true|false)(.*)$")
#: Values of a kind that no key of these files takes.
_NONSENSE = ("nan", "{ a = 1 }", "1979-05-27", "[[1], [2]]", "[[[ ]]]", "-1e309", "9" * 30)


def settings(chance: random.Random) -> KnownFile:
    """A ``book.toml``."""
    latitude = round(chance.uniform(-60, 70), 4)
    said = Settings(
        Place(
            chance.choice(("Larkhollow Patch", "Ashby “ridge”", "a\\b # c", "Östra \U0001f331")),
            latitude, round(chance.uniform(-180, 180), 4), float(chance.randint(-100, 3000)),
            chance.choice(("America/Chicago", "Pacific/Auckland", "Asia/Kolkata")),
            chance.choice(((1, 1), (7, 1), (2, 29))),
        ),
        show=chance.choice("FC"), dates=chance.choice(("words", "iso")),
        watch=chance.choice((None, ("squash-bug",), ("kale", "squash-vine-borer"))),
        habits=Habits(lead_days=chance.randint(0, 20)),
        weather=WeatherHabits(unit=chance.choice(("F", "C", None)),
                              reading_hour=chance.choice((None, 0, 7, 24))),
        beds=chance.choice(((), ("row 2", "north end"))), grow=chance.choice((None, ("kale",))),
        start=chance.choice((None, (3, 1))),
    )  # fmt: skip
    known = KnownFile("settings", "book.toml", b"", Counter(_facts(said)), _settings_read, "read")
    return befallen(known, settings_text(said), chance)


def _facts(said: Settings) -> Iterator[Facts]:
    for each in fields(said):
        yield each.name, repr(getattr(said, each.name))


def _settings_read(path: Path) -> Iterator[Facts]:
    yield from _facts(read_settings(path))


@cache
def _card_texts() -> list[tuple[str, str]]:
    folder = data_folder()
    return [
        (group, file.read_text(encoding="utf-8"))
        for group in ("pest", "crop")
        for file in sorted((folder / f"{group}s").glob("*.toml"))
    ]


def card(chance: random.Random) -> KnownFile:
    """A card: one of the packaged ones, with another goal."""
    group, text = chance.choice(_card_texts())
    goals = list(re.finditer(r"(?m)^goal = (\d+)$", text))
    if goals and chance.random() < 0.6:
        at = chance.choice(goals)
        text = text[: at.start(1)] + str(int(at[1]) + chance.randint(1, 50)) + text[at.end(1) :]
    read = _pest_read if group == "pest" else _crop_read
    known = KnownFile(f"{group} card", "own.toml", b"", Counter(_printed(text)), read)
    known = befallen(known, text, chance)
    # What a card owes itself (a goal that other words contradict) may refuse it all the same.
    known.must = "" if known.must == "read" else known.must
    return known


def _printed(text: str) -> Iterator[Facts]:
    """What the document says of each number, read by tomllib alone."""
    for event in tomllib.loads(text).get("event", []):
        for number in event.get("number", []):
            goal = number.get("goal")
            goal = (goal, goal) if isinstance(goal, int | float) else goal
            known = isinstance(goal, list | tuple)
            yield event["key"], tuple(map(float, goal)) if known else None, number.get("unit")


def _card_read(path: Path, group: str) -> Iterator[Facts]:
    for event in check_card_file(path, group).events:  # type: ignore[arg-type]
        for number in event.numbers:
            goal = number.goal
            both = None if goal is None else goal if isinstance(goal, tuple) else (goal, goal)
            yield event.key, None if both is None else tuple(map(float, both)), number.unit


def _pest_read(path: Path) -> Iterator[Facts]:
    return _card_read(path, "pest")


def _crop_read(path: Path) -> Iterator[Facts]:
    return _card_read(path, "crop")


def befallen(known: KnownFile, text: str, chance: random.Random) -> KnownFile:
    """At most one accident whose effect is known."""
    what = chance.choice(("", "remarks", "unknown key", "nonsense", "twice", "damage", "damage"))
    lines = text.splitlines()
    places = [at for at, line in enumerate(lines) if _VALUE.match(line)]
    at = chance.choice(places)
    found = _VALUE.match(lines[at])
    assert found is not None
    if what == "remarks":
        lines.insert(at, '  # why = "this"   [not.a.table]')
    elif what == "unknown key":
        lines.insert(at, "colour_of_hat = 3")
        known.must = "refuse"
    elif what == "nonsense":
        lines[at] = found[1] + chance.choice(_NONSENSE)
        known.must = "refuse"
    elif what == "twice":
        lines.insert(at, lines[at])
        known.must = "refuse"
    known.changes = [what] if what else []
    known.raw = ("\n".join(lines) + "\n").encode()
    if what == "damage":
        known.raw, known.must = damaged(known.raw, chance), "damage"
    elif what in ("", "remarks"):
        known.raw, way = same_meaning(known.raw, chance)
        known.changes += [way] if way else []
    return known


TABLES = {"settings": settings, "card": card}
