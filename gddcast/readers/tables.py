"""Text to cells: comment lines, preamble, header, delimiter."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from gddcast.errors import Refusal
from gddcast.readers.columns import TEMPERATURES, Meaning, meaning, unit_in
from gddcast.readers.cut_ends import cut_cell
from gddcast.readers.date_cells import looks_like_a_date
from gddcast.readers.quoted_remarks import whole_records
from gddcast.readers.reading import Note
from gddcast.readers.uneven_rows import evened, with_whole_stamps

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

_ONCE_MORE = "Copy the file once more; if it is whole, end it with a new line."

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
    comments: int = 0
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
    header = _header(lines, wanted)
    if header is not None:
        at, delimiter = header
        names = tuple(cell.strip() for cell in _cells(lines[at].lstrip("# "), delimiter))
        groups = _groups(lines[:at], names, delimiter)
        units, start = _units(lines, at + 1, len(names), delimiter)
        table = _table(lines, start, names, delimiter, at + 1, name, wanted)
        table = table if text[-1:] in "\r\n" else _without_cut_end(table)
        beside = tuple(f"{group} {unit}".strip() for group, unit in zip(groups, units, strict=True))
        title = "\n".join(lines[:at])
        return replace(table, beside=beside if any(beside) else (), title=title)
    start, delimiter = _first_data(lines, name)
    width = len(_cells(lines[start], delimiter))
    names = tuple(f"column {number}" for number in range(1, width + 1))
    table = _table(lines, start, names, delimiter, 0, name, wanted)
    return table if text[-1:] in "\r\n" else _without_cut_end(table)


def heading(text: str) -> tuple[int, tuple[str, ...]] | None:
    """Header line of a text and its column names; no names where it begins with its days.

    None where it is no table of days.
    """
    lines = text.splitlines()
    header = _header(lines, ())
    if header is not None:
        at, delimiter = header
        return at, tuple(cell.strip() for cell in _cells(lines[at], delimiter))
    try:
        return _first_data(lines, "")[0], ()
    except Refusal:
        return None


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
                return _below_groups(lines, at, delimiter, wanted), delimiter
    return None


def _below_groups(lines: list[str], at: int, delimiter: str, wanted: tuple[str, ...]) -> int:
    """The header's line, where the one found only heads groups of the columns named below it."""
    below = next((n for n in range(at + 1, len(lines)) if lines[n].strip()), at)
    same = lines[below].split(delimiter) == lines[at].split(delimiter)
    return below if not same and _names_columns(_cells(lines[below], delimiter), wanted) else at


def _groups(above: list[str], names: tuple[str, ...], delimiter: str) -> tuple[str, ...]:
    """Headings of groups of columns in the line above the header, one for each column."""
    nothing = ("",) * len(names)
    line = next((line for line in reversed(above) if line.strip()), "")
    cells = [cell.strip() for cell in _cells(line, delimiter)]
    if not 1 < len(cells) <= len(names) or any(letter.isdigit() for letter in line):
        return nothing
    twice = len({name.casefold() for name in names}) < len(names)
    other = any(meaning(f"{cell} max").kind == "other" for cell in cells if cell)
    if not twice and not (other and len(cells) == len(names)):
        return nothing
    cells += [""] * (len(names) - len(cells))
    for at in range(1, len(cells)):  # a merged cell stands in the first of its columns only
        cells[at] = cells[at] or cells[at - 1]
    return tuple(cells)


def _units(lines: list[str], start: int, width: int, delimiter: str) -> tuple[tuple[str, ...], int]:
    """Units in a row of their own below the header, and the line at which the days begin."""
    at = next((at for at in range(start, len(lines)) if lines[at].strip()), len(lines))
    cells = (
        [cell.strip(" ()[]") for cell in _cells(lines[at], delimiter)] if at < len(lines) else []
    )
    said = any(unit_in(f"max ({cell})") for cell in cells)
    days = any(cell[:1].isdigit() or looks_like_a_date(cell) for cell in cells)
    if len(cells) != width or not said or days:
        return ("",) * width, start
    return tuple(f"({cell})" if cell.strip("-") else "" for cell in cells), at + 1


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
    comments = sum(line.startswith("#") for line in lines[:start])
    if _has_gaps(body):
        kept = [i for i, line in enumerate(body) if line.strip() and not line.startswith("#")]
        comments += sum(line.startswith("#") for line in body)
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
    return Table(names, rows, numbers, header, delimiter, _provenance(lines), comments, notes=notes)


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
        elif _names_columns(row, wanted):
            raise _another_header(numbers[at], ", ".join(cell.strip() for cell in row), names, name)
    return again


def _refuse_commented_header(
    lines: list[str], start: int, names: tuple[str, ...], delimiter: str, name: str
) -> None:
    """Refuse a header behind a # in the middle of the rows that differs from the first."""
    for at in range(start, len(lines)):
        if not lines[at].startswith("#") or delimiter not in lines[at]:
            continue
        cells = [cell.strip() for cell in _cells(lines[at].lstrip("# "), delimiter)]
        other = [cell.casefold() for cell in cells] != [each.casefold() for each in names]
        if len(cells) == len(names) and other and _names_columns(cells, ()):
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


def _provenance(lines: list[str]) -> tuple[tuple[str, str], ...]:
    if not any(line.startswith("#") for line in lines[:SEARCHED]):
        return ()
    found = (_PROVENANCE.match(line) for line in lines[:100])
    return tuple((match[1].strip().casefold(), match[2].strip()) for match in found if match)
