"""The day-by-day heat table as text, CSV and JSON."""

from __future__ import annotations

import datetime as dt
import math

from gddcast import words
from gddcast.heat.heat_days import HeatDays
from gddcast.text import answer
from gddcast.text.numbers import counted
from gddcast.units import Unit, from_celsius, from_celsius_days
from gddcast.weather.series import Origin


def heading(table: HeatDays, show: Unit) -> str:
    """How the heat was counted, in one line."""
    days = words.span(table.series.first, table.series.last)
    return f"Heat {counted(table.counting, show)}, °{show}-days, {days} {table.series.last.year}"


def as_text(table: HeatDays, show: Unit) -> str:
    """A table for people."""
    wide = max((len(words.day(day)) for day, *_ in _rows(table, show)), default=10) + 1
    heads = f"{'day':<{wide}}{'min':>6}{'max':>6}{'heat':>7}{'sum':>9}"
    lines = [heading(table, show), "", heads]
    for day, low, high, heat, total, origin in _rows(table, show):
        mark = "" if origin in ("measured", "unknown") else f"  {origin}"
        cells = f"{_cell(low, 6)}{_cell(high, 6)}{_cell(heat, 7)}{_cell(total, 9)}"
        lines.append(f"{words.day(day):<{wide}}{cells}{mark}")
    missing = table.series.missing
    if missing:
        lines += [
            "",
            f"{words.count(missing, 'day')} missing: the sum is not known after the first.",
        ]
    return "\n".join(lines)


def _cell(value: float, width: int) -> str:
    return f"{'–' if math.isnan(value) else f'{value:,.1f}':>{width}}"


def as_csv(table: HeatDays, show: Unit) -> str:
    """A table for spreadsheets; unknown cells are empty."""
    unit = show.lower()
    lines = [
        f"# {heading(table, show)}",
        f"date,min_{unit},max_{unit},heat_{unit}_days,sum_{unit}_days,origin",
    ]
    for day, *values, origin in _rows(table, show):
        cells = ["" if math.isnan(value) else f"{value:.2f}" for value in values]
        lines.append(",".join([day.isoformat(), *cells, origin]))
    return "\n".join(lines) + "\n"


def as_json(table: HeatDays, show: Unit, moment: dt.datetime) -> str:
    """A table for programs."""
    counting = table.counting
    parts = {
        "place": {"name": table.series.place.name},
        "method": {
            "lower": answer.temperature(counting.lower, show),
            "upper": None
            if counting.upper == math.inf
            else answer.temperature(counting.upper, show),
            "shape": counting.shape.name,
            "cutoff": counting.cutoff.name,
        },
        "units": {"temperature": f"deg{show}", "heat": f"deg{show}-day"},
        "days": [
            {
                "date": day.isoformat(),
                **{
                    name: None if math.isnan(value) else round(value, 3)
                    for name, value in zip(("min", "max", "heat", "sum"), values, strict=True)
                },
                "origin": origin,
            }
            for day, *values, origin in _rows(table, show)
        ],
    }
    return answer.as_json("heat", moment, parts)


def _rows(table: HeatDays, show: Unit) -> list[tuple[dt.date, float, float, float, float, str]]:
    series = table.series
    return [
        (
            series.date(index),
            float(from_celsius(series.tmin[index], show)),
            float(from_celsius(series.tmax[index], show)),
            float(from_celsius_days(table.daily[index], show)),
            float(from_celsius_days(table.running[index], show)),
            Origin(series.origin[index]).name.lower(),
        )
        for index in range(len(series))
    ]
