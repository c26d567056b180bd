"""The record as sheets of text: one CSV a table, one row an entry, nothing left out.

The sheets follow the tables themselves, so a table added later is in every export from then on.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from gddcast.book.entries import is_day_of_any_year
from gddcast.units import number_in
from gddcast.weather.series import Origin
from gddcast.words import as_cell, listed, out_of_cell

#: Columns whose name alone would leave a unit open.
_HEADINGS = {
    ("weather_day", "tmin"): "tmin_c",
    ("weather_day", "tmax"): "tmax_c",
    ("forecast_day", "tmin"): "tmin_c",
    ("forecast_day", "tmax"): "tmax_c",
    ("own_goal", "goal"): "goal_c_days",
    ("own_goal", "low"): "low_c_days",
    ("own_goal", "high"): "high_c_days",
    ("own_goal", "spread"): "spread_c_days",
    ("own_goal", "lower"): "lower_c",
    ("own_goal", "upper"): "upper_c",
}
_YES_NO = {"sure", "planted_out", "trap"}
#: Nobody counts so far, and no sum of heat is so large; SQLite's own limit lies behind it.
MOST = 10**15
#: What stands in for a row of `entry`: its name, which people see.
_ENTRY_NAME = "(SELECT name FROM entry WHERE number = entry)"


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """One column of a sheet: its heading, its column in the table, and how a cell is read."""

    heading: str
    name: str
    kind: str  # TEXT, INTEGER or REAL
    may_be_empty: bool

    def written(self, value: Any) -> str:
        """A cell, which reads back as the same value."""
        if value is None:
            return ""
        if self.name in _YES_NO:
            return "yes" if value else "no"
        if self.name == "origin":
            return Origin(value).name.lower()
        if self.kind == "TEXT":
            return as_cell(value)  # its apostrophe is taken off when the sheet is read back
        return repr(value) if self.kind == "REAL" else str(value)

    def read(self, cell: str) -> Any:
        """The value of a cell, or a `ValueError` that says what is expected."""
        if not cell and self.may_be_empty:
            return None
        if self.name in _YES_NO:
            return _among({"yes": 1, "no": 0}, cell)
        if self.name == "origin":
            return _among({each.name.lower(): int(each) for each in Origin}, cell)
        if self.name.endswith(("_on", "_at")) or self.name in ("day", "opens"):
            return _day_or_moment(cell, moment=self.name.endswith("_at"))
        if self.name == "starts" and not is_day_of_any_year(cell):
            raise ValueError("a day of the year, month first, such as 03-01")
        if self.kind == "TEXT":
            return out_of_cell(cell)
        return _number(cell, whole=self.kind == "INTEGER")


@dataclass(frozen=True, slots=True)
class ExportSheet:
    """One table as text."""

    table: str
    columns: tuple[SheetColumn, ...]

    @property
    def file(self) -> str:
        """Name of its file."""
        return f"{self.table}.csv"

    def rows(self, connection: sqlite3.Connection) -> Iterator[tuple[Any, ...]]:
        """Its rows, oldest first."""
        chosen = ", ".join(
            _ENTRY_NAME if column.name == "entry" else f'"{column.name}"' for column in self.columns
        )
        order = {
            "entry": "number",
            "announcement": "number",
            "weather_day": "entry, day",
            "forecast_day": "entry, issued_on, day",
        }
        yield from connection.execute(
            f"SELECT {chosen} FROM {self.table} ORDER BY {order.get(self.table, 'entry')}"
        )

    def text(self, rows: Iterable[tuple[Any, ...]]) -> str:
        """The sheet as RFC 4180 has it."""
        page = io.StringIO(newline="")
        writer = csv.writer(page)
        writer.writerow(column.heading for column in self.columns)
        for row in rows:
            writer.writerow(
                column.written(value) for column, value in zip(self.columns, row, strict=True)
            )
        return page.getvalue()

    def add(
        self, connection: sqlite3.Connection, text: str, fault: Callable[[int, str, str], None]
    ) -> int:
        """Write the sheet's rows into a book; what is wrong is told line by line.

        Returns
        -------
        int
            Rows written.
        """
        delimiter = _delimiter(text)
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        try:
            return self._add_rows(connection, reader, fault, points=delimiter == ",")
        except csv.Error:
            most = f"quotation marks in pairs; no cell has {csv.field_size_limit():,} letters"
            fault(reader.line_num, "a cell that does not end", most)
            return 0

    def _add_rows(
        self,
        connection: sqlite3.Connection,
        reader: Any,
        fault: Callable[[int, str, str], None],
        *,
        points: bool,
    ) -> int:
        heading: list[str] = next(reader, [])
        expected = [column.heading for column in self.columns]
        later = self.columns[len(heading) :]  # an older export does not have them
        if heading != expected[: len(heading)] or not all(each.may_be_empty for each in later):
            fault(1, ", ".join(heading) or "nothing", f"the headings {', '.join(expected)}")
            return 0
        # Not left to the database: an entry number that is NULL would be made up.
        numbers = dict(connection.execute("SELECT name, number FROM entry"))
        sheet = replace(self, columns=self.columns[: len(heading)])
        return sum(
            sheet._add_row(
                connection,
                row if points else sheet._with_points(row),
                reader.line_num,
                numbers,
                fault,
            )
            for row in reader
            if any(row)
        )

    def _with_points(self, row: list[str]) -> list[str]:
        """A row whose cells no comma parts: there it stands in numbers, for a point."""
        real = [column.kind == "REAL" for column in self.columns] + [False] * len(row)
        return [
            cell.replace(",", ".") if is_real else cell
            for cell, is_real in zip(row, real, strict=False)
        ]

    def _add_row(
        self,
        connection: sqlite3.Connection,
        row: list[str],
        line: int,
        numbers: dict[str, int],
        fault: Callable[[int, str, str], None],
    ) -> bool:
        if len(row) != len(self.columns):
            fault(line, f"{len(row)} cells", f"{len(self.columns)}, one a heading")
            return False
        values = []
        for column, cell in zip(self.columns, row, strict=True):
            try:
                value = column.read(cell)
                if column.name == "entry" and value not in numbers:
                    raise ValueError("the name of an entry in entry.csv")
                values.append(numbers[value] if column.name == "entry" else value)
            except ValueError as wrong:
                fault(line, f'{column.heading} "{cell}"', str(wrong))
        if len(values) < len(row):
            return False
        names = ", ".join(f'"{column.name}"' for column in self.columns)
        marks = ", ".join("?" * len(self.columns))
        try:
            connection.execute(f"INSERT INTO {self.table} ({names}) VALUES ({marks})", values)
        except sqlite3.IntegrityError as error:
            fault(line, _row_at_fault(row), _rule(str(error)))
            return False
        return True


def sheets(connection: sqlite3.Connection) -> list[ExportSheet]:
    """Every table of the book; `entry` first, for the others speak of it.

    Checksums are left out: the other book takes its own.
    """
    names = [name for (name,) in connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'checksum' ORDER BY rowid"
    )]  # fmt: skip
    return [ExportSheet(name, tuple(_columns(connection, name))) for name in names]


def _columns(connection: sqlite3.Connection, table: str) -> Iterator[SheetColumn]:
    for _, name, kind, needed, _, _ in connection.execute(f"PRAGMA table_info({table})"):
        if name != "number":  # counted anew in the other book
            heading = _HEADINGS.get((table, name), name)
            if name == "entry":  # people see its name, not its number
                kind, needed = "TEXT", True
            yield SheetColumn(heading, name, kind, may_be_empty=not needed)


def _delimiter(text: str) -> str:
    """What parts the cells: a comma, unless a spreadsheet saved the sheet its own way."""
    heading = text.partition("\n")[0]
    return "," if "," in heading else next((each for each in ";\t" if each in heading), ",")


def _among(words: dict[str, int], cell: str) -> int:
    if cell not in words:
        raise ValueError(f"one of {', '.join(words)}")
    return words[cell]


def _number(cell: str, *, whole: bool) -> int | float:
    number: int | float
    try:
        number = number_in(cell)
        if whole:
            number = int(cell)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise ValueError("a whole number" if whole else "a number")
    if abs(number) > MOST:
        raise ValueError(f"a number of no more than {len(str(MOST)) - 1} digits")
    return number


def _day_or_moment(cell: str, *, moment: bool) -> str:
    try:
        if not moment and not re.fullmatch(r"\d{4}-\d\d-\d\d", cell):
            raise ValueError(cell)
        if not 1700 <= dt.datetime.fromisoformat(cell).year <= 2200:
            raise ValueError(cell)
    except ValueError:
        example = "2026-06-24T18:30:00-05:00" if moment else "2026-06-24"
        raise ValueError(f"a {'moment' if moment else 'day'} such as {example}") from None
    return cell


def _row_at_fault(row: list[str]) -> str:
    return f"the row {', '.join(cell or '–' for cell in row)}"


def _rule(message: str) -> str:
    """A rule of the record in words."""
    if message.startswith("UNIQUE"):
        columns = [each.rpartition(".")[2] for each in message.partition(": ")[2].split(", ")]
        return f"each {listed(columns)} once"
    if message.startswith("NOT NULL"):
        return f"no empty cell in {message.rpartition('.')[2]}"
    return f"what the record allows ({message.removeprefix('CHECK constraint failed: ').strip()})"
