"""Weather files as ``check``, ``compare`` and ``patch`` take them: measured days, no forecast."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gddcast.cli.opening import open_series
from gddcast.errors import Refusal

if TYPE_CHECKING:
    from gddcast.weather.series import DailySeries


def open_measured(
    file: Path, *, on: dt.date | None, no_input: bool, **file_options: Any
) -> DailySeries:
    """Read a file and leave out the forecast at its end."""
    return without_forecast(open_series(file, on=on, no_input=no_input, **file_options)[0])


def open_other(
    file: Path, *, on: dt.date | None, no_input: bool, unit: str | None, unit_flag: str,
    sure: bool, like: DailySeries,
) -> DailySeries:  # fmt: skip
    """Read a second record that stands beside ``like``, in the seasons of that place.

    ``unit_flag`` is the flag that names its unit; the command's others speak of the first file.
    """
    begins = like.place.season_begins
    try:
        return open_measured(
            file, on=on, no_input=no_input, unit=unit, sure=sure, season_begins=begins
        )
    except Refusal as refusal:
        flag = refusal.flag or ""
        refusal.flag = flag.replace("--unit", unit_flag) if "--unit" in flag else None
        raise


def without_forecast(series: DailySeries) -> DailySeries:
    """The record up to its last day that is no forecast."""
    import numpy as np

    from gddcast.weather.series import Origin

    told = np.flatnonzero(series.origin != Origin.FORECAST)
    return series.between(series.first, series.date(int(told[-1]) if told.size else -1))
