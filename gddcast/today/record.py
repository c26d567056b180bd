"""The record that dates are made from: judged, its short gaps patched, its forecast behind it.

This is the only place where a record is made ready. ``weather check``, ``compare``, ``patch`` and
``add``, whose very subject is the record as it came, look at it before.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gddcast.crops.frost import HardFreeze, hard_freeze
from gddcast.outlook.current_week import CurrentWeek, current_week
from gddcast.outlook.ensemble import Climate, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.forecast_archive import ForecastArchive, errors_on, with_forecasts_of
from gddcast.outlook.forecast_gate import GatedForecast, gated
from gddcast.outlook.season_so_far import record_on
from gddcast.quality.verdict import Verdict, judge
from gddcast.weather.gaps import SHORT, patch_short
from gddcast.weather.series import DailySeries, Origin, Place, Season, season_of


@dataclass(frozen=True, eq=False)
class Record:
    """A place's weather on one morning; each part is worked out once, when it is asked for.

    Parameters
    ----------
    as_read : DailySeries
        As it was read, neither judged nor patched; days from ``today`` on are its forecast.
        Days measured on or after ``today`` are hidden.
    today : datetime.date
        Today at the place.
    patch_up_to : int, default: 5
        Longest gap filled. [d]
    forecasts : ForecastArchive, optional
        Past forecasts of this place: how far they were off is what its forecast is trusted by.
    """

    as_read: DailySeries
    today: dt.date
    patch_up_to: int = SHORT
    forecasts: ForecastArchive | None = None

    @property
    def place(self) -> Place:
        """Where it is kept."""
        return self.as_read.place

    @property
    def season(self) -> Season:
        """Season of today."""
        return season_of(self.today, self.place.season_begins)

    @cached_property
    def verdict(self) -> Verdict:
        """What it is worth."""
        return judge(record_on(self.as_read, self.today))

    @cached_property
    def known(self) -> DailySeries:
        """Its days through the last known one, impossible readings out, short gaps patched."""
        return patch_short(self.verdict.judged, self.patch_up_to)

    @cached_property
    def series(self) -> DailySeries:
        """The same with as much of its forecast behind it as can be of the place."""
        return self.gate.series

    @cached_property
    def gate(self) -> GatedForecast:
        """Its forecast, held against its last days and its usual ones."""
        return gated(with_forecasts_of(self.known, self.as_read), self.climate)

    @property
    def through(self) -> dt.date:
        """Its last known day."""
        return self.known.last_known or self.known.date(-1)

    @property
    def days_behind(self) -> int:
        """Days before today that it has yet to reach. [d]"""
        return max((self.today - self.through).days - 1, 0)

    @cached_property
    def climate(self) -> Climate | None:
        """Past seasons on this one's calendar, to look ahead with."""
        has_past = past_seasons(self.known, self.season)
        return climate_of(self.known, self.season) if has_past else None

    @cached_property
    def errors(self) -> ForecastErrors | None:
        """Of its forecast, as far as past ones tell them; None: the usual ones."""
        if self.climate is None:
            return None
        spread = self.climate.spread
        learnt = errors_on(self.forecasts, self.known, self.today, spread)
        return self.gate.errors(learnt, spread)

    @property
    def old_forecast(self) -> dt.date | None:
        """Day of issue of this season's newest forecast, where none says what is to come."""
        ahead = self.as_read.dates >= np.datetime64(self.today)
        if self.forecasts is None or (ahead & (self.as_read.origin == Origin.FORECAST)).any():
            return None
        newest = self.forecasts.newest(self.today)
        return newest if newest is not None and newest >= self.season.first else None

    @cached_property
    def freeze(self) -> HardFreeze | None:
        """The hard freeze after which nothing of its season is looked for, where it is behind."""
        return hard_freeze(self.known, self.season, self.today)

    @cached_property
    def week(self) -> CurrentWeek:
        """The seven days before today."""
        return current_week(self.series, self.today, self.days_behind, self.climate)
