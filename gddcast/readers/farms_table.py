"""A table of farms, a row each, as somebody keeps it in a spreadsheet: name, file, latitude …"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from gddcast.errors import Refusal
from gddcast.readers.farms_list import FarmKeys, table_faults
from gddcast.readers.opening import bytes_of, decoded
from gddcast.toml.faults import Fault, FaultsRefusal
from gddcast.toml.schema import columns
from gddcast.units import number_in
from gddcast.words import listed

#: Columns that may stand there: the keys of a farm's table, and its name.
KNOWN = ("name", *(each.key for each in columns(FarmKeys)))
_NUMBERS = ("latitude", "longitude")
_LARGEST = 5_000_000


def farms_in_table(file: Path) -> dict[str, Mapping[str, Any]]:
    """Farms by name, each as its table in ``farms.toml`` has it.

    ``watch`` holds names with semicolons between.

    Raises
    ------
    Refusal
        If it is no table, or with every fault of every row and its line.
    """
    expected = "A table of farms is expected, a row each."
    try:
        text = decoded(bytes_of(file, _LARGEST), file.name, expected).text
    except OSError as error:
        raise Refusal(
            str(file), (error.strerror or "it can’t be read").lower(),
            expected, "Check the name.", slug="no-file",
        ) from None  # fmt: skip
    rows = _rows(text, file.name)
    names = [cell.strip().casefold() for cell in (rows[0] if rows else [])]
    unknown = [name for name in names if name not in KNOWN]
    twice = [name for name in names if names.count(name) > 1]
    if "name" not in names or unknown or twice:
        what = (
            f"it has a column {unknown[0]!r}" if unknown
            else f"it has two columns {twice[0]!r}" if twice
            else "it has no column of names"
        )  # fmt: skip
        raise Refusal(
            file.name, what, f"Its first line names its columns, of {listed(KNOWN)}.",
            "Write that line, or take the column out.", slug="farms-table-columns",
        )  # fmt: skip
    farms: dict[str, Mapping[str, Any]] = {}
    faults: list[Fault] = []
    for line, row in enumerate(rows[1:], start=2):
        cells = {name: cell.strip() for name, cell in zip(names, row, strict=False) if cell.strip()}
        if not cells:
            continue
        name, table, wrong = _one(cells)
        if any(cell.strip() for cell in row[len(names) :]):
            wrong.append(_too_many(len(names), row))
        if name in farms:
            wrong.append(Fault((name,), f'"{name}" a second time', "each farm once", "Rename one."))
        faults += [
            replace(each, file=file.name, line=line, place=str(each.path[-1])) for each in wrong
        ]
        farms[name] = table
    if faults:
        raise FaultsRefusal(faults, " and run the command again.", "farms-table-faults")
    if not farms:
        raise Refusal(
            file.name, "it has no row below its first line", "A row a farm is expected.",
            "Write one.", slug="farms-table-empty",
        )  # fmt: skip
    return farms


def _one(cells: Mapping[str, str]) -> tuple[str, dict[str, Any], list[Fault]]:
    name = cells.get("name", "")
    table: dict[str, Any] = {}
    for key, cell in cells.items():
        if key == "watch":
            table[key] = [each.strip() for each in cell.split(";") if each.strip()]
        elif key in _NUMBERS:
            table[key] = _number(cell)
        elif key != "name":
            table[key] = cell
    wrong = table_faults(name, table)
    if not name:
        wrong.append(Fault(("name",), "nothing", "what the farm is called", "Write its name."))
    return name, table, wrong


def _rows(text: str, name: str) -> list[list[str]]:
    lines = text.splitlines()
    between = max(",;\t", key=(lines[0] if lines else "").count)
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True))
    except csv.Error as error:
        raise Refusal(
            name, f"its rows can’t be told apart ({error})",
            "A table of farms is expected, a row each.",
            "Save it again as CSV from the spreadsheet.", slug="farms-table-rows",
        ) from error  # fmt: skip


def _too_many(columns: int, row: list[str]) -> Fault:
    """A cell more than there are columns: which of them is whose, nobody knows."""
    return Fault(
        ("row",), f"{len(row)} cells", f"no more than the {columns} columns of the first line",
        "Is a decimal comma or a comma of a name among them? Put that cell in double quotes.",
    )  # fmt: skip


def _number(cell: str) -> float | str:
    """A number; what is none stays as it stands, to be named as a fault."""
    try:
        return number_in(cell)
    except ValueError:
        return cell
