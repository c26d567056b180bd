"""What is asked on a sheet, the right answer, and the wrong ones that have a name.

Each slip is worked as the student would have worked it, so a wrong number that equals it tells
which slip it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from gddcast import words
from gddcast.heat.cutoffs import no_cutoff
from gddcast.heat.shapes import (
    Shape,
    floor_the_mean,
    floor_the_readings,
    single_sine,
)
from gddcast.lessons.curve_table import g_at
from gddcast.lessons.rounding import DIGITS, heat_shown
from gddcast.lessons.worked_day import Day
from gddcast.lessons.worksheet import Method, Worksheet
from gddcast.units import Unit, celsius, fahrenheit, rounded

#: Letters of the answers of a sheet.
LETTERS = ("A", "B", "C")


@dataclass(frozen=True, slots=True)
class Slip:
    """A wrong way to an answer, the number it gives, and what it was of."""

    name: str
    value: float
    of: str = ""

    def __str__(self) -> str:
        return f"{self.name}: {self.of}" if self.of else self.name


@dataclass(frozen=True, slots=True)
class SheetItem:
    """One answer asked for.

    Parameters
    ----------
    letter : str
    method : str
    right : float
        A total, the number of a day, or the figures of a card sheet as one number.
    shown : str
        As the key prints it.
    slips : tuple of Slip
        The likeliest first.
    whole : bool
        Whether only the right number will do, without a tolerance.
    """

    letter: str
    method: str
    right: float
    shown: str
    slips: tuple[Slip, ...]
    whole: bool = False


def method_name(method: Method) -> str:
    """A method in the words of the sheet."""
    shape, cutoff = method
    return shape.name if cutoff is no_cutoff else f"{shape.name}, {cutoff.name}"


def worksheet_items(sheet: Worksheet) -> tuple[SheetItem, ...]:
    """A, B and C of a sheet.

    Examples
    --------
    >>> from gddcast.lessons.worksheet import make_worksheet
    >>> [(each.letter, each.method) for each in worksheet_items(make_worksheet(7))]
    [('A', 'floor the readings'), ('B', 'floor the mean'), ('C', 'single sine')]
    """
    find = _day_slips if sheet.form == "date" else _total_slips
    rows = []
    for letter, method, answer in zip(LETTERS, sheet.methods, sheet.answers, strict=True):
        right = float("nan") if answer is None else float(answer)
        shown = f"day {right:.0f}" if sheet.form == "date" else heat_shown(right, sheet.unit)
        slips = tuple(_distinct(find(sheet, method), right))
        whole = sheet.form == "date"
        rows.append(SheetItem(letter, method_name(method), right, shown, slips, whole))
    return tuple(rows)


def _distinct(slips: Iterator[Slip], right: float) -> Iterator[Slip]:
    """Slips that give another number than the right one, and than the ones before."""
    given = [right]
    for slip in slips:
        if np.isfinite(slip.value) and all(abs(slip.value - each) > 1e-6 for each in given):
            given.append(slip.value)
            yield slip


def _total_slips(sheet: Worksheet, method: Method) -> Iterator[Slip]:
    right, unit = sheet.total(*method), sheet.unit
    others = [each for each in sheet.methods if each != method]
    for other in others:
        yield Slip("other method", sheet.total(*other), method_name(other))
    if sheet.form == "upper" and method[0] is single_sine:
        yield Slip("upper threshold left out", sheet.total(single_sine))
        yield Slip("other cut-off", _sum(sheet, _capped(single_sine)), "cap the readings")
    if sheet.catches:
        yield from _clock_slips(sheet, method)
    yield from _scale_slips(right, unit)
    typed = _threshold_typed_over(sheet.line, unit)
    yield Slip("threshold in the other scale", _sum(sheet, _with_line(typed, method)))
    yield Slip("cold days subtracted", _sum(sheet, _unfloored(method)))
    yield Slip("high and low swapped", _sum(sheet, _swapped(method)))
    for digits in range(DIGITS[unit] - 1, -1, -1):
        left = "a whole number" if digits == 0 else words.count(digits, "decimal")
        yield Slip("rounded too far", rounded(right, digits), left)
    yield from _rounding_slips(sheet, method)
    yield Slip("a day’s mean, not the sum", right / len(sheet.counted))
    for row, day in enumerate(sheet.counted, start=sheet.begin):
        yield Slip("a day left out", right - day.heat(*method), words.day(sheet.date(row)))


def _day_slips(sheet: Worksheet, method: Method) -> Iterator[Slip]:
    for other in sheet.methods:
        row = sheet.row_reached(other[0])
        if other != method and row is not None:
            yield Slip("other method", float(row), method_name(other))
    right = sheet.row_reached(method[0]) or 0
    if right:
        yield Slip("the day of the month, not the row", float(sheet.date(right - 1).day))
    yield Slip("the day after the sum was reached", right + 1.0)
    yield Slip("the day before the sum was reached", right - 1.0)


def _sum(sheet: Worksheet, heat: Callable[[Day], float]) -> float:
    return sum(heat(day) for day in sheet.counted)


def _scale_slips(right: float, unit: Unit) -> Iterator[Slip]:
    no_zero = "a heat sum has none"
    if unit == "F":
        yield Slip("minus 32", right - 32.0, no_zero)
        yield Slip("minus 32", celsius(right), no_zero)
        yield Slip("in the other unit", right * 5 / 9, "°C-days")
    else:
        yield Slip("plus 32", fahrenheit(right), no_zero)
        yield Slip("in the other unit", right * 9 / 5, "°F-days")


def _threshold_typed_over(line: float, unit: Unit) -> float:
    return celsius(line) if unit == "F" else fahrenheit(line)


def _with_line(line: float, method: Method) -> Callable[[Day], float]:
    def heat(day: Day) -> float:
        return Day(day.high, day.low, line, day.unit, max(day.upper, line + 1)).heat(*method)

    return heat


def _capped(shape: Shape) -> Callable[[Day], float]:
    def heat(day: Day) -> float:
        low, high = min(day.low, day.upper), min(day.high, day.upper)
        return Day(high, low, day.lower, day.unit).heat(shape)

    return heat


def _unfloored(method: Method) -> Callable[[Day], float]:
    """A day whose mean lies below the line takes heat away again."""

    def heat(day: Day) -> float:
        return day.heat(*method) if day.mean >= day.lower else day.mean - day.lower

    return heat


def _swapped(method: Method) -> Callable[[Day], float]:
    """Highs taken for lows: W is negative, and the wrong reading is raised."""
    shape, cutoff = method

    def heat(day: Day) -> float:
        above = max(day.mean - day.lower, 0.0)
        if shape is floor_the_mean:
            return above
        if shape is floor_the_readings:
            low = max(day.high, day.lower)
            return (low + day.low) / 2 - day.lower
        crossing = day.low < day.lower < day.high
        g = g_at(shape, abs(day.mean - day.lower) / day.half_range) if crossing else 0.0
        return above - day.half_range * g

    return heat if cutoff is no_cutoff else lambda day: day.heat(*method)


def _rounding_slips(sheet: Worksheet, method: Method) -> Iterator[Slip]:
    """Each day rounded before the total; the sine's y rounded before the table is read."""
    name = "rounded early"
    for digits in (0, DIGITS[sheet.unit]):
        each = sum(rounded(day.heat(*method), digits) for day in sheet.counted)
        yield Slip(name, each, "each day")
    means = _sum(sheet, lambda day: _whole_mean(day, method))
    yield Slip(name, means, "each day’s mean")
    if method == (single_sine, no_cutoff):
        yield Slip(name, _sum(sheet, _with_rough_y), "y to one decimal")


def _whole_mean(day: Day, method: Method) -> float:
    shape, _ = method
    if shape is floor_the_mean:
        return max(rounded(day.mean) - day.lower, 0.0)
    if shape is floor_the_readings:
        return rounded(day.heat(*method) + day.lower) - day.lower
    return day.heat(*method)


def _with_rough_y(day: Day) -> float:
    if not day.low < day.lower < day.high:
        return day.heat(single_sine)
    y = rounded(abs(day.mean - day.lower) / day.half_range, 1)
    return max(day.mean - day.lower, 0.0) + day.half_range * g_at(single_sine, y)


def _clock_slips(sheet: Worksheet, method: Method) -> Iterator[Slip]:
    heats = [day.heat(*method) for day in sheet.days]
    first = next(row for row, count in enumerate(sheet.catches) if count)
    yield Slip("clock started wrongly", sum(heats[first:]), "from the first lone catch")
    yield Slip("clock started wrongly", sum(heats), "from the first row")
    yield Slip("clock started wrongly", sum(heats[sheet.begin + 1 :]), "from the second catch")
