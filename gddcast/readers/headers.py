"""The line that names the columns: found among the first, with groups above and units below it."""

from __future__ import annotations

import csv
import re

from gddcast.errors import Refusal
from gddcast.readers.columns import meaning, unit_in
from gddcast.readers.date_cells import looks_like_a_date

#: Lines searched for one that names a date and a temperature.
SEARCHED = 30

# A gap of two spaces or more comes before any white space: "Max Temp" may hold one.
_DELIMITERS = ("\t", ";", ",", "|", "  ", " ")

PROVENANCE = re.compile(r"^#+\s*([A-Za-z][\w .-]{0,40}?)\s*:\s*(\S.*)$")

_NUMBER = re.compile(r"^[-+−]?\d+(?:[.,]\d+)?$")


def heading(text: str) -> tuple[int, tuple[str, ...]] | None:
    """Header line of a text and its column names; no names where it begins with its days.

    None where it is no table of days.
    """
    lines = text.splitlines()
    header = header_in(lines, ())
    if header is not None:
        at, delimiter = header
        return at, tuple(cell.strip() for cell in cells_of(lines[at], delimiter))
    try:
        return first_data(lines, "")[0], ()
    except Refusal:
        return None


def header_in(lines: list[str], wanted: tuple[str, ...]) -> tuple[int, str] | None:
    """Line and delimiter of the first line that names a date and a temperature."""
    searched = 0
    for at, line in enumerate(lines):
        commented = line.startswith("#")
        if not line.strip() or (commented and PROVENANCE.match(line)):
            continue
        searched += not commented
        if searched > SEARCHED:
            return None
        following = _sample(lines, at + 1)
        for delimiter in _DELIMITERS:
            cells = cells_of(line.lstrip("# ") if commented else line, delimiter)
            if (
                len(cells) > 1
                and names_columns(cells, wanted)
                and _fits(cells, following, delimiter)
            ):
                return _below_groups(lines, at, delimiter, wanted), delimiter
    return None


def _below_groups(lines: list[str], at: int, delimiter: str, wanted: tuple[str, ...]) -> int:
    """The header's line, where the one found only heads groups of the columns named below it."""
    below = next((n for n in range(at + 1, len(lines)) if lines[n].strip()), at)
    same = lines[below].split(delimiter) == lines[at].split(delimiter)
    return below if not same and names_columns(cells_of(lines[below], delimiter), wanted) else at


def groups_above(above: list[str], names: tuple[str, ...], delimiter: str) -> tuple[str, ...]:
    """Headings of groups of columns in the line above the header, one for each column."""
    nothing = ("",) * len(names)
    line = next((line for line in reversed(above) if line.strip()), "")
    cells = [cell.strip() for cell in cells_of(line, delimiter)]
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


def units_below(
    lines: list[str], start: int, width: int, delimiter: str
) -> tuple[tuple[str, ...], int]:
    """Units in a row of their own below the header, and the line at which the days begin."""
    at = next((at for at in range(start, len(lines)) if lines[at].strip()), len(lines))
    cells = (
        [cell.strip(" ()[]") for cell in cells_of(lines[at], delimiter)] if at < len(lines) else []
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


def names_columns(cells: list[str], wanted: tuple[str, ...]) -> bool:
    """Whether cells name a date and a temperature, or what the person named."""
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
    near = sum(abs(len(cells_of(line, delimiter)) - len(cells)) <= 2 for line in following)
    more = sum(len(cells_of(line, delimiter)) > 1 for line in following)
    return 2 * more > len(following) and (2 * near > len(following) or delimiter == ",")


def first_data(lines: list[str], name: str) -> tuple[int, str]:
    """First line of a file without a header, and its delimiter."""
    for at, line in enumerate(lines):
        if not line.strip() or line.startswith("#"):
            continue
        for delimiter in _DELIMITERS:
            cells = [cell.strip() for cell in cells_of(line, delimiter)]
            numbers = sum(bool(_NUMBER.match(cell)) for cell in cells)
            if len(cells) > 2 and numbers >= len(cells) - 2 and cells[0][:1].isdigit():
                return at, delimiter
        break
    first_line = next((line.strip() for line in lines if line.strip()), "")
    raise Refusal(
        name,
        f"none of its first {SEARCHED} lines names a date and a temperature",
        f"It begins with '{first_line[:60]}'. A line such as 'date, max °C, min °C' is expected.",
        "Write such a line above the numbers.",
        slug="header-missing",
    )


def cells_of(line: str, delimiter: str) -> list[str]:
    """Cells of one line."""
    if delimiter == " ":
        return line.split()
    if delimiter == "  ":
        return re.split(r"\s{2,}", line.strip())
    if '"' in line:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    return line.split(delimiter)
