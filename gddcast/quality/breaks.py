"""Where a record changes its ways: stuck runs, copied months, another unit, another precision.

None of these makes a single reading impossible, so nothing is removed here: each function says
where, and a person decides. Readings are arrays of shape (2, days): minima, maxima, in °C.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.quality.checks import day_of_year, months_of
from gddcast.units import Unit, celsius, fahrenheit, from_celsius
from gddcast.weather.normals import A_YEARLY_COURSE, normals_along, normals_of, waves
from gddcast.weather.series import runs

Array = NDArray[np.float64]
Days = NDArray[np.datetime64]
Mask = NDArray[np.bool_]

#: Equal readings in a row that want a look. A station's own quality control waits for 15 to 20
#: (Durre et al. 2010, seen); a thermometer somebody forgot to reset shows after five.
STUCK = 5
#: Known days a month must hold before it can be called a copy of another.
_MONTH_DAYS = 20
#: Days compared on each side of a day on which the unit may have changed.
_BREAK_DAYS = 10
#: Days whose mean daily range is held against the past, and by how much it must pass it. [d, °C]
_SUN_DAYS, _SUN_MARGIN = 30, 1.0
#: Days of the year on either side in which earlier years are looked at.
_SUN_NEAR = 45
#: Known days of earlier seasons without which nothing is called wider than ever: five years.
_SUN_PAST = 1700
#: Days that must be nearer to the usual once they are read in the other scale.
_BREAK_PROOF = 60
#: Least jump of both readings at a change of unit: what the mix-up makes of a day near freezing
#: (0.44·t + 17.8 where °C were read as °F, 0.8·t + 32 where °F were read as °C). [°C]
_BREAK_JUMP: dict[Unit, float] = {"F": 16.0, "C": 22.0}


@dataclass(frozen=True, slots=True)
class Run:
    """Consecutive days of one row of readings: 0 minima, 1 maxima; ``end`` is the day after."""

    row: int
    begin: int
    end: int

    @property
    def days(self) -> int:
        """How many."""
        return self.end - self.begin


def streaks(readings: Array) -> list[Run]:
    """Runs of at least ``STUCK`` equal minima, or maxima; a missing day ends a run.

    Examples
    --------
    >>> stuck = np.array([[1.0, 2, 3, 4, 5, 6], [20.0, 21, 21, 21, 21, 21]])
    >>> streaks(stuck)
    [Run(row=1, begin=1, end=6)]
    """
    found = []
    for row, values in enumerate(readings):
        for begin, end in runs(values[1:] == values[:-1], STUCK - 1):
            found.append(Run(row, begin, end + 1))
    return found


def repeated_months(readings: Array, dates: Days) -> list[tuple[int, int]]:
    """First days of pairs of months that hold the same readings, the earlier month first.

    Source: Durre et al. (2010), duplicates: the same month of two years, or two months of one
    year. Here any two months are compared: a file pasted twice need not keep to either.
    """
    return _copies(readings, dates, 1, _MONTH_DAYS)


def repeated_years(readings: Array, dates: Days) -> list[tuple[int, int]]:
    """First days of pairs of years that hold the same readings (Durre et al. 2010)."""
    return _copies(readings, dates, 12, 12 * _MONTH_DAYS)


def _copies(readings: Array, dates: Days, months: int, least: int) -> list[tuple[int, int]]:
    begins = np.flatnonzero(np.diff(months_of(dates) // months, prepend=-1_000_000))
    if not begins.size:
        return []
    known = np.add.reduceat(~np.isnan(readings).any(axis=0), begins, dtype=np.intp)
    shown = np.round(readings, 2)
    # A copied February is one day shorter in a common year: compare what both can hold.
    longest = 28 if months == 1 else 365
    seen: dict[bytes, list[int]] = defaultdict(list)
    for begin in begins[known >= least]:
        seen[shown[:, begin : begin + longest].tobytes()].append(int(begin))
    return sorted((same[0], later) for same in seen.values() for later in same[1:])


@dataclass(frozen=True, slots=True)
class WideRange:
    """A stretch of the latest season whose days are wider than any before."""

    begin: int
    end: int
    excess: float  # of the maxima, over what the minima and past years let expect. [°C]


def wide_range(readings: Array, dates: Days, latest: int) -> WideRange | None:
    """Maxima of the latest season that left their minima behind: sun on the sensor?

    Sun warms a thermometer by day and not by night. The mean departure of the daily range from
    its usual course, over thirty days, is held against the widest thirty days of earlier years
    near that time of the year. A long dry spell looks the same: a second record tells better.

    Parameters
    ----------
    readings : ndarray, shape (2, days)
    dates : ndarray of datetime64[D]
    latest : int
        First day of the latest season.
    """
    span = readings[1] - readings[0]
    days = dates.astype(np.int64)
    if np.count_nonzero(~np.isnan(span[:latest])) < _SUN_PAST:
        return None
    basis = waves(days)
    away = span - normals_along(basis[:latest], span[:latest]).along(basis)
    means, when = _means_of(away, _SUN_DAYS), day_of_year(dates)
    past = slice(0, max(latest - _SUN_DAYS + 1, 0))
    widest = _widest_near(means[past], when[: past.stop])
    wide = means[latest:] > widest[when[latest : means.size]] + _SUN_MARGIN
    if not wide.any():
        return None
    at = np.flatnonzero(wide)
    begin, end = latest + int(at[0]), latest + int(at[-1]) + _SUN_DAYS
    return WideRange(begin, end, float(np.nanmean(away[begin:end])))


def _widest_near(means: Array, when: NDArray[np.intp]) -> Array:
    """For each day of the year, the widest mean that began within six weeks of it; NaN if none."""
    widest = np.full(365, np.nan)
    np.fmax.at(widest, when, means)
    around = np.concatenate([widest[-_SUN_NEAR:], widest, widest[:_SUN_NEAR]])
    near = np.lib.stride_tricks.sliding_window_view(around, 2 * _SUN_NEAR + 1)
    return np.asarray(np.fmax.reduce(near, axis=1))


def _means_of(values: Array, days: int) -> Array:
    """Mean of every ``days`` consecutive values; NaN where fewer than two in three are known."""
    known = ~np.isnan(values)
    if values.size < days:
        return np.empty(0)
    totals = np.convolve(np.where(known, values, 0.0), np.ones(days), "valid")
    counts = np.convolve(known.astype(np.float64), np.ones(days), "valid")
    return np.where(counts >= days * 2 / 3, totals / np.maximum(counts, 1.0), np.nan)


@dataclass(frozen=True, slots=True)
class UnitBreak:
    """Day from which readings stand in the other scale, or up to which they do.

    ``later_is`` is the scale the days from ``day`` on appear to be in, when the whole file is
    read in ``read_as``.
    """

    day: int
    later_is: Unit
    jump: float  # of the daily mean. [°C]


def unit_break(readings: Array, read_as: Unit, dates: Days | None = None) -> UnitBreak | None:
    """The first day on which a file changes from one scale to the other.

    Weather does one of these, never all: the readings of ten days before and ten days after do
    not overlap, neither maxima nor minima; reading one side in the other scale takes the jump
    away; and it brings the two sides' daily ranges, 9/5 apart until then, together.

    Parameters
    ----------
    readings : ndarray, shape (2, days)
        All of them read as ``read_as``. [°C]
    read_as : {"F", "C"}
    dates : ndarray of datetime64[D], optional
        Where one side is long enough to know what is usual, the other side must be nearer to
        it, read in the other scale, for two months.
    """
    days = readings.shape[1]
    if days < 2 * _BREAK_DAYS:
        return None
    windows = np.lib.stride_tricks.sliding_window_view(readings, _BREAK_DAYS, axis=1)
    before, after = windows[:, :-_BREAK_DAYS], windows[:, _BREAK_DAYS:]
    lowest, highest = (_of_ten(readings, pick) for pick in (np.minimum, np.maximum))
    # A NaN near a gap compares false: a gap hides the break.
    drops = (lowest[:, :-_BREAK_DAYS] - highest[:, _BREAK_DAYS:]).min(axis=0)
    rises = (lowest[:, _BREAK_DAYS:] - highest[:, :-_BREAK_DAYS]).min(axis=0)
    apart = np.fmax(drops, rises)
    places = [begin + int(np.argmax(apart[begin:end])) for begin, end in runs(apart > 0.0)]
    jumps = np.abs(np.median(after[:, places], axis=2) - np.median(before[:, places], axis=2))
    for at in np.array(places, dtype=np.intp)[jumps.min(axis=0) >= _BREAK_JUMP[read_as]]:
        later_is = _other_scale(before[:, at], after[:, at], read_as)
        if later_is is None:
            continue
        day, jump = at + _BREAK_DAYS, float(after[:, at].mean() - before[:, at].mean())
        if dates is None or _nearer_the_usual(readings, dates, day, later_is, read_as):
            return UnitBreak(day, later_is, jump)
    return None


def _nearer_the_usual(
    readings: Array, dates: Days, day: int, later_is: Unit, read_as: Unit
) -> bool:
    """Whether the shorter side, put into the longer side's scale, is nearer to its usual course."""
    days = dates.astype(np.int64)
    earlier_longer = day >= dates.size - day
    known, other = (slice(0, day), slice(day, day + _BREAK_PROOF))
    if not earlier_longer:
        known, other = slice(day, None), slice(max(day - _BREAK_PROOF, 0), day)
    if np.count_nonzero(~np.isnan(readings[:, known]).any(axis=0)) < A_YEARLY_COURSE:
        return True  # nothing to hold it against
    usual = normals_of(days[known], readings[:, known]).on(days[other])
    # Both sides were read as one scale: undo it where the other side is wrong, do it where the
    # longer side is the wrong one.
    other_is_wrong = earlier_longer == (later_is != read_as)
    undone: Unit = read_as if other_is_wrong else ("C" if read_as == "F" else "F")
    reread = (fahrenheit if undone == "F" else celsius)(readings[:, other])
    away, away_reread = (np.nanmean(np.abs(each - usual)) for each in (readings[:, other], reread))
    return bool(away_reread < away)


def _other_scale(before: Array, after: Array, read_as: Unit) -> Unit | None:
    """The scale of the later side, if reading one side in the other scale mends the jump."""
    # Undo the reading: the number that stood in the file, taken as the other scale.
    reread = fahrenheit if read_as == "F" else celsius
    other: Unit = "C" if read_as == "F" else "F"
    jump, uneven = _apart(before, after)
    for later_is, sides in ((other, (before, reread(after))), (read_as, (reread(before), after))):
        left, uneven_left = _apart(*sides)
        if np.all(left < jump / 2.0) and uneven_left < uneven:
            return later_is
    return None


def _of_ten(readings: Array, pick: np.ufunc) -> Array:
    """Least or most of every ``_BREAK_DAYS`` days running; NaN where one of them is unknown."""
    of = readings
    for reach in (1, 2, 4, 2):  # 1 + 1, + 2, + 4, + 2 days
        of = pick(of[:, :-reach], of[:, reach:])
    return of


def _apart(one: Array, other: Array) -> tuple[Array, float]:
    """How far two stretches lie apart [°C], and how unlike their daily ranges are [log]."""
    ranges = [np.median(side[1] - side[0]) for side in (one, other)]
    with np.errstate(divide="ignore", invalid="ignore"):
        unlike = float(np.abs(np.log(ranges[0] / ranges[1])))
    return np.abs(np.median(other, axis=1) - np.median(one, axis=1)), unlike


def whole_degrees(readings: Array, dates: Days, unit: Unit) -> tuple[Days, Array]:
    """Share of readings that are whole degrees of ``unit``, for each calendar year.

    Returns
    -------
    years : ndarray of datetime64[Y]
    share : ndarray
        0 to 1; NaN for years with fewer than 100 readings.
    """
    years = months_of(dates) // 12
    first = int(years[0]) if years.size else 0
    which, place = np.arange(first, int(years[-1]) + 1 if years.size else 0), years - first
    values = from_celsius(readings, unit)
    # Tenths of °C stand up to 0.09 °F beside the whole °F they were rounded from.
    near = 0.1 if unit == "F" else 1e-6
    whole = (np.abs(values - np.round(values)) <= near).sum(axis=0)
    known = (~np.isnan(values)).sum(axis=0)
    size = np.bincount(place, weights=known, minlength=which.size)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.bincount(place, weights=whole, minlength=which.size) / size
    return which.astype("datetime64[Y]"), np.where(size >= 100, share, np.nan)


def precision_break(readings: Array, dates: Days) -> tuple[int, Unit, bool] | None:
    """First year in which whole degrees stop, or begin.

    Returns
    -------
    day, unit, stops : int, {"F", "C"}, bool
        First day of that year, the scale of the whole degrees, and whether they stop there.
        None where the record keeps one precision.

    Notes
    -----
    Readings rounded in °F, converted and rounded again carry a mean precision of 0.41 °C though
    the file prints tenths (Rhines et al. 2015, QJRMS, seen).
    """
    units: tuple[Unit, ...] = ("F", "C")
    for unit in units:
        years, share = whole_degrees(readings, dates, unit)
        years, share = years[~np.isnan(share)], share[~np.isnan(share)]
        for at in range(1, share.size):
            earlier, later = share[:at].mean(), share[at:].mean()
            stops = bool(earlier > 0.8 and later < 0.5)
            if (stops or (earlier < 0.5 and later > 0.8)) and abs(share[at] - share[at - 1]) > 0.4:
                day = int(np.searchsorted(dates, years[at].astype("datetime64[D]")))
                return day, unit, stops
    return None


def share_of_fives(readings: Array, unit: Unit) -> float:
    """Share of readings that are a multiple of five degrees: a fifth, unless eyes round them."""
    values = from_celsius(readings[~np.isnan(readings)], unit) / 5.0
    return float(np.mean(np.abs(values - np.round(values)) < 0.021)) if values.size else 0.0
