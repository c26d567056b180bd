"""The curve g(y) as a printed table of 21 rows: what a person uses instead of an arc cosine.

y is how far the line lies from the day's mean, measured in half ranges: 0 at the mean, 1 where
the line only just touches the day. The day's mean excess above the line is then

    max(mean − line, 0) + half range × g(y)
"""

from __future__ import annotations

import numpy as np

from gddcast.heat.daily import Shape, floor_the_readings, single_sine, single_triangle

#: Rows of the table: y = 0, 0.05 … 1.
ROWS = tuple(round(0.05 * row, 2) for row in range(21))
#: Digits of g on paper: a week worked with them rounds to the same tenth as the exact sum.
DIGITS = 4
#: The curve as a formula; g is 0 where a method takes the whole day at its mean.
FORMULA: dict[Shape, str] = {
    floor_the_readings: "(1 − y) / 2",
    single_sine: "(√(1 − y²) − y·arccos y) / π",
    single_triangle: "(1 − y)² / 4",
}


def g_at(shape: Shape, y: float) -> float:
    """The curve of a day shape, exact; 0 where the whole day is at its mean.

    Examples
    --------
    >>> from gddcast.heat.daily import single_sine
    >>> round(g_at(single_sine, 0.0), 4), g_at(single_sine, 1.0)
    (0.3183, 0.0)
    """
    return 0.0 if shape.g is None else float(shape.g(np.array([y]))[0])


def printed_g(shape: Shape, y: float) -> float:
    """The curve as the table prints it."""
    return round(g_at(shape, y), DIGITS)


def on_a_row(y: float) -> bool:
    """Whether y stands in the table, so that nobody has to read between two rows."""
    return any(abs(y - row) < 1e-9 for row in ROWS)


def table(shape: Shape) -> tuple[tuple[float, float], ...]:
    """All 21 rows: y and g(y)."""
    return tuple((y, printed_g(shape, y)) for y in ROWS)
