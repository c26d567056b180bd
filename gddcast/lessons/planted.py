"""A class file with planted faults, and the key with the line of each.

The faults are those of real records: a unit changed half-way, a swapped pair, an impossible
reading, a thermometer nobody reset, a day entered twice, a marker for "no reading", missing days.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast import words
from gddcast.lessons.invented import invent_days
from gddcast.quality.breaks import unit_break
from gddcast.units import Unit, celsius, fahrenheit

Array = NDArray[np.float64]

#: Days in a class file, and the first of them.
DAYS, FIRST_DAY = 112, dt.date(2026, 5, 1)
# The last days, 14 to 40 of them, stand in the other unit. Ten quiet days on both sides let a
# checker compare them.
_LEAST_UNIT_DAYS, _MOST_UNIT_DAYS, _QUIET_DAYS = 14, 40, 12
_STUCK_DAYS, _GAP_DAYS = 7, 6


@dataclass(frozen=True, slots=True)
class PlantedFault:
    """One planted fault.

    Parameters
    ----------
    kind : str
        ``unit change``, ``swapped pair``, ``spike``, ``stuck run``, ``duplicate``,
        ``missing marker`` or ``gap``.
    first, last : datetime.date
        Days it touches.
    first_line, last_line : int
        Lines of the file where it can be seen, the header being line 1; for a gap both are the
        line after which the days are missing.
    words : str
        What is wrong, as the key says it.
    """

    kind: str
    first: dt.date
    last: dt.date
    first_line: int
    last_line: int
    words: str


@dataclass(frozen=True, slots=True)
class ClassFile:
    """The file for the class, and the key for the teacher."""

    seed: int
    lines: tuple[str, ...]
    faults: tuple[PlantedFault, ...]
    unit: Unit = "F"

    @property
    def text(self) -> str:
        """The whole file."""
        return "\n".join(self.lines) + "\n"


def plant_faults(seed: int, unit: Unit = "F") -> ClassFile:
    """Draw a class file with seven faults; the same seed gives the same bytes.

    Parameters
    ----------
    seed : int
    unit : {"F", "C"}
        Of the header; from some day on the readings are in the other one.

    Examples
    --------
    >>> sorted(fault.kind for fault in plant_faults(3).faults)  # doctest: +NORMALIZE_WHITESPACE
    ['duplicate', 'gap', 'missing marker', 'spike', 'stuck run', 'swapped pair', 'unit change']
    """
    rng = np.random.default_rng(seed)
    changes = DAYS - int(rng.integers(_LEAST_UNIT_DAYS, _MOST_UNIT_DAYS + 1))
    rows = _quiet_days(rng, changes, unit)
    places = {**dict(zip(_PLANTERS, _places(rng, changes), strict=True)), "unit change": changes}
    lengths = {kind: days for kind, (days, _) in _PLANTERS.items()}
    lengths["unit change"] = DAYS - changes
    said = {
        kind: spoil(rows[begin : begin + days], (rows[begin - 1].high, rows[begin + days].high))
        for kind, (days, spoil) in _PLANTERS.items()
        for begin in [places[kind]]
    }
    said["unit change"] = _change_unit(rows[changes:], unit)
    lines, line_of = [f"date,high_{unit},low_{unit}"], {}
    for row in rows:
        lines += [f"{row.day.isoformat()},{row.high},{row.low}"] * row.times
        line_of[row.day] = len(lines)
    faults = []
    for kind, begin in places.items():
        first, last = rows[begin], rows[begin + lengths[kind] - 1]
        # A doubled day is seen on both its lines; a missing one after the line before it.
        seen = (line_of[first.day] - max(first.times - 1, 0), line_of[last.day])
        faults.append(PlantedFault(kind, first.day, last.day, *seen, said[kind]))
    return ClassFile(seed, tuple(lines), tuple(sorted(faults, key=lambda each: each.first)), unit)


#: Highs of the days before and after a fault.
Beside = tuple[str, str]


@dataclass(slots=True)
class _Row:
    """One day as it will be written, ``times`` over."""

    day: dt.date
    high: str
    low: str
    times: int = 1


def _quiet_days(rng: np.random.Generator, changes: int, unit: Unit) -> list[_Row]:
    """Days in which a checker would rightly find nothing, as they are written in a unit."""
    dates = np.datetime64(FIRST_DAY, "D") + np.arange(DAYS)
    while True:
        low, high = invent_days(rng, dates)
        mild = high[:changes].max() < 100 and max(map(_longest_run, (low, high))) < 4
        if mild and _change_is_plain(low, high, changes):
            break
    return [
        _Row(FIRST_DAY + dt.timedelta(days=day), *_written(high[day], low[day], unit))
        for day in range(DAYS)
    ]


def _change_is_plain(low: Array, high: Array, changes: int) -> bool:
    """Whether a checker names the day on which these °F go over to °C, and no day beside it."""
    readings = np.array([low, high])
    readings[:, changes:] = celsius(readings[:, changes:])
    found = unit_break(celsius(readings), "F")
    return found is not None and found.day == changes


def _written(high: float, low: float, unit: Unit) -> tuple[str, str]:
    """Readings in whole °F, or in tenths of °C."""
    if unit == "F":
        return f"{high:g}", f"{low:g}"
    return f"{celsius(high):.1f}", f"{celsius(low):.1f}"


def _longest_run(values: Array) -> int:
    longest = run = 1
    for same in values[1:] == values[:-1]:
        run = run + 1 if same else 1
        longest = max(longest, run)
    return longest


def _places(rng: np.random.Generator, changes: int) -> list[int]:
    """First day of each fault but the last, in a drawn order, clear of one another."""
    faults = len(_PLANTERS)
    room = (changes - _QUIET_DAYS) // faults
    # A stuck run is the longest of them; it and two days of rest fit any place.
    return [
        int(slot * room + 1 + rng.integers(room - _STUCK_DAYS - 2))
        for slot in rng.permutation(faults)
    ]


def _swap(rows: list[_Row], _: Beside) -> str:
    (row,) = rows
    row.high, row.low = row.low, row.high
    return f"the high, {row.high}, stands below the low, {row.low}: the two are swapped"


def _spike(rows: list[_Row], _: Beside) -> str:
    (row,) = rows
    row.high = f"1{row.high}"
    return f"a high of {row.high}: a 1 slipped in front"


def _stick(rows: list[_Row], beside: Beside) -> str:
    # The stuck maximum lies above every night of the run, or it would be a swapped pair as well.
    highest = max(float(rows[0].high), *(float(row.low) + 2 for row in rows))
    while any(float(each) == highest for each in beside):
        highest += 1
    stuck = f"{highest:.1f}" if "." in rows[0].high else f"{highest:.0f}"
    for row in rows:
        row.high = stuck
    return f"the same high, {stuck}, on {len(rows)} days: nobody reset the thermometer"


def _double(rows: list[_Row], _: Beside) -> str:
    (row,) = rows
    row.times = 2
    return f"{words.day(row.day)} stands in the file twice"


def _mark(rows: list[_Row], _: Beside) -> str:
    (row,) = rows
    row.high = "-9999"
    return "−9999 is a marker for “no reading”, not a temperature"


def _drop(rows: list[_Row], _: Beside) -> str:
    for row in rows:
        row.times = 0
    return f"{words.span(rows[0].day, rows[-1].day)}: {len(rows)} days are missing"


def _change_unit(rows: list[_Row], unit: Unit) -> str:
    """To the other unit, as a thermometer of that one writes them."""
    for row in rows:
        high, low = float(row.high), float(row.low)
        if unit == "C":
            row.high, row.low = (f"{fahrenheit(each):.0f}" for each in (high, low))
        else:
            row.high, row.low = _written(high, low, "C")
    other = "C" if unit == "F" else "F"
    return f"from here on the readings are in °{other}, though the header says °{unit}"


#: Days each fault spans, and how it is planted; a change of unit ends the file besides.
_PLANTERS: dict[str, tuple[int, Callable[[list[_Row], Beside], str]]] = {
    "swapped pair": (1, _swap),
    "spike": (1, _spike),
    "stuck run": (_STUCK_DAYS, _stick),
    "duplicate": (1, _double),
    "missing marker": (1, _mark),
    "gap": (_GAP_DAYS, _drop),
}
#: Every kind of fault in a class file.
KINDS = (*_PLANTERS, "unit change")


def line_words(fault: PlantedFault) -> str:
    """Where to look: ``line 12``, ``lines 12–18`` or ``after line 12``."""
    if fault.kind == "gap":
        return f"after line {fault.first_line}"
    if fault.first_line == fault.last_line:
        return f"line {fault.first_line}"
    return f"lines {fault.first_line}–{fault.last_line}"
