"""A sum fitted to own finds, and whether it still belongs to the way a stage is counted.

A heat sum is worth nothing without its method: one fitted above 50 °F by single sine says nothing
of a sum above 48 °F, or by another day shape. It is used while all of it is the same.
"""

from __future__ import annotations

import math

from gddcast.heat.counting import Counting
from gddcast.journal.entries import OwnGoal

#: 95 % of a normal distribution lies so many standard deviations from its mean.
_TWO_SIDED_95 = 1.959964
#: Two thresholds are the same within this, which is less than any that is printed. [°C]
_SAME_C = 0.005


def method_of(counting: Counting, starts: tuple[int, int]) -> dict[str, float | str | None]:
    """The fields of an `OwnGoal` that say how it was counted."""
    return {
        "lower": counting.lower,
        "upper": None if math.isinf(counting.upper) else counting.upper,
        "shape": counting.shape.name,
        "cutoff": counting.cutoff.name,
        "starts": f"{starts[0]:02d}-{starts[1]:02d}",
    }


def is_counted_alike(own: OwnGoal, counting: Counting, starts: tuple[int, int]) -> bool:
    """Whether a kept sum was fitted by the very method, and from the day, it is counted by now."""
    now = method_of(counting, starts)
    names = [own.shape, own.starts] == [now["shape"], now["starts"]]
    if own.upper is not None:  # without an upper threshold a cut-off has nothing to do
        names = names and own.cutoff == now["cutoff"]
    return names and _same(own.lower, counting.lower) and _same(
        math.inf if own.upper is None else own.upper, counting.upper
    )  # fmt: skip


def _same(one: float | None, other: float) -> bool:
    return one is not None and (one == other or abs(one - other) < _SAME_C)


def spread_of(own: OwnGoal) -> float:
    """How far the sum of one more season may lie from the kept one, as a standard deviation.

    Years differ by ``spread``, and the mean is itself known only within its 95 % interval; both
    are independent, so their squares add. [°C·d]

    Examples
    --------
    >>> import datetime as dt
    >>> own = OwnGoal("a", "b", 580.0, 580 - 1.959964 * 4, 580 + 1.959964 * 4, dt.date.max, 3.0)
    >>> round(spread_of(own), 6)
    5.0
    """
    of_the_mean = (own.high - own.low) / (2.0 * _TWO_SIDED_95)
    return math.hypot(own.spread or 0.0, of_the_mean)
