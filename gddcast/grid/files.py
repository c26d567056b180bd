"""Gridded records as files: NetCDF and Zarr, opened in their stored pieces and written by CF."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from gddcast.errors import Refusal
from gddcast.words import listed

if TYPE_CHECKING:
    import xarray as xr

#: What a file's bytes begin with: NetCDF-4 is HDF5, NetCDF-3 names itself.
_NETCDF = (b"\x89HDF", b"CDF\x01", b"CDF\x02", b"CDF\x05")

# What is kept unpacked of a variable: less than any piece worth a task. [bytes]
_KEPT = 1 << 20

_SINCE = "days since 1850-01-01"


def refuse_without_libraries() -> None:
    """Say at once what is not installed.

    Raises
    ------
    Refusal
    """
    missing = [name for name in ("xarray", "dask", "zarr", "netCDF4") if find_spec(name) is None]
    if missing:
        raise Refusal(
            "this command", f"it needs {listed(missing)}, not installed here",
            "Grids are an extra, because xarray, Dask and their like are large.",
            "Run  pip install 'gddcast[grid]'", slug="grid-missing",
        )  # fmt: skip


def open_grid(paths: Sequence[Path | str]) -> xr.Dataset:
    """Open NetCDF files or Zarr folders as one dataset, in the pieces they are stored in.

    Parameters
    ----------
    paths : sequence of Path or str
        Files that together hold minima and maxima: by variable, by year, or both.

    Raises
    ------
    Refusal
        If one is neither, or they do not fit together.
    """
    import xarray as xr

    parts: list[xr.Dataset] = []
    for path in map(Path, paths):
        kind = _kind(path)
        try:
            if kind == "zarr":
                parts.append(xr.open_zarr(path, consolidated=False))
            else:
                with read_once():
                    parts.append(xr.open_dataset(path, chunks={}))
        except Exception as error:  # each library below has errors of its own
            raise _unreadable(path, str(error) or type(error).__name__) from error
    if len(parts) == 1:
        return parts[0]
    try:
        combined: Any = xr.combine_by_coords(
            parts, join="exact", combine_attrs="override", data_vars="minimal", coords="minimal",
            compat="override",
        )  # fmt: skip
    except ValueError as error:
        raise Refusal(
            ", ".join(map(str, paths)), "they do not fit together",
            str(error).splitlines()[0], "Give files of one grid: by variable, by year, or both.",
            slug="grids-differ",
        ) from error  # fmt: skip
    return cast("xr.Dataset", combined)


@contextmanager
def read_once() -> Iterator[None]:
    """Let NetCDF files that are opened meanwhile keep nothing of what was read of them.

    Each piece is read once; as the library comes, 64 MB of every variable of every file stay in
    memory unpacked, which is the whole of a file a year.
    """
    import netCDF4

    usual = netCDF4.get_chunk_cache()
    netCDF4.set_chunk_cache(_KEPT, *usual[1:])
    try:
        yield
    finally:
        netCDF4.set_chunk_cache(*usual)


def _kind(path: Path) -> str:
    if path.is_dir():
        if any((path / name).exists() for name in ("zarr.json", ".zgroup", ".zmetadata")):
            return "zarr"
        raise _unreadable(path, "the folder is no Zarr store")
    try:
        with path.open("rb") as file:
            begins = file.read(4)
    except OSError as error:
        raise _unreadable(path, (error.strerror or str(error)).lower()) from error
    if begins not in _NETCDF:
        raise _unreadable(path, "it is neither NetCDF nor Zarr")
    return "netcdf"


def _unreadable(path: Path, problem: str) -> Refusal:
    return Refusal(
        str(path), problem, "A grid is read from NetCDF files or a Zarr folder.",
        "Name such a file; a table of one place goes to  gddcast heat.", slug="not-a-grid",
    )  # fmt: skip


def write_grid(made: xr.Dataset, path: Path | str) -> None:
    """Write a dataset by the CF conventions, a piece at a time: NetCDF-4, or Zarr by its ending.

    Times are numbers of days, in NetCDF words are letters, and a Zarr folder has format 2 with its
    metadata gathered, so that any viewer opens either.

    Parameters
    ----------
    made : xarray.Dataset
        As `stage_days` gives it.
    path : Path or str
        File; a folder where it ends in ``.zarr``. One that is there is written over.
    """
    # Of dates in another calendar the first days counted are never missing all at once.
    starts = (each for each in made["start_date"].values.flat if hasattr(each, "calendar"))
    calendar = next((each.calendar for each in starts), "proleptic_gregorian")
    for name in ("date", "start_date"):
        made = made.assign({name: _counted(made[name], calendar)})
    # No coordinate may have a value that means nothing.
    encoding: dict[Any, dict[str, Any]] = {each: {"_FillValue": None} for each in made.coords}
    if is_store(path):
        # Pieces of a store are all alike, and not packed as those that were read.
        alike = {name: max(sizes) for name, sizes in made.chunksizes.items()}
        made.drop_encoding().chunk(alike).to_zarr(
            path, mode="w", zarr_format=2, consolidated=True, encoding=encoding
        )
        return
    encoding["stage"] = {"dtype": "S1"}
    for name in ("days_from_start", "date", "day_of_year", "status", "heat_total"):
        if name in made:
            encoding[name] = {"zlib": True, "complevel": 1}
    made.to_netcdf(path, engine="netcdf4", format="NETCDF4", encoding=encoding)


def is_store(path: Path | str) -> bool:
    """Whether a grid of that name is written as a Zarr folder."""
    return Path(path).suffix.lower() == ".zarr"


def _counted(dates: Any, calendar: str) -> Any:
    """Dates as numbers of days; xarray cannot do it where some of another calendar are missing."""
    import xarray as xr

    numbers = xr.apply_ufunc(
        _numbers, dates, kwargs={"calendar": calendar}, dask="parallelized",
        output_dtypes=[np.float64],
    )  # fmt: skip
    return numbers.assign_attrs(dates.attrs, units=_SINCE, calendar=calendar)


def _numbers(dates: Any, *, calendar: str) -> Any:
    if dates.dtype.kind == "M":
        days = (dates - np.datetime64("1850-01-01")) / np.timedelta64(1, "D")
        return np.where(np.isnat(dates), np.nan, days)
    import cftime

    numbers = [
        np.nan if date is None else cftime.date2num(date, _SINCE, calendar=calendar)
        for date in dates.flat
    ]
    return np.reshape(np.array(numbers, dtype=np.float64), dates.shape)


@contextmanager
def telling(show: Callable[[int, int], None]) -> Iterator[None]:
    """Tell ``show`` how many of the pieces of work are done, of how many."""
    from dask.callbacks import Callback

    done = of = 0

    def begin(_graph: Any, state: Any) -> None:
        nonlocal done, of
        done, of = 0, sum(len(state[each]) for each in ("ready", "waiting"))

    def end(*_: Any) -> None:
        nonlocal done
        done += 1
        show(min(done, of), of)

    with Callback(start_state=begin, posttask=end):
        yield
