"""The calculators for people whose days stand in pandas, xarray or masked arrays.

A thin layer above the arithmetic, which knows arrays only and keeps days on the last axis. In
pandas days are the index and each column is a station; in xarray they are a named dimension; the
result comes back as what went in, with its labels, and its ``attrs`` say how it was counted. A
masked day is an unknown day: it comes back as NaN, in a plain array. What carries names or
pieces that would be lost on the way is refused, never guessed at.
"""

from __future__ import annotations

import sys
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.heat import daily, thermal_time
from gddcast.heat.cutoffs import Cutoff, cutoff_named, horizontal
from gddcast.heat.dimensions import over_days, same_units
from gddcast.heat.labels import (
    consecutive,
    first_counted,
    is_dated,
    kind_of,
    labels_of,
    of_one_kind,
    slots_of_days,
    unmasked,
)
from gddcast.heat.shapes import Shape, shape_named, single_sine
from gddcast.weather.calendar_day import DateLike


def degree_days(
    tmin: Any,
    tmax: Any,
    *,
    lower: Any,
    upper: Any = np.inf,
    shape: Shape | str = single_sine,
    cutoff: Cutoff | str = horizontal,
    dim: str = "time",
) -> Any:
    """Degree-days of each day; pandas in gives pandas out, xarray in gives xarray out.

    Parameters
    ----------
    tmin, tmax : array_like, pandas.Series or DataFrame, xarray.DataArray
        Lowest and highest air temperature of the day. Days are the last axis of an array, the
        index of a table, the dimension ``dim`` of a DataArray; labelled days are matched by
        label. [°C, or °F if the thresholds are]
    lower, upper : float, array_like, pandas.Series or xarray.DataArray
        Developmental thresholds, on the scale of the temperatures; for a table one number, or a
        Series with one a column. [°C or °F]
    shape : Shape or str, default: single_sine
        How the day's temperature is spread between its extremes.
    cutoff : Cutoff or str, default: horizontal
        What warmth above ``upper`` does.
    dim : str, default: "time"
        Dimension of a DataArray along which its days run.

    Returns
    -------
    as the temperatures
        Heat units of each day, as in :func:`gddcast.heat.daily.degree_days`; masked days are NaN.
        ``attrs["counted"]`` of pandas and ``attrs`` of xarray say thresholds, shape and cut-off.

    Raises
    ------
    ArgumentRefusal
        If thresholds are crossed, a name is of no method, the two temperatures are of different
        kinds or units, or they are of a kind that would lose its labels.

    Examples
    --------
    >>> import pandas as pd
    >>> days = pd.date_range("2026-05-01", periods=2)
    >>> low, high = pd.Series([46.0, 60.0], days), pd.Series([72.0, 85.0], days)
    >>> degree_days(low, high, lower=50).round(1).tolist()
    [9.7, 22.5]
    """
    shape, cutoff = shape_named(shape), cutoff_named(cutoff)
    counted = {
        "lower": _plain_level(lower), "upper": _plain_level(upper),
        "shape": shape.name, "cutoff": cutoff.name,
    }  # fmt: skip

    def count(tmin: Any, tmax: Any, lower: Any, upper: Any) -> Any:
        return daily.degree_days(tmin, tmax, lower=lower, upper=upper, shape=shape, cutoff=cutoff)

    kinds = {kind_of(value) for value in (tmin, tmax)}
    if "xarray" in kinds:
        of_one_kind(kinds, tmin, tmax)
        of_one_kind(
            kinds | {kind_of(level) for level in (lower, upper) if np.ndim(level)}, lower, upper
        )
        units = same_units(tmin, tmax)
        for each in (tmin, tmax):
            labels = labels_of(each, dim)
            if shape.halves:
                consecutive(labels, f"x.resample({dim}='1D').asfreq()")
        return over_days(count, [tmin, tmax, lower, upper], dim, counted, units)
    if "pandas" not in kinds:
        of_one_kind({"array", kind_of(lower), kind_of(upper)}, lower, upper)
        return count(*(unmasked(value) for value in (tmin, tmax, lower, upper)))
    low, high, like = _aligned(tmin, tmax)
    if shape.halves:
        consecutive(labels_of(like, dim))
    levels = (_level_by_column(level, like) for level in (lower, upper))
    heat = count(_days_last(low), _days_last(high), *levels)
    return _dressed(heat, like, counted)


def running_heat(daily: Any, start: int | DateLike = 0, *, dim: str = "time") -> Any:
    """Heat accumulated by the end of each day, station by station.

    Parameters
    ----------
    daily : array_like, pandas.Series or DataFrame, xarray.DataArray
        Degree-days of each day, days as in `degree_days`. Labelled days must follow one another:
        a row left out would count as no heat.
    start : int or date, default: 0
        Index, or where days are labelled also the date, of the first day counted; the sum is 0
        before it.
    dim : str, default: "time"
        Dimension of a DataArray along which its days run.

    Returns
    -------
    as ``daily``
        Sum through each day; NaN from the first unknown day counted. Units and ``attrs`` are
        kept, ``start`` is added.

    Examples
    --------
    >>> running_heat([5.0, 4.0, np.nan, 3.0], start=1)
    array([ 0.,  4., nan, nan])
    >>> import pandas as pd
    >>> stations = pd.DataFrame({"a": [5.0, 4.0], "b": [1.0, 2.0]},
    ...                         index=pd.date_range("2026-05-01", periods=2))
    >>> running_heat(stations)["b"].tolist()
    [1.0, 3.0]
    """
    kind = kind_of(daily)
    if kind == "array":
        return thermal_time.running_heat(unmasked(daily), first_counted(start, np.empty(0)))
    labels = labels_of(daily, dim)
    consecutive(labels)
    first = first_counted(start, labels)
    label = str(labels[0].astype("datetime64[D]") + first) if is_dated(labels) else first
    if kind == "xarray":
        kept = {**daily.attrs, "start": label}
        units = kept.pop("units", None)
        return over_days(
            lambda heat: thermal_time.running_heat(heat, first), [daily], dim, kept, units, of=""
        )
    total = _dressed(thermal_time.running_heat(_days_last(daily), first), daily, {})
    total.attrs = {**daily.attrs, "counted": {**daily.attrs.get("counted", {}), "start": label}}
    return total


def day_reached(heat: Any, goals: ArrayLike, *, dim: str = "time") -> Any:
    """Time at which a running sum first reaches each goal, station by station.

    Parameters
    ----------
    heat : array_like, pandas.Series or DataFrame, xarray.DataArray
        Running sum at the end of each day, never falling, days as in `degree_days`.
    goals : array_like, shape (goals,) or scalar
        Heat wanted, in the unit of the sum.
    dim : str, default: "time"
        Dimension of a DataArray along which its days run.

    Returns
    -------
    float, ndarray, pandas.Series or DataFrame, xarray.DataArray
        Time from the start of the first day, as in :func:`gddcast.heat.thermal_time.day_reached`:
        +∞ where the sum is never reached, NaN where a missing day hides the answer. One a
        station for a scalar goal; several goals are the columns of a table (the index of a
        Series) and the dimension ``goal`` of a DataArray. [d]

    Examples
    --------
    >>> day_reached([4.0, 10.0, 10.0, 16.0], [7.0, 10.0, 99.0])
    array([1.5, 2. , inf])
    >>> import pandas as pd
    >>> sums = pd.DataFrame({"a": [5.0, 9.0], "b": [1.0, 3.0]},
    ...                     index=pd.date_range("2026-05-01", periods=2))
    >>> day_reached(sums, 7.0).round(2).to_dict()
    {'a': 1.5, 'b': inf}
    """
    kind = kind_of(heat)
    if kind == "array":
        return thermal_time.day_reached(unmasked(heat), unmasked(goals))
    goals = np.asarray(goals, dtype=np.float64)
    labels = labels_of(heat, dim)
    consecutive(labels)
    since = {"since": str(labels[0].astype("datetime64[D]"))} if is_dated(labels) else {}
    if kind == "xarray":
        kept = {name: value for name, value in heat.attrs.items() if name != "units"}
        return over_days(
            lambda heat: thermal_time.day_reached(heat, goals), [heat], dim,
            {**kept, **since}, "d", of="", to=["goal"] if goals.ndim else [], goals=goals,
        )  # fmt: skip
    times = thermal_time.day_reached(_days_last(heat), goals)
    if np.ndim(times) == 0:
        return float(times)
    pandas = sys.modules["pandas"]
    if times.ndim == 2:
        result = pandas.DataFrame(
            times, index=heat.columns, columns=pandas.Index(goals, name="goal")
        )
    elif heat.ndim == 2:
        result = pandas.Series(times, index=heat.columns)
    else:
        result = pandas.Series(times, index=pandas.Index(goals, name="goal"), name=heat.name)
    result.attrs = {**heat.attrs, **since}
    return result


def hourly_degree_days(
    temperatures: Any,
    *,
    lower: float,
    upper: float = np.inf,
    cutoff: Cutoff | str = horizontal,
    dim: str = "time",
) -> Any:
    """Degree-days of each day from readings spaced evenly through it.

    Parameters
    ----------
    temperatures : array_like, shape (..., days, readings a day); or pandas, xarray
        Air temperature. Labelled readings stand one below the other with their stamps as the
        index of a table or the coordinate ``dim``, in standard time without a zone; a stamp left
        out is an unknown reading. [°C, or °F if the thresholds are]
    lower, upper : float
        Developmental thresholds. [°C or °F]
    cutoff : Cutoff or str, default: horizontal
        What warmth above ``upper`` does.
    dim : str, default: "time"
        Dimension of a DataArray along which its readings run.

    Returns
    -------
    ndarray, shape (..., days), or pandas or xarray with one row a day
        Heat units of each day; NaN where any reading of the day is missing or masked.

    Examples
    --------
    >>> float(hourly_degree_days([10.0, 14.0, 18.0, 14.0], lower=12.0))
    2.5
    >>> import pandas as pd
    >>> stamps = pd.date_range("2026-05-01", periods=8, freq="6h")
    >>> hourly_degree_days(pd.Series([10.0, 14, 18, 14, 12, 16, 20, 16], stamps), lower=12).tolist()
    [2.5, 4.0]
    """
    cutoff = cutoff_named(cutoff)
    counted = {
        "lower": float(lower), "upper": float(upper), "shape": "hourly", "cutoff": cutoff.name,
    }  # fmt: skip

    def count(table: Any) -> Any:
        return daily.hourly_degree_days(table, lower=lower, upper=upper, cutoff=cutoff)

    kind = kind_of(temperatures)
    if kind == "array":
        return count(unmasked(temperatures))
    days, slots, per_day = slots_of_days(labels_of(temperatures, dim))

    def by_day(readings: NDArray[Any]) -> Any:
        whole = np.full((*readings.shape[:-1], days.size * per_day), np.nan)
        whole[..., slots] = readings
        return count(whole.reshape(*readings.shape[:-1], days.size, per_day))

    if kind == "xarray":
        units = temperatures.attrs.get("units")
        # A step of its own, since the days are fewer than the readings they are made of.
        result = over_days(by_day, [temperatures], dim, counted, units, to=["day"])
        return result.rename(day=dim).assign_coords({dim: days}).transpose(*temperatures.dims)
    pandas = sys.modules["pandas"]
    index = pandas.DatetimeIndex(days, name=temperatures.index.name)
    like = temperatures.iloc[:0].reindex(index)
    return _dressed(by_day(_days_last(temperatures)), like, counted)


def _aligned(tmin: Any, tmax: Any) -> tuple[Any, Any, Any]:
    """Minima and maxima on the same days and columns, and the one that bears the labels."""
    kinds = {kind_of(tmin), kind_of(tmax)}
    if kinds == {"pandas"}:
        of_one_kind({type(tmin).__name__, type(tmax).__name__}, tmin, tmax)
        low, high = tmin.align(tmax)
        return low, high, low
    like, other = (tmin, tmax) if kind_of(tmin) == "pandas" else (tmax, tmin)
    if np.ndim(other) and np.shape(other) != like.shape:
        raise ArgumentRefusal(
            "these temperatures", f"one has shape {like.shape}, the other {np.shape(other)}",
            "Days without labels can be matched only in a table of the same shape.",
            "Give both as pandas.", slug="kinds-mixed",
        )  # fmt: skip
    return tmin, tmax, like


def _days_last(table: Any) -> NDArray[Any]:
    """The numbers with days on the last axis; nullable columns' gaps are NaN."""
    values = table.to_numpy(na_value=np.nan) if kind_of(table) == "pandas" else unmasked(table)
    values = np.asarray(values)
    if not np.issubdtype(values.dtype, np.floating):
        values = values.astype(np.float64)
    return values.T


def _plain_level(level: Any) -> Any:
    """A threshold as ``attrs`` can keep and compare it."""
    values = np.asarray(level, dtype=np.float64)
    return float(values) if values.ndim == 0 else values.tolist()


def _level_by_column(level: Any, like: Any) -> Any:
    if np.ndim(level) == 0:
        return level
    if kind_of(level) == "pandas" and level.ndim == 1 and like.ndim == 2:
        return level.reindex(like.columns).to_numpy(dtype=np.float64)[:, None]
    raise ArgumentRefusal(
        "these thresholds", f"they have shape {np.shape(level)}",
        "Beside a table a threshold is one number, or a Series with one a column.",
        "Give  pd.Series({'station': 10.0, …}).", slug="thresholds-unlabelled",
    )  # fmt: skip


def _dressed(values: Any, like: Any, counted: dict[str, Any]) -> Any:
    labels = {"index": like.index} | (
        {"columns": like.columns} if like.ndim == 2 else {"name": like.name}
    )
    result = type(like)(np.asarray(values).T, **labels)
    result.attrs["counted"] = counted
    return result
