"""When each stage comes in each season, pixel by pixel, as a dataset that keeps its methods."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

import numpy as np

from gddcast.errors import Refusal
from gddcast.grid.calendars import GridSeason, days_along, seasons_of
from gddcast.grid.datasets import NO_DAY, described, with_grid
from gddcast.grid.fields import Temperatures, latitude_of, temperatures_of
from gddcast.grid.season_sums import SeasonSums, season_sums
from gddcast.grid.stages import Stage, Wanted, stages_of

if TYPE_CHECKING:
    import xarray as xr


def stage_days(
    ds: xr.Dataset,
    goals_or_card: Wanted,
    *,
    season_begins: tuple[int, int] | None = None,
    tmin: str = "tasmin",
    tmax: str = "tasmax",
    dim: str = "time",
    units: str | None = None,
    heat_total: bool = True,
) -> xr.Dataset:
    """When each stage comes in each season, on every pixel of a grid or station of a network.

    Parameters
    ----------
    ds : xarray.Dataset
        Daily minima and maxima, one value a day without a hole, in any CF calendar. Any further
        dimension (scenario, member) passes through. In pieces (Dask) it is counted piece by piece
        and the answer is in pieces too; tiles of all days or one file a year are both good.
    goals_or_card : Card, Target or sequence of Target
        The card's stages, each counted by its own published number, or sums of one's own.
    season_begins : (int, int), optional
        Month and day on which seasons start over. By default 1 January north of the equator and
        1 July south of it, and starts that are dates are moved half a year at southern pixels.
    tmin, tmax : str
        Variables of the minima and maxima. The same name twice where there are daily means only:
        enough for sums by floor the mean, refused for any other.
    dim : str, default: "time"
        Dimension of the days.
    units : str, optional
        Unit of the temperatures, where the variables do not say it: K, degC or degF.
    heat_total : bool, default: True
        Whether to count the heat of the whole season as well. Without, a piece's season is left
        once all of it has passed the last goal.

    Returns
    -------
    xarray.Dataset, dimensions (season, stage, …)
        ``days_from_start``: time from the start of the first day counted [d]; ``date`` and
        ``day_of_year``: the day it falls in, in the dataset's calendar; ``status``: reached, not
        reached, or unknown because a day is missing or the record ends first; ``heat_total``: of
        the season, NaN where a day of it is unknown [K d]; ``start_date``: the first day counted.
        Attributes name card, method, source and what stands in for what it does not state.

    Raises
    ------
    Refusal
        If a variable, a unit or a day is missing, the hemisphere is not known, no stage can be
        dated, or the method needs more than daily means.

    Examples
    --------
    >>> import xarray as xr
    >>> from gddcast import Counting, Target
    >>> days = xr.date_range("2025-01-01", "2025-12-31")
    >>> low = xr.DataArray(np.full((365, 1), 10.0), {"time": days, "lat": [45.0]}, ("time", "lat"),
    ...                    attrs={"units": "degC"})
    >>> ds = xr.Dataset({"tasmin": low, "tasmax": low.assign_attrs(units="degC") + 10.0})
    >>> ds["tasmax"].attrs["units"] = "degC"
    >>> found = stage_days(ds, Target("first moths", Counting(lower=5.0), 100.0))
    >>> str(found["date"].values.ravel()[0])[:10], float(found["days_from_start"].item())
    ('2025-01-10', 10.0)
    """
    import xarray as xr

    fields = temperatures_of(ds, tmin, tmax, dim, units)
    days = days_along(fields.low[dim], dim)
    sides = _sides(ds, fields, dim, season_begins)
    by_side = {south: stages_of(goals_or_card, south, season_begins) for south, _ in sides}
    if season_begins and len(set(by_side.values())) == 1:  # both sides are counted alike
        sides = [(sides[0][0], None)]
    stages = next(iter(by_side.values()))
    _refuse_means(fields, stages)
    begins = {south: season_begins or ((7, 1) if south else (1, 1)) for south in by_side}
    clocks = {
        south: [seasons_of(days, begins[south], stage.start) for stage in by_side[south]]
        for south in by_side
    }
    years = sorted({year for side in clocks.values() for clock in side for year in clock})
    if not years:
        raise Refusal(
            f"the days along {dim}", "no season begins in them",
            f"They run from {_date(days.stamps[0])} to {_date(days.stamps[-1])}.",
            "Give a record that holds the first day counted.", slug="no-season",
        )  # fmt: skip
    times, totals, firsts = _joined(
        [
            (part, *_side(_taken(fields, part), dim, by_side[south], clocks[south], years,
                          heat_total))
            for south, part in sides
        ],
        fields.low.isel({dim: 0}, drop=True),
        xr,
    )  # fmt: skip
    made: xr.Dataset = described(times, totals, firsts, days, years, stages, goals_or_card, fields)
    made = with_grid(made, ds, fields)
    if not heat_total:
        made = made.drop_vars("heat_total")
    return made if ds[tmin].chunks is not None else made.compute()


def _date(stamp: Any) -> str:
    return str(stamp)[:10]


def _refuse_means(fields: Temperatures, stages: Sequence[Stage]) -> None:
    for stage in stages if fields.means_only else ():
        by = stage.counting
        if by.shape.name != "floor the mean" or by.cutoff.caps_readings:
            raise Refusal(
                f"daily means for {stage.words}", f"it is counted by {by.shape.name}",
                "That method needs the minimum and the maximum of each day.",
                'Give both:  tmin="tasmin", tmax="tasmax".', slug="means-only",
            )  # fmt: skip


# North and south: each side of the equator has its own seasons.


def _sides(
    ds: Any, fields: Temperatures, dim: str, begins: tuple[int, int] | None
) -> list[tuple[bool, Any]]:
    """Which pixels lie on each side: all, an index along one dimension, or a mask of several."""
    latitude = latitude_of(ds, fields.low)
    if latitude is None or dim in latitude.dims:
        if begins is None:
            raise Refusal(
                "this grid", "it does not say where north lies",
                "Seasons start over in midwinter: 1 January in the north, 1 July in the south.",
                "Add a coordinate lat in degrees_north, or say it:  season_begins=(1, 1).",
                slug="latitude-missing",
            )  # fmt: skip
        return [(begins == (7, 1), None)]
    south = latitude < 0
    if bool(south.all()) or not bool(south.any()):
        return [(bool(south.all()), None)]
    if south.ndim == 1:
        name = south.dims[0]
        return [(each, {name: np.flatnonzero(south.values == each)}) for each in (False, True)]
    return [(False, ~south), (True, south)]


def _taken(fields: Temperatures, part: Any) -> Temperatures:
    if not isinstance(part, dict):
        return fields
    low, high = fields.low.isel(part), fields.high.isel(part)
    return Temperatures(low, high, fields.scale, fields.shift, fields.means_only)


def _joined(
    parts: list[tuple[Any, Any, Any, Any]], like: Any, xr: Any
) -> tuple[xr.DataArray, xr.DataArray, xr.DataArray]:
    """Times, totals and first days of all pixels, from those of each side of the equator."""
    if len(parts) == 1:
        _, times, totals, firsts = parts[0]
        return times, totals, firsts
    if isinstance(parts[0][0], dict):
        name = next(iter(parts[0][0]))
        back = np.argsort(np.concatenate([part[name] for part, *_ in parts]))
        of_parts = zip(*(answers for _, *answers in parts), strict=True)
        times, totals, firsts = (
            xr.concat(
                [each.expand_dims({name: index[name].size}, axis=-1) if name not in each.dims
                 else each for each, (index, *_) in zip(answers, parts, strict=True)],
                name,
            ).isel({name: back})
            for answers in of_parts
        )  # fmt: skip
        order = ("season", "stage", *like.dims)
        return times.transpose(*order), totals.transpose(*order), firsts
    (is_north, *north), (_, *south) = parts
    times, totals, firsts = (
        xr.where(is_north, one, other).transpose(*one.dims, ...)
        for one, other in zip(north, south, strict=True)
    )
    return times, totals, firsts


# One side of the equator: stages that share a method and a start are counted in one pass.


def _side(
    fields: Temperatures,
    dim: str,
    stages: Sequence[Stage],
    clocks: Sequence[dict[int, GridSeason]],
    years: Sequence[int],
    with_totals: bool,
) -> tuple[Any, Any, Any]:
    import dask.array as da
    import xarray as xr

    space = [name for name in fields.low.dims if name != dim]
    coords = fields.low.isel({dim: 0}, drop=True).coords
    times: list[Any] = [None] * len(stages)
    totals: list[Any] = [None] * len(stages)
    by_method = sorted(range(len(stages)), key=lambda at: _method(stages[at]))
    for _, together in groupby(by_method, key=lambda at: _method(stages[at])):
        members = list(together)
        clock = clocks[members[0]]
        answer = _one_pass(fields, [stages[at] for at in members], clock, years, with_totals)
        for place, at in enumerate(members):
            times[at], totals[at] = answer[:, place], answer[:, -1]
    dims = ("season", "stage", *space)
    firsts = [[clock[year].first if year in clock else NO_DAY for clock in clocks]
              for year in years]  # fmt: skip
    return (
        xr.DataArray(da.stack(times, axis=1), coords, dims),
        xr.DataArray(da.stack(totals, axis=1), coords, dims),
        xr.DataArray(np.array(firsts), dims=("season", "stage")),
    )


def _method(stage: Stage) -> tuple[Any, ...]:
    by = stage.counting
    return by.lower, by.upper, by.shape.name, by.cutoff.name, stage.start


def _one_pass(
    fields: Temperatures,
    stages: Sequence[Stage],
    clock: dict[int, GridSeason],
    years: Sequence[int],
    with_totals: bool,
) -> Any:
    """Times and totals, shape (seasons, goals + 1, …): every goal of a method at once.

    A tile of all days is one task for all its seasons. Where the days are cut, each season takes
    the pieces that hold its days: two files where it runs through two years.
    """
    import dask.array as da

    low, high = fields.low.data, fields.high.data
    on_record = [clock[year] for year in years if year in clock]
    if low.numblocks[0] == 1:
        answer = _mapped(fields, low, high, stages, on_record, with_totals)
    else:
        # The night after the last day belongs to a double curve; any other leaves its file alone.
        night = stages[0].counting.shape.halves
        spans = [slice(each.first, min(each.end + night, low.shape[0])) for each in on_record]
        answer = da.concatenate([
            _mapped(fields, low[span].rechunk({0: -1}), high[span].rechunk({0: -1}), stages,
                    [season], with_totals, span.start)
            for season, span in zip(on_record, spans, strict=True)
        ]) if spans else None  # fmt: skip
    if len(on_record) == len(years):
        return answer
    unknown = da.full((1, len(stages) + 1, *low.shape[1:]), np.nan,
                      chunks=(1, -1, *low.chunks[1:]))  # fmt: skip
    places = {season.year: place for place, season in enumerate(on_record)}
    rows = [
        answer[places[year] : places[year] + 1] if year in places else unknown for year in years
    ]
    return da.concatenate(rows)


def _mapped(
    fields: Temperatures,
    low: Any,
    high: Any,
    stages: Sequence[Stage],
    seasons: Sequence[GridSeason],
    with_totals: bool,
    since: int = 0,
) -> Any:
    import dask.array as da

    by = stages[0].counting
    asked = SeasonSums(
        by.lower, by.upper, by.shape.name, by.cutoff.name,
        tuple(stage.goal for stage in stages),
        tuple(each.first - since for each in seasons), tuple(each.end - since for each in seasons),
        tuple(each.whole for each in seasons), fields.scale, fields.shift, with_totals,
    )  # fmt: skip
    return da.map_blocks(
        season_sums, low, high, asked=asked, dtype=np.float64, drop_axis=0, new_axis=[0, 1],
        chunks=((len(seasons),), (len(stages) + 1,), *low.chunks[1:]),
        meta=np.empty((0,) * (low.ndim + 1)),
    )  # fmt: skip
