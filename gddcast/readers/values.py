"""Cells to numbers: units in cells, marks for a missing value, words, decimal commas."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit, named_lines
from gddcast.units import celsius

#: Words and signs that mean "no reading".
MISSING_WORDS = frozenset(
    (
        "", "m", "na", "n/a", "nan", "null", "none", "nil", "missing", "miss", "fehlt", "k.a.",
        "-", "--", "---", "*", "**", "***", "****", ".", "..", "...", "?", "x", "t", "s", "nd",
        "n.d.", "off", "err", "error", "logged", "inf", "-inf",
        "#n/a", "#value!", "#div/0!", "#num!",
    )
)  # fmt: skip

#: Numbers that stand for "no reading" in files of every scale.
MISSING_NUMBERS = (
    -9999.0, 9999.0, -999.0, 999.0, -999.9, 999.9, -9999.9, 9999.9, -99999.0, 99999.0,
    -99.9, -99.99, -8888.0, 8888.0, 32767.0, -32768.0, -6999.0, 6999.0, -7999.0, 7999.0,
)  # fmt: skip

#: Numbers beyond this, either way, stand for "no reading" too; it keeps the sums finite.
BEYOND = 40_000.0

#: More unclear cells than this and the column cannot be trusted. [share]
UNCLEAR_ALLOWED = 0.05

_CELL = re.compile(
    r"^([-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[-+]?\d+)?)\s*"
    r"(?:(?:°|º|˚|\ufffd|deg(?:ree)?s?\.?)?\s*([fck])(?:ahrenheit|elsius|elvin)?)?\s*([aes*])?$",
    re.IGNORECASE,
)

_TYPOGRAPHY = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " ", "'": ""})


@dataclass(frozen=True, slots=True)
class Cell:
    """What one spelling of a reading means."""

    value: float
    unit: FileUnit | None = None
    kind: str = "number"  # number, missing, accumulated, starred, unclear
    comma: bool = False


@dataclass(frozen=True, slots=True)
class Values:
    """One column of readings in the file's own scale.

    Parameters
    ----------
    numbers : numpy.ndarray
        NaN where there is no reading.
    unit : {"F", "C", "K"}, optional
        Scale most cells themselves name.
    named : dict of int to str
        Rows whose cell names a scale, where most cells name none.
    missing : dict of str to int
        Marks met and how often.
    missing_rows, unclear, accumulated, starred : tuple of int
        Rows so marked.
    decimal_comma : bool
    """

    numbers: Array
    unit: FileUnit | None = None
    missing: dict[str, int] = field(default_factory=dict)
    missing_rows: tuple[int, ...] = ()
    unclear: tuple[int, ...] = ()
    accumulated: tuple[int, ...] = ()
    starred: tuple[int, ...] = ()
    decimal_comma: bool = False
    named: dict[int, FileUnit] = field(default_factory=dict)


def cell_value(text: str) -> Cell:
    """Meaning of one cell.

    Examples
    --------
    >>> cell_value("68 °F")
    Cell(value=68.0, unit='F', kind='number', comma=False)
    >>> cell_value("−3,5").value
    -3.5
    >>> cell_value("about 70").kind
    'unclear'
    """
    plain = text.translate(_TYPOGRAPHY).strip()
    if plain.casefold() in MISSING_WORDS:
        return Cell(np.nan, kind="missing")
    comma = "," in plain
    if comma:
        plain = _without_comma(plain)
    found = _CELL.match(plain) if len(plain) < 40 else None
    if found is None:
        return Cell(np.nan, kind="unclear")
    value, letter, mark = float(found[1]), found[2], (found[3] or "").upper()
    if value in MISSING_NUMBERS or not -BEYOND < value < BEYOND:
        return Cell(np.nan, kind="missing")
    if mark in ("A", "S"):
        return Cell(np.nan, kind="accumulated")
    unit: FileUnit | None = None
    if letter:
        unit = "F" if letter in "fF" else "C" if letter in "cC" else "K"
    return Cell(value, unit, "starred" if mark else "number", comma)


def _without_comma(text: str) -> str:
    """A number's text with its decimal comma made a point, thousands marks dropped."""
    if "." not in text:
        return text.replace(",", ".", 1)
    if text.rindex(".") < text.rindex(","):
        return text.replace(".", "").replace(",", ".", 1)
    return text.replace(",", "")


def values_of(cells: Sequence[str], lines: Sequence[int], column: str, name: str) -> Values:
    """Numbers of a column; every spelling is understood once.

    Parameters
    ----------
    cells : sequence of str
    lines : sequence of int
        Line of each cell.
    column, name : str
        Column and file, for people.

    Raises
    ------
    Refusal
        If more than one cell in twenty is unclear, or cells disagree about the scale.
    """
    meanings = {text: cell_value(text) for text in set(cells)}
    value_of = {text: cell.value for text, cell in meanings.items()}
    numbers = np.fromiter(map(value_of.__getitem__, cells), np.float64, len(cells))
    odd = {text: cell for text, cell in meanings.items() if cell.kind != "number"}
    rows = _rows_by_kind(cells, odd)
    missing: dict[str, int] = {}
    for row in rows["missing"]:
        text = cells[row].strip()
        missing[text] = missing.get(text, 0) + 1
    _refuse_unclear(rows["unclear"], cells, lines, column, name)
    units = {text: cell.unit for text, cell in meanings.items() if cell.unit}
    unit: FileUnit | None = None
    named = {row: units[text] for row, text in enumerate(cells) if text in units} if units else {}
    if 2 * len(named) > np.count_nonzero(~np.isnan(numbers)):
        numbers, unit = _one_scale(numbers, cells, meanings, lines, column, name)
        named = {}
    return Values(
        numbers,
        unit,
        missing,
        tuple(rows["missing"]),
        tuple(rows["unclear"]),
        tuple(rows["accumulated"]),
        tuple(rows["starred"]),
        any(cell.comma for cell in meanings.values()),
        named,
    )


def _rows_by_kind(cells: Sequence[str], odd: dict[str, Cell]) -> dict[str, list[int]]:
    rows: dict[str, list[int]] = {
        kind: [] for kind in ("missing", "unclear", "accumulated", "starred")
    }
    if odd:
        for row, text in enumerate(cells):
            if text in odd:
                rows[odd[text].kind].append(row)
    return rows


def _refuse_unclear(
    unclear: list[int], cells: Sequence[str], lines: Sequence[int], column: str, name: str
) -> None:
    if len(unclear) <= UNCLEAR_ALLOWED * len(cells):
        return
    shown = ", ".join(f"line {lines[row]} '{cells[row].strip()[:30]}'" for row in unclear[:6])
    more = f" and {len(unclear) - 6} more" if len(unclear) > 6 else ""
    raise Refusal(
        name,
        f"{len(unclear)} of {len(cells)} readings in column '{column}' are no clear numbers",
        f"{shown}{more}.",
        "Write a plain number in each of them, or leave the cell empty where nobody looked.",
        slug="readings-unclear",
    )


def _one_scale(
    numbers: Array,
    cells: Sequence[str],
    meanings: dict[str, Cell],
    lines: Sequence[int],
    column: str,
    name: str,
) -> tuple[Array, FileUnit]:
    """The column in one scale, where cells name theirs."""
    units = [meanings[text].unit for text in cells]
    named = {unit for unit in units if unit}
    if len(named) == 1:
        return numbers, next(iter(named))
    bare = [row for row, unit in enumerate(units) if unit is None and not np.isnan(numbers[row])]
    if bare:
        raise Refusal(
            name,
            f"column '{column}' mixes scales and {named_lines([lines[row] for row in bare], 3)} "
            "name none",
            f"Other cells name {' and '.join(sorted(named))}.",
            "Write F or C behind every number.",
            slug="readings-unclear",
        )
    each: NDArray[np.str_] = np.array([unit or "" for unit in units])
    kelvin = np.where(each == "K", numbers - 273.15, numbers)
    return np.where(each == "F", celsius(numbers), kelvin), "C"
