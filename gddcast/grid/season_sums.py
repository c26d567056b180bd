"""One piece of a grid, days first: heat, running sum and goals of its seasons in one pass.

By the compiled kernel where Numba is installed, else by the functions of `gddcast.heat`; both give
the same answer, the second slower.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.heat.thermal_time import day_reached, running_heat

Array = NDArray[np.float64]

# Pixel-days that the uncompiled way holds at once, in double precision.
_AT_ONCE = 500_000


@dataclass(frozen=True, slots=True)
class SeasonSums:
    """What is asked of every piece of a grid; plain values, so that it can travel to a worker.

    Parameters
    ----------
    lower, upper : float
        Thresholds; ``upper`` infinite where there is none. [°C]
    shape, cutoff : str
        Trade names.
    goals : tuple of float
        [°C·d]
    first, end : tuple of int
        First day counted of each season, in days of the piece, and the day after its last one.
    whole : tuple of bool
        Whether the season ends there; else the record does.
    scale, shift : float
        °C are ``scale`` × what is stored + ``shift``.
    with_totals : bool
        Whether the heat of the whole season is wanted; else a season is left once every pixel of
        the piece has reached the last goal.
    """

    lower: float
    upper: float
    shape: str
    cutoff: str
    goals: tuple[float, ...]
    first: tuple[int, ...]
    end: tuple[int, ...]
    whole: tuple[bool, ...]
    scale: float = 1.0
    shift: float = 0.0
    with_totals: bool = True


def season_sums(tmin: NDArray[Any], tmax: NDArray[Any], asked: SeasonSums) -> Array:
    """When each pixel of a piece reaches each goal in each season, then its season's heat.

    Parameters
    ----------
    tmin, tmax : ndarray, shape (days, …)
        Lowest and highest temperatures as stored.
    asked : SeasonSums

    Returns
    -------
    ndarray, shape (seasons, goals + 1, …)
        Times from the first day counted, as by `day_reached`: +∞ where a whole season does not
        reach the goal, NaN where a missing day or the record's end hides the answer [d]. Last,
        the heat of the season, NaN where a day of it is unknown or not wanted [°C·d].

    Examples
    --------
    >>> low = np.full((4, 1), 10.0)
    >>> asked = SeasonSums(5.0, np.inf, "single sine", "none", (15.0, 99.0), (0,), (4,), (True,))
    >>> season_sums(low, low + 10.0, asked)[0, :, 0]
    array([ 1.5,  inf, 40. ])
    """
    days, space = tmin.shape[0], tmin.shape[1:]
    low, high = (np.ascontiguousarray(each).reshape(days, -1) for each in (tmin, tmax))
    order = np.argsort(asked.goals, kind="stable")
    goals = np.asarray(asked.goals, dtype=np.float64)[order]
    seasons = len(asked.first)
    times = np.empty((seasons, goals.size, low.shape[1]))
    totals = np.empty((seasons, low.shape[1]))
    run = compiled_way() or _plain_way
    run(low, high, asked, goals, times, totals)
    if not asked.with_totals:
        totals[:] = np.nan
    answer = np.empty((seasons, goals.size + 1, low.shape[1]))
    answer[:, order], answer[:, -1] = times, totals
    return answer.reshape(seasons, goals.size + 1, *space)


#: Fills times and totals of pixels, from their temperatures and rising goals.
Way = Callable[[NDArray[Any], NDArray[Any], SeasonSums, Array, Array, Array], None]


def compiled_way() -> Way | None:
    """The compiled kernel; None where Numba is not installed or has nowhere to keep its work.

    ``NUMBA_DISABLE_JIT=1``, Numba's own switch, turns it off too.
    """
    if os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0"):
        return None
    try:
        from gddcast.grid import compiled
    except (ImportError, RuntimeError):
        return None

    def run(
        low: NDArray[Any], high: NDArray[Any], asked: SeasonSums, goals: Array, times: Array,
        totals: Array,
    ) -> None:  # fmt: skip
        kind = np.result_type(low, high).type
        shift = kind(asked.shift)
        # What 273.15 loses in single precision is given to the thresholds.
        lost = asked.shift - float(shift)
        # Files give arrays that may be written to, or not: one kind, so that it compiles once.
        low, high = (each.astype(kind, copy=False).view() for each in (low, high))
        low.flags.writeable = high.flags.writeable = False
        compiled.season_pass(
            low, high, kind(asked.scale), shift,
            asked.lower - lost, asked.upper - lost,
            compiled.SHAPES.index(asked.shape.replace("double", "single")),
            asked.shape.startswith("double"), compiled.CUTOFFS.index(asked.cutoff), goals,
            np.array(asked.first, np.int64), np.array(asked.end, np.int64),
            np.array(asked.whole, np.bool_), not asked.with_totals, times, totals,
        )  # fmt: skip

    return run


def _plain_way(
    low: NDArray[Any], high: NDArray[Any], asked: SeasonSums, goals: Array, times: Array,
    totals: Array,
) -> None:  # fmt: skip
    counting = Counting(asked.lower, asked.upper, asked.shape, asked.cutoff)  # type: ignore[arg-type]
    step = max(_AT_ONCE // max(low.shape[0], 1), 1)
    for start in range(0, low.shape[1], step):
        part = slice(start, start + step)
        heat = counting.heat(*(
            each[:, part].T.astype(np.float64) * asked.scale + asked.shift for each in (low, high)
        ))  # fmt: skip
        seasons = zip(asked.first, asked.end, asked.whole, strict=True)
        for season, (first, end, whole) in enumerate(seasons):
            running = running_heat(heat[:, first:end])
            reached, total = day_reached(running, goals), running[:, -1]
            known = whole & ~np.isnan(total)
            reached[np.isinf(reached) & ~known[:, None]] = np.nan
            times[season, :, part] = reached.T
            totals[season, part] = np.where(known, total, np.nan)
