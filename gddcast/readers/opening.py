"""Opening a file: where it stands, its bytes and no more than fit, and the alphabet of its text."""

from __future__ import annotations

import errno
import os
import re
import select
import stat
import time
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from sys import getsizeof

from gddcast.errors import Refusal


@cache
def data_folder() -> Path:
    """The folder ``data/``: beside the package in a checkout, inside it where installed."""
    package = Path(__file__).resolve().parents[1]
    places = (package / "data", package.parent / "data")
    for place in places:
        if (place / "pests").is_dir():
            return place
    raise Refusal(
        "this installation",
        "its data folder is missing",
        f"Looked for {places[0]} and {places[1]}.",
        "Install gddcast again.",
        slug="data-missing",
    )


#: Larger files are not a thermometer's; reading them would fill the memory. [bytes]
LARGEST = 50_000_000
#: A pipe that has not ended by then may never end. [s]
PATIENCE = 4.0
#: Codes of what can be opened and is no file of readings: too large, a device, a pipe without end.
NO_FILE_OF_READINGS = (errno.EFBIG, errno.ENODEV, errno.ETIMEDOUT)
_PIECE = 1 << 20


def bytes_of(path: Path, most: int = LARGEST) -> bytes:
    """All bytes of a file, or of a pipe such as /dev/stdin.

    Parameters
    ----------
    path : Path
    most : int
        Size of the largest that is read.

    Raises
    ------
    OSError
        Its ``strerror`` says what it is: missing, a folder, too large, a device, without end.
    """
    # A pipe that nobody writes into would keep us in the very opening of it.
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with open(path, "rb", buffering=0, opener=lambda name, _: os.open(name, flags)) as file:
        state = os.fstat(file.fileno())
        if stat.S_ISDIR(state.st_mode):
            raise IsADirectoryError(errno.EISDIR, "it is a folder")
        if stat.S_ISFIFO(state.st_mode):
            return _piped(file.fileno(), most)
        if not stat.S_ISREG(state.st_mode):
            raise OSError(errno.ENODEV, "it is a device, not a file")
        if state.st_size > most:
            raise OSError(errno.EFBIG, f"it is {_size(state.st_size)} large; {_size(most)} is most")
        found = file.read(most + 1)
    if len(found) > most:
        raise _endless(most)
    return found


def _piped(handle: int, most: int) -> bytes:
    """What comes through a pipe until it ends."""
    until, size = time.monotonic() + PATIENCE, 0
    pieces: list[bytes] = []
    while size <= most:
        left = until - time.monotonic()
        if left <= 0 or not select.select([handle], [], [], left)[0]:
            raise OSError(errno.ETIMEDOUT, f"it is a pipe that did not end in {PATIENCE:g} seconds")
        piece = os.read(handle, _PIECE)
        if not piece:
            return b"".join(pieces)
        pieces.append(piece)
        size += len(piece)
    raise _endless(most)


def _endless(most: int) -> OSError:
    return OSError(errno.EFBIG, f"it does not end before {_size(most)}")


def _size(count: int) -> str:
    large = count >= 1_000_000
    return f"{count / 1e6:,.0f} megabytes" if large else f"{count / 1e3:,.0f} kilobytes"


#: More lines are no thermometer's: two years of minutes. And no table has a line so long.
MOST_LINES, LONGEST_LINE = 1_060_000, 50_000
#: Every sign at which a text is cut into lines.
_LINE_ENDS = "\n\r\v\f\x1c\x1d\x1e\x85\u2028\u2029"

_MARKS = (  # longest first: the UTF-32 mark begins like the UTF-16 one
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)

#: What spreadsheets show for a cell that cannot be worked out.
_CELL_ERROR = re.compile(r"#(REF!|N/A|VALUE!|DIV/0!|NAME\?|NUM!|NULL!)")

_NOT_TEXT = (
    (b"\xd0\xcf\x11\xe0", "it is an old Excel workbook (.xls)", "Open it and save it as CSV."),
    (b"%PDF", "it is a PDF", "Get the numbers as CSV from where the PDF came from."),
    (b"\x1f\x8b", "it is compressed (gzip)", "Unpack it first."),
    (b"\x89PNG", "it is a picture", "Type the readings into a table and save it as CSV."),
    (b"\xff\xd8\xff", "it is a picture", "Type the readings into a table and save it as CSV."),
    (b"SQLite format 3", "it is a database", "Export the readings from it as CSV."),
)

_NAMES = {"utf-8-sig": "UTF-8", "utf-8": "UTF-8", "utf-16": "UTF-16", "utf-32": "UTF-32"}

_TEXT_EXPECTED = "A text table of days with their highest and lowest temperatures is expected."


@dataclass(frozen=True, slots=True)
class Decoded:
    """Text of a file, the name of its encoding, and which sheets of a workbook it is."""

    text: str
    encoding: str
    sheets: str = ""


def is_remark(line: str) -> bool:
    """Whether a line of a table is a remark: it begins with #, and not with a spreadsheet's error.

    Examples
    --------
    >>> is_remark("# jar 3 fell over"), is_remark("#REF!,13.3,4")
    (True, False)
    """
    return line.lstrip().startswith("#") and not _CELL_ERROR.match(line.lstrip())


def is_workbook(raw: bytes) -> bool:
    """Whether the bytes are an Excel workbook, whatever the file is called."""
    return raw.startswith(b"PK\x03\x04") and b"xl/" in raw


def decoded(raw: bytes, name: str, expected: str = _TEXT_EXPECTED) -> Decoded:
    r"""Text of a file's bytes: byte-order mark, then UTF-8, then Windows-1252.

    Parameters
    ----------
    raw : bytes
    name : str
        Of the file.
    expected : str
        What a refusal says of the right file; a table of days if nothing else is said.

    Raises
    ------
    Refusal
        If the file is empty, a web page, a workbook or another thing that is no text.

    Examples
    --------
    >>> decoded(b"Temp, \xb0F", "log.csv").text
    'Temp, °F'
    """
    try:
        return _decoded(raw, name)
    except Refusal as no:
        raise Refusal(no.where, no.problem, expected, no.cure, slug=no.slug) from no.__cause__


def _decoded(raw: bytes, name: str) -> Decoded:
    _refuse_what_is_no_text(raw, name)
    text, encoding = _text(raw, name)
    if "\x00" in text:
        raise _no_text(name, "it holds bytes that no text has", "Export it as CSV once more.")
    _refuse_web_page(text, name)
    if not text.strip():
        raise _no_text(name, "it is empty", "Export it once more and look inside before you do.")
    _refuse_what_fills_the_memory(text, name)
    return Decoded(text, encoding)


def _text(raw: bytes, name: str) -> tuple[str, str]:
    for mark, encoding in _MARKS:
        if raw.startswith(mark):
            try:
                return raw.decode(encoding), _NAMES[encoding]
            except UnicodeDecodeError as error:
                raise _no_text(
                    name,
                    f"it begins as {_NAMES[encoding]} and breaks off at byte {error.start:,}",
                    "It may have been cut while it was copied: export it once more.",
                ) from None
    unmarked = _unmarked_utf16(raw)
    if unmarked is not None:
        return unmarked, "UTF-16"
    try:
        return raw.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError:
        # Five bytes are undefined in Windows-1252; they can only stand in words we skip.
        return raw.decode("cp1252", errors="replace"), "Windows-1252"


def _unmarked_utf16(raw: bytes) -> str | None:
    """Text of UTF-16 without a mark: nearly every other byte of a Western table is zero."""
    head = raw[:400]
    for offset, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):
        zeros = head[offset::2]
        if len(zeros) > 8 and zeros.count(0) > 0.7 * len(zeros):
            try:
                return raw.decode(encoding)
            except UnicodeDecodeError:
                return None
    return None


def _refuse_what_is_no_text(raw: bytes, name: str) -> None:
    if not raw.strip():
        raise _no_text(name, "it is empty", "Export it once more and look inside before you do.")
    if len(raw) > LARGEST:
        raise _no_text(
            name,
            f"it is {len(raw) / 1e6:,.0f} MB large",
            f"Cut it into pieces below {LARGEST // 1_000_000} MB.",
        )
    if is_workbook(raw):
        raise _no_text(
            name, "it is an Excel workbook under another ending", "Rename it so it ends in .xlsx."
        )
    if raw.startswith(b"PK\x03\x04"):
        raise _no_text(name, "it is a zip archive", "Unpack it first.")
    for beginning, found, cure in _NOT_TEXT:
        if raw.startswith(beginning):
            raise _no_text(name, found, cure)


def _refuse_what_fills_the_memory(text: str, name: str) -> None:
    """Count before cutting: each line and each cell takes more room than its letters do."""
    if (size := getsizeof(text)) > 3 * LARGEST // 2:  # one rare sign makes every letter four bytes
        raise _no_text(
            name,
            f"its text takes {size / 1e6:,.0f} MB of memory",
            f"Cut it into pieces below {LARGEST // 4_000_000} MB.",
        )
    count = sum(text.count(end) for end in _LINE_ENDS if end in text) - text.count("\r\n")
    if count > MOST_LINES:
        raise _no_text(
            name,
            f"it has {count:,} lines",
            f"Cut it into pieces of no more than {MOST_LINES:,} lines.",
        )
    half = LONGEST_LINE // 2
    if all(text.find("\n", at, at + half) >= 0 for at in range(0, len(text) - half, half)):
        return  # a line that long would hold one of these pieces whole
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > LONGEST_LINE:
            raise _no_text(
                f"{name}, line {number}",
                f"it is {len(line):,} letters long and begins with '{line[:40].strip()}'",
                f"No row has more than {LONGEST_LINE:,}: mend that line, or export it once more.",
            )


def _refuse_web_page(text: str, name: str) -> None:
    head = text[:2000].lstrip("\ufeff \t\r\n").casefold()
    if head.startswith(("<!doctype html", "<html", "<head", "<body", "<table")) or "<html" in head:
        raise _no_text(
            name,
            "it is a web page, not a table",
            "Use the page’s download or export button; if it has none, copy the table into a "
            "spreadsheet and save that as CSV.",
        )
    if head.startswith("<?xml") or (head[:1] in "{[" and head[:1] and '"' in head[:80]):
        kind = "XML" if head.startswith("<") else "JSON"
        raise _no_text(name, f"it is {kind}, not a table", "Ask the service for CSV instead.")


def _no_text(name: str, fault: str, cure: str) -> Refusal:
    return Refusal(name, fault, _TEXT_EXPECTED, cure, slug="no-table")
