"""Text to cells: comment lines, preamble, header, delimiter."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gddcast.errors import Refusal
from gddcast.readers.columns import Meaning, meaning
from gddcast.readers.reading import named_lines

#: Lines searched for one that names a date and a temperature.
SEARCHED = 30
#: More cells than this would fill the memory.
MOST_CELLS = 2_000_000

# A gap of two spaces or more comes before any white space: "Max Temp" may hold one.
_DELIMITERS = ("\t", ";", ",", "|", "  ", " ")

_DELIMITER_NAMES = {
    "\t": "tabs", ";": "semicolons", ",": "commas", "|": "upright strokes",
    "  ": "spaces", " ": "spaces",
}  # fmt: skip

_PROVENANCE = re.compile(r"^#+\s*([A-Za-z][\w .-]{0,40}?)\s*:\s*(\S.*)$")

_NUMBER = re.compile(r"^[-+−]?\d+(?:[.,]\d+)?$")


@dataclass(frozen=True, slots=True)
class Table:
    """Cells of a text table.

    Parameters
    ----------
    names : tuple of str
        Column names; ``column 1`` … where the file has no header.
    rows : list of list of str
        Cells; every row has one a column.
    lines : sequence of int
        Line of the file each row stands on, counted from 1.
    header_line : int
        Line of the header, 0 where there is none.
    delimiter : str
    provenance : tuple of (str, str)
        ``# key: value`` lines.
    comments : int
        Comment lines skipped.
    """

    names: tuple[str, ...]
    rows: list[list[str]]
    lines: Sequence[int]
    header_line: int
    delimiter: str
    provenance: tuple[tuple[str, str], ...] = ()
    comments: int = 0

    @property
    def delimiter_name(self) -> str:
        """What parts the cells, in words."""
        return _DELIMITER_NAMES[self.delimiter]

    def meanings(self) -> tuple[Meaning, ...]:
        """What each column's name says."""
        return tuple(meaning(name) for name in self.names)

    def column(self, index: int) -> list[str]:
        """Cells of one column."""
        return [row[index] for row in self.rows]


def tabled(text: str, name: str, *, wanted: tuple[str, ...] = ()) -> Table:
    """Cut a text into a table.

    Parameters
    ----------
    text : str
    name : str
        File name, for people.
    wanted : tuple of str
        Column names the person gave; a line that holds them is the header.

    Raises
    ------
    Refusal
        If no line names a date and a temperature and the first line is no data either.
    """
    lines = text.lstrip("\ufeff").splitlines()
    header = _header(lines, wanted)
    if header is not None:
        at, delimiter = header
        names = tuple(cell.strip() for cell in _cells(lines[at].lstrip("# "), delimiter))
        return _table(lines, at + 1, names, delimiter, at + 1, name)
    start, delimiter = _first_data(lines, name)
    width = len(_cells(lines[start], delimiter))
    names = tuple(f"column {number}" for number in range(1, width + 1))
    return _table(lines, start, names, delimiter, 0, name)


def _header(lines: list[str], wanted: tuple[str, ...]) -> tuple[int, str] | None:
    """Line and delimiter of the first line that names a date and a temperature."""
    searched = 0
    for at, line in enumerate(lines):
        commented = line.startswith("#")
        if not line.strip() or (commented and _PROVENANCE.match(line)):
            continue
        searched += not commented
        if searched > SEARCHED:
            return None
        following = _sample(lines, at + 1)
        for delimiter in _DELIMITERS:
            cells = _cells(line.lstrip("# ") if commented else line, delimiter)
            if (
                len(cells) > 1
                and _names_columns(cells, wanted)
                and _fits(cells, following, delimiter)
            ):
                return at, delimiter
    return None


def _sample(lines: list[str], start: int, size: int = 8) -> list[str]:
    """The next few lines that are neither blank nor comments."""
    found: list[str] = []
    for line in lines[start : start + 60]:
        if line.strip() and not line.startswith("#"):
            found.append(line)
        if len(found) == size:
            break
    return found


def _names_columns(cells: list[str], wanted: tuple[str, ...]) -> bool:
    if any(_NUMBER.match(cell.strip()) for cell in cells):
        return False
    kinds = {meaning(cell.strip()).kind for cell in cells}
    plain = {cell.strip().casefold() for cell in cells}
    dated = bool(kinds & {"stamp", "day", "day-number", "clock"})
    warm = bool(kinds & {"max", "min", "mean", "temperature"})
    return dated and (warm or any(name.casefold() in plain for name in wanted))


def _fits(cells: list[str], following: list[str], delimiter: str) -> bool:
    """Whether most lines below have as many cells (a trailing empty one may be left out)."""
    if not following:
        return delimiter not in ("  ", " ")
    near = sum(abs(len(_cells(line, delimiter)) - len(cells)) <= 2 for line in following)
    more = sum(len(_cells(line, delimiter)) > 1 for line in following)
    return 2 * more > len(following) and (2 * near > len(following) or delimiter == ",")


def _first_data(lines: list[str], name: str) -> tuple[int, str]:
    """First line of a file without a header, and its delimiter."""
    for at, line in enumerate(lines):
        if not line.strip() or line.startswith("#"):
            continue
        for delimiter in _DELIMITERS:
            cells = [cell.strip() for cell in _cells(line, delimiter)]
            numbers = sum(bool(_NUMBER.match(cell)) for cell in cells)
            if len(cells) > 2 and numbers >= len(cells) - 2 and cells[0][:1].isdigit():
                return at, delimiter
        break
    seen = next((line.strip() for line in lines if line.strip()), "")
    raise Refusal(
        name,
        f"none of its first {SEARCHED} lines names a date and a temperature",
        f"It begins with '{seen[:60]}'. A line such as 'date, max °C, min °C' is expected.",
        "Write such a line above the numbers.",
        slug="header-missing",
    )


def _cells(line: str, delimiter: str) -> list[str]:
    if delimiter == " ":
        return line.split()
    if delimiter == "  ":
        return re.split(r"\s{2,}", line.strip())
    if '"' in line:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    return line.split(delimiter)


def _table(
    lines: list[str], start: int, names: tuple[str, ...], delimiter: str, header: int, name: str
) -> Table:
    """Cells of every line from ``start``; blank lines and comments are skipped."""
    width = len(names)
    numbers: Sequence[int] = range(start + 1, len(lines) + 1)
    body = lines[start:]
    comments = sum(line.startswith("#") for line in lines[:start])
    if _has_gaps(body):
        kept = [i for i, line in enumerate(body) if line.strip() and not line.startswith("#")]
        comments += sum(line.startswith("#") for line in body)
        body = [body[i] for i in kept]
        numbers = [numbers[i] for i in kept]
    rows = _all_cells(body, delimiter, name)
    if any(len(row) != width for row in rows):
        _even_out(rows, numbers, names, name)
    repeated = {i for i, row in enumerate(rows) if row[0].strip() == names[0]} if header else set()
    if repeated:  # the header stands again where files were stacked
        rows = [row for i, row in enumerate(rows) if i not in repeated]
        numbers = [number for i, number in enumerate(numbers) if i not in repeated]
    if not rows:
        raise Refusal(
            name,
            "it has a header and no rows",
            f"Its header is '{','.join(names)[:80]}'.",
            "Export it once more and look inside before you do.",
            slug="no-rows",
        )
    return Table(names, rows, numbers, header, delimiter, _provenance(lines), comments)


def _has_gaps(body: list[str]) -> bool:
    return any(not line or line[0] in "# \t" for line in body)


def _all_cells(body: list[str], delimiter: str, name: str) -> list[list[str]]:
    if delimiter in (" ", "  "):
        return _held((_cells(line, delimiter) for line in body), name)
    if not any('"' in line for line in body):
        return _held((line.split(delimiter) for line in body), name)
    try:
        rows = _held(csv.reader(body, delimiter=delimiter, skipinitialspace=True), name)
    except csv.Error:
        rows = []
    # A quotation mark that is never closed swallows lines: take every line by itself then.
    if len(rows) != len(body):
        rows = _held((line.replace('"', "").split(delimiter) for line in body), name)
    return rows


def _held(rows: Iterable[list[str]], name: str) -> list[list[str]]:
    """The rows, as long as their cells fit into the memory."""
    held, cells = [], 0
    for row in rows:
        held.append(row)
        cells += len(row)
        if cells > MOST_CELLS:
            raise Refusal(
                name,
                f"it has more than {MOST_CELLS:,} cells",
                f"Its first {len(held):,} rows have {cells / len(held):,.0f} on average.",
                "Keep the columns of date, maximum and minimum, or cut it into pieces.",
                slug="no-table",
            )
    return held


def _even_out(
    rows: list[list[str]], numbers: Sequence[int], names: tuple[str, ...], name: str
) -> None:
    """Give every row as many cells as there are names, or refuse."""
    width = len(names)
    longer = [
        number
        for number, row in zip(numbers, rows, strict=True)
        if len(row) > width and any(cell.strip() for cell in row[width:])
    ]
    if 20 * len(longer) > len(rows):
        raise Refusal(
            name,
            f"{named_lines(longer, 3)} {'has' if len(longer) == 1 else 'have'} more cells than "
            "the header has names",
            f"The header has {width}: {', '.join(names)[:80]}.",
            "If numbers are written with a decimal comma, part the cells with semicolons.",
            slug="cells-uneven",
        )
    for row in rows:
        if len(row) < width:
            row.extend([""] * (width - len(row)))
        elif len(row) > width:
            del row[width:]


def _provenance(lines: list[str]) -> tuple[tuple[str, str], ...]:
    if not any(line.startswith("#") for line in lines[:SEARCHED]):
        return ()
    found = (_PROVENANCE.match(line) for line in lines[:100])
    return tuple((match[1].strip().casefold(), match[2].strip()) for match in found if match)
