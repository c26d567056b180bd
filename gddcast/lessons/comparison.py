"""The same days by every method, held against hourly truth where there is one."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import Refusal
from gddcast.heat.cutoffs import Cutoff, horizontal, no_cutoff
from gddcast.heat.daily import degree_days, hourly_degree_days
from gddcast.heat.shapes import SHAPES
from gddcast.heat.thermal_time import day_reached, running_heat
from gddcast.weather.series import DailySeries

Array = NDArray[np.float64]

#: Order of the methods, from the least heat to the most.
ORDER = (
    *("floor the mean", "single triangle", "double triangle"),
    *("single sine", "double sine", "floor the readings"),
)


@dataclass(frozen=True, slots=True)
class MethodRow:
    """One method over the days compared.

    Parameters
    ----------
    method : str
    total : float
        Heat of all compared days. [°C·d]
    against_truth : float or None
        Total less the hourly total. [°C·d]
    typical_miss : float or None
        Mean absolute difference of a single day. [°C·d]
    days_late : float or None
        Days after the truth on which the goal is reached; negative is early, None is never.
    """

    method: str
    total: float
    against_truth: float | None = None
    typical_miss: float | None = None
    days_late: float | None = None


@dataclass(frozen=True, slots=True)
class MethodComparison:
    """Every method over the same days.

    Parameters
    ----------
    first, last : datetime.date
    days : int
        Days that count: both readings known and, where there is an hourly truth, it too.
    left_out : int
        Days between first and last that do not.
    truth : float or None
        Hourly total. [°C·d]
    rows : tuple of MethodRow
    """

    first: dt.date
    last: dt.date
    days: int
    left_out: int
    truth: float | None
    rows: tuple[MethodRow, ...]


def compare_methods(
    series: DailySeries,
    *,
    lower: float,
    upper: float = np.inf,
    cutoff: Cutoff = horizontal,
    hourly: ArrayLike | None = None,
    goal: float | None = None,
) -> MethodComparison:
    """Heat of the same days by every day shape.

    Parameters
    ----------
    series : DailySeries
    lower, upper : float
        Thresholds. [°C]
    cutoff : Cutoff, default: horizontal
        What warmth above ``upper`` does.
    hourly : array_like, shape (days, readings a day), optional
        Readings through each day of the series; a day with a NaN is left out. [°C]
    goal : float, optional
        Sum whose day each method is asked for. Default: half of the hourly total. [°C·d]

    Raises
    ------
    Refusal
        If no day is left to compare.

    Examples
    --------
    >>> week = DailySeries(dt.date(2026, 5, 4), [4.0] * 7, [16.0] * 7)
    >>> [round(row.total, 1) for row in compare_methods(week, lower=10.0).rows]
    [0.0, 10.5, 10.5, 13.4, 13.4, 21.0]
    """
    used = no_cutoff if np.isinf(upper) else cutoff
    by_shape = {
        name: np.asarray(
            degree_days(
                series.tmin,
                series.tmax,
                lower=lower,
                upper=upper,
                shape=SHAPES[name],
                cutoff=used,
            ),
            dtype=np.float64,
        )
        for name in ORDER
    }
    truth = None
    if hourly is not None:
        heat = hourly_degree_days(hourly, lower=lower, upper=upper, cutoff=used)
        truth = np.asarray(heat, dtype=np.float64)
    counted = np.isfinite([*by_shape.values(), *([] if truth is None else [truth])]).all(axis=0)
    if not counted.any():
        raise Refusal(
            series.source, "no day in it can be compared",
            "Each day needs its low and its high, and all its hourly readings where it has any.",
            "Use a file with whole days.", slug="nothing-to-compare",
        )  # fmt: skip
    where = np.flatnonzero(counted)
    rows = tuple(
        _row(name, heat[counted], None if truth is None else truth[counted], goal)
        for name, heat in by_shape.items()
    )
    return MethodComparison(
        first=series.date(where[0]),
        last=series.date(where[-1]),
        days=where.size,
        left_out=int(where[-1] - where[0] + 1 - where.size),
        truth=None if truth is None else float(truth[counted].sum()),
        rows=rows,
    )


def on_days_of(series: DailySeries, table: Array, first: dt.datetime) -> Array:
    """Rows of a table of readings, one a day from ``first`` on, laid on the days of a series.

    Parameters
    ----------
    series : DailySeries
    table : ndarray, shape (days of the table, readings a day)
    first : datetime.datetime
        Any time on the table's first day.

    Returns
    -------
    ndarray, shape (days of the series, readings a day)
        NaN on days the table does not hold.
    """
    laid = np.full((len(series), table.shape[1]), np.nan)
    shift = series.index(first.date())
    source = np.arange(table.shape[0]) + shift
    inside = (source >= 0) & (source < len(series))
    laid[source[inside]] = table[inside]
    return laid


def _row(name: str, heat: Array, truth: Array | None, goal: float | None) -> MethodRow:
    total = float(heat.sum())
    if truth is None:
        return MethodRow(name, total)
    return MethodRow(
        name,
        total,
        against_truth=total - float(truth.sum()),
        typical_miss=float(np.abs(heat - truth).mean()),
        days_late=_days_late(heat, truth, float(truth.sum()) / 2.0 if goal is None else goal),
    )


def _days_late(heat: Array, truth: Array, goal: float) -> float | None:
    if goal <= 0.0 or min(heat.sum(), truth.sum()) < goal:
        return None
    late = day_reached(running_heat(heat), goal) - day_reached(running_heat(truth), goal)
    return float(late)
