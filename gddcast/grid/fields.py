"""What a dataset must say of its temperatures: which they are, their unit, where north lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from gddcast.errors import Refusal
from gddcast.limits import COLDEST_AIR, HOTTEST_AIR

if TYPE_CHECKING:
    import xarray as xr

#: °C are scale × what is stored + shift, by the names UDUNITS and its users give a unit.
_SCALES: dict[str, tuple[float, float]] = {
    **dict.fromkeys(("k", "kelvin", "degree_kelvin", "degrees_kelvin", "degk"), (1.0, -273.15)),
    **dict.fromkeys(
        ("c", "°c", "celsius", "degc", "deg_c", "degree_c", "degrees_c", "degree_celsius",
         "degrees_celsius"), (1.0, 0.0),
    ),
    **dict.fromkeys(
        ("f", "°f", "fahrenheit", "degf", "deg_f", "degree_f", "degrees_f", "degree_fahrenheit",
         "degrees_fahrenheit"), (5.0 / 9.0, -160.0 / 9.0),
    ),
}  # fmt: skip
_NORTH = {
    f"{degrees}{north}" for degrees in ("degree", "degrees") for north in ("_north", "_n", "n")
}
_EAST = {f"{degrees}{east}" for degrees in ("degree", "degrees") for east in ("_east", "_e", "e")}


@dataclass(frozen=True, slots=True, eq=False)
class Temperatures:
    """Minima and maxima of a grid, days first, in pieces, and the way to °C.

    Parameters
    ----------
    low, high : xarray.DataArray
        Same labels, dimensions and pieces; the days' dimension comes first.
    scale, shift : float
        °C are ``scale`` × what is stored + ``shift``.
    means_only : bool
        Whether both are the mean of the day.
    """

    low: xr.DataArray
    high: xr.DataArray
    scale: float
    shift: float
    means_only: bool


def scale_of(units: str) -> tuple[float, float]:
    """The scale and shift that make °C of a unit, by its name.

    Raises
    ------
    Refusal
        If it is no unit of temperature.

    Examples
    --------
    >>> scale_of("K"), scale_of("degrees_Celsius")
    ((1.0, -273.15), (1.0, 0.0))
    """
    if (known := _SCALES.get(units.strip().lower().replace(" ", "_"))) is None:
        raise Refusal(
            f"the unit {units!r}", "it is no unit of temperature that is known here",
            "Temperatures are in K, degC or degF.",
            'Mend the attribute:  ds["tasmin"].attrs["units"] = "K".', slug="unit-unknown",
        )  # fmt: skip
    return known


def temperatures_of(ds: Any, tmin: str, tmax: str, dim: str, units: str | None) -> Temperatures:
    """Minima and maxima of a dataset.

    Parameters
    ----------
    ds : xarray.Dataset
    tmin, tmax : str
        Names of its variables; the same name twice where there are daily means only.
    dim : str
        Dimension of the days.
    units : str, optional
        Unit of both, where the variables say none.

    Raises
    ------
    Refusal
        If a variable, its unit or its days are missing, or the two do not lie on one grid.
    """
    import xarray as xr

    if not isinstance(ds, xr.Dataset):
        raise Refusal(
            "this grid", f"it is a {type(ds).__name__}, not a Dataset",
            "Minima and maxima are two variables of one dataset.",
            'Put them together:  xarray.Dataset({"tasmin": low, "tasmax": high}).',
            slug="not-a-grid",
        )  # fmt: skip
    low, high = (_variable(ds, name, dim, (tmin, tmax)) for name in (tmin, tmax))
    return matched(low, high, dim, units, xr)


def matched(low: Any, high: Any, dim: str, units: str | None, xr: Any) -> Temperatures:
    """Two arrays of temperatures made ready to be counted together."""
    for each in (low, high):
        if not isinstance(each, xr.DataArray):
            raise Refusal(
                "these temperatures", f"they are a {type(each).__name__}, not a DataArray",
                "A grid says its dimensions, its days and its unit.",
                "Give xarray.DataArray; bare arrays are counted by  gddcast.degree_days.",
                slug="not-a-grid",
            )  # fmt: skip
    said = [_units(each, units) for each in (low, high)]
    if said[0] != said[1]:
        raise Refusal(
            "these temperatures", f"their units are {said[0]} and {said[1]}",
            "Minimum and maximum share one unit.", "Convert one of them.", slug="units-mixed",
        )  # fmt: skip
    for each in (low, high):
        if dim not in each.dims:
            raise Refusal(
                f"the variable {each.name}", f"it has no dimension {dim}",
                f"Its dimensions are {', '.join(map(str, each.dims))}.",
                'Name the one along which days run:  dim="day".', slug="dimension-missing",
            )  # fmt: skip
        if not each.sizes[dim]:
            raise Refusal(
                f"the variable {each.name}", f"its dimension {dim} has no days",
                "A sum needs a day.", "Look at what was chosen along it.", slug="no-days",
            )  # fmt: skip
    try:
        xr.align(low, high, join="exact", copy=False)
    except ValueError as error:
        raise Refusal(
            f"{low.name} and {high.name}", "they do not lie on the same days and pixels",
            str(error).splitlines()[0], "Bring them to one grid first:  xarray.align.",
            slug="grids-differ",
        ) from error  # fmt: skip
    means = low.name == high.name or any(
        f"{dim}: mean" in str(each.attrs.get("cell_methods", "")) for each in (low, high)
    )
    scale, shift = scale_of(said[0])
    low, high = (_floating(each) for each in xr.broadcast(low, high))
    space = [name for name in low.dims if name != dim]
    low, high = low.transpose(dim, *space), high.transpose(dim, *space)
    if low.chunks is None or high.chunks is None:
        _look_at_a_day(low, high, said[0], (scale, shift), dim)
        pieces = {dim: -1, **dict.fromkeys(space, "auto")}
        low, high = low.chunk(pieces), high.chunk(pieces)
    low, high = xr.unify_chunks(low, high)
    return Temperatures(low, high, scale, shift, means)


def _variable(ds: Any, name: str, dim: str, both: tuple[str, str]) -> Any:
    if name in ds.data_vars:
        return ds[name]
    daily = [str(each) for each in ds.data_vars if dim in ds[each].dims]
    if daily == ["tas"]:
        raise Refusal(
            "this dataset", "it holds daily means only",
            "A day’s curve needs its minimum and maximum.",
            'Add them; a sum by "floor the mean" can do without:  tmin="tas", tmax="tas".',
            slug="means-only",
        )  # fmt: skip
    raise Refusal(
        "this dataset", f"it has no variable {name}",
        f"Along {dim} it holds {', '.join(daily) or 'nothing'}.",
        f'Say which they are:  tmin="…", tmax="…" (now {both[0]} and {both[1]}).',
        slug="variable-missing",
    )  # fmt: skip


def _units(array: Any, text: str | None) -> str:
    found = array.attrs.get("units")
    if found is None and text is None:
        raise Refusal(
            f"the variable {array.name}", "it does not say its unit",
            "A bare number never gets a guessed one.",
            'Say it:  units="K", or degC, or degF.', slug="unit-missing",
        )  # fmt: skip
    if found is not None and text is not None and scale_of(found) != scale_of(text):
        raise Refusal(
            f"the variable {array.name}", f"its unit is {found}, not {text}",
            "The file says it itself.", "Leave the unit away, or mend the attribute.",
            slug="units-mixed",
        )  # fmt: skip
    return str(found if found is not None else text)


def _look_at_a_day(low: Any, high: Any, unit: str, way: tuple[float, float], dim: str) -> None:
    """Refuse a unit that makes no air of the middle day, and minima that are the maxima.

    Outliers are for each pixel to bear: half of them speak. What is in pieces (Dask) is not read.
    """
    if low.chunks is not None or high.chunks is not None or not low.size:
        return
    day = [np.asarray(each.isel({dim: low.sizes[dim] // 2}).values, np.float64)
           for each in (low, high)]  # fmt: skip
    known = np.isfinite(day[0]) & np.isfinite(day[1])
    if not known.any():
        return
    lowest, highest = (float(np.median(each[known])) * way[0] + way[1] for each in day)
    if not COLDEST_AIR <= lowest <= HOTTEST_AIR:
        raise Refusal(
            f"the variable {low.name}",
            f"in {unit} the air of its middle day would be {lowest:.0f} °C".replace("-", "−"),
            f"Air is between {COLDEST_AIR:.0f} and {HOTTEST_AIR:.0f} °C.".replace("-", "−"),
            f'Mend its unit:  ds["{low.name}"].attrs["units"] = "K", or degC, or degF.',
            slug="unit-impossible",
        )  # fmt: skip
    if lowest > highest:
        raise Refusal(
            f"{low.name} and {high.name}", "on the middle day most minima lie above the maxima",
            "A minimum is the coldest of its day.", "Were the two swapped?", slug="swapped",
        )  # fmt: skip


def _floating(array: Any) -> Any:
    # Half precision and whole numbers become single precision; the sums are always double.
    return array if array.dtype in (np.float32, np.float64) else array.astype(np.float32)


def latitude_of(ds: Any, array: Any) -> Any | None:
    """Latitude of the pixels, on one dimension of theirs or several; None where nobody says."""
    if (known := _coordinate(array, "latitude", _NORTH)) is not None:
        return known
    beside = (ds[name] for name in ("lat", "latitude") if name in ds)
    return next((each for each in beside if set(each.dims) <= set(array.dims)), None)


def longitude_of(array: Any) -> Any | None:
    """Longitude of the pixels; None where nobody says."""
    return _coordinate(array, "longitude", _EAST)


def _coordinate(array: Any, name: str, units: set[str]) -> Any | None:
    """A coordinate by what it says of itself, else by its name."""
    for each in array.coords.values():
        unit = str(each.attrs.get("units", "")).lower()
        if each.attrs.get("standard_name") == name or unit in units:
            return each
    return next((array.coords[each] for each in (name, name[:3]) if each in array.coords), None)
