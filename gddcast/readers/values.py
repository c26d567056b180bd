"""Cells to numbers: marks for a missing value, decimal commas, cells that name their own scale."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.reading import Array, FileUnit, Note, named_lines
from gddcast.units import celsius, fahrenheit

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

#: Nothing near the ground was ever warmer or colder (WMO archive of extremes: Death Valley 1913,
#: 56.7 °C; Vostok 1983, −89.2 °C). Beyond these with room to spare a number marks a missing value.
COLDEST_MARK, HOTTEST_MARK = -90.0, 150.0


SCALE_NAMES = {"F": "°F", "C": "°C", "K": "kelvin", "tenths-C": "tenths of °C"}

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
    match = _CELL.match(plain) if len(plain) < 40 else None
    if match is None:
        return Cell(np.nan, kind="unclear")
    value, letter, mark = float(match[1]), match[2], (match[3] or "").upper()
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


def in_one_scale(
    columns: Sequence[Values], bases: Sequence[FileUnit | None], lines: Sequence[int], name: str
) -> tuple[list[Array], FileUnit | None, tuple[Note, ...]]:
    """Numbers of the columns, each in its base; where there is none, in what most cells name.

    Parameters
    ----------
    columns : sequence of Values
    bases : sequence of str or None
        Scale of the cells that name none, for each column.
    lines : sequence of int
    name : str
        File, for people.

    Returns
    -------
    numbers, unit, notes : list of numpy.ndarray, str or None, tuple of Note
        The scale the cells settle where nobody else did.

    Raises
    ------
    Refusal
        If cells name two scales, others none, and nobody said what those are in.
    """
    numbers = [column.numbers for column in columns]
    if all(column.units is None for column in columns):
        return numbers, None, ()
    blank = np.full(len(lines), "")
    units = np.array([blank if column.units is None else column.units for column in columns])
    known = ~np.isnan(np.array(numbers))
    by_cells = None
    if None in bases:
        by_cells = _scale_of_cells(units, known, lines, name)
        bases = [by_cells] * len(columns)
    rows: set[int] = set()
    scales: set[str] = set()
    for at, base in enumerate(bases):
        for unit in set(units[at][known[at]].tolist()) - {"", base} if base else ():
            named = units[at] == unit
            inside = from_celsius(in_celsius(numbers[at], unit), base)  # type: ignore[arg-type]
            numbers[at] = np.where(named, inside, numbers[at])
            rows |= set(np.flatnonzero(named & known[at]).tolist())
            scales.add(SCALE_NAMES[unit])
    if None in bases:  # nobody said: the few cells that name a scale are no evidence of the rest's
        numbers = [np.where(u == "", n, np.nan) for n, u in zip(numbers, units, strict=True)]
    if not rows or by_cells is not None:
        return numbers, by_cells, ()
    return numbers, None, (_note(tuple(lines[row] for row in sorted(rows)), sorted(scales)),)


def _scale_of_cells(
    units: np.ndarray, known: np.ndarray, lines: Sequence[int], name: str
) -> FileUnit | None:
    """The scale of a file of which nobody else says it, where most of its cells do."""
    named = sorted(set(units[known].tolist()) - {""})
    _, row = np.nonzero(known & (units == ""))
    if len(named) > 1 and row.size:
        raise Refusal(
            name,
            f"its cells name different scales, and line {lines[row[0]]} names none",
            f"Other cells name {' and '.join(SCALE_NAMES[unit] for unit in named)}.",
            "Write F or C behind every number, or say what the others are in:",
            flag="--unit F     (or --unit C)",
            slug="readings-unclear",
        )
    if not named or 2 * row.size > np.count_nonzero(known):
        return None
    unit: FileUnit = "C" if len(named) > 1 else named[0]
    return unit


def _note(lines: tuple[int, ...], scales: list[str]) -> Note:
    verb = "has" if len(lines) == 1 else "have"
    text = (
        f"{named_lines(lines).capitalize()} {verb} cells that name {' and '.join(scales)}, unlike "
        "the rest: each was read in its own scale."
    )
    return Note("cell-units", text, lines)


def in_celsius(numbers: Array, unit: FileUnit) -> Array:
    """A file's numbers in °C."""
    if unit == "F":
        return celsius(numbers)
    if unit == "K":
        return numbers - 273.15
    return numbers / 10.0 if unit == "tenths-C" else numbers


def from_celsius(numbers: Array, unit: FileUnit) -> Array:
    """Temperatures in °C as a file in another scale writes them."""
    if unit == "F":
        return fahrenheit(numbers)
    if unit == "K":
        return numbers + 273.15
    return numbers * 10.0 if unit == "tenths-C" else numbers


def family_of(high: Array, low: Array, unit: FileUnit | None = None) -> str:
    """Whether numbers are ``degrees``, ``kelvin`` or ``tenths``: as named, or by most of them.

    A frosty month in tenths of °C runs from −250 to −30: only its name tells readings from marks.

    Examples
    --------
    >>> family_of(np.array([222.0, 189.0]), np.array([78.0, 39.0]))
    'tenths'
    """
    highs, lows = high[~np.isnan(high)], low[~np.isnan(low)]
    if not highs.size or not lows.size:
        return "degrees"
    if unit in ("K", "tenths-C"):
        # Kelvin that are none stay what they are, and are refused later.
        return "tenths" if unit == "tenths-C" else "kelvin" if np.median(highs) > 150 else "degrees"
    bottom, top = float(np.quantile(lows, 0.2)), float(np.quantile(highs, 0.95))
    if bottom > 200 and top < 345 and np.median(highs) - np.median(lows) < 40:
        return "kelvin"
    outside = float(np.mean(np.abs(highs) > 60))
    hot = float(np.mean(highs > 134))  # 134 °F is the record
    whole = bool((np.abs(highs) < 1e6).all() and (highs == np.round(highs)).all())
    if whole and (outside > 0.6 or hot > 0.2) and hot > 0.05 and np.quantile(highs, 0.95) <= 577:
        return "tenths"
    return "degrees"


def without_marks(numbers: Array, family: str) -> tuple[Array, Counter[float]]:
    """Numbers no thermometer shows made NaN, and how often each was met (U11).

    A marker of −999.9 °C that some program turned to °F is −1767.8, and 0 K is one too.
    """
    lowest, highest = {
        "degrees": (-130.0, 302.0),
        "kelvin": (273.15 + COLDEST_MARK, 273.15 + HOTTEST_MARK),
        "tenths": (10 * COLDEST_MARK, 10 * HOTTEST_MARK),
    }[family]
    odd: NDArray[np.bool_] = (numbers < lowest) | (numbers > highest)
    if family == "degrees":
        odd |= numbers == -99.0
    if not odd.any():
        return numbers, Counter()
    return np.where(odd, np.nan, numbers), Counter(numbers[odd].tolist())
