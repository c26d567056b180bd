"""Upper cut-offs: what warmth above the upper threshold does.

A cut-off is one line of A, the mean excess of a day above a level, and F, the share of the day
above it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gddcast.heat.shapes import Array, method_named

Level = float | Array
#: A(c) or F(c) of a block of days.
OfLevel = Callable[[Level], Array]


@dataclass(frozen=True)
class Cutoff:
    """What warmth above the upper threshold does.

    Parameters
    ----------
    name : str
        Trade name.
    rule : callable or None
        ``rule(A, F, lower, upper)``: degree-days to take away from A(lower).
    caps_readings : bool
        Minimum and maximum are lowered to the upper threshold before anything else.
    """

    name: str
    rule: Callable[[OfLevel, OfLevel, Level, Level], Array] | None
    caps_readings: bool = False


def _level_off(excess: OfLevel, _share: OfLevel, _lower: Level, upper: Level) -> Array:
    return excess(upper)


def _slow(excess: OfLevel, _share: OfLevel, lower: Level, upper: Level) -> Array:
    return 2.0 * excess(upper) - excess(2.0 * upper - lower)


def _stop(excess: OfLevel, share: OfLevel, lower: Level, upper: Level) -> Array:
    above = share(upper)
    # No product where no time is spent above: an upper threshold of infinity must not give ∞·0.
    lost = np.zeros_like(above)
    np.multiply(np.subtract(upper, lower), above, out=lost, where=above != 0.0)
    return excess(upper) + lost


#: Warmth above the upper threshold counts in full.
no_cutoff = Cutoff("none", None)
#: Development levels off: warmth above the upper threshold adds nothing more.
horizontal = Cutoff("horizontal", _level_off)
#: Development slows: the rate falls as fast as it rose, never below zero.
intermediate = Cutoff("intermediate", _slow)
#: Development stops while it is at or above the upper threshold.
vertical = Cutoff("vertical", _stop)
#: Minimum and maximum are lowered to the upper threshold, then no cut-off.
cap_the_readings = Cutoff("cap the readings", None, caps_readings=True)

#: Every cut-off by its trade name.
CUTOFFS = {
    cutoff.name: cutoff
    for cutoff in (no_cutoff, horizontal, intermediate, vertical, cap_the_readings)
}


def cutoff_named(cutoff: Cutoff | str) -> Cutoff:
    """An upper cut-off, also by its trade name; any other name is refused with the list.

    Examples
    --------
    >>> cutoff_named("horizontal") is horizontal, cutoff_named("none") is no_cutoff
    (True, True)
    """
    return cutoff if isinstance(cutoff, Cutoff) else method_named("cut-off", cutoff, CUTOFFS)
