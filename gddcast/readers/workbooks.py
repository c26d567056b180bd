"""An Excel workbook's sheet of days, or several that go on from one another, as text."""

from __future__ import annotations

import datetime as dt
import io
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from zipfile import BadZipFile, ZipFile

from gddcast.errors import Refusal
from gddcast.readers.headers import heading
from gddcast.readers.opening import Decoded
from gddcast.readers.reading import OpenQuestion

#: Larger sheets are refused: they would fill the memory.
MOST_ROWS, MOST_COLUMNS = 400_000, 200

#: Last row a sheet can have.
LAST_ROW = 1_048_576
#: All parts of a workbook of that many rows, unpacked. [bytes]
MOST_UNPACKED = 100_000_000
#: A large part packed better than this repeats one thing; tables of readings pack to a tenth.
MOST_SWOLLEN, SWELLS = 5_000_000, 100

# What openpyxl raises on workbooks that were cut or altered: it promises nothing narrower.
_DAMAGE = (
    BadZipFile, KeyError, ValueError, TypeError, OSError, EOFError, SyntaxError, AttributeError,
    IndexError, ArithmeticError, NotImplementedError, RuntimeError, zlib.error,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class WorkbookSheet:
    """One sheet as text."""

    title: str
    visible: bool
    text: str


def text_of_workbook(raw: bytes, name: str, wanted: str | None = None) -> Decoded:
    """Text of the sheet that holds days, cells parted by tabs; of all where they go on.

    Parameters
    ----------
    raw : bytes
    name : str
        File, for people.
    wanted : str, optional
        The sheet the person named.

    Raises
    ------
    Refusal
        If the workbook is broken, empty or too large, or several sheets hold days and it is not
        clear that they belong together.
    """
    import openpyxl

    try:
        _refuse_what_swells(raw, name)
        book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        sheets = [
            WorkbookSheet(sheet.title, sheet.sheet_state == "visible", _text(sheet, name))
            for sheet in book.worksheets
            if hasattr(sheet, "iter_rows")
        ]
    except _DAMAGE as error:
        raise _refused(name, f"the workbook is damaged ({type(error).__name__})") from None
    filled = [sheet for sheet in sheets if sheet.text.strip()]
    if wanted is not None:
        chosen = _wanted(sheets, wanted, name)
        return Decoded(chosen.text, "UTF-8", f"Sheet {chosen.title}{_left_out(filled, [chosen])}")
    if not any(sheet.text.count("\n") > 1 for sheet in filled):
        raise _refused(name, "no sheet in it holds a table")
    return _of_all(filled, name)


def _of_all(sheets: Sequence[WorkbookSheet], name: str) -> Decoded:
    """The one sheet of days; or all of them where each goes on under the same header."""
    tables = [sheet for sheet in sheets if heading(sheet.text) is not None]
    if not tables:
        longest = max(sheets, key=lambda sheet: sheet.text.count("\n"))
        left = _left_out(sheets, [longest])
        return Decoded(longest.text, "UTF-8", f"Sheet {longest.title}{left}" if left else "")
    names = {_names(sheet) for sheet in tables}
    if (
        not all(sheet.visible for sheet in tables)
        or len(names) > 1
        or (len(tables) > 1 and () in names)
    ):
        raise _several(tables, name)
    left = _left_out(sheets, tables)
    if len(tables) == 1:
        said = f"Sheet {tables[0].title}{left}" if len(sheets) > 1 else ""
        return Decoded(tables[0].text, "UTF-8", said)
    listed = ", ".join(sheet.title for sheet in tables)
    return Decoded(_joined(tables), "UTF-8", f"Sheets {listed}, lines counted through{left}")


def _left_out(sheets: Sequence[WorkbookSheet], read: Sequence[WorkbookSheet]) -> str:
    """Name every sheet that holds something and is not read, those with days of their own first."""
    others = [sheet for sheet in sheets if sheet not in read]
    dated = [f"'{sheet.title}'" for sheet in others if heading(sheet.text) is not None]
    blank = [f"'{sheet.title}'" for sheet in others if f"'{sheet.title}'" not in dated]
    return (f"; not read: {', '.join(dated)}" if dated else "") + (
        f"; no days found in {', '.join(blank)}" if blank else ""
    )


def _names(sheet: WorkbookSheet) -> tuple[str, ...]:
    found = heading(sheet.text)
    return tuple(name.casefold() for name in found[1]) if found else ()


def _joined(tables: Sequence[WorkbookSheet]) -> str:
    """Sheets under one header, each row with the sheet it is from: it may be a site."""
    lines: list[str] = []
    for sheet in tables:
        start, names = heading(sheet.text) or (0, ())
        rows = sheet.text.split("\n")
        if not lines:
            lines = [*rows[:start], f"{rows[start]}\tsheet"]
        for row in rows[start + 1 :]:
            gaps = "\t" * (len(names) - 1 - row.count("\t"))
            lines.append(f"{row}{gaps}\t{sheet.title}" if row.strip() else "")
    return "\n".join(lines) + "\n"


def _wanted(sheets: Sequence[WorkbookSheet], wanted: str, name: str) -> WorkbookSheet:
    for sheet in sheets:
        if sheet.title.strip().casefold() == wanted.strip().casefold():
            return sheet
    listed = ", ".join(sheet.title for sheet in sheets)
    raise Refusal(
        name, f"it has no sheet '{wanted}'", f"Its sheets are {listed[:200]}.",
        "Give one of these names.", slug="several-sheets",
    )  # fmt: skip


def _several(tables: Sequence[WorkbookSheet], name: str) -> Refusal:
    listed = ", ".join(
        sheet.title if sheet.visible else f"{sheet.title} (hidden)" for sheet in tables
    )
    best = next((sheet for sheet in tables if sheet.visible), tables[0])
    hidden = sum(not sheet.visible for sheet in tables)
    count = f"{len(tables)} of its sheets hold days" if len(tables) > 1 else "its days are hidden"
    why = "" if hidden else " Their headers differ."
    return OpenQuestion(
        name, count, f"They stand in {listed[:200]}.{why}", "Say which sheet to read:",
        option="sheet", answer=best.title, choices=[sheet.title for sheet in tables],
        slug="several-sheets",
    )  # fmt: skip


def _refuse_what_swells(raw: bytes, name: str) -> None:
    """Look at the sizes a workbook states, which are also all that is unpacked of it."""
    with ZipFile(io.BytesIO(raw)) as archive:
        parts = archive.infolist()
    size = sum(part.file_size for part in parts)
    swells = any(
        part.file_size > MOST_SWOLLEN and part.file_size > SWELLS * part.compress_size
        for part in parts
    )
    if size > MOST_UNPACKED or swells:
        raise _refused(name, f"it unpacks to {size / 1e6:,.0f} MB, {size / len(raw):,.0f} times "
                       "its size")  # fmt: skip


def _text(sheet: Any, name: str) -> str:
    """Cells parted by tabs. What a sheet says of its own size is not believed."""
    sheet.reset_dimensions()
    lines, filled = [], 0
    for row in sheet.iter_rows(values_only=True, max_row=LAST_ROW):
        cells = [_cell(value) for value in row]
        while cells and not cells[-1]:
            cells.pop()
        if len(cells) > MOST_COLUMNS:
            raise _too_large(name, sheet.title, f"more than {MOST_COLUMNS} columns")
        filled += bool(cells)
        if filled > MOST_ROWS:
            raise _too_large(name, sheet.title, f"more than {MOST_ROWS:,} rows")
        lines.append("\t".join(cells))
    return "\n".join(lines) + "\n"


def _too_large(name: str, title: str, fault: str) -> Refusal:
    return Refusal(
        name, f"its sheet '{title}' has {fault}",
        "What lies beyond would be left out in silence.",
        "Save its days as CSV, or cut it into smaller workbooks.", slug="too-large",
    )  # fmt: skip


def _cell(value: object) -> str:
    """A cell as text; a day without a time as a day alone."""
    if value is None:
        return ""
    if isinstance(value, dt.datetime):
        return (
            value.strftime("%Y-%m-%d") if value.time() == dt.time() else f"{value:%Y-%m-%d %H:%M}"
        )
    if isinstance(value, dt.time):
        return f"{value:%H:%M}"
    return str(value).replace("\t", " ").replace("\n", " ").replace("\r", " ")


def _refused(name: str, fault: str) -> Refusal:
    return Refusal(
        name,
        fault,
        "A sheet of days with their highest and lowest temperatures is expected.",
        "Open it and save that sheet as CSV.",
        slug="no-table",
    )
