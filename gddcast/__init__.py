"""Daily temperatures in, scouting windows out.

A thermometer's daily minimum and maximum become degree-days by a published method, degree-days
become a heat sum, and the sum, held against the published number of a pest or a crop, becomes
days on which to look, with the span that past years at the place give it.

>>> import gddcast
>>> float(gddcast.degree_days(46, 72, lower=50).round(1))
9.7

The arithmetic
    ``degree_days``, ``hourly_degree_days``; the day shapes ``floor_the_mean``,
    ``floor_the_readings``, ``single_triangle``, ``single_sine``, ``double_triangle``,
    ``double_sine``; the cut-offs ``no_cutoff``, ``horizontal``, ``intermediate``, ``vertical``,
    ``cap_the_readings``; ``running_heat``, ``day_reached``.
The garden
    ``read_temperatures`` (a file) and ``DailySeries.from_frame`` (a table) give a
    ``DailySeries``; ``load_cards`` gives the published thresholds; ``season_plan`` puts them
    together.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

# Where each public name lives. Names load on first use, so that `gddcast --help` need not wait
# for NumPy and a calculator need not wait for pandas.
_ROOMS = {
    "degree_days": "heat.frames",
    "hourly_degree_days": "heat.daily",
    "floor_the_mean": "heat.daily",
    "floor_the_readings": "heat.daily",
    "single_triangle": "heat.daily",
    "single_sine": "heat.daily",
    "double_triangle": "heat.daily",
    "double_sine": "heat.daily",
    "no_cutoff": "heat.daily",
    "horizontal": "heat.daily",
    "intermediate": "heat.daily",
    "vertical": "heat.daily",
    "cap_the_readings": "heat.daily",
    "running_heat": "heat.thermal_time",
    "day_reached": "heat.thermal_time",
    "DailySeries": "weather.series",
    "Place": "weather.series",
    "Refusal": "errors",
    "read_temperatures": "readers.temperature_file",
    "load_cards": "readers.card_files",
    "season_plan": "today.plan",
}

__all__ = sorted(_ROOMS)

if TYPE_CHECKING:
    from gddcast.errors import Refusal
    from gddcast.heat.daily import (
        cap_the_readings,
        double_sine,
        double_triangle,
        floor_the_mean,
        floor_the_readings,
        horizontal,
        hourly_degree_days,
        intermediate,
        no_cutoff,
        single_sine,
        single_triangle,
        vertical,
    )
    from gddcast.heat.frames import degree_days
    from gddcast.heat.thermal_time import day_reached, running_heat
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.temperature_file import read_temperatures
    from gddcast.today.plan import season_plan
    from gddcast.weather.series import DailySeries, Place


def __getattr__(name: str) -> Any:
    if name not in _ROOMS:
        raise AttributeError(f"module 'gddcast' has no attribute '{name}'")
    value = getattr(import_module(f"gddcast.{_ROOMS[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted([*globals(), *_ROOMS])
