"""Text to cells: comment lines, preamble, header, delimiter."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gddcast.errors import Refusal
from gddcast.readers.columns import TEMPERATURES, Meaning, meaning
from gddcast.readers.headers import (
    PROVENANCE,
    SEARCHED,
    cells_of,
    first_data,
    groups_above,
    header_in,
    names_columns,
    units_below,
)
from gddcast.readers.reading import Note
from gddcast.readers.uneven_rows import cut_cell, evened, with_whole_stamps

#: Lines that one remark may run over.
MOST_LINES = 20


def whole_records(
    body: list[str], numbers: Sequence[int], delimiter: str, width: int
) -> tuple[list[str], Sequence[int]]:
    """Lines put together where a quoted remark runs over several; others as they are.

    Lines belong together only up to a mark that closes a cell, and where no row is swallowed: a
    mark that is never closed, or one that means inches, joins nothing.

    Parameters
    ----------
    body : list of str
        Lines below the header.
    numbers : sequence of int
        Line of the file of each.
    delimiter : str
    width : int
        Cells of the header.

    Examples
    --------
    >>> whole_records(['1 May,9,"rain,', 'then sun"', "2 May,8,"], [2, 3, 4], ",", 3)
    (['1 May,9,"rain, then sun"', '2 May,8,'], [2, 4])
    >>> whole_records(['1 May,9,"5 hail', '2 May,8,"6 hail'], [2, 3], ",", 3)[1]
    [2, 3]
    """
    joined: list[str] = []
    kept: list[int] = []
    at = 0
    while at < len(body):
        size = _lines_of_row(body, at, delimiter, width)
        joined.append(" ".join(body[at : at + size]))
        kept.append(numbers[at])
        at += size
    return joined, kept


def _lines_of_row(body: list[str], at: int, delimiter: str, width: int) -> int:
    """How many lines are one row: up to the mark that closes the one opened in the first."""
    first = body[at]
    opened = first[0] == '"' or delimiter + '"' in first
    if not opened or not _is_odd(first):
        return 1
    for more, line in enumerate(body[at + 1 : at + MOST_LINES], start=2):
        if _is_odd(line):
            behind = line.replace('""', "").partition('"')[2].lstrip()
            return more if not behind or behind.startswith(delimiter) else 1
        if len(line.split(delimiter)) >= width:  # a row by itself
            return 1
    return 1


def _is_odd(line: str) -> bool:
    """Whether a mark in a line has no other; two together stand for one that is written."""
    return line.count('"') % 2 == 1


#: More cells than this would fill the memory.
MOST_CELLS = 2_000_000


_DELIMITER_NAMES = {
    "\t": "tabs", ";": "semicolons", ",": "commas", "|": "upright strokes",
    "  ": "spaces", " ": "spaces",
}  # fmt: skip


_ONCE_MORE = "Copy the file once more; if it is whole, end it with a new line."


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
    beside : tuple of str
        What a second header row says of each column: the heading of its group, its unit.
    title : str
        Text of the lines above the header.
    notes : tuple of Note
        What became of rows of another length, and of a last line that was cut.
    """

    names: tuple[str, ...]
    rows: list[list[str]]
    lines: Sequence[int]
    header_line: int
    delimiter: str
    provenance: tuple[tuple[str, str], ...] = ()
    beside: tuple[str, ...] = ()
    title: str = ""
    notes: tuple[Note, ...] = ()

    @property
    def delimiter_name(self) -> str:
        """What parts the cells, in words."""
        return _DELIMITER_NAMES[self.delimiter]

    def meanings(self) -> tuple[Meaning, ...]:
        """What each column's name says, with what a second header row says of it."""
        plain = tuple(meaning(name) for name in self.names)
        if not self.beside:
            return plain
        return tuple(
            replace(meaning(f"{meant.name} {more}"), name=meant.name)
            if more and meant.kind in ("max", "min", "mean", "temperature", "other")
            else meant
            for meant, more in zip(plain, self.beside, strict=True)
        )

    def called(self, index: int) -> str:
        """A column as a flag names it: by its name, or its number where two bear that name."""
        plain = [name.strip().casefold() for name in self.names]
        return self.names[index] if plain.count(plain[index]) == 1 else str(index + 1)

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
    header = header_in(lines, wanted)
    if header is not None:
        at, delimiter = header
        names = tuple(cell.strip() for cell in cells_of(lines[at].lstrip("# "), delimiter))
        groups = groups_above(lines[:at], names, delimiter)
        units, start = units_below(lines, at + 1, len(names), delimiter)
        table = _table(lines, start, names, delimiter, at + 1, name, wanted)
        table = table if text[-1:] in "\r\n" else _without_cut_end(table)
        beside = tuple(f"{group} {unit}".strip() for group, unit in zip(groups, units, strict=True))
        title = "\n".join(lines[:at])
        return replace(table, beside=beside if any(beside) else (), title=title)
    start, delimiter = first_data(lines, name)
    width = len(cells_of(lines[start], delimiter))
    names = tuple(f"column {number}" for number in range(1, width + 1))
    table = _table(lines, start, names, delimiter, 0, name, wanted)
    return table if text[-1:] in "\r\n" else _without_cut_end(table)


def _table(
    lines: list[str],
    start: int,
    names: tuple[str, ...],
    delimiter: str,
    header: int,
    name: str,
    wanted: tuple[str, ...],
) -> Table:
    """Cells of every line from ``start``; blank lines and comments are skipped."""
    numbers: Sequence[int] = range(start + 1, len(lines) + 1)
    body = lines[start:]
    if _has_gaps(body):
        kept = [i for i, line in enumerate(body) if line.strip() and not line.startswith("#")]
        body = [body[i] for i in kept]
        numbers = [numbers[i] for i in kept]
    if any('"' in line for line in body) and delimiter.strip(" "):
        body, numbers = whole_records(body, numbers, delimiter, len(names))
    rows = _all_cells(body, delimiter, name)
    if delimiter == " ":
        rows = with_whole_stamps(rows, names)
    repeated = _headers_again(rows, numbers, names, name, wanted)
    if len(body) < len(lines) - start:
        _refuse_commented_header(lines, start, names, delimiter, name)
    if repeated:  # the header stands again where files were stacked
        kept = [i for i in range(len(rows)) if i not in repeated]
        rows, body = [rows[i] for i in kept], [body[i] for i in kept]
        numbers = [numbers[i] for i in kept]
    notes: tuple[Note, ...] = ()
    if any(len(row) != len(names) for row in rows):
        rows, numbers, notes = evened(rows, body, numbers, names, delimiter, name)
    if not rows:
        raise Refusal(
            name,
            "it has a header and no rows",
            f"Its header is '{','.join(names)[:80]}'.",
            "Export it once more and look inside before you do.",
            slug="no-rows",
        )
    return Table(names, rows, numbers, header, delimiter, _provenance(lines), notes=notes)


def _headers_again(
    rows: list[list[str]],
    numbers: Sequence[int],
    names: tuple[str, ...],
    name: str,
    wanted: tuple[str, ...],
) -> set[int]:
    """Rows that are the header once more, as where files were stacked; another one is refused."""
    again = set()
    first = [each.casefold() for each in names]
    for at, row in enumerate(rows):
        if row[0][:1].isdigit():
            continue
        cells = [cell.strip().strip("# ").casefold() for cell in row]
        while len(cells) > len(first) and not cells[-1]:
            cells.pop()
        if cells == [each.strip("# ") for each in first]:
            again.add(at)
        elif names_columns(row, wanted):
            raise _another_header(numbers[at], ", ".join(cell.strip() for cell in row), names, name)
    return again


def _refuse_commented_header(
    lines: list[str], start: int, names: tuple[str, ...], delimiter: str, name: str
) -> None:
    """Refuse a header behind a # in the middle of the rows that differs from the first."""
    for at in range(start, len(lines)):
        if not lines[at].startswith("#") or delimiter not in lines[at]:
            continue
        cells = [cell.strip() for cell in cells_of(lines[at].lstrip("# "), delimiter)]
        other = [cell.casefold() for cell in cells] != [each.casefold() for each in names]
        if len(cells) == len(names) and other and names_columns(cells, ()):
            raise _another_header(at + 1, ", ".join(cells), names, name)


def _another_header(line: int, shown: str, names: tuple[str, ...], name: str) -> Refusal:
    return Refusal(
        name,
        f"line {line} is a header unlike the first",
        f"It is '{shown[:80]}'; the first is '{', '.join(names)[:80]}'.",
        "Cut the file in two above that line and read each part by itself.",
        slug="header-changes",
    )


def _without_cut_end(table: Table) -> Table:
    """The table without a reading at its very end that may have been cut as the file broke off."""
    last = [cell.strip() for cell in table.rows[-1]]
    warm = [meaning(each).kind in TEMPERATURES or not table.header_line for each in table.names]
    at = cut_cell(last, table.rows[-31:-1], warm)
    if at is None:
        return table
    text = (
        f"The file breaks off in its last line, at '{last[at][:20]}': that reading may be cut and "
        "was taken as missing."
    )
    note = Note("cut-end", text, (table.lines[-1],), cure=_ONCE_MORE)
    last[at] = ""
    return replace(table, rows=[*table.rows[:-1], last], notes=(*table.notes, note))


def _has_gaps(body: list[str]) -> bool:
    return any(not line or line[0] in "# \t" for line in body)


def _all_cells(body: list[str], delimiter: str, name: str) -> list[list[str]]:
    if delimiter in (" ", "  "):
        return _held((cells_of(line, delimiter) for line in body), name)
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


def _provenance(lines: list[str]) -> tuple[tuple[str, str], ...]:
    if not any(line.startswith("#") for line in lines[:SEARCHED]):
        return ()
    matches = (PROVENANCE.match(line) for line in lines[:100])
    return tuple((match[1].strip().casefold(), match[2].strip()) for match in matches if match)
