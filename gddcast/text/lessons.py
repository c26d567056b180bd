"""Lessons as text for a terminal: worked day, worksheet, class key, comparison, story."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from gddcast import words
from gddcast.heat.daily import CUTOFFS, no_cutoff, single_sine
from gddcast.lessons.comparison import MethodComparison
from gddcast.lessons.invented import InventedYear
from gddcast.lessons.planted import ClassFile, line_words
from gddcast.lessons.worked_day import Day, day_title, moral, short_sum, side_by_side, steps
from gddcast.lessons.worksheet import ROUNDING, SHEET_METHODS, Worksheet, day_steps, rules_of
from gddcast.text.terminal import table
from gddcast.units import Unit, from_celsius_days


def day_text(day: Day, *, with_steps: bool = False) -> str:
    """The worked day: every method side by side, its upper threshold, its steps."""
    return "\n".join(_day_lines(day, with_steps))


def _day_lines(day: Day, with_steps: bool) -> Iterator[str]:
    yield f"{day_title(day)}."
    width = max(len(short_sum(day, shape)) for shape in day.shapes)
    for shape in day.shapes:
        said = short_sum(day, shape)
        hint = ""
        if shape is single_sine and not with_steps:
            hint = "     (step by step: --steps)"
        yield f"  {shape.name:<18}   {said:<{width}} = {day.heat(shape):.1f}{hint}"
    yield moral(day)
    if not np.isinf(day.upper):
        yield ""
        yield f"What the upper threshold, {day.upper:g} °{day.unit}, does:"
        rows = [(name, *(f"{heat:.1f}" for heat in by.values()))
                for name, by in side_by_side(day).items()]  # fmt: skip
        yield from table([("", *CUTOFFS), *rows], indent="  ")
    if with_steps:
        yield from _step_lines(day)


def _step_lines(day: Day) -> Iterator[str]:
    for shape in day.shapes:
        yield from _one_method(shape.name, steps(day, shape))
    if day.high > day.upper:
        for cutoff in CUTOFFS.values():
            if cutoff is not no_cutoff:
                yield from _one_method(
                    f"{single_sine.name}, {cutoff.name}", steps(day, single_sine, cutoff)
                )


def _one_method(name: str, lines: Sequence[str]) -> Iterator[str]:
    yield f"\n{name}"
    for number, step in enumerate(lines, start=1):
        yield f"  {number}. {step}"


def sheet_text(sheet: Worksheet) -> str:
    """The readings and the rules, without an answer."""
    rows = [("day", "high", "low")]
    for row, day in enumerate(sheet.days):
        rows.append((words.day(sheet.date(row)), f"{day.high:g}", f"{day.low:g}"))
    rules = [f"{number}. {name}: {rule}" for number, (name, rule) in enumerate(rules_of(sheet), 1)]
    days = words.count(len(sheet.days), "day")
    title = f"Sheet {sheet.seed}: heat of {days} above {sheet.line:g} °{sheet.unit}"
    return "\n".join([title, *table(rows, indent="  "), *rules, ROUNDING])


def key_text(sheet: Worksheet) -> str:
    """Every step of every day, and the totals."""
    lines = [f"Key to sheet {sheet.seed}: heat above {sheet.line:g} °{sheet.unit}"]
    for row, day in enumerate(sheet.days):
        lines.append(f"{words.day(sheet.date(row))}: high {day.high:g}, low {day.low:g}")
        lines += [f"  {step}" for step in day_steps(day)]
    lines.append(f"Totals, °{sheet.unit}-days")
    totals = [(shape.name, f"{sheet.total(shape):.1f}") for shape in SHEET_METHODS]
    lines += table(totals, indent="  ")
    return "\n".join(lines)


def class_key_text(planted: ClassFile) -> str:
    """The key of a class file: how many faults, and the lines of each."""
    rows = [(line_words(fault), f"{fault.kind}: {fault.words}") for fault in planted.faults]
    width = max(len(where) for where, _ in rows)
    said = [f"  {where:<{width}}  {what}" for where, what in rows]
    count = f"{len(rows)} planted faults (line 1 is the header)"
    return "\n".join([f"Key to class file {planted.seed}: {count}", *said, *_how_to_check(planted)])


def _how_to_check(planted: ClassFile) -> tuple[str, ...]:
    """How the program finds them: a file in two scales can't be read in one go."""
    unit = next(fault for fault in planted.faults if fault.kind == "unit change")
    others = len(planted.faults) - 1
    return (
        "  gddcast weather check refuses the file and names the day on which its unit changes.",
        f"  Keep the lines above {unit.first_line} and check again: it names the other {others}.",
    )


def story_text(invented: InventedYear) -> str:
    """The invented year, told."""
    opening = (
        f"An invented year at {invented.series.place.name}, seed {invented.seed}: "
        f"{words.count(len(invented.series), 'day')} of no real place."
    )
    return "\n".join([opening, *(f"  {sentence}" for sentence in invented.story)])


def comparison_text(found: MethodComparison, unit: Unit) -> str:
    """Every method over the same days, the hourly truth first where there is one."""
    return "\n".join(_comparison_lines(found, unit))


def _comparison_lines(found: MethodComparison, unit: Unit) -> Iterator[str]:
    left = f", {words.count(found.left_out, 'day')} left out" if found.left_out else ""
    yield f"{words.span(found.first, found.last)}: {words.count(found.days, 'day')} compared{left}."
    heading = ["", f"°{unit}-days"]
    if found.truth is not None:
        heading += ["against hourly", "a day's miss", "half the heat"]
    rows = [heading]
    if found.truth is not None:
        rows.append(["hourly readings", _heat(found.truth, unit), "", "", ""])
    for row in found.rows:
        cells = [row.method, _heat(row.total, unit)]
        if row.against_truth is not None and row.typical_miss is not None:
            cells += [
                _signed(row.against_truth, unit),
                f"{from_celsius_days(row.typical_miss, unit):.1f}",
                _lateness(row.days_late),
            ]
        rows.append(cells)
    yield from table(rows, indent="  ")
    if found.truth is None:
        yield "The file has no hourly readings, so none of these can be called the true one."


def _heat(value: float, unit: Unit) -> str:
    return f"{from_celsius_days(value, unit):,.1f}"


def _signed(value: float, unit: Unit) -> str:
    return f"{from_celsius_days(value, unit):+,.1f}".replace("-", "−")


def _lateness(days: float | None) -> str:
    if days is None:
        return "–"
    if abs(days) < 0.05:
        return "same time"
    return f"{abs(days):.1f} d {'late' if days > 0 else 'early'}"
