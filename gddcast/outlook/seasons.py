"""One season beside the others: the same sum, counted alike, on the same calendar days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting, counting_wanted
from gddcast.heat.thermal_time import day_reached, running_heat
from gddcast.journal.entries import Bracket
from gddcast.outlook.dates import Outlook, outlooks
from gddcast.outlook.mixture import Mixture, mixture
from gddcast.outlook.season_so_far import record_on
from gddcast.units import rounded
from gddcast.weather.calendar_day import date_in
from gddcast.weather.series import DailySeries, HasSeries, Season, season_of, series_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeasonHeat:
    """Running sum of one season; NaN from its first unknown day on. [°C·d]"""

    season: Season
    heat: Array
    unknown: int  # days of the season so far, or of the whole of a past one, that are unknown

    def __repr__(self) -> str:
        total = self.heat[-1] if self.heat.size else 0.0
        return f"<SeasonHeat {self.season.name}: {total:.1f} °C·d by day {self.heat.size}>"

    def to_frame(self) -> pd.DataFrame:
        """Table with days as index and the running sum ``sum`` [°C·d]."""
        import pandas as pd

        days = pd.date_range(self.season.first, periods=self.heat.size, name="day")
        return pd.DataFrame({"sum": self.heat}, index=days)

    def through(self, day: dt.date) -> float:
        """Sum through a calendar day, given in any season; NaN where it is not known."""
        own = self.season.on(day.month, day.day)
        index = (own - self.season.first).days
        return float(self.heat[index]) if index < self.heat.size else float("nan")

    def reached(self, goal: float) -> dt.date | None:
        """Day on which the season's own sum reached a goal, if it did and is known to have."""
        time = float(day_reached(self.heat, goal)) if self.heat.size else float("nan")
        if not np.isfinite(time):
            return None
        return self.season.first + dt.timedelta(days=max(int(np.ceil(time)) - 1, 0))


@dataclass(frozen=True, slots=True)
class Standing:
    """How warm this season has been so far, beside the past ones.

    ``rank`` counts from the warmest; ``days_ahead`` compares with the day on which the middle
    past season had as much heat (negative: behind). Unfair seasons are left out and named.
    """

    season: Season
    through: dt.date
    heat: float
    rank: int | None
    compared: int
    middle: float | None
    days_ahead: int | None
    left_out: tuple[str, ...]

    @property
    def has_begun(self) -> bool:
        """Whether there is heat to compare: a rank among nothings would say a lot."""
        return self.heat > 0.0 or bool(self.middle)


def season_heats(
    series: DailySeries | HasSeries, counting: Counting, start: tuple[int, int] | None = None
) -> tuple[SeasonHeat, ...]:
    """Running heat of every season of a series, oldest first.

    Parameters
    ----------
    series : DailySeries
    counting : Counting
    start : tuple of int, optional
        Month and day on which the sums start; default the first day of the season.
    """
    series = series_of(series)
    daily = counting_wanted(counting).daily(series)
    heats = []
    for season in series.seasons():
        begin, end = series.index(season.first), min(series.index(season.last) + 1, len(series))
        own = daily[max(begin, 0) : end]
        if begin < 0:  # the record starts inside this season: what came before is unknown
            own = np.concatenate([np.full(-begin, np.nan), own])
        first = (season.on(*start) - season.first).days if start else 0
        counted = own[first:]
        heats.append(SeasonHeat(season, running_heat(own, first), int(np.isnan(counted).sum())))
    return tuple(heats)


@dataclass(frozen=True, slots=True)
class SeasonCurves:
    """Running sums to be drawn over each other.

    ``fastest`` and ``slowest`` are the ends of the whole past seasons: by the day on which they
    had the goal, else what this season has so far, else by their heat at the season's end; None
    below two of them. ``forecast`` is this season's sum with the forecast days behind it.
    """

    current: SeasonHeat | None
    past: tuple[SeasonHeat, ...]
    fastest: SeasonHeat | None
    slowest: SeasonHeat | None
    forecast: SeasonHeat | None = None

    @property
    def every(self) -> tuple[SeasonHeat, ...]:
        """All of them, oldest first."""
        return (*self.past, *((self.current,) if self.current else ()))

    @property
    def whole(self) -> list[SeasonHeat]:
        """Past seasons with all their days: only these are counted."""
        return [each for each in self.past if whole_sum(each) is not None]


def season_curves(
    series: DailySeries,
    counting: Counting,
    season: Season,
    *,
    start: tuple[int, int] | None = None,
    goal: float | None = None,
) -> SeasonCurves:
    """Running sums of one season and of those before it.

    Parameters
    ----------
    series : DailySeries
        Days known so far; short gaps patched.
    counting : Counting
    season : Season
        The one under way.
    start : tuple of int, optional
        Month and day on which the sums start; default the first day of the season.
    goal : float, optional
        Sum by whose day fastest and slowest are told; default what ``season`` has. [°C·d]
    """
    heats = season_heats(series, counting, start) if len(series) else ()
    past = tuple(each for each in heats if each.season.first < season.first)
    current = next((each for each in heats if each.season == season), None)
    if goal is None and current is not None and current.heat.size and current.heat[-1] > 0.0:
        goal = float(current.heat[-1])

    def pace(season: SeasonHeat) -> tuple[float, float]:
        time = np.inf if goal is None else float(day_reached(season.heat, goal))
        return time, -season.heat[-1]

    whole = sorted((each for each in past if whole_sum(each) is not None), key=pace)
    fastest, slowest = (whole[0], whole[-1]) if len(whole) > 1 else (None, None)
    return SeasonCurves(current, past, fastest, slowest)


def whole_sum(season: SeasonHeat) -> float | None:
    """Heat of a whole season; None where some of its days are not known. [°C·d]"""
    whole = season.heat.size == season.season.days and np.isfinite(season.heat[-1])
    return float(season.heat[-1]) if whole else None


def standing(
    series: DailySeries, counting: Counting, today: dt.date, start: tuple[int, int] | None = None
) -> Standing | None:
    """Where this season stands through the last known day before ``today``.

    None where this season's own sum is not known.
    """
    known = series.before(today)
    if not len(known):
        return None
    season = season_of(today, series.place.season_begins)
    *past, current = season_heats(known, counting, start)
    if current.season != season or not np.isfinite(current.heat[-1]):
        return None
    heat, through = float(current.heat[-1]), known.last
    then = [(each, each.through(through)) for each in past]
    fair = [each for each, sum_then in then if np.isfinite(sum_then)]
    sums = np.array([sum_then for _, sum_then in then if np.isfinite(sum_then)])
    left_out = tuple(each.season.name for each in past if each not in fair)
    if not fair:
        return Standing(season, through, heat, None, 0, None, None, left_out)
    rank = 1 + int((sums > heat).sum())
    return Standing(
        season, through, heat, rank, len(fair) + 1, float(np.median(sums)),
        _days_ahead(fair, heat, through), left_out,
    )  # fmt: skip


def _days_ahead(past: list[SeasonHeat], heat: float, through: dt.date) -> int | None:
    if heat <= 0.0:  # every season has none on its first day
        return None
    days = [
        (day - date_in(each.season.first.year, 1, 1)).days if day else np.inf
        for each in past
        # A season that ended before it had as much is later than all; an unknown one is neither.
        if (day := each.reached(heat)) is not None or whole_sum(each) is not None
    ]
    middle = float(np.median(days)) if len(days) >= len(past) / 2 else np.inf
    if not np.isfinite(middle):
        return None
    first = past[0].season.first
    own_year = through.year - (through < date_in(through.year, first.month, first.day))
    now = (through - dt.date(own_year, 1, 1)).days
    return int(rounded(middle)) - now


def days_ahead_by_day(curves: SeasonCurves) -> Array:
    """How far each day of this season is ahead of the middle past one, as `Standing` counts it.

    Parameters
    ----------
    curves : SeasonCurves

    Returns
    -------
    ndarray, shape (days,)
        Negative: behind. NaN on days without heat, and where under half of the past seasons, or
        their middle one never, had as much. [d]
    """
    current = curves.current
    if current is None or not curves.past:
        return np.full(0 if current is None else current.heat.size, np.nan)
    heat = current.heat
    known = np.isfinite(heat) & (heat > 0.0)
    ahead = np.full(heat.size, np.nan)
    goals = heat[known]
    if not goals.size:
        return ahead
    times = np.array([day_reached(each.heat, goals) for each in curves.past if each.heat.size])
    ended = [whole_sum(each) is not None for each in curves.past if each.heat.size]
    days = np.maximum(np.ceil(times) - 1.0, 0.0)
    # A season that ended before it had as much is later than all; an unknown one is neither.
    days[np.isinf(times) & ~np.array(ended)[:, None]] = np.nan
    counted = np.isfinite(days) | np.isinf(days)
    enough = counted.sum(axis=0) >= len(days) / 2
    own = np.flatnonzero(known)
    middle = np.full(goals.size, np.nan)
    middle[enough] = np.nanmedian(days[:, enough], axis=0)
    middle[~np.isfinite(middle)] = np.nan
    ahead[own] = np.array([rounded(each) for each in middle]) - own
    return ahead


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One season of a comparison; None where a day has not come, or its sum is not known."""

    season: Season
    sums: tuple[float | None, ...]  # as each fixed day begins [°C·d]
    through: float | None  # on the evening all seasons are ranked by [°C·d]
    rank: int | None  # 1 is the warmest
    reached: tuple[dt.date | None, ...]
    bracket: Bracket | None
    ahead: tuple[Outlook | None, ...] = ()  # of this season's goals that are still to come
    mixed: Mixture | None = None  # between the first and the last of them

    @property
    def lag(self) -> int | None:
        """Days from the last goal's date to the find; negative where it was seen before."""
        if self.bracket is None or not self.reached or self.reached[-1] is None:
            return None
        return (self.bracket.found_on - self.reached[-1]).days


@dataclass(frozen=True, slots=True)
class Comparison:
    """Seasons beside each other; those with an unknown day are left out, with their number."""

    counting: Counting
    goals: tuple[float, ...]
    fixed: tuple[tuple[int, int], ...]
    ranked_on: dt.date
    rows: tuple[SeasonRow, ...]
    left_out: tuple[tuple[str, int], ...]
    standing: Standing | None


def fixed_days(begins: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """First days of the fifth to the eighth month of a season.

    Examples
    --------
    >>> fixed_days((7, 1))
    ((11, 1), (12, 1), (1, 1), (2, 1))
    """
    return tuple(((begins[0] + ahead) % 12 + 1, 1) for ahead in (3, 4, 5, 6))


def compare_seasons(
    series: DailySeries,
    counting: Counting,
    today: dt.date,
    *,
    goals: tuple[float, ...] = (),
    start: tuple[int, int] | None = None,
    find_of: Callable[[Season], Bracket | None] = lambda _: None,
) -> Comparison:
    """Every season's sums on the same calendar days, counted in the same way.

    Parameters
    ----------
    series : DailySeries
        Short gaps patched; days from ``today`` on are looked at as a forecast only.
    counting : Counting
    today : datetime.date
    goals : tuple of float, optional
        Sums whose days are wanted. [°C·d]
    start : tuple of int, optional
        Month and day on which the sums start; default the first day of the season.
    find_of : callable, optional
        What was first seen in a season.
    """
    known = record_on(series, today)
    heats = season_heats(known, counting, start)

    def between(season: SeasonHeat) -> Mixture | None:
        if season.season != current or len(goals) < 2:
            return None
        first = season.season.on(*start) if start else season.season.first
        return mixture(series, counting, (goals[0], goals[-1]), (first, first), today=today)

    fixed = fixed_days(series.place.season_begins)
    current = season_of(today, series.place.season_begins)
    is_fair = [each.season == current or each.unknown == 0 for each in heats]
    fair = [each for each, good in zip(heats, is_fair, strict=True) if good and _is_whole(each)]
    left_out = tuple((each.season.name, each.unknown) for each in heats if each not in fair)
    ranked_on = known.last if fair and fair[-1].season == current else current.on(*fixed[-1])
    sums = [each.through(ranked_on) for each in fair]
    # By that day a season may be known whose later days are not: it is left out, and has a rank.
    every = [each.through(ranked_on) for each in heats]
    rows = tuple(
        SeasonRow(
            each.season,
            tuple(_known(_at_dawn(each, month, day)) for month, day in fixed),
            _known(own),
            1 + sum(other > own for other in every) if np.isfinite(own) else None,
            tuple(each.reached(goal) for goal in goals),
            find_of(each.season),
            _ahead(series, counting, goals, each, today, start) if each.season == current else (),
            between(each),
        )
        for each, own in zip(fair, sums, strict=True)
    )
    stands = standing(known, counting, today, start) if heats else None
    return Comparison(counting, goals, fixed, ranked_on, rows, left_out, stands)


def _ahead(
    series: DailySeries,
    counting: Counting,
    goals: tuple[float, ...],
    now: SeasonHeat,
    today: dt.date,
    start: tuple[int, int] | None,
) -> tuple[Outlook | None, ...]:
    """The outlook of each goal this season has not reached."""
    missing = [goal for goal in goals if now.reached(goal) is None]
    first = now.season.on(*start) if start else now.season.first
    found = outlooks(series, counting, missing, start=first, today=today) if missing else ()
    by_goal = dict(zip(missing, found, strict=True))
    return tuple(by_goal.get(goal) for goal in goals)


def _is_whole(season: SeasonHeat) -> bool:
    return bool(season.heat.size and np.isfinite(season.heat[-1]))


def _at_dawn(season: SeasonHeat, month: int, day: int) -> float:
    """Sum as a calendar day begins: through the day before."""
    index = (season.season.on(month, day) - season.season.first).days - 1
    return float(season.heat[index]) if index < season.heat.size else float("nan")


def _known(value: float) -> float | None:
    return value if np.isfinite(value) else None
