"""Past seasons continued from today: when each would reach a goal, found by bisection.

A member reaches a goal on the first day on which this season's heat so far and the member's own
heat since then add up to it. From the forty-sixth day on the members are the same whatever day
they start from, so their running sums are kept and only shifted; the first days are counted anew.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook.ensemble import Climate, Days, values_at
from gddcast.outlook.forecast import ForecastErrors, dressed, fade, usual_errors
from gddcast.outlook.persistence import REACH
from gddcast.outlook.spans import telling

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FirstDays:
    """The members' weather right after the last known day, for I such days at once.

    Parameters
    ----------
    climate : Climate
    through : ndarray of int, shape (I,)
        Last known day, counted from the season's first day; may be negative.
    temperatures : ndarray, shape (2, Y, shifts, I, REACH + 1)
        Minimum and maximum from the day after it. [°C]
    """

    climate: Climate
    through: Days
    temperatures: Array

    def at(self, chosen: NDArray[np.bool_]) -> FirstDays:
        """Those after some of the last known days."""
        return FirstDays(self.climate, self.through[chosen], self.temperatures[:, :, :, chosen])


def first_days(
    climate: Climate,
    through: ArrayLike,
    *,
    said: Array | None = None,
    errors: ForecastErrors | None = None,
) -> FirstDays:
    """Continue the members from each last known day.

    Parameters
    ----------
    climate : Climate
    through : array_like of int, shape (I,)
        Last known days, counted from the season's first day.
    said : ndarray, shape (2, I, days), optional
        Minimum and maximum forecast for the days after each; NaN where nothing was said. [°C]
    errors : ForecastErrors, optional
        For the same days. Default: the usual ones.
    """
    last = np.maximum(np.asarray(through, dtype=np.intp), -REACH)
    days = last[:, None] + 1 + np.arange(REACH + 1)
    laid = climate.temperatures.take(days, axis=-1, mode="clip")
    if climate.steps.persistence:
        laid[..., :REACH] += _bend(climate, last)
    if said is not None and climate.steps.forecast and said.shape[-1]:
        _blend(climate, laid, days, said, errors or usual_errors(climate.spread))
    np.maximum(laid[1], laid[0], out=laid[1])
    return FirstDays(climate, last, laid)


def _bend(climate: Climate, last: Days) -> Array:
    """What the last days' anomalies, held against the member's own, add to the days ahead."""
    begin = climate.record.index(climate.season.first)
    here = values_at(climate.recent, begin + last)[:, :, None, None]
    there = climate.positions.take(last, axis=-1, mode="clip") + np.minimum(last, 0)
    unlike = here - values_at(climate.recent, there)  # (3, 2, Y, shifts, I)
    unlike[np.isnan(unlike)] = 0.0
    return np.stack(
        [np.tensordot(unlike[:, each], climate.weights[each], axes=(0, 1)) for each in (0, 1)]
    )


def _blend(climate: Climate, laid: Array, days: Days, said: Array, errors: ForecastErrors) -> None:
    """Put dressed forecast days in their places, and let the mismatch behind the last one fade."""
    length = said.shape[-1]
    epoch = np.datetime64(climate.season.first, "D").astype(int)
    normal = climate.normals.on((epoch + days[:, :length]).ravel()).reshape(said.shape)
    coming = dressed(said, normal, climate.spread, errors, len(climate.members))[:, :, None]
    mismatch = np.nan_to_num(coming[..., -1:] - laid[..., length - 1 : length])
    # Days nobody spoke of stay what the members make of them.
    np.copyto(laid[..., :length], coming, where=~np.isnan(coming))
    laid[..., length:] += mismatch * fade(laid.shape[-1] - length)


@dataclass(frozen=True, slots=True, eq=False)
class Continued:
    """Running heat of the members after each of I last known days.

    Parameters
    ----------
    first : FirstDays
    early : ndarray, shape (Y, shifts, I, REACH)
        Sum from the day after the last known one. [°C·d]
    late : ndarray, shape (Y, shifts, D)
        Sum from the season's start; the same for all last known days. [°C·d]
    start : int
        Day of the season from which heat is counted.
    """

    first: FirstDays
    early: Array
    late: Array
    start: int = 0

    @property
    def counted(self) -> Days:
        """Last of the days counted anew, for each last known day."""
        return np.asarray(self.first.through + self.early.shape[-1])

    def totals(self) -> Array:
        """Heat from each last known day to the season's end, shape (Y, shifts, I). [°C·d]"""
        size = self.late.shape[-1]
        passed = self.late.take(np.minimum(self.counted, size - 1), axis=-1)
        return np.asarray(self.early[..., -1] + self.late[..., -1:] - passed)

    def path(self, issue: int = 0) -> Array:
        """Running heat on each day after one of the last known days, shape (Y, shifts, days)."""
        after = int(self.first.through[issue]) + 1
        early = self.early[:, :, issue, : max(self.late.shape[-1] - after, 0)]
        counted = after + early.shape[-1]
        if counted >= self.late.shape[-1]:
            return early
        late = self.late[..., counted:] - self.late[..., counted - 1 : counted]
        return np.concatenate([early, early[..., -1:] + late], axis=-1)

    def times(self, needed: ArrayLike) -> Array:
        """When each member reaches each goal.

        Parameters
        ----------
        needed : array_like, shape (I, goals)
            Heat still missing after each last known day. [°C·d]

        Returns
        -------
        ndarray, shape (Y, shifts, I, goals)
            Time from the start of the season's first day; +∞ where the season ends before, NaN
            where an unknown day of the member hides it. [d]
        """
        shape = (*self.early.shape[:-1], np.shape(needed)[-1])
        want = np.broadcast_to(np.asarray(needed, dtype=np.float64), shape).ravel()
        begins = np.broadcast_to(self.first.through[:, None] + 1.0, shape).ravel()
        entry = np.arange(want.size)
        row = entry // shape[-1]
        time = begins + _search(self.early, row, want, np.zeros_like(row))
        # The rest is looked for in the running sums that all starting days share.
        entry = entry[np.isinf(time)]
        row, want = row[entry], want[entry]
        counted, member = self.counted[row % shape[2]], row // shape[2]
        rows = self.late.reshape(-1, self.late.shape[-1])
        passed = rows[member, np.minimum(counted, rows.shape[-1] - 1)]
        want += passed - self.early.reshape(-1, self.early.shape[-1])[row, -1]
        time[entry] = _search(self.late, member, want, counted + 1)
        return time.reshape(shape)

    def times_of_years(self, needed: ArrayLike) -> Array:
        """The same, past year by past year; a year has no say behind its own first unknown day.

        Parameters
        ----------
        needed : array_like, shape (I, goals)

        Returns
        -------
        ndarray, shape (I, goals, Y, shifts)
            All shifts of a year are NaN where an unknown day hides its own date. [d]
        """
        times = np.moveaxis(self.times(needed), (2, 3), (0, 1))
        known = telling(times, self.first.climate.first_unknown(self.start))
        return np.where(known[..., None], times, np.nan)


def continued(first: FirstDays, counting: Counting, start: int = 0) -> Continued:
    """Count the heat of members continued from their first days.

    Parameters
    ----------
    first : FirstDays
    counting : Counting
    start : int, default: 0
        Day of the season from which heat is counted.
    """
    # One day more than needed: a double shape looks at the night after the last.
    heat = counting.heat(*first.temperatures)[..., :-1]
    days = first.through[:, None] + 1 + np.arange(heat.shape[-1])
    heat[..., (days < start) | (days >= first.climate.season.days)] = 0.0
    early = np.cumsum(heat, axis=-1, out=heat)
    return Continued(first, early, first.climate.sums(counting, start), start)


def _search(sums: Array, row: Days, want: Array, low: Days) -> Array:
    """Fractional day on which ``sums[row]`` reaches ``want``, looked for from ``low`` on."""
    size = sums.shape[-1]
    flat, base = sums.ravel(), row * size
    low = np.minimum(low, size)
    high = np.full_like(low, size)
    for _ in range(int(size).bit_length()):
        middle = (low + high) >> 1
        # A NaN is not below anything, so the search ends at the first unknown day.
        below = flat.take(base + middle, mode="clip") < want
        open_ = low < high
        low = np.where(open_ & below, middle + 1, low)
        high = np.where(open_ & ~below, middle, high)
    found = low < size
    at = base + np.minimum(low, size - 1)
    before = np.where(low > 0, flat[at - 1], 0.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        part = (want - before) / (flat[at] - before)
    return np.where(found, low + part, np.inf)
