"""A large clean table's columns in one sweep over its bytes.

A century of days, or a decade of half hours, needs no cell of its own: where every row is a
year-first stamp and plain numbers, columns are found by the positions of the delimiters. Anything
else in the file, however small, and the careful way in `table_reading` reads it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.date_cells import looks_like_a_date
from gddcast.readers.dates import UNIFORM_SIZES, Stamps, uniform_stamps
from gddcast.readers.flags import TELLING
from gddcast.readers.reading import Array, Options
from gddcast.readers.roles import Roles, roles_of
from gddcast.readers.row_readings import header_units, may_hide_decimals
from gddcast.readers.tables import Table, tabled
from gddcast.readers.uneven_rows import looks_cut
from gddcast.readers.values import MISSING_NUMBERS

#: Smaller files are read the careful way: it takes them no time. [letters]
WORTH_SWEEPING = 30_000

_HEAD = 2_000
_LONGEST_NUMBER = 9
_DOT, _MINUS, _ZERO, _SPACE, _NEW_LINE, _LETTER_A = (ord(sign) for sign in ".-0 \nA")
_DONE = 0
_POWERS = 10.0 ** np.arange(_LONGEST_NUMBER + 1)

Bytes = NDArray[np.uint8]
Positions = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class ColumnSweep:
    """Columns of a clean table; ``head`` holds its header and first rows."""

    head: Table
    roles: Roles
    stamps: Stamps
    numbers: tuple[Array, ...]
    lines: range


def sweep(text: str, name: str, options: Options) -> ColumnSweep | None:
    """Columns of a clean table, or None where the file is not clean enough.

    Parameters
    ----------
    text : str
    name : str
    options : Options
    """
    if len(text) < WORTH_SWEEPING or not text.isascii() or options.site or options.max_column:
        return None
    found = _head(text, name, options)
    if found is None:
        return None
    head, roles = found
    body = _body(text, head.header_line)
    if body is None:
        return None
    letters = np.frombuffer(body, np.uint8)
    ends = _cell_ends(letters, ord(head.delimiter), len(head.names))
    if ends is None or roles.stamp is None:
        return None
    begins = np.concatenate(([0], ends.ravel()[:-1] + 1)).reshape(ends.shape)
    stamps = _stamps(letters, begins[:, roles.stamp], ends[:, roles.stamp])
    if stamps is None:
        return None
    numbers = [_numbers(letters, begins[:, at], ends[:, at]) for at in roles.temperatures]
    plain = tuple(column for column in numbers if column is not None)
    if len(plain) < len(numbers) or _tells_origins(body, letters, roles, begins, ends):
        return None
    end = letters[begins[-min(31, len(begins)), -1] :].tobytes().decode()
    if may_hide_decimals(head, roles, plain) or _may_be_cut(text, end, head.delimiter):
        return None
    lines = range(head.header_line + 1, head.header_line + 1 + len(ends))
    return ColumnSweep(head, roles, stamps, plain, lines)


def _head(text: str, name: str, options: Options) -> tuple[Table, Roles] | None:
    """Header and first rows, where dates, maxima and minima are named and nothing else matters."""
    try:
        head = tabled(text[: text.rfind("\n", 0, _HEAD) + 1], name)
        roles = roles_of(head, name, min_column=options.min_column)
    except Refusal:
        return None
    others = (roles.clock, roles.origin, roles.site, roles.year)
    plain = all(other is None for other in others) and len(head.delimiter) == 1
    plain = plain and len(set(header_units(head, roles))) == 1  # else one column is rescaled
    attributes = any(column.casefold().endswith("_attributes") for column in head.names)
    stamps = sum(looks_like_a_date(cell) for cell in head.rows[0])
    plain = plain and stamps == 1 and not head.notes
    usable = plain and head.header_line and head.delimiter != " " and not attributes
    return (head, roles) if usable and roles.stamp is not None else None


def _may_be_cut(text: str, end: str, delimiter: str) -> bool:
    """Whether the file breaks off in its last number."""
    last = [line.rpartition(delimiter)[2] for line in end.split("\n") if line]
    return text[-1] != "\n" and (len(last) < 4 or looks_cut(last[-1], last[:-1]))


def _body(text: str, header_line: int) -> bytes | None:
    """Bytes below the header; None where quotation marks stand in it."""
    start = 0
    for _ in range(header_line):
        start = text.find("\n", start) + 1
        if not start:  # its lines end otherwise
            return None
    body = text[start:]
    if "\r" in body:
        body = body.replace("\r\n", "\n")
    body = body.rstrip("\n")
    if '"' in body:
        return None
    return body.encode("ascii") + b"\n"


def _cell_ends(letters: Bytes, delimiter: int, width: int) -> Positions | None:
    """Position behind every cell, shape (rows, columns); None where rows differ in width."""
    ends = np.flatnonzero((letters == delimiter) | (letters == _NEW_LINE))
    if ends.size % width:
        return None
    table: Positions = ends.reshape(-1, width)
    signs = len(table) if delimiter >= _SPACE else ends.size
    # Every control sign is the end of a cell, and the last cell of each row ends the line.
    regular = (
        np.count_nonzero(letters < _SPACE) == signs
        and (letters[table[:, -1]] == _NEW_LINE).all()
        and np.count_nonzero(letters == _NEW_LINE) == len(table)
    )
    return table if regular else None


def _stamps(letters: Bytes, begins: Positions, ends: Positions) -> Stamps | None:
    size = int(ends[0] - begins[0])
    if size not in UNIFORM_SIZES or not (ends - begins == size).all():
        return None
    return uniform_stamps(letters[begins[:, None] + np.arange(size)])


def _tells_origins(
    body: bytes, letters: Bytes, roles: Roles, begins: Positions, ends: Positions
) -> bool:
    """Whether words beside the numbers may call some rows forecast, say, or normals."""
    stamp = letters[begins[0, roles.stamp] : ends[0, roles.stamp]]
    in_stamps = np.count_nonzero(stamp >= _LETTER_A) * len(ends)
    if np.count_nonzero(letters >= _LETTER_A) == in_stamps:
        return False
    text = body.lower()
    return any(word.encode() in text for word in TELLING)


def _numbers(letters: Bytes, begins: Positions, ends: Positions) -> Array | None:
    """Plain decimal numbers; None where a cell is empty, has other letters or marks no reading.

    A whole number divided by a power of ten is rounded once, so the result is the same double
    that ``float`` gives.
    """
    length = ends - begins
    shortest, longest = int(length.min()), int(length.max())
    if shortest < 1 or longest > _LONGEST_NUMBER:
        return None
    whole = np.zeros(begins.size, np.int32)
    decimals = np.zeros(begins.size, np.int8)
    pointed: NDArray[np.bool_] = np.zeros(begins.size, np.bool_)
    negative = letters[begins] == _MINUS
    signs = negative.astype(np.int8)  # letters that are no digits: the minus and the point
    for place in range(longest):
        # Shorter numbers are done; what stands behind them is not theirs.
        letter = letters.take(begins + place, mode="clip")
        if place >= shortest:
            letter[length <= place] = _DONE
        number = letter - np.uint8(_ZERO)
        is_digit, is_point = number < 10, letter == _DOT
        known = is_digit | is_point | (letter == _DONE)
        if place == 0:
            known |= negative
        if not known.all() or (is_point & pointed).any():
            return None
        np.multiply(whole, 10, out=whole, where=is_digit)
        np.add(whole, number, out=whole, where=is_digit)
        decimals += is_digit & pointed
        pointed |= is_point
    if (length <= signs + pointed).any():
        return None
    value = np.where(negative, -whole, whole) / _POWERS[decimals]
    return None if np.isin(value, MISSING_NUMBERS).any() or np.abs(value).max() > 9000 else value
