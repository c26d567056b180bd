"""Why a date moved: weather, its forecast, days revised since, another method; by counting again.

The earlier dates are made anew and their causes are let in one after another, so that the parts
add up to the whole move whatever they are. What people were told and counting again does not find
is another method or card.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import Outlook, outlook_of
from gddcast.outlook.ensemble import Climate, climate_of, past_seasons
from gddcast.outlook.forecast import ForecastErrors
from gddcast.outlook.forecast_archive import with_forecasts_of
from gddcast.outlook.season_so_far import known_on
from gddcast.weather.gaps import on_days_of
from gddcast.weather.series import DailySeries, Origin, season_of

# Closer than this two readings are the same. [°C]
_SAME = 1e-6

Cause = Literal["method or card", "revised days", "weather", "forecast"]
#: In the order in which they are let in.
CAUSES: tuple[Cause, ...] = ("method or card", "revised days", "weather", "forecast")


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of a record: when heat counted in one way comes to both ends of a goal.

    Parameters
    ----------
    counting : Counting
    low, high : (float, datetime.date)
        Goal [°C·d] and first day counted, of the early and of the late end; the same for a single
        number from a single day.
    """

    counting: Counting
    low: tuple[float, dt.date]
    high: tuple[float, dt.date]


@dataclass(frozen=True, slots=True, eq=False)
class Morning:
    """What there was to go by on one morning.

    Parameters
    ----------
    series : DailySeries
        The record, with its forecast behind it.
    today : datetime.date
    climate : Climate, optional
        Past seasons on the calendar of the season asked about. Default: made where needed.
    errors : ForecastErrors, optional
        Of its forecast.
    """

    series: DailySeries
    today: dt.date
    climate: Climate | None = None
    errors: ForecastErrors | None = None

    @property
    def through(self) -> dt.date:
        """Last day known that morning."""
        past = self.series.before(self.today)
        known = np.flatnonzero(past.known & (past.origin != Origin.FORECAST))
        return past.date(int(known[-1]) if known.size else -1)

    def ready(self, start: dt.date) -> Morning:
        """With the past seasons of the season that ``start`` lies in."""
        season = season_of(start, self.series.place.season_begins)
        if self.climate is not None and self.climate.season == season:
            return self
        record = known_on(self.series, self.today)
        has_past = bool(past_seasons(record, season))
        return replace(self, climate=climate_of(record, season) if has_past else None)


@dataclass(frozen=True, slots=True)
class Dates:
    """What one morning said: the day of the fastest year, the middle, the slowest.

    ``slowest`` is None where in some years it does not come at all; ``last`` is then the latest
    day of the others. All but ``reached`` are that day once the whole goal was reached.
    """

    fastest: dt.date | None
    middle: dt.date | None
    slowest: dt.date | None
    last: dt.date | None
    reached: dt.date | None = None

    @classmethod
    def of(cls, early: Outlook, late: Outlook) -> Dates:
        """Of the outlooks of both ends."""
        last = late.slowest or (late.days[-1] if late.days else None)
        return cls(early.fastest, late.reached or late.middle, late.slowest, last, late.reached)


@dataclass(frozen=True, slots=True)
class Move:
    """What one cause did to the dates; later is above zero.

    Parameters
    ----------
    cause : {"method or card", "revised days", "weather", "forecast"}
    fastest, middle, slowest : int or None
        Days moved; None where either date can't be said or is not this season.
    """

    cause: Cause
    fastest: int | None
    middle: int | None
    slowest: int | None

    @property
    def is_shift(self) -> bool:
        """Whether any date moved, came or went."""
        return (self.fastest, self.middle, self.slowest) != (0, 0, 0)


@dataclass(frozen=True, slots=True)
class Change:
    """Dates beside those of an earlier day.

    Parameters
    ----------
    day : datetime.date
        The earlier one.
    before, after : Dates
        ``before`` as people were told, where they were.
    moves : tuple of Move
        One for each of `CAUSES`.
    new_days : (date, date) or None
        Days that became known in between.
    warmth : float or None
        How far their mean temperature lay above what was foretold of them, or is usual then. [°C]
    foretold : bool
        Whether it is held against a forecast.
    revised : tuple of date
        Days known before whose readings are others now, or gone.
    opens : (date, date) or None
        Day to start looking, as people were told, and now; where that became later.
    announced : bool
        Whether ``before`` is what people were told.
    forecast : {"none", "old", "new"}
        Whether there is one now, and whether it says anything that was not said then.
    """

    day: dt.date
    before: Dates
    after: Dates
    moves: tuple[Move, ...]
    new_days: tuple[dt.date, dt.date] | None = None
    warmth: float | None = None
    foretold: bool = False
    revised: tuple[dt.date, ...] = ()
    opens: tuple[dt.date, dt.date] | None = None
    announced: bool = False
    forecast: Literal["none", "old", "new"] = "none"


def changed(
    before: Morning, after: Morning, question: Question, *, then: Dates | None = None
) -> Change:
    """Tell the causes of a move apart.

    Parameters
    ----------
    before, after : Morning
    question : Question
        As it is asked today.
    then : Dates, optional
        What people were told on the earlier morning. Default: what counting again finds.
    """
    steps = _steps(before, after, question)
    counted = dates_on(before, question)
    # Nobody is told the middle.
    was = counted if then is None else replace(then, middle=counted.middle)
    moves = [_move(CAUSES[0], was, counted)]
    morning, earlier = before, counted
    for cause, step in zip(CAUSES[1:], steps, strict=True):
        later = earlier if step is morning else dates_on(step, question)
        moves.append(_move(cause, earlier, later))
        morning, earlier = step, later
    new_days, warmth, foretold = _new_weather(before, after)
    return Change(
        before.today, was, earlier, tuple(moves), new_days, warmth, foretold,
        revised_days(before, after), announced=then is not None, forecast=_news(before, after),
    )  # fmt: skip


def is_move(change: Change) -> bool:
    """Whether people are told other days than before; a date that came when foretold is no move."""
    before, after = change.before, change.after
    if after.reached is None or before.reached is not None:
        return (before.fastest, before.slowest) != (after.fastest, after.slowest)
    early = before.fastest is None or after.reached < before.fastest
    return early or (before.slowest is not None and after.reached > before.slowest)


def dates_on(morning: Morning, question: Question) -> Dates:
    """What a morning says of both ends."""
    morning = morning.ready(question.high[1])
    ends = [
        outlook_of(
            morning.series, question.counting, goal, start=start, today=morning.today,
            climate=morning.climate, errors=morning.errors,
        )
        for goal, start in dict.fromkeys((question.low, question.high))
    ]  # fmt: skip
    return Dates.of(ends[0], ends[-1])


def revised_days(before: Morning, after: Morning) -> tuple[dt.date, ...]:
    """Days known on the earlier morning whose readings are others now, or gone.

    Days that were unknown and have come in are news, not changes.
    """
    then = before.series.between(before.series.first, before.through)
    now = on_days_of(then, after.series.between(after.series.first, after.through))
    return tuple(then.date(int(at)) for at in np.flatnonzero(then.known & ~_alike(then, now)))


def _alike(one: DailySeries, other: DailySeries) -> NDArray[np.bool_]:
    """Days on which two series of the same days say the same; unknown is the same as unknown."""
    pairs = ((one.tmin, other.tmin), (one.tmax, other.tmax))
    low, high = (np.isclose(a, b, rtol=0, atol=_SAME, equal_nan=True) for a, b in pairs)
    return np.asarray(low & high)


def _steps(before: Morning, after: Morning, question: Question) -> tuple[Morning, ...]:
    """The mornings between: its days as they read now; then those since; then its forecast."""
    start = question.high[1]
    if before.through > after.through:
        return before, after, after
    after = after.ready(start)
    record = after.series.between(after.series.first, before.through)
    revised = before
    if not same_record(record, before.series.between(before.series.first, before.through)):
        # Past seasons are those of today: they are part of what was revised.
        revised = replace(
            before, series=with_forecasts_of(record, before.series), climate=after.climate
        )
    weather = revised
    if after.through > before.through or after.today > before.today:
        known = after.series.between(after.series.first, after.through)
        weather = replace(after, series=with_forecasts_of(known, before.series))
    if _forecast(weather) == _forecast(after):
        weather = after
    return revised, weather, after


def same_record(one: DailySeries, other: DailySeries) -> bool:
    """Whether two records hold the same days and readings."""
    return one.first == other.first and len(one) == len(other) and bool(_alike(one, other).all())


def _forecast(morning: Morning) -> list[tuple[dt.date, float, float]]:
    """Its forecast, day by day."""
    series = morning.series
    at = np.flatnonzero((series.origin == Origin.FORECAST) & series.known)
    return [(series.date(int(day)), series.tmin[day], series.tmax[day]) for day in at]


def _news(before: Morning, after: Morning) -> Literal["none", "old", "new"]:
    now = set(_forecast(after))
    if not now:
        return "none"
    return "old" if now <= set(_forecast(before)) else "new"


def _move(cause: Cause, before: Dates, after: Dates) -> Move:
    def days(early: dt.date | None, late: dt.date | None) -> int | None:
        if early is None or late is None:
            return 0 if early is late else None
        return (late - early).days

    return Move(
        cause,
        days(before.fastest, after.fastest),
        days(before.middle, after.middle),
        days(before.slowest, after.slowest),
    )


def _new_weather(
    before: Morning, after: Morning
) -> tuple[tuple[dt.date, dt.date] | None, float | None, bool]:
    """Days that became known, and how warm they were beside their forecast, or the usual."""
    first, last = before.through + dt.timedelta(days=1), after.through
    if last < first:
        return None, None, False
    came = after.series.between(first, last)
    mean = (came.tmin + came.tmax) / 2.0
    daily_series = before.series.between(first, last)
    if len(daily_series) == len(came) and bool((daily_series.origin == Origin.FORECAST).all()):
        unlike, foretold = mean - (daily_series.tmin + daily_series.tmax) / 2.0, True
    else:
        climate, foretold = after.climate, False
        if climate is None or not climate.members:
            return (first, last), None, False
        # Days known before the record began have no place in it.
        begin, end = climate.record.index(first), climate.record.index(last) + 1
        unlike = climate.anomalies[:, max(begin, 0) : end].mean(axis=0)
    known = unlike[~np.isnan(unlike)]
    return (first, last), float(known.mean()) if known.size else None, foretold
