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
    temperatures : ndarray, shape (2, I, Y, shifts, REACH + 1)
        Minimum and maximum from the day after it. [°C]
    """

    climate: Climate
    through: Days
    temperatures: Array

    def at(self, chosen: slice) -> FirstDays:
        """Those after some of the last known days; nothing is copied."""
        return FirstDays(self.climate, self.through[chosen], self.temperatures[:, chosen])


def first_days(
    climate: Climate,
    through: ArrayLike,
    *,
    forecast: Array | None = None,
    errors: ForecastErrors | None = None,
) -> FirstDays:
    """Continue the members from each last known day.

    Parameters
    ----------
    climate : Climate
    through : array_like of int, shape (I,)
        Last known days, counted from the season's first day.
    forecast : ndarray, shape (2, I, days), optional
        Minimum and maximum forecast for the days after each; NaN where nothing was said. [°C]
    errors : ForecastErrors, optional
        For the same days. Default: the usual ones.
    """
    last = np.maximum(np.asarray(through, dtype=np.intp), -REACH)
    days = last[:, None] + 1 + np.arange(REACH + 1)
    laid = np.empty((2, last.size, *climate.temperatures.shape[1:3], REACH + 1))
    for at, ahead in enumerate(days):
        climate.temperatures.take(ahead, axis=-1, mode="clip", out=laid[:, at])
    if climate.steps.persistence:
        _bend(climate, last, laid[..., :REACH])
    if forecast is not None and climate.steps.forecast and forecast.shape[-1]:
        _blend(climate, laid, days, forecast, errors or usual_errors(climate.spread))
    np.maximum(laid[1], laid[0], out=laid[1])
    return FirstDays(climate, last, laid)


def _bend(climate: Climate, last: Days, laid: Array) -> None:
    """Add what the last days' anomalies, held against the member's own, tell of the days ahead."""
    begin = climate.record.index(climate.season.first)
    positions = climate.positions.take(last, axis=-1, mode="clip") + np.minimum(last, 0)
    for at, (now, then) in enumerate(zip(begin + last, np.moveaxis(positions, -1, 0), strict=True)):
        unlike = values_at(climate.recent, now)[:, :, None, None] - values_at(climate.recent, then)
        unlike[np.isnan(unlike)] = 0.0  # (3, 2, Y, shifts)
        for each in (0, 1):
            laid[each, at] += np.tensordot(unlike[:, each], climate.weights[each], axes=(0, 1))


def _blend(
    climate: Climate, laid: Array, days: Days, forecast: Array, errors: ForecastErrors
) -> None:
    """Put dressed forecast days in their places, and let the mismatch behind the last one fade."""
    length = forecast.shape[-1]
    epoch = np.datetime64(climate.season.first, "D").astype(int)
    normal = climate.normals.on((epoch + days[:, :length]).ravel()).reshape(forecast.shape)
    dresses = dressed(forecast, normal, climate.spread, errors, len(climate.members))
    coming = dresses.swapaxes(1, 2)[:, :, :, None]
    mismatch = np.nan_to_num(coming[..., -1:] - laid[..., length - 1 : length])
    # Days nobody spoke of stay what the members make of them.
    np.copyto(laid[..., :length], coming, where=~np.isnan(coming))
    laid[..., length:] += mismatch * fade(laid.shape[-1] - length)


@dataclass(frozen=True, slots=True, eq=False)
class Continued:
    """Running heat of the members after each of I last known days.

    Parameters
    ----------
    climate : Climate
    through : ndarray of int, shape (I,)
        Last known days, counted from the season's first.
    early : ndarray, shape (I, Y, shifts, reach)
        Sum from the day after the last known one, of the days counted anew. [°C·d]
    late : ndarray, shape (Y, shifts, D)
        Sum from the season's start; the same for all last known days. [°C·d]
    start : int
        Day of the season from which heat is counted.
    """

    climate: Climate
    through: Days
    early: Array
    late: Array
    start: int = 0

    def _behind_early(self) -> Array:
        """What turns a sum of ``late`` into one since the last known day, shape (I, Y, shifts)."""
        counted = self.through + self.early.shape[-1]
        passed = self.late.take(np.clip(counted, 0, self.late.shape[-1] - 1), axis=-1)
        passed[..., counted < 0] = 0.0
        early = self.early[..., -1] if self.early.shape[-1] else 0.0
        return np.asarray(early - np.moveaxis(passed, -1, 0))

    def totals(self) -> Array:
        """Heat from each last known day to the season's end, shape (I, Y, shifts). [°C·d]"""
        return np.asarray(self.late[..., -1] + self._behind_early())

    def path(self) -> Array:
        """Running heat on each day after the first last known one, shape (Y, shifts, days)."""
        after = int(self.through[0]) + 1
        early = self.early[0, ..., : max(self.late.shape[-1] - after, 0)]
        counted = after + early.shape[-1]
        if counted >= self.late.shape[-1]:
            return early
        late = self.late[..., counted:] - self.late[..., counted - 1 : counted]
        return np.concatenate([early, early[..., -1:] + late], axis=-1)

    def from_the_first_day(self) -> Continued:
        """Of past seasons joined on unchanged: all of each, as it was."""
        return Continued(
            self.climate, np.array([-1]), np.empty((1, *self.late.shape[:2], 0)), self.late,
            self.start,
        )  # fmt: skip

    def times(self, needed: ArrayLike, issue: ArrayLike) -> Array:
        """When each member has the heat still missing.

        Parameters
        ----------
        needed : array_like, shape (P,) or (P, Y, shifts)
            Heat still missing. [°C·d]
        issue : array_like of int, shape (P,)
            After which of the last known days.

        Returns
        -------
        ndarray, shape (P, Y, shifts)
            Time from the start of the season's first day; +∞ where the season ends before, NaN
            where an unknown day of the member hides it. [d]
        """
        which = np.asarray(issue, dtype=np.intp)
        shape = (which.size, *self.late.shape[:2])
        want = np.asarray(needed, dtype=np.float64)
        want = np.broadcast_to(want if want.ndim == 3 else want[:, None, None], shape)
        reach = self.early.shape[-1]
        soon = ~(self.early[which, ..., -1] < want) if reach else np.zeros(shape, dtype=bool)
        time = np.empty(shape)
        time[soon] = self._soon(want[soon], which, soon)
        # The rest is looked for in the running sums that all starting days share.
        pair, *member = np.nonzero(~soon)
        row = np.ravel_multi_index(tuple(member), shape[1:])
        counted = self.through[which[pair]] + reach
        rest = (want - self._behind_early()[which])[~soon]
        time[~soon] = _search(self.late, row, rest, counted + 1)
        return time

    def _soon(self, want: Array, which: Days, chosen: NDArray[np.bool_]) -> Array:
        """Times among the days counted anew."""
        pair, *member = np.nonzero(chosen)
        row = np.ravel_multi_index((which[pair], *member), self.early.shape[:-1])
        begins = self.through[which[pair]] + 1.0
        return np.asarray(begins + _search(self.early, row, want, np.zeros_like(row)))

    def times_of_years(self, needed: ArrayLike, issue: ArrayLike) -> Array:
        """The same, but a past year has no say behind its own first unknown day.

        Returns
        -------
        ndarray, shape (P, Y, shifts)
            All shifts of a year are NaN where an unknown day hides its own date. [d]
        """
        times = self.times(needed, issue)
        times[~telling(times, self.climate.first_unknown(self.start))] = np.nan
        return times


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
    not_counted = (days < start) | (days >= first.climate.season.days)
    for issue in np.flatnonzero(not_counted.any(axis=1)):
        heat[issue][..., not_counted[issue]] = 0.0
    early = np.cumsum(heat, axis=-1, out=heat)
    return Continued(
        first.climate, first.through, early, first.climate.sums(counting, start), start
    )


def grafted(climate: Climate, through: Days, counting: Counting, start: int = 0) -> Continued:
    """Past seasons joined on unchanged: no day is counted anew, one running sum serves them all.

    Parameters
    ----------
    climate : Climate
        Its members' own days are used, whatever was done to them.
    through : ndarray of int, shape (I,)
        Last known days, counted from the season's first.
    counting, start
        As for `continued`.
    """
    heat = counting.heat(*climate.measured)
    heat[..., :start] = 0.0
    late = np.cumsum(heat, axis=-1, out=heat)[:, None]
    return Continued(climate, through, np.empty((through.size, *late.shape[:2], 0)), late, start)


def _search(sums: Array, row: Days, want: Array, low: Days) -> Array:
    """Fractional day on which ``sums[row]`` reaches ``want``, looked for from ``low`` on."""
    size = sums.shape[-1]
    flat, base = sums.ravel(), row * size
    at = np.minimum(low, size)
    step = 1 << int(size).bit_length()
    while step := step >> 1:
        # A NaN is not below anything, so the search ends at the first unknown day.
        further = at + step
        below = flat.take(base + np.minimum(further, size) - 1) < want
        below &= further <= size
        at = np.where(below, further, at)
    found = at < size
    place = base + np.minimum(at, size - 1)
    before = np.where(at > 0, flat[place - 1], 0.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        part = (want - before) / (flat[place] - before)
    return np.where(found, at + part, np.inf)
