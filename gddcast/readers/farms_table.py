"""A table of farms, a row each, as somebody keeps it in a spreadsheet: name, file, latitude …"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from gddcast.errors import Refusal
from gddcast.readers.farms_list import FarmTable, table_faults
from gddcast.readers.opening import bytes_of, decoded
from gddcast.toml.faults import Fault, FaultsRefusal
from gddcast.toml.schema import columns
from gddcast.words import listed

#: Columns that may stand there: the keys of a farm's table, and its name.
KNOWN = ("name", *(each.key for each in columns(FarmTable)))
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
    try:
        text = decoded(bytes_of(file, _LARGEST), file.name).text
    except OSError as error:
        raise Refusal(
            str(file), (error.strerror or "it can't be read").lower(),
            "A table of farms is expected, a row each.", "Check the name.", slug="no-file",
        ) from None  # fmt: skip
    lines = text.splitlines()
    head = lines[0] if lines else ""
    between = max(",;\t", key=head.count)
    rows = list(csv.reader(io.StringIO(text), delimiter=between))
    names = [cell.strip().casefold() for cell in (rows[0] if rows else [])]
    unknown = [name for name in names if name not in KNOWN]
    if "name" not in names or unknown:
        what = f"it has a column {unknown[0]!r}" if unknown else "it has no column of names"
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


def _number(cell: str) -> float | str:
    """A number; what is none stays as it stands, to be named as a fault."""
    try:
        return float(cell)
    except ValueError:
        return cell
