"""The worked day: every method side by side, its upper threshold, its steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from gddcast.heat.daily import CUTOFFS, no_cutoff, single_sine
from gddcast.lessons.day_steps import steps
from gddcast.lessons.rounding import heat_shown
from gddcast.lessons.worked_day import Day, day_title, moral, short_sum, side_by_side
from gddcast.text.terminal import table


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
        heat = heat_shown(day.heat(shape), day.unit)
        yield f"  {shape.name:<18}   {said:<{width}} = {heat}{hint}"
    yield moral(day)
    if not np.isinf(day.upper):
        yield ""
        yield f"What the upper threshold, {day.upper:g} °{day.unit}, does:"
        rows = [(name, *(heat_shown(heat, day.unit) for heat in by.values()))
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
