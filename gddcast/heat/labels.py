"""What was handed in, the labels of its days, and what would lose them on the way.

Whoever holds a table has imported its library; nothing is imported for those who have not.
"""

from __future__ import annotations

import datetime as dt
import sys
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.weather.calendar_day import DateLike, date_of

_DAY = np.timedelta64(1, "D")


def kind_of(value: object) -> str:
    """``array``, ``pandas`` or ``xarray``; anything whose labels would be lost is refused."""
    pandas, xarray = sys.modules.get("pandas"), sys.modules.get("xarray")
    if pandas is not None and isinstance(value, pandas.Series | pandas.DataFrame):
        return "pandas"
    if xarray is not None and isinstance(value, xarray.DataArray):
        if value.chunks is not None:
            raise _refused(
                value, "it is still in pieces (Dask)",
                "Load it first:  x.load()     Or count it in pieces:  gddcast.grid.degree_days",
            )  # fmt: skip
        return "xarray"
    if hasattr(value, "data_vars"):
        raise _refused(
            value, "it holds several variables", 'Take one of them:  x["tmin"], x["tmax"]'
        )
    if hasattr(value, "dask"):
        raise _refused(value, "it is still in pieces (Dask)", "Compute it first:  x.compute()")
    if hasattr(value, "dims"):
        raise _refused(
            value, "its named dimensions would be lost",
            "Give an xarray.DataArray, or a plain array whose last axis is days:  np.asarray(x)",
        )  # fmt: skip
    if hasattr(value, "columns"):
        raise _refused(
            value, "its columns would be taken for days",
            "Give a pandas.DataFrame with days as its index:  x.to_pandas()",
        )  # fmt: skip
    return "array"


def _refused(value: object, problem: str, cure: str) -> ArgumentRefusal:
    kind = type(value)
    return ArgumentRefusal(
        f"this {kind.__module__.split('.')[0]} {kind.__name__}", problem,
        "Arrays, masked arrays, pandas Series and DataFrames and xarray DataArrays in memory work.",
        f"{cure}.", slug="kind-unsupported",
    )  # fmt: skip


def unmasked(value: Any) -> Any:
    """The same array with NaN in place of what is masked."""
    if not isinstance(value, np.ma.MaskedArray):
        return value
    kind = value.dtype if np.issubdtype(value.dtype, np.floating) else np.dtype(np.float64)
    filled: NDArray[Any] = np.ma.filled(value.astype(kind), np.nan)
    return filled


def labels_of(value: Any, dim: str) -> NDArray[Any]:
    """The days' labels, one a day: dates wherever they are dates, else whatever they are."""
    if kind_of(value) == "xarray":
        return coordinate(value, dim)
    index = value.index.to_timestamp() if hasattr(value.index, "to_timestamp") else value.index
    if getattr(index, "tz", None) is not None:
        index = index.tz_localize(None)
    labels = np.asarray(index)
    is_date = labels.dtype == object and labels.size and isinstance(labels[0], dt.date)
    return labels.astype("datetime64[D]") if is_date else labels


def is_dated(labels: NDArray[Any]) -> bool:
    """Whether days are labelled with dates."""
    return labels.dtype.kind == "M" and labels.size > 0


def consecutive(labels: NDArray[Any], cure: str = "x.asfreq('D')") -> None:
    """Refuse labelled days that do not follow one another: a hole would count as no heat."""
    if labels.dtype.kind not in "MO" or labels.size < 2:
        return
    if labels.dtype.kind == "M":
        labels = labels.astype("datetime64[D]")
    one_day = _DAY if labels.dtype.kind == "M" else dt.timedelta(days=1)
    holes = np.flatnonzero(np.diff(labels) != one_day)
    if holes.size:
        at = int(holes[0])
        raise ArgumentRefusal(
            "these days", f"{labels[at]} is followed by {labels[at + 1]}",
            "Each day follows the one before; a day left out would count as a day without heat.",
            f"Sort them, and put missing days in as unknown ones:  {cure}.",
            slug="days-not-consecutive",
        )  # fmt: skip


def first_counted(start: int | DateLike, labels: NDArray[Any]) -> int:
    """Position of the first day counted."""
    if isinstance(start, int | np.integer):
        at = int(start)
    elif not is_dated(labels):
        raise ArgumentRefusal(
            f"the start {start}", "these days have no dates",
            "A date can be found only where days are labelled with dates.",
            "Give the index of the first day counted:  start=59.", slug="start-unknown",
        )  # fmt: skip
    else:
        first = labels[0].astype("datetime64[D]")
        at = int((np.datetime64(date_of(start), "D") - first) / _DAY)
    if at < 0:
        raise ArgumentRefusal(
            f"the start {start}", "it lies before the first day on record",
            "A sum that lacks its first days would come out too small.",
            "Give a start inside the record, or the days before it as unknown ones.",
            slug="start-unknown",
        )  # fmt: skip
    return at


def slots_of_days(stamps: NDArray[Any]) -> tuple[NDArray[np.datetime64], NDArray[np.int64], int]:
    """The days of stamped readings, the place of each reading among them, and readings a day."""
    if not is_dated(stamps) or stamps.size < 2:
        raise ArgumentRefusal(
            "these readings", "they have no stamps",
            "Readings are laid on days by the time they were taken.",
            "Give them a DatetimeIndex, or an array of shape (days, readings a day).",
            slug="stamps-missing",
        )  # fmt: skip
    stamps = stamps.astype("datetime64[s]")
    first = stamps[0].astype("datetime64[D]")
    since = (stamps - first).astype(np.int64)
    step = int(np.diff(since).min())
    a_day = 24 * 60 * 60
    if step <= 0 or a_day % step or ((since - since[0]) % step).any():
        raise ArgumentRefusal(
            "these readings", "they are not spaced evenly, or a stamp stands twice",
            "A day is the mean of readings spaced evenly through it; stamps are in standard time.",
            "Sort them and bring them to full hours:  x.resample('1h').mean().",
            slug="readings-uneven",
        )  # fmt: skip
    days = first + np.arange(int(since[-1]) // a_day + 1) * _DAY
    return days.astype("datetime64[ns]"), since // step, a_day // step


def of_one_kind(kinds: set[str], *values: object) -> None:
    """Refuse values of several kinds, whose labels can't be held against each other."""
    if len(kinds) > 1:
        names = " and ".join(type(value).__name__ for value in values)
        raise ArgumentRefusal(
            "what was given", f"it is {names}",
            "Labels can be matched only between values of one kind.",
            "Give temperatures and thresholds as the same kind.", slug="kinds-mixed",
        )  # fmt: skip


def coordinate(array: Any, dim: str) -> NDArray[Any]:
    """Labels along the dimension on which a DataArray's days run."""
    if dim not in array.dims:
        raise ArgumentRefusal(
            "this DataArray", f"it has no dimension {dim}",
            f"Its dimensions are {', '.join(map(str, array.dims))}.",
            'Name the one along which days run:  dim="day".', slug="dimension-missing",
        )  # fmt: skip
    return np.asarray(array[dim].values)
