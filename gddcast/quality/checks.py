"""Readings that cannot be true: one small function a check, each with its source.

Readings are one array of shape (2, days): row 0 the minima, row 1 the maxima, in °C, NaN where
unknown. A check returns a mask of the same shape, True where a reading fails; a NaN never fails.
Checks run in the order of ``in_order`` and each sees only readings that passed those before it,
so that one absurd value does not condemn its neighbours (Durre et al. 2010).

References
----------
Durre, I., Menne, M. J., Gleason, B. E., Houston, T. G. and Vose, R. S. (2010). Comprehensive
automated quality assurance of daily surface observations. J. Appl. Meteorol. Climatol. 49,
1615-1633 (abstract seen; the limits of spike, lagged range and outlier are from memory).
Lanzante, J. R. (1996). Resistant, robust and non-parametric techniques for the analysis of
climate data. Int. J. Climatol. 16, 1197-1226 (biweight mean and spread; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from gddcast.limits import COLDEST_GARDEN, HOTTEST_GARDEN
from gddcast.units import Unit

Array = NDArray[np.float64]
Days = NDArray[np.datetime64]
Mask = NDArray[np.bool_]

#: What a blank becomes when somebody fills it: nought in the file's own scale. A °C file may have
#: been °F once; in a °F file two readings of 32 are an icy day. [°C]
NOUGHTS: dict[Unit, tuple[float, ...]] = {"C": (0.0, -160.0 / 9.0), "F": (-160.0 / 9.0,)}
#: Jump from both neighbouring days that no weather makes. [°C]
SPIKE = 25.0
#: Distance between a day's reading and the other reading of the days around it. [°C]
LAGGED_RANGE = 40.0
#: Empty stretch between a reading and all others of its calendar month. [°C]
MONTH_GAP = 10.0
#: Robust spreads from what is usual on a calendar day.
OUTLYING = 6.0
#: Readings a calendar day or month must have before anything is called unusual for it.
ENOUGH_READINGS = 100
#: Days of the year whose readings together say what is usual on the middle one.
WINDOW = 15
# Readings whose biweight is worked out at once.
_AT_ONCE = 24576


@dataclass(frozen=True, slots=True)
class Check:
    """A check, and what to say of a reading that fails it.

    ``reason`` may hold ``{limit}``, the size of the limit in the reader's scale.
    """

    rule: str
    find: Callable[[Array, Days], Mask]
    reason: str
    limit: float = 0.0
    #: Which of the readings that fail weather can explain: they are noted and kept.
    explained: Callable[[Array, Days, Mask], Mask] | None = None


def bounds(readings: Array, dates: Days) -> Mask:  # noqa: ARG001
    """Readings colder or hotter than open air has been where anybody gardens.

    Examples
    --------
    >>> bounds(np.array([[-5.0, -70.0], [68.3, np.nan]]), np.empty(2)).tolist()
    [[False, True], [True, False]]
    """
    return np.asarray((readings < COLDEST_GARDEN) | (readings > HOTTEST_GARDEN))


def swapped(readings: Array, dates: Days) -> Mask:  # noqa: ARG001
    """Days whose maximum lies below their minimum. Both readings fail: which is wrong?"""
    return _both(readings[1] < readings[0])


def naught(readings: Array, dates: Days, unit: Unit = "C") -> Mask:  # noqa: ARG001
    """Days whose readings are both exactly nought, in the scale of the file."""
    blank = np.zeros(readings.shape[1], dtype=bool)
    for nought in NOUGHTS[unit]:
        blank |= np.all(np.isclose(readings, nought, rtol=0, atol=1e-6), axis=0)
    return _both(blank)


def spike(readings: Array, dates: Days) -> Mask:  # noqa: ARG001
    """Readings far above both neighbouring days, or far below both."""
    found = np.zeros(readings.shape, dtype=bool)
    before, here, after = readings[:, :-2], readings[:, 1:-1], readings[:, 2:]
    above = here - np.maximum(before, after) >= SPIKE
    below = np.minimum(before, after) - here >= SPIKE
    found[:, 1:-1] = above | below
    return found


def lagged_range(readings: Array, dates: Days) -> Mask:  # noqa: ARG001
    """Maxima far above the warmest minimum of three days, minima far below the coldest maximum."""
    low, high = readings
    found = np.zeros(readings.shape, dtype=bool)
    found[0] = _of_three_days(high, np.fmin) - low >= LAGGED_RANGE
    found[1] = high - _of_three_days(low, np.fmax) >= LAGGED_RANGE
    # A day may hold both: only the reading further from its own neighbours is to blame.
    both = found[0] & found[1]
    blame_high = _from_neighbours(high) >= _from_neighbours(low)
    found[0] &= ~(both & blame_high)
    found[1] &= ~(both & ~blame_high)
    return found


def month_gap(readings: Array, dates: Days) -> Mask:
    """Readings with nothing but empty scale between them and all others of their month."""
    months = months_of(dates) % 12
    by_month = np.argsort(months, kind="stable")
    begins = np.searchsorted(months[by_month], np.arange(13))
    held = np.diff(begins)
    # A row a month: most have no such stretch, and one look at all of them says so.
    table = np.full((2, 12, int(held.max(initial=0))), np.nan)
    table[:, months[by_month], np.arange(months.size) - np.repeat(begins[:-1], held)] = readings[
        :, by_month
    ]
    found = np.zeros(readings.shape, dtype=bool)
    apart = (np.diff(np.sort(table)) >= MONTH_GAP).any(axis=2)
    for row, month in zip(*np.nonzero(apart), strict=True):
        days = by_month[begins[month] : begins[month + 1]]
        found[row, days] = _beyond_a_gap(readings[row, days])
    return found


def outlier(readings: Array, dates: Days) -> Mask:
    """Readings six or more robust spreads from the usual of fifteen calendar days."""
    with np.errstate(invalid="ignore"):
        return np.asarray(np.abs(departures(readings, dates)) >= OUTLYING)


def departures(readings: Array, dates: Days, asked: Mask | None = None) -> Array:
    """Robust spreads by which each reading departs from the usual of fifteen calendar days.

    NaN where too few readings say what is usual, or they are all alike.

    Parameters
    ----------
    readings : ndarray, shape (2, days)
    dates : ndarray of datetime64[D]
    asked : ndarray of bool, shape (days,), optional
        Days wanted; what is usual on other calendar days need not be worked out.
    """
    days = day_of_year(dates)
    years = months_of(dates) // 12
    years -= years[0] if years.size else 0
    found = np.full(readings.shape, np.nan)
    if not years.size:
        return found
    places = np.arange(365) if asked is None else np.unique(days[asked])
    for row, values in enumerate(readings):
        usual, spread = _usual_and_spread(values, years, days, places)
        with np.errstate(invalid="ignore", divide="ignore"):
            found[row] = (values - usual[days]) / np.where(spread > 0.0, spread, np.nan)[days]
    return found


def towards_the_other(readings: Array, dates: Days, failed: Mask) -> Mask:
    """Cold maxima and warm minima: a day of rain stays cool, a night under cloud warm.

    Such a reading goes no further than its day's other one, whatever the climate; a fault that
    does is found as swapped. Hyderabad, 24 March 2008: a maximum of 22.4 °C in the hot season,
    beside a minimum of 20.0 °C and 78 mm of rain.
    """
    months = months_of(dates) % 12
    found = np.zeros(readings.shape, dtype=bool)
    for row, day in zip(*np.nonzero(failed), strict=True):
        usual = float(np.nanmedian(readings[row, months == months[day]]))
        found[row, day] = (readings[row, day] < usual) == bool(row)
    return found


def borne_out(readings: Array, dates: Days, failed: Mask) -> Mask:
    """Outliers towards the other reading, or beside a day that departs the same way by half."""
    found = towards_the_other(readings, dates, failed)
    asked = np.pad(failed[0] | failed[1], 1)
    away = departures(readings, dates, asked[:-2] | asked[1:-1] | asked[2:])
    padded = np.pad(away, ((0, 0), (1, 1)), constant_values=np.nan)
    same = [np.sign(away) * beside for beside in (padded[:, :-2], padded[:, 2:])]
    with np.errstate(invalid="ignore"):
        return np.asarray(found | (failed & (np.fmax(*same) >= OUTLYING / 2.0)))


def in_order(unit: Unit = "C") -> tuple[Check, ...]:
    """Every check of single readings, in the order they run, for a file in ``unit``."""
    return (
        Check("bounds", bounds, "no open air has ever been like that"),
        Check(
            "naught",
            partial(naught, unit=unit),
            "both readings are exactly nought, as a blank that somebody filled",
        ),
        Check("swapped", swapped, "the maximum lies below the minimum"),
        Check("spike", spike, "{limit} or more away from the day before and the day after", SPIKE),
        Check(
            "lagged-range",
            lagged_range,
            "{limit} or more between it and the other reading of the days around it",
            LAGGED_RANGE,
        ),
        Check(
            "month-gap",
            month_gap,
            "{limit} or more away from every other reading of that month on file",
            MONTH_GAP,
            towards_the_other,
        ),
        Check(
            "outlier",
            outlier,
            "six or more spreads away from what is usual at that time of the year",
            explained=borne_out,
        ),
    )


def _both(days: Mask) -> Mask:
    return np.broadcast_to(days, (2, days.size)).copy()


def _of_three_days(values: Array, pick: np.ufunc) -> Array:
    """Warmest or coldest of the day before, the day and the day after, as far as known."""
    best = values.copy()
    best[1:] = pick(best[1:], values[:-1])
    best[:-1] = pick(best[:-1], values[1:])
    return best


def _from_neighbours(values: Array) -> Array:
    padded = np.concatenate(([np.nan], values, [np.nan]))
    distances = np.abs(np.stack([values - padded[:-2], values - padded[2:]]))
    return np.asarray(np.fmax(distances[0], distances[1]))


def _beyond_a_gap(values: Array) -> Mask:
    known = values.size - int(np.count_nonzero(np.isnan(values)))
    found = np.zeros(values.size, dtype=bool)
    if known < ENOUGH_READINGS:
        return found
    empty = np.flatnonzero(np.diff(np.sort(values)[:known]) >= MONTH_GAP)  # NaN sorts last
    if not empty.size:
        return found
    order = np.argsort(values, kind="stable")
    middle = known // 2
    above, below = empty[empty >= middle], empty[empty < middle]
    if above.size:
        found[order[above[0] + 1 : known]] = True
    if below.size:
        found[order[: below[-1] + 1]] = True
    return found


def day_of_year(dates: Days) -> NDArray[np.intp]:
    """0 to 364; 29 February shares a place with 1 March, every later day keeps its own."""
    begins, year = _periods(dates, "Y")
    days = dates.astype(np.intp) - begins[year]
    leap = np.diff(begins)[year] == 366
    return np.asarray(days - (leap & (days > 59)), dtype=np.intp)


def months_of(dates: Days) -> NDArray[np.intp]:
    """Months since January 1970."""
    begins, month = _periods(dates, "M")
    first = int(dates.min().astype("datetime64[M]").astype(int)) if begins.size else 0
    return np.asarray(month + first, dtype=np.intp)


def _periods(dates: Days, period: str) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Days since 1970 on which years or months begin, one more than are held; each day's place.

    Looking days up among the few beginnings takes a tenth of converting each of them.
    """
    if not dates.size:
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    first, last = (each.astype(f"datetime64[{period}]") for each in (dates.min(), dates.max()))
    begins = np.arange(first, last + 2).astype("datetime64[D]").astype(np.intp)
    place = np.searchsorted(begins, dates.astype(np.intp), side="right") - 1
    return begins, np.asarray(place, dtype=np.intp)


def _usual_and_spread(
    values: Array, years: NDArray[np.intp], days: NDArray[np.intp], places: NDArray[np.intp]
) -> tuple[Array, Array]:
    """Biweight mean and spread of calendar days; NaN on others, and where too few readings stand.

    Only those of ``places`` are worked out.
    """
    table = np.full((int(years[-1]) + 1, 365), np.nan)
    table[years, days] = values
    half = WINDOW // 2
    wide = np.concatenate([table[:, -half:], table, table[:, :half]], axis=1)
    windows = np.lib.stride_tricks.sliding_window_view(wide, WINDOW, axis=1).transpose(1, 0, 2)
    usual, spread = np.full(365, np.nan), np.full(365, np.nan)
    # As many calendar days at once as the nearest memory of a processor holds.
    at_once = max(_AT_ONCE // windows[0].size, 1)
    for begin in range(0, places.size, at_once):
        part = places[begin : begin + at_once]
        whole = part[-1] - part[0] + 1 == part.size
        pooled = windows[part[0] : part[-1] + 1] if whole else windows[part]
        usual[part], spread[part] = biweight(pooled.reshape(part.size, -1))
    return usual, spread


def biweight(values: Array) -> tuple[Array, Array]:
    """Mean and spread that a few wild values cannot move.

    Parameters
    ----------
    values : ndarray, shape (groups, values)
        NaN where unknown. [any unit]

    Returns
    -------
    mean, spread : ndarray, shape (groups,)
        NaN for a group of fewer than ``ENOUGH_READINGS`` values. [that unit]

    Notes
    -----
    With M the median, u = (x − M)/(7.5·MAD) and only |u| < 1 counted, the mean is
    M + Σ(x − M)(1 − u²)² / Σ(1 − u²)² and the spread
    √(n Σ(x − M)²(1 − u²)⁴) / |Σ(1 − u²)(1 − 5u²)| (Lanzante 1996, from memory).
    """
    count = np.count_nonzero(~np.isnan(values), axis=1)
    enough = count >= ENOUGH_READINGS
    mean, spread = np.full(len(values), np.nan), np.full(len(values), np.nan)
    if not enough.any():
        return mean, spread
    if not enough.all():
        values, count = values[enough], count[enough]
    middle = _median(values, count)
    away = values - middle[:, None]
    typical = _median(np.abs(away), count)[:, None]
    # Half the readings alike leave no spread to measure with: such a day condemns nothing.
    u2 = (away / np.where(typical > 0.0, 7.5 * typical, np.nan)) ** 2
    outside = ~(u2 < 1.0)  # unknown ones too: they weigh nothing
    np.copyto(u2, 1.0, where=outside)
    np.copyto(away, 0.0, where=outside)
    weight = 1.0 - u2
    squared = weight * weight
    total = squared.sum(axis=1)
    slope = np.abs((weight * (1.0 - 5.0 * u2)).sum(axis=1))
    away *= squared
    with np.errstate(divide="ignore", invalid="ignore"):
        mean[enough] = middle + away.sum(axis=1) / total
        spread[enough] = np.sqrt(count * (away**2).sum(axis=1)) / slope
    return mean, spread


def _median(values: Array, count: NDArray[np.intp]) -> Array:
    """Of each row with so many known values; sorting them all is quicker than parting them."""
    ordered, row = np.sort(values), np.arange(len(values))  # NaN sorts last
    return np.asarray((ordered[row, (count - 1) // 2] + ordered[row, count // 2]) / 2.0)
