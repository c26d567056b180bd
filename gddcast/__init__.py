"""Daily temperatures in, scouting windows out.

A thermometer's daily minimum and maximum become degree-days by a published method, degree-days
become a heat sum, and the sum, held against the published number of a pest or a crop, becomes
days on which to look, with the span that past years at the place give it.

>>> import gddcast
>>> float(gddcast.degree_days(46, 72, lower=50).round(1))
9.7

Stations by years, to a date, in one call (an invented pair, two degrees apart):

>>> import numpy as np
>>> import pandas as pd
>>> days = pd.date_range("2023-01-01", "2025-12-31")
>>> mean = 50 - 25 * np.cos(2 * np.pi * (days.day_of_year - 20) / 365)
>>> dale = pd.Series(mean, days)
>>> lows = pd.DataFrame({"dale": dale - 10, "hill": dale - 12})
>>> table = gddcast.dates_reached(lows, lows + 20, unit="F", lower=50, goal=500)
>>> table["day"].dt.strftime("%d %B").unstack("season").loc["hill"].to_dict()
{'2023': '12 June', '2024': '11 June', '2025': '12 June'}

An outlook for a threshold of one's own, in °C: this season's heat, with past years' weather from
here on (an invented record; its gaps of up to five days are patched and stay marked):

>>> record = gddcast.patch_short(gddcast.demo_temperatures())
>>> mine = gddcast.Counting(lower=8.0, upper=30.0, shape="double sine")
>>> ahead = gddcast.outlook_of(record, mine, 600.0, start="2026-03-01", today="2026-05-20")
>>> len(ahead.dots), ahead.fastest.isoformat(), ahead.slowest.isoformat()
(11, '2026-06-11', '2026-06-18')
>>> ahead.to_frame().columns.tolist()
['day', 'sum']

A table of past dates for a card; where there is none it says why:

>>> card = gddcast.load_cards()["squash-vine-borer"]
>>> past = gddcast.past_dates(record, card).loc["first moths, 556 °C·d"]
>>> past["day"].dt.strftime("%d %B")["2025"], past["why"]["2026"]
('21 June', 'not yet')

The arithmetic
    ``degree_days``, ``hourly_degree_days``, ``running_heat``, ``day_reached``, for arrays, pandas
    and xarray; the day shapes ``floor_the_mean``, ``floor_the_readings``, ``single_triangle``,
    ``single_sine``, ``double_triangle``, ``double_sine`` and the cut-offs ``no_cutoff``,
    ``horizontal``, ``intermediate``, ``vertical``, ``cap_the_readings``, also by name:
    ``"single sine"``; ``Counting`` keeps them together; ``dates_reached``.
The record
    ``read_temperatures`` (a file), ``demo_temperatures`` and ``DailySeries.from_frame`` (a table)
    give days of a ``Place``, each with its ``Origin``; ``judge``, ``patch_short``,
    ``maxima_a_day_earlier``.
The garden
    ``load_cards`` gives the published thresholds, ``counting_of`` how one is counted;
    ``season_plan``, ``outlook_of``, ``season_heats``, ``past_dates``.
Grids and networks
    ``grid``: ``grid.degree_days`` and ``grid.stage_days`` take xarray, also in pieces (Dask);
    ``grid.open_grid`` and ``grid.write_grid`` files.
How good it is
    ``backtest`` of ``Target`` dates, ``by_lead``; ``compare_methods``.
From jars to a card
    ``Rearing``, ``threshold_line``, ``second_opinion``, ``rate_curve``, ``About``, ``card_draft``.
Drawings, on axes you give
    ``draw_day``, ``draw_g``, ``draw_misses``, ``draw_year_dots``, ``draw_calibration``,
    ``draw_rates``; ``CHART_STYLE``, ``INK``, ``BLUE``, ``PALE_BLUE``, ``VERMILLION``, ``GREY``.
Words and practice
    ``words`` says days, spans and sums, ``years_say`` the dates of past years; ``invent_year``
    makes up a year; ``Refusal`` says why something can't be used.

What these give has a short ``repr`` and, where it is a table at heart, ``.to_frame()``.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

__version__ = "0.4.0"

# Where each public name lives. Names load on first use, so that `gddcast --help` need not wait
# for NumPy and a calculator need not wait for pandas.
_ROOMS = {
    "degree_days": "heat.frames",
    "hourly_degree_days": "heat.frames",
    "running_heat": "heat.frames",
    "day_reached": "heat.frames",
    "floor_the_mean": "heat.shapes",
    "floor_the_readings": "heat.shapes",
    "single_triangle": "heat.shapes",
    "single_sine": "heat.shapes",
    "double_triangle": "heat.shapes",
    "double_sine": "heat.shapes",
    "no_cutoff": "heat.cutoffs",
    "horizontal": "heat.cutoffs",
    "intermediate": "heat.cutoffs",
    "vertical": "heat.cutoffs",
    "cap_the_readings": "heat.cutoffs",
    "Counting": "heat.counting",
    "counting_of": "heat.counting",
    "DailySeries": "weather.series",
    "Origin": "weather.series",
    "Place": "weather.series",
    "Refusal": "errors",
    "read_temperatures": "readers.temperature_file",
    "demo_temperatures": "readers.temperature_file",
    "load_cards": "readers.card_files",
    "judge": "quality.verdict",
    "patch_short": "weather.gaps",
    "maxima_a_day_earlier": "quality.shifts",
    "season_plan": "today.plan",
    "outlook_of": "outlook.dates",
    "season_heats": "outlook.seasons",
    "years_say": "text.sentences",
    "dates_reached": "skill.season_dates",
    "past_dates": "skill.season_dates",
    "Target": "skill.targets",
    "backtest": "skill.backtest",
    "by_lead": "skill.track_record",
    "compare_methods": "lessons.comparison",
    "Rearing": "rearing.fit",
    "threshold_line": "rearing.fit",
    "second_opinion": "rearing.orthogonal",
    "rate_curve": "rearing.curves",
    "About": "text.cards.card_draft",
    "card_draft": "text.cards.card_draft",
    "draw_day": "draw.day_curve",
    "draw_g": "draw.day_curve",
    "draw_misses": "draw.methods",
    "draw_year_dots": "draw.year_dots",
    "draw_calibration": "draw.calibration",
    "draw_rates": "draw.rates",
    "CHART_STYLE": "draw.house_style",
    "INK": "draw",
    "BLUE": "draw",
    "PALE_BLUE": "draw",
    "VERMILLION": "draw",
    "GREY": "draw",
    "invent_year": "lessons.invented",
}

#: Wings that are public as they stand.
_WINGS = ("grid", "words")

__all__ = sorted([*_ROOMS, *_WINGS])

if TYPE_CHECKING:
    from gddcast import grid, words
    from gddcast.draw import BLUE, GREY, INK, PALE_BLUE, VERMILLION
    from gddcast.draw.calibration import draw_calibration
    from gddcast.draw.day_curve import draw_day, draw_g
    from gddcast.draw.house_style import CHART_STYLE
    from gddcast.draw.methods import draw_misses
    from gddcast.draw.rates import draw_rates
    from gddcast.draw.year_dots import draw_year_dots
    from gddcast.errors import Refusal
    from gddcast.heat.counting import Counting, counting_of
    from gddcast.heat.cutoffs import (
        cap_the_readings,
        horizontal,
        intermediate,
        no_cutoff,
        vertical,
    )
    from gddcast.heat.frames import day_reached, degree_days, hourly_degree_days, running_heat
    from gddcast.heat.shapes import (
        double_sine,
        double_triangle,
        floor_the_mean,
        floor_the_readings,
        single_sine,
        single_triangle,
    )
    from gddcast.lessons.comparison import compare_methods
    from gddcast.lessons.invented import invent_year
    from gddcast.outlook.dates import outlook_of
    from gddcast.outlook.seasons import season_heats
    from gddcast.quality.shifts import maxima_a_day_earlier
    from gddcast.quality.verdict import judge
    from gddcast.readers.card_files import load_cards
    from gddcast.readers.temperature_file import demo_temperatures, read_temperatures
    from gddcast.rearing.curves import rate_curve
    from gddcast.rearing.fit import Rearing, threshold_line
    from gddcast.rearing.orthogonal import second_opinion
    from gddcast.skill.backtest import backtest
    from gddcast.skill.season_dates import dates_reached, past_dates
    from gddcast.skill.targets import Target
    from gddcast.skill.track_record import by_lead
    from gddcast.text.cards.card_draft import About, card_draft
    from gddcast.text.sentences import years_say
    from gddcast.today.plan import season_plan
    from gddcast.weather.gaps import patch_short
    from gddcast.weather.series import DailySeries, Origin, Place


def __getattr__(name: str) -> Any:
    if name in _WINGS:
        return import_module(f"gddcast.{name}")
    if name not in _ROOMS:
        raise AttributeError(f"module 'gddcast' has no attribute '{name}'")
    value = getattr(import_module(f"gddcast.{_ROOMS[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
