"""The worked day as one page: its picture, every method side by side, each step by hand."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gddcast.handouts import paper
from gddcast.handouts.lessons.day_picture import day_picture
from gddcast.heat.daily import CUTOFFS, no_cutoff, single_sine
from gddcast.lessons.day_waves import takeaway
from gddcast.lessons.worked_day import (
    IN_WORDS,
    Day,
    moral,
    short_sum,
    side_by_side,
    steps,
)


def day_title(day: Day) -> str:
    """The day in one line.

    Examples
    --------
    >>> day_title(Day(72, 46, 50, "F"))
    'High 72, low 46, line at 50 °F.'
    """
    upper = "" if np.isinf(day.upper) else f", upper threshold at {day.upper:g} °{day.unit}"
    following = "" if day.next_low is None else f", next night's low {day.next_low:g}"
    return (
        f"High {day.high:g}, low {day.low:g}{following}, line at {day.lower:g} °{day.unit}{upper}."
    )


def day_page(day: Day, *, size: paper.Paper = "a4") -> str:
    """A self-contained page of one worked day."""
    return paper.page(f"One day by hand: {day_title(day)[:-1]}", _body(day), paper=size)


def _body(day: Day) -> Iterator[str]:
    yield paper.heading("One day by hand", 1)
    yield paper.paragraph(day_title(day))
    yield paper.figure(takeaway(day), day_picture(day))
    yield paper.heading("Every method side by side")
    yield _methods(day)
    yield paper.paragraph(moral(day))
    if not np.isinf(day.upper):
        yield paper.heading(f"What the upper threshold, {day.upper:g} °{day.unit}, does")
        yield _cutoffs(day)
    yield paper.heading("Step by step")
    for shape in day.shapes:
        yield paper.heading(shape.name, 3)
        yield paper.paragraph(f"It takes the day as {IN_WORDS[shape.name]}.")
        yield paper.listed(steps(day, shape), numbered=True)
    if day.high > day.upper:
        for cutoff in CUTOFFS.values():
            if cutoff is not no_cutoff:
                yield paper.heading(f"single sine, {cutoff.name}", 3)
                yield paper.listed(steps(day, single_sine, cutoff), numbered=True)


def _methods(day: Day) -> str:
    rows = [
        (shape.name, short_sum(day, shape), f"{day.heat(shape):.1f}") for shape in day.shapes
    ]  # fmt: skip
    table = paper.table(("method", "sum", f"°{day.unit}-days"), rows)
    return paper.wide(table, "Every method")


def _cutoffs(day: Day) -> str:
    answers = side_by_side(day)
    rows = [
        (name, *(f"{heat:.1f}" for heat in by_cutoff.values()))
        for name, by_cutoff in answers.items()
    ]
    return paper.wide(paper.table((f"°{day.unit}-days", *CUTOFFS), rows), "Every cut-off")
