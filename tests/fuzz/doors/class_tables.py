"""What comes back from a class: answers to its sheets, lines called wrong, a list of names."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Hashable, Iterator
from functools import cache
from pathlib import Path

from gddcast.cli.lesson_mark import marked
from gddcast.lessons.class_sheets import Order, StudentSheet, class_sheets
from gddcast.lessons.planted import KINDS
from gddcast.readers.card_files import load_cards
from gddcast.readers.class_files import read_answers, read_fault_answers, read_key, read_names
from gddcast.text.lessons.class_key import class_key_csv
from gddcast.words import as_cell
from tests.fuzz.doors.known_file import HOSTILE, KnownFile
from tests.fuzz.doors.rows import table_befallen

Facts = tuple[Hashable, ...]
_LETTERS = ("A", "B", "C")
_STUDENTS = ("Finch, A", "Ben Oak", "Östra \U0001f331", *HOSTILE)


@cache
def _class() -> tuple[tuple[StudentSheet, ...], str]:
    """A sheet for each student, and their key; made once, for a sheet takes a while."""
    orders = [Order("week", 7), Order("week", 7, "C")]
    sheets = class_sheets(_STUDENTS, orders, 1, load_cards())
    return sheets, class_key_csv(sheets)


def answers(chance: random.Random) -> KnownFile:
    """What a class wrote, in the ways people write numbers."""
    header, rows, facts = ["student", "sheet", *_LETTERS], [], []
    for each in chance.sample(_class()[0], chance.randint(1, 3)):  # each is made again
        row, seed = [as_cell(each.student), str(each.order.seed)], str(each.order.seed)
        for letter in _LETTERS:
            value = chance.choice((None, 0.0, chance.randint(-999, 9999) / 10))
            row.append("" if value is None else _written(value, chance))
            facts.append((each.student.strip(), seed, letter, value))
        rows.append(row)
    known = KnownFile("class answers", "answers.csv", b"", Counter(), _answers_read)
    # A row has three facts, so that one lost or doubled says nothing of the others.
    accident = chance.choice(("", "", "order", "nonsense", "header", "damage"))
    known = table_befallen(
        known, header, rows, facts, chance, (2, 3, 4), chance.choice(",;\t"), accident
    )
    if not known.changes and chance.random() < 0.1:
        known.raw += known.raw.splitlines(keepends=True)[-1]  # a sheet is marked once
        known.must, known.changes = "damage", ["a line twice"]
    return known


def _written(value: float, chance: random.Random) -> str:
    text = f"{value:.1f}"
    ways = [
        text,
        text.replace(".", ","),
        text.replace("-", "−"),
        f"day {text}",
        f" {text}  °F-days",
    ]
    return as_cell(chance.choice(ways))


def _answers_read(path: Path) -> Iterator[Facts]:
    key = path.with_name("key.csv")
    key.write_text(_class()[1], encoding="utf-8")
    for student in marked(key, _rows(key), path, read_answers(path), None):
        for one in student.marks:
            yield student.student, student.sheet, one.item.letter, one.answer


def _rows(key: Path):  # type: ignore[no-untyped-def]
    rows = read_key(key)
    assert isinstance(rows, tuple)
    return rows


def called_wrong(chance: random.Random) -> KnownFile:
    """Lines of a class file that students called wrong."""
    header, rows, facts = ["student", "line", "fault"], [], []
    for _ in range(chance.randint(2, 12)):
        student, fault = chance.choice(_STUDENTS), chance.choice(("", *KINDS))
        line = chance.randint(2, 400)
        rows.append([as_cell(student), str(line), fault])
        facts.append((student.strip(), line, fault))
    known = KnownFile("class faults", "found.csv", b"", Counter(), _wrong_read)
    accident = chance.choice(("", "", "order", "nonsense", "twice", "lost", "header", "damage"))
    return table_befallen(
        known, header, rows, facts, chance, (1, 2), chance.choice(",;\t"), accident
    )


def _wrong_read(path: Path) -> Iterator[Facts]:
    for each in read_fault_answers(path):
        yield each.student, each.line, each.fault


def names(chance: random.Random) -> KnownFile:
    """A class list."""
    students = chance.sample(_STUDENTS, chance.randint(2, len(_STUDENTS)))
    rows, facts = [[as_cell(each)] for each in students], [(each.strip(),) for each in students]
    known = KnownFile("class list", "names.csv", b"", Counter(), _names_read)
    accident = chance.choice(("", "", "lost", "twice", "damage"))
    known = table_befallen(known, ["student"], rows, facts, chance, (0,), accident=accident)
    known.must = "refuse" if accident == "twice" else known.must
    return known


def _names_read(path: Path) -> Iterator[Facts]:
    for each in read_names(path):
        yield (each,)


TABLES: dict[str, Callable[[random.Random], KnownFile]] = {
    "class answers": answers,
    "class faults": called_wrong,
    "class list": names,
}
