"""Degree-days of each day of a grid, in the pieces it is stored in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from gddcast.grid.calendars import days_along
from gddcast.grid.fields import matched
from gddcast.heat import daily
from gddcast.heat.cutoffs import Cutoff, cutoff_named
from gddcast.heat.shapes import Shape, shape_named

if TYPE_CHECKING:
    import xarray as xr


def degree_days(
    tmin: xr.DataArray,
    tmax: xr.DataArray,
    *,
    lower: float,
    upper: float = np.inf,
    shape: Shape | str,
    cutoff: Cutoff | str,
    dim: str = "time",
) -> xr.DataArray:
    """Degree-days of each day, of arrays that say their unit, in pieces (Dask) or not.

    Parameters
    ----------
    tmin, tmax : xarray.DataArray
        Lowest and highest air temperature of consecutive days; K, degC or degF by their ``units``.
    lower, upper : float
        Developmental thresholds. [°C]
    shape, cutoff : Shape and Cutoff, or their names
        Both belong to the thresholds' source, so neither has a default.
    dim : str, default: "time"
        Dimension of the days. The night after one piece's last day is taken from the next piece.

    Returns
    -------
    xarray.DataArray, as ``tmin``
        NaN where a reading is missing or the minimum is above the maximum; in single precision
        where the temperatures are. [K d]

    Raises
    ------
    Refusal
        If a unit or a day is missing, the two do not lie on one grid or are no DataArrays.
    ArgumentRefusal
        If the lower threshold is not below the upper one, or a name is of no method.

    Examples
    --------
    >>> import xarray as xr
    >>> days = xr.date_range("2026-05-01", periods=2)
    >>> low = xr.DataArray([281.15, 284.15], {"time": days}, name="low", attrs={"units": "K"})
    >>> high = (low + 14.0).assign_attrs(units="K")
    >>> degree_days(low, high, lower=10.0, shape="floor the mean", cutoff="none").values
    array([5., 8.])
    """
    import dask.array as da
    import xarray as xr

    shape, cutoff = shape_named(shape), cutoff_named(cutoff)
    daily.in_order(lower, upper)  # now, not when a piece is counted
    fields = matched(tmin, tmax, dim, None, xr)
    days_along(fields.low[dim], dim)
    low, high = fields.low.data, fields.high.data
    # Each day's next night; the record's last day has none and uses its own.
    night = da.concatenate([low[1:], low[-1:]]).rechunk(low.chunks) if shape.halves else low
    heat = da.map_blocks(
        _of_piece, low, high, night, scale=fields.scale, shift=fields.shift, lower=lower,
        upper=upper, shape=shape.name, cutoff=cutoff.name, dtype=low.dtype,
        meta=np.empty((0,) * low.ndim, low.dtype),
    )  # fmt: skip
    made = fields.low.copy(data=heat).transpose(*tmin.dims).rename("degree_days")
    made = made.assign_coords(air_temperature_threshold=lower)
    made["air_temperature_threshold"].attrs = {
        "standard_name": "air_temperature_threshold", "units": "degC",
    }  # fmt: skip
    made.attrs = {
        "standard_name": "integral_of_air_temperature_excess_wrt_time", "units": "K d",
        "cell_methods": f"{dim}: sum", "shape": shape.name, "cutoff": cutoff.name,
        "upper": "none" if np.isinf(upper) else upper,
    }  # fmt: skip
    return made if tmin.chunks is not None else made.compute()


def _of_piece(
    low: NDArray[Any], high: NDArray[Any], night: NDArray[Any], *, scale: float, shift: float,
    lower: float, upper: float, shape: str, cutoff: str,
) -> NDArray[Any]:  # fmt: skip
    """Both halves of each day where its curve has two, each a day of the single curve."""
    kind, single = low.dtype, shape.replace("double", "single")
    low, high, night = (each.astype(np.float64) * scale + shift for each in (low, high, night))

    def of_one_curve(low: NDArray[Any], high: NDArray[Any]) -> NDArray[Any]:
        return np.asarray(daily.degree_days(
            low, high, lower=lower, upper=upper, shape=single, cutoff=cutoff
        ))  # fmt: skip

    heat = of_one_curve(low, high)
    if shape != single:
        heat = (heat + of_one_curve(np.minimum(night, high), np.maximum(night, high))) / 2.0
    return heat.astype(kind)
