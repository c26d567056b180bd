"""An Excel workbook's first sheet with numbers, as the text of a table."""

from __future__ import annotations

import datetime as dt
import io
import zlib
from collections.abc import Iterable
from zipfile import BadZipFile, ZipFile

from gddcast.errors import Refusal
from gddcast.readers.decoding import Decoded

#: More cells than this are no thermometer's; they would fill the memory. [rows]
MOST_ROWS = 400_000
#: All parts of a workbook of that many rows, unpacked. [bytes]
MOST_UNPACKED = 100_000_000
#: A large part packed better than this repeats one thing; tables of readings pack to a tenth.
MOST_SWOLLEN, SWELLS = 5_000_000, 100

# What openpyxl raises on workbooks that were cut or altered: it promises nothing narrower.
_DAMAGE = (
    BadZipFile, KeyError, ValueError, TypeError, OSError, EOFError, SyntaxError, AttributeError,
    IndexError, ArithmeticError, NotImplementedError, RuntimeError, zlib.error,
)  # fmt: skip


def text_of_workbook(raw: bytes, name: str) -> Decoded:
    """Text of the first sheet that holds rows, cells parted by tabs.

    Raises
    ------
    Refusal
        If openpyxl is not installed, or the workbook is broken or empty.
    """
    try:
        import openpyxl
    except ImportError:
        raise Refusal(
            name,
            "it is an Excel workbook, and the part that reads those is not installed",
            "gddcast reads workbooks with openpyxl.",
            "Run  pip install 'gddcast[excel]'  or save the sheet as CSV.",
            slug="excel-missing",
        ) from None
    try:
        _refuse_what_swells(raw, name)
        book = openpyxl.load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        for sheet in book.worksheets:
            rows = sheet.iter_rows(values_only=True, max_row=MOST_ROWS, max_col=60)
            text = _text(rows)
            if text.count("\n") > 1:
                return Decoded(text, "UTF-8")
    except _DAMAGE as error:
        raise _refused(name, f"the workbook is damaged ({type(error).__name__})") from None
    raise _refused(name, "no sheet in it holds a table")


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


def _text(rows: Iterable[tuple[object, ...]]) -> str:
    lines = []
    for row in rows:
        cells = [_cell(value) for value in row]
        while cells and not cells[-1]:
            cells.pop()
        lines.append("\t".join(cells))
    return "\n".join(lines) + "\n"


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


def _refused(name: str, found: str) -> Refusal:
    return Refusal(
        name,
        found,
        "A sheet of days with their highest and lowest temperatures is expected.",
        "Open it and save that sheet as CSV.",
        slug="no-table",
    )
