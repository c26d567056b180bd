"""The readings of a worksheet, drawn one day after the other.

They are counted in steps from the lower threshold. A step of 2.5 °C is one of 4.5 °F, so a sheet
in °F and one in °C are the same days to the last digit; every y falls on a row of the printed
table; and after each day table and exact sum still round alike. So nobody rounds before the end,
and a shorter sheet of a seed is the beginning of the longer one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from gddcast.heat.cutoffs import horizontal, no_cutoff
from gddcast.heat.shapes import single_sine
from gddcast.lessons.by_hand import heat_by_hand, y_of
from gddcast.lessons.curve_table import on_a_row
from gddcast.lessons.rounding import DIGITS, heat_rounded
from gddcast.lessons.worked_day import Day
from gddcast.units import Unit

#: A step of the readings, the same in both scales. [°unit]
STEP: dict[Unit, float] = {"F": 4.5, "C": 2.5}
# Readings lie 5 to 20 °C apart, from 20 °C below the line to 22.5 °C above it; those of a hot day
# to 27.5 °C. [steps]
_COLDEST, _WARM, _HOT, _NARROWEST, _WIDEST = -8, 9, 11, 2, 8
# A total so near to a half of its last digit would be rounded up by some and down by others.
_EDGE = 0.05


@dataclass(frozen=True, slots=True)
class ReadingScale:
    """What a step of the readings is worth.

    Parameters
    ----------
    per_step : mapping of unit to float
        In each scale the sheet is made for. [°unit]
    finer : float
        Steps of the readings in one step of 2.5 °C.
    upper : float
        Upper threshold above the lower one. [steps]
    """

    per_step: tuple[tuple[Unit, float], ...]
    finer: float = 1.0
    upper: float = np.inf


#: The scale of a sheet in both units, without an upper threshold.
BOTH = ReadingScale(tuple(STEP.items()))


@cache
def days_of(scale: ReadingScale) -> dict[str, tuple[Day, ...]]:
    """Every day a sheet may hold, by its kind, in steps above the line.

    Returns
    -------
    dict of str to tuple of Day
        ``crossing`` the line, ``cold`` (crossing, its mean not above the line), ``below`` it,
        ``warm`` (above it), ``hot`` (passing the upper threshold).
    """
    kinds: dict[str, list[Day]] = {
        kind: [] for kind in ("crossing", "cold", "below", "warm", "hot")
    }
    ends = [round(end * scale.finer) for end in (_COLDEST, _HOT, _NARROWEST, _WIDEST)]
    for low in range(ends[0], ends[1]):
        for high in range(low + ends[2], min(low + ends[3], ends[1]) + 1):
            day = Day(high, low, 0.0, "C", upper=scale.upper)
            levels = [0.0] if np.isinf(scale.upper) else [0.0, scale.upper]
            if not all(y is None or on_a_row(y) for y in (y_of(day, each) for each in levels)):
                continue
            for kind in _kinds(day, scale):
                kinds[kind].append(day)
    return {kind: tuple(days) for kind, days in kinds.items()}


def _kinds(day: Day, scale: ReadingScale) -> tuple[str, ...]:
    if day.high > day.upper:
        return ("hot",) if day.low < day.upper else ()
    if day.low >= 0.0:
        return ("warm",) if day.high <= _WARM * scale.finer else ()
    if day.high <= 0.0:
        return ("below",)
    # Nights of a crossing day lie at most 10 °C below the line.
    near = ("crossing",) if day.low >= -4 * scale.finer else ()
    return (*near, "cold") if day.mean <= 0.0 else near


def draw_days(
    rng: np.random.Generator,
    count: int,
    kinds: Sequence[tuple[str, float]],
    scale: ReadingScale,
    before: Sequence[Day] = (),
    also: Callable[[Sequence[Day]], bool] | None = None,
) -> tuple[Day, ...]:
    """Draw days, each after the ones before.

    Parameters
    ----------
    rng : numpy.random.Generator
    count : int
        Days wanted in all.
    kinds : sequence of (str, float)
        Kinds of days and their shares; the first day is of the first kind.
    scale : ReadingScale
    before : sequence of Day
        Days drawn already.
    also : callable
        What else must hold of the days after each of them.

    Returns
    -------
    tuple of Day
        In steps above the line.
    """
    pool = days_of(scale)
    names, shares = [name for name, _ in kinds], np.array([share for _, share in kinds])
    days = list(before)
    while len(days) < count:
        kind = names[int(rng.choice(len(names), p=shares / shares.sum()))] if days else names[0]
        day = pool[kind][int(rng.integers(len(pool[kind])))]
        longer = [*days, day]
        if table_agrees(longer, scale) and (also is None or also(longer)):
            days = longer
    return tuple(days)


def table_agrees(days: Sequence[Day], scale: ReadingScale) -> bool:
    """Whether table and exact sum of the sine round alike, in each scale and clear of the edge."""
    if not any(_sine_of(day)[2] for day in days):
        return True
    exact, by_hand = (sum(_sine_of(day)[which] for day in days) for which in (0, 1))
    for unit, worth in scale.per_step:
        last = exact * worth * 10 ** DIGITS[unit] % 1
        if abs(last - 0.5) < _EDGE:
            return False
        if heat_rounded(exact * worth, unit) != heat_rounded(by_hand * worth, unit):
            return False
    return True


@cache
def _sine_of(day: Day) -> tuple[float, float, bool]:
    """Heat by the single sine, exact and by the table, and whether the table was asked."""
    cutoff = no_cutoff if np.isinf(day.upper) else horizontal
    asked = y_of(day, day.lower) is not None or y_of(day, day.upper) is not None
    return day.heat(single_sine, cutoff), heat_by_hand(day, single_sine, cutoff), asked
