"""The dataset of an answer: days become dates, and each variable says what it is, in CF's words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from gddcast import __version__
from gddcast.cards.model import Card
from gddcast.grid.calendars import GridDays
from gddcast.grid.fields import Temperatures
from gddcast.grid.stages import Stage, Wanted, left_out

#: Values of ``status``, as CF flags.
UNKNOWN, REACHED, NOT_REACHED = 0, 1, 2
#: Index of no day, in the place of a day number.
NO_DAY = -1


def described(
    times: Any, totals: Any, firsts: Any, days: GridDays, years: Sequence[int],
    stages: Sequence[Stage], wanted: Wanted, fields: Temperatures,
) -> Any:  # fmt: skip
    """Times, totals and first days counted, as dates with statuses and attributes."""
    import xarray as xr

    def looked_up(index: Any, table: Any, missing: Any) -> Any:
        return xr.apply_ufunc(
            _looked_up, index, kwargs={"table": table, "missing": missing},
            dask="parallelized", output_dtypes=[table.dtype],
        )  # fmt: skip

    where: Any = xr.where
    reached = np.isfinite(times)
    status = where(reached, REACHED, where(np.isnan(times), UNKNOWN, NOT_REACHED))
    index = where(reached, firsts + np.maximum(np.ceil(times) - 1, 0), NO_DAY)
    index = index.transpose(*times.dims)
    no_date = np.datetime64("NaT", "ns") if days.is_usual else None
    day_of_year = days.day_of_year.astype(np.float32)
    made = xr.Dataset({
        "days_from_start": times.where(reached).astype(np.float32),
        "date": looked_up(index, days.stamps, no_date),
        "day_of_year": looked_up(index, day_of_year, np.float32(np.nan)),
        "status": status.astype(np.int8),
        "heat_total": totals.astype(np.float32),
        "start_date": looked_up(firsts, days.stamps, no_date),
    })  # fmt: skip
    lower, upper = (np.array([getattr(stage.counting, end) for stage in stages])
                    for end in ("lower", "upper"))  # fmt: skip
    made = made.assign_coords({
        "season": np.array(years, dtype=np.int32),
        "stage": np.array([stage.name for stage in stages]),
        "goal": ("stage", np.array([stage.goal for stage in stages])),
        "lower_threshold": ("stage", lower),
        "upper_threshold": ("stage", np.where(np.isinf(upper), np.nan, upper)),
    })  # fmt: skip
    return _attributed(made, stages, wanted, fields)


def _looked_up(index: Any, *, table: Any, missing: Any) -> Any:
    """The table's entry at each index; ``missing`` where it is negative."""
    index = np.asarray(index).astype(np.intp)
    found = table[np.maximum(index, 0)]
    found[index < 0] = missing
    return found


def _attributed(made: Any, stages: Sequence[Stage], wanted: Wanted, fields: Temperatures) -> Any:
    """Say what each variable and the whole are, by the CF conventions where they have a word."""
    names: dict[str, dict[str, Any]] = {
        "season": {"long_name": "year in which the season begins"},
        "stage": {"long_name": "stage of the organism"},
        "goal": {"long_name": "heat sum of the stage", "units": "K d"},
        "lower_threshold": {
            "standard_name": "air_temperature_threshold", "long_name": "lower threshold",
            "units": "degC",
        },
        "upper_threshold": {"long_name": "upper threshold", "units": "degC"},
        "days_from_start": {
            "long_name": "time from the start of the first day counted", "units": "d",
        },
        "date": {"long_name": "day on which the stage is reached"},
        "day_of_year": {"long_name": "number of that day in its year", "units": "1"},
        "status": {
            "long_name": "whether the stage is reached in the season",
            "standard_name": "status_flag",
            "flag_values": np.array([UNKNOWN, REACHED, NOT_REACHED], dtype=np.int8),
            "flag_meanings": "unknown reached not_reached",
        },
        "heat_total": {
            "standard_name": "integral_of_air_temperature_excess_wrt_time",
            "long_name": "heat of the season above the lower threshold, by the stage's method",
            "units": "K d",
        },
        "start_date": {"long_name": "first day counted"},
    }  # fmt: skip
    for name, attributes in names.items():
        made[name].attrs = attributes
    return made.assign_attrs(_provenance(stages, wanted, fields))


def _provenance(stages: Sequence[Stage], wanted: Wanted, fields: Temperatures) -> dict[str, Any]:
    def each(words: Any) -> str:
        return "; ".join(f"{stage.name}: {words(stage)}" for stage in stages if words(stage))

    means = "; the mean of the day stands in for (minimum + maximum)/2" if fields.means_only else ""
    said: dict[str, Any] = {
        "Conventions": "CF-1.8",
        "method": each(
            lambda stage: f"{stage.counting.shape.name}, cut-off {stage.counting.cutoff.name}"
        ),
        "stand_ins": each(_stand_ins) + means,
        "gddcast_version": __version__,
    }
    if isinstance(wanted, Card):
        said |= {
            "title": f"Stages of {wanted.name} ({wanted.latin}) by heat sums",
            "card": wanted.key,
            "source": each(lambda stage: f"{stage.source} ({stage.evidence})"),
            "left_out": "; ".join(left_out(wanted)),
        }
    return {name: text for name, text in said.items() if text}


def _stand_ins(stage: Stage) -> str:
    """What stands in for each thing that the source does not state."""
    by = {
        "upper": "no upper threshold", "cutoff": "no cut-off", "shape": "single sine",
        "starts_from": "the season's first day",
    }  # fmt: skip
    return ", ".join(f"{by.get(name, name)} (not stated)" for name in stage.counting.stand_ins)


def with_grid(made: Any, ds: Any, fields: Temperatures) -> Any:
    """Carry over the grid mapping and the bounds of the pixels, which attributes point to."""
    pointed = {fields.low.attrs.get("grid_mapping", fields.low.encoding.get("grid_mapping"))}
    for name in ("days_from_start", "date", "day_of_year", "status", "heat_total"):
        if (mapping := next(iter(pointed))) in ds:
            made[name].attrs["grid_mapping"] = mapping
    pointed |= {made[name].attrs.get("bounds") for name in made.coords}
    return made.assign({name: ds[name] for name in pointed if name in ds and name not in made})
