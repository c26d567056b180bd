"""Cells to numbers: units in cells, marks for a missing value, words, decimal commas."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit

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
    units : numpy.ndarray of str, optional
        Scale each cell itself names, empty where it names none; None where no cell does.
    missing : dict of str to int
        Marks met and how often.
    missing_rows, unclear, accumulated, starred : tuple of int
        Rows so marked.
    decimal_comma : bool
    """

    numbers: Array
    units: NDArray[np.str_] | None = None
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
        If more than one cell in twenty is unclear.
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
    units = None
    if any(cell.unit for cell in meanings.values()):
        units = np.array([meanings[text].unit or "" for text in cells])
    return Values(
        numbers,
        units,
        missing,
        tuple(rows["missing"]),
        tuple(rows["unclear"]),
        tuple(rows["accumulated"]),
        tuple(rows["starred"]),
        any(cell.comma for cell in meanings.values()),
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
