"""The middle of the seasons, pixel by pixel: what a map can show of many of them."""

from __future__ import annotations

from typing import Any

import numpy as np

_YEAR = 365


def middle_season(made: Any, stage: str) -> Any:
    """Day on which half of the seasons have reached a stage.

    Parameters
    ----------
    made : xarray.Dataset
        As `stage_days` gives it.
    stage : str
        One of its stages.

    Returns
    -------
    xarray.DataArray, dimensions of the pixels
        Days from 1 January of the year in which the season begins: +∞ where fewer than half of
        the known seasons reach it, NaN where none is known. [d]

    Examples
    --------
    >>> import xarray as xr
    >>> made = xr.Dataset(
    ...     {"days_from_start": (("season", "stage", "x"), [[[10.0]], [[np.nan]], [[14.0]]]),
    ...      "status": (("season", "stage", "x"), [[[1]], [[2]], [[1]]]),
    ...      "start_date": (("season", "stage"), np.array([["2024-03-01"], ["2025-03-01"],
    ...                                                    ["2026-03-01"]], "datetime64[ns]"))},
    ...     {"season": [2024, 2025, 2026], "stage": ["moths"]})
    >>> middle_season(made, "moths").values
    array([73.])
    """
    import xarray as xr

    one = made.sel(stage=stage)
    starts = one["start_date"]
    since = starts.dt.dayofyear - 1 + _YEAR * (starts.dt.year - one["season"])
    days = (since + one["days_from_start"]).where(one["status"] != 2, np.inf)
    days = days.where(one["status"] != 0)
    middle = xr.apply_ufunc(
        _middle, days, input_core_dims=[["season"]], dask="parallelized",
        output_dtypes=[np.float64], dask_gufunc_kwargs={"allow_rechunk": True},
    )  # fmt: skip
    space = [name for name in one["status"].dims if name != "season"]
    return middle.transpose(*space)


def _middle(days: Any) -> Any:
    """The lower of the two middle ones, so that no date is made of a date and of never."""
    known = np.sort(days, axis=-1)  # unknown ones come last
    count = (~np.isnan(known)).sum(axis=-1)
    at = np.maximum(count - 1, 0) // 2
    return np.take_along_axis(known, at[..., None], axis=-1)[..., 0]
