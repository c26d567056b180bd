"""Doors for a class: the list of its names, the key of its sheets, the answers somebody typed.

A column nobody knows is refused, never left out in silence: its numbers might be the answers.
"""

from __future__ import annotations

import contextlib
import csv
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from gddcast.errors import Refusal
from gddcast.lessons.class_sheets import CARD, Order
from gddcast.lessons.planted import KINDS
from gddcast.lessons.slips import LETTERS
from gddcast.lessons.worksheet import FORMS
from gddcast.readers.opening import bytes_of, decoded
from gddcast.text.lessons.class_key import ANSWERS, FAULTS_KEY, KEY
from gddcast.units import Unit, number_in
from gddcast.words import out_of_cell

#: A class list is a few lines. [bytes]
LARGEST = 1_000_000
#: Columns in which students say that something is wrong with a class file.
FAULT_ANSWERS = ("student", "line", "fault")
_NAMES = ("student", "name", "first name", "last name")


@dataclass(frozen=True, slots=True)
class TableRow:
    """One line of a table, by its columns."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One sheet of a key: whose, how to make it again, the answers that stand in the key."""

    student: str
    order: Order
    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultsKey:
    """The key of a class file with planted faults."""

    seed: int
    unit: Unit


@dataclass(frozen=True, slots=True)
class GivenAnswers:
    """What one student wrote on one sheet, by letter; empty cells are left out."""

    line: int
    student: str
    sheet: str
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class GivenLine:
    """A line in which a student says that something is wrong."""

    student: str
    line: int
    fault: str


def read_names(path: Path) -> tuple[str, ...]:
    """Students of a class list: a name a line, or a CSV with a column for it.

    Raises
    ------
    Refusal
        If it has other columns, no name, or a name twice.
    """
    columns, rows = _table(path, "a class list", _a_list)
    _known(path, columns, _NAMES, (), "A class list has a column student, or first name and last "
           "name.")  # fmt: skip
    names = [" ".join(filter(None, (row.cells.get(each, "") for each in _NAMES))) for row in rows]
    if not names:
        _refuse(path.name, "it names nobody", "A class list has a name on each line.",
                "Write the names into it.")  # fmt: skip
    for row, name in zip(rows, names, strict=True):
        if not name:
            _refuse(f"{path.name}, line {row.line}", "it has no name", "Each line is one student.",
                    "Write the name, or take the line out.")  # fmt: skip
        if names.count(name) > 1:
            _refuse(f"{path.name}, line {row.line}", f"there are {names.count(name)} of {name}",
                    "Each sheet goes to one student.", "Add an initial or a number.")  # fmt: skip
    return tuple(names)


def _a_list(cells: list[str]) -> bool:
    """Whether the first line is a name already: a single cell that is no heading of ours."""
    return len(cells) == 1 and cells[0].lower() not in _NAMES


def read_key(path: Path) -> tuple[KeyRow, ...] | FaultsKey:
    """A key that ``lesson class``, or ``lesson errors --answers``, wrote as a table.

    Raises
    ------
    Refusal
        If it is no such table.
    """
    columns, rows = _table(path, "a key")
    if set(columns) == set(FAULTS_KEY) and rows:
        unit: Unit = "C" if rows[0].cells["unit"] == "C" else "F"
        return FaultsKey(_whole(path, rows[0], "seed"), unit)
    _known(path, columns, KEY, KEY, f"A key has the columns {', '.join(KEY)}.")
    return tuple(_key_row(path, row) for row in rows)


def _key_row(path: Path, row: TableRow) -> KeyRow:
    cells = row.cells
    if cells["form"] not in (*FORMS, CARD) or cells["unit"] not in ("F", "C"):
        _refuse(f"{path.name}, line {row.line}", f"its form is “{cells['form']}” in "
                f"“{cells['unit']}”", f"Forms are {', '.join((*FORMS, CARD))}, units F and C.",
                "Use the key as it was written.")  # fmt: skip
    order = Order(
        cells["form"], _whole(path, row, "sheet"), "F" if cells["unit"] == "F" else "C",
        _whole(path, row, "days") if cells["days"] else None,
        *(_number(path, row, each) if cells[each] else None for each in ("lower", "upper")),
    )  # fmt: skip
    return KeyRow(cells["student"], order, tuple(cells[letter] for letter in LETTERS))


def read_answers(path: Path) -> tuple[GivenAnswers, ...]:
    """What a class wrote, a line a student and sheet; a sheet each may leave ``sheet`` out.

    Raises
    ------
    Refusal
        If a column is unknown or missing.
    """
    columns, rows = _table(path, "answers")
    _known(path, columns, ANSWERS, ("student", *LETTERS), f"Columns: {', '.join(ANSWERS)}.")
    return tuple(
        GivenAnswers(
            row.line, row.cells["student"], row.cells.get("sheet", ""),
            {each: row.cells[each] for each in LETTERS if row.cells[each]},
        )
        for row in rows
    )  # fmt: skip


def read_fault_answers(path: Path) -> tuple[GivenLine, ...]:
    """The lines in which a class found something wrong; the kind of fault may be left out.

    Raises
    ------
    Refusal
        If a column is unknown or missing, a line is no number, a kind is none of ours.
    """
    columns, rows = _table(path, "answers")
    _known(path, columns, FAULT_ANSWERS, FAULT_ANSWERS[:2],
           f"Columns: {', '.join(FAULT_ANSWERS)}.")  # fmt: skip
    given_lines = []
    for row in rows:
        fault = row.cells.get("fault", "").lower()
        if fault and fault not in KINDS:
            _refuse(f"{path.name}, line {row.line}", f"“{fault}” stands under fault",
                    f"Faults are {', '.join(KINDS)}.",
                    "Use one of these words, or none.")  # fmt: skip
        given_lines.append(GivenLine(row.cells["student"], _whole(path, row, "line"), fault))
    return tuple(given_lines)


def answer_in(cell: str) -> float | None:
    """The one number somebody wrote: 38.8, 38,8, −2 or day 5, with a unit behind it or not.

    Examples
    --------
    >>> answer_in("38,8 °F-days"), answer_in("day 6"), answer_in("many"), answer_in("38 or 39")
    (38.8, 6.0, None, None)
    """
    numbers = []
    for word in cell.replace("−", "-").replace(",", ".").split():
        with contextlib.suppress(ValueError):
            numbers.append(number_in(word))
    return numbers[0] if len(numbers) == 1 else None


def figures_in(cell: str) -> float | None:
    """Figures somebody wrote in any order and with anything between, as one number.

    One that no sheet has, such as 6, is kept: with it the answer is not that of the sheet.

    Examples
    --------
    >>> figures_in("4, 2"), figures_in("none"), figures_in("4 and 6"), figures_in("")
    (24.0, 0.0, 46.0, None)
    """
    figures = sorted({each for each in cell if each in "123456789"})
    if figures:
        return float("".join(figures) + "0" * ("0" in cell))
    return 0.0 if cell.strip().lower() in ("0", "none", "nothing", "–", "-") else None


def _table(
    path: Path, what: str, bare: Callable[[list[str]], bool] = lambda _: False
) -> tuple[list[str], list[TableRow]]:
    """Columns, in small letters but for A, B, C, and the lines that are not empty."""
    expected = f"A CSV file is expected: {what}."
    try:
        text = decoded(bytes_of(path, LARGEST), path.name, expected).text
    except OSError as error:
        _refuse(path.name, (error.strerror or "it can’t be read").lower(),
                expected, "Check its name.")  # fmt: skip
    lines = list(_lines(path, text))
    if not lines:
        _refuse(path.name, "it is empty", expected, "Fill it in.")
    if bare(lines[0][1]):
        lines.insert(0, (0, ["student"]))
    columns = [cell if cell in LETTERS else _heading(cell) for cell in lines[0][1]]
    rows = []
    for number, cells in lines[1:]:
        if len(cells) > len(columns) and any(cells[len(columns) :]):
            _refuse(f"{path.name}, line {number}", f"it has {len(cells)} cells",
                    f"There are {len(columns)} columns: {', '.join(columns)}.",
                    "Put a cell that holds a comma between quotes.")  # fmt: skip
        padded = [*cells, *[""] * len(columns)]
        rows.append(TableRow(number, dict(zip(columns, padded, strict=False))))
    return columns, rows


def _heading(cell: str) -> str:
    plain = " ".join(cell.replace("_", " ").lower().split())
    return plain.upper() if plain in ("a", "b", "c") else plain


def _lines(path: Path, text: str) -> Iterator[tuple[int, list[str]]]:
    heading = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=heading.count))
    try:
        for cells in reader:
            plain = [out_of_cell(cell.strip()) for cell in cells]
            if any(plain):
                yield reader.line_num, plain
    except csv.Error:
        most = f"{csv.field_size_limit():,} letters"
        _refuse(f"{path.name}, line {reader.line_num}", f"a cell does not end within {most}",
                "A CSV is expected.", "Close its quotes.")  # fmt: skip


def _known(
    path: Path, columns: list[str], known: tuple[str, ...], needed: tuple[str, ...], expected: str
) -> None:
    strange = [each for each in columns if each not in known]
    missing = [each for each in needed if each not in columns]
    twice = [each for each in columns if columns.count(each) > 1]
    if strange:
        _refuse(path.name, f"its column “{strange[0]}” is not known", expected,
                "Take the column out, or give it one of these names.")  # fmt: skip
    if missing or twice:
        found = f"it has no column {missing[0]}" if missing else f"it has {twice[0]} twice"
        _refuse(path.name, found, expected, "Correct its first line.")


def _whole(path: Path, row: TableRow, column: str) -> int:
    number = _number(path, row, column)
    if number % 1 or number < 0:
        _no_number(path, row, column)
    return int(number)


def _number(path: Path, row: TableRow, column: str) -> float:
    try:
        return number_in(row.cells[column].replace(",", "."))
    except ValueError:
        _no_number(path, row, column)


def _no_number(path: Path, row: TableRow, column: str) -> NoReturn:
    _refuse(f"{path.name}, line {row.line}", f"“{row.cells[column]}” stands under {column}",
            "A number is expected.", "Correct the cell.")  # fmt: skip


def _refuse(where: str, problem: str, expected: str, cure: str) -> NoReturn:
    raise Refusal(where, problem, expected, cure, slug="class-file")
