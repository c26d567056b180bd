"""A series as CSV: day, high, low, in the scale it came in, the scale in the header."""

from __future__ import annotations

import math

from gddcast.units import from_celsius
from gddcast.weather.series import DailySeries


def temperature_csv(series: DailySeries) -> str:
    """Text of the file; an unknown reading is an empty cell.

    Examples
    --------
    >>> import datetime as dt
    >>> print(temperature_csv(DailySeries(dt.date(2026, 5, 1), [4.0], [float("nan")])), end="")
    date,high_C,low_C
    2026-05-01,,4.0
    """
    lines = [f"date,high_{series.unit},low_{series.unit}"]
    for index in range(len(series)):
        high, low = _cell(series, index, "tmax"), _cell(series, index, "tmin")
        lines.append(f"{series.date(index).isoformat()},{high},{low}")
    return "\n".join(lines) + "\n"


def _cell(series: DailySeries, index: int, name: str) -> str:
    value = float(getattr(series, name)[index])
    return "" if math.isnan(value) else f"{from_celsius(value, series.unit):.1f}"
