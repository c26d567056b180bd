"""From a record made ready, cards and a journal to the scouting windows of a season.

Nothing here does arithmetic of its own; it hands each thing to the room that knows it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from gddcast.cards.model import Card
from gddcast.heat.counting import AS_PUBLISHED, Overrule
from gddcast.journal.entries import Journal
from gddcast.outlook.current_week import LATE_DAYS, CurrentWeek
from gddcast.outlook.effects import Effect, effects
from gddcast.outlook.ensemble import Climate
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.outlook.forecast_gate import GatedForecast
from gddcast.outlook.seasons import Standing, standing
from gddcast.quality.verdict import Verdict
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.today.closing import closed
from gddcast.today.cue_windows import cue_window
from gddcast.today.day_counts import day_windows
from gddcast.today.garden import Garden
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.season_sum import SeasonSum, sum_of_season
from gddcast.today.sum_windows import sum_windows
from gddcast.today.watching import WatchList, watch_list
from gddcast.weather.calendar_day import DateLike, date_of
from gddcast.weather.gaps import SHORT
from gddcast.weather.series import DailySeries, HasSeries, Origin, Place, Season, series_of
from gddcast.words import Status

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """Everything the faces show of one place on one day."""

    place: Place
    season: Season
    today: dt.date
    through: dt.date
    series: DailySeries
    verdict: Verdict
    windows: tuple[ScoutingWindow, ...]
    standing: Standing | None
    season_sum: SeasonSum  # what ``standing`` is counted by
    watching: WatchList = field(repr=False)
    overrule: Overrule
    patched: int  # days of this season so far
    forecast: int  # days from today on
    missing: int  # days of this season so far
    week: CurrentWeek = field(repr=False)  # the seven days before today
    notes: tuple[str, ...] = field(default=())
    climate: Climate | None = field(default=None, repr=False)  # past seasons, to look ahead with
    errors: ForecastErrors | None = field(default=None, repr=False)  # of its forecast
    gate: GatedForecast | None = field(default=None, repr=False)  # whether that can be of here
    old_forecast: dt.date | None = None  # issue of the newest, where it says nothing of what comes

    @property
    def watched(self) -> tuple[str, ...]:
        """Keys of the cards watched."""
        return self.watching.keys

    @property
    def watches_all(self) -> bool:
        """Whether every card is, because nobody said what to watch."""
        return self.watching.basis == "every card"

    @property
    def days_behind(self) -> int:
        """Days before today that its weather has yet to reach. [d]"""
        return max((self.today - self.through).days - 1, 0)

    @property
    def is_stale(self) -> bool:
        """Whether too many days are not in yet to say that nothing is due."""
        return self.days_behind > LATE_DAYS

    def __repr__(self) -> str:
        now = sum(each.status in (Status.LOOK_NOW, Status.OVERDUE) for each in self.windows)
        return (
            f"<SeasonPlan of {self.place.name} on {self.today}: "
            f"{len(self.windows)} stages, {now} to look for now>"
        )

    def to_frame(self) -> pd.DataFrame:
        """Table with one row a stage, most pressing first; a day that can't be said is NaT."""
        import pandas as pd

        table = pd.DataFrame(
            [
                {
                    "organism": each.card.key, "stage": each.event.key,
                    "status": each.status.key, "look_from": each.opens,
                    "fastest": each.fastest, "slowest": each.slowest,
                    "past_years": len(each.late.dots) if each.late else 0,
                    "reason": each.reason,
                }
                for each in self.windows
            ]
        )  # fmt: skip
        for name in ("look_from", "fastest", "slowest"):
            if name in table:
                table[name] = pd.to_datetime(table[name])
        return table


def season_plan(
    series: DailySeries | HasSeries,
    cards: Mapping[str, Card],
    today: DateLike,
    *,
    watch: str | Iterable[str] | None = None,
    journal: Journal | None = None,
    habits: Habits | None = None,
    overrule: Overrule | None = None,
    patch_up_to: int = SHORT,
    forecasts: ForecastArchive | None = None,
) -> SeasonPlan:
    """Scouting windows of every watched stage.

    Parameters
    ----------
    series : DailySeries
        Days measured, patched or forecast. Days measured on or after ``today`` are hidden.
    cards : mapping of str to Card
        By key.
    today : datetime.date
        Today at the place.
    watch : str or iterable of str, optional
        Cards by key or by name; default every card that has a date or a cue.
    journal : Journal, optional
        Finds, clean looks, sowings, jobs.
    habits : Habits, optional
    overrule : Overrule, optional
    patch_up_to : int, default: 5
        Longest gap filled by a straight line and marked; longer ones stay unknown. [d]
    forecasts : ForecastArchive, optional
        Past forecasts of this place: how far they were off is what its forecast is trusted by.

    Returns
    -------
    SeasonPlan

    Raises
    ------
    ArgumentRefusal
        If a name in ``watch`` is of no card.
    """
    practice = Practice(
        watch=(watch,) if isinstance(watch, str) else None if watch is None else tuple(watch),
        habits=habits or Habits(),
        overrule=overrule or AS_PUBLISHED,
    )
    record = Record(series_of(series), date_of(today), patch_up_to, forecasts)
    return plan_of(record, cards, journal or Journal(), practice)


def plan_of(
    record: Record, cards: Mapping[str, Card], journal: Journal, practice: Practice
) -> SeasonPlan:
    """The plan of a record made ready; see `season_plan`."""
    watching = watch_list(practice, cards, journal, record.season)
    chosen = watching.cards
    garden = Garden(record, cards, journal, practice)
    windows = sum_windows(chosen, garden)
    windows += [window for card in chosen for window in day_windows(card, windows, garden)]
    windows += [cue_window(card, cue, garden) for card in chosen for cue in card.cues]
    windows = [closed(window, garden) for window in windows]
    sum_ = sum_of_season(watching.named, record.place, practice.overrule)
    so_far = record.known.between(record.season.first, record.known.last)
    return SeasonPlan(
        place=record.place,
        season=record.season,
        today=record.today,
        through=record.through,
        series=record.series,
        verdict=record.verdict,
        windows=tuple(sorted(windows, key=_pressing)),
        standing=standing(record.known, sum_.counting, record.today, sum_.start),
        season_sum=sum_,
        watching=watching,
        overrule=practice.overrule,
        patched=so_far.count(Origin.PATCHED),
        forecast=record.series.count(Origin.FORECAST),
        missing=so_far.missing,
        week=record.week,
        climate=record.climate,
        errors=record.errors,
        gate=record.gate,
        old_forecast=record.old_forecast,
    )


def other_readings(plan: SeasonPlan, window: ScoutingWindow) -> tuple[Effect, ...]:
    """What every other start, day shape and cut-off would do to a window's date.

    Nothing for an own number: it would have been fitted to the other reading.
    """
    if window.counting is None or window.clock is None or window.late is None or window.own_finds:
        return ()
    return effects(
        plan.series, window.counting, window.clock, window.late, plan.season, plan.today,
        climate=plan.climate, errors=plan.errors,
    )  # fmt: skip


def _pressing(window: ScoutingWindow) -> tuple[int, dt.date, str]:
    """Most pressing first: status, then day, then name."""
    day = window.opens or dt.date.max
    return list(Status).index(window.status), day, window.card.key
