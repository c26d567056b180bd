"""Why a date moved: weather, days revised since, another method or card; told by counting again.

The earlier outlook is made anew and its causes are let in one after another, so that the parts
add up to the whole move whatever they are.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np

from gddcast.counting import Counting
from gddcast.ensemble import FULL, Climate, Steps, climate_of, past_seasons
from gddcast.forecast import ForecastErrors
from gddcast.outlook import Outlook, outlook
from gddcast.season_so_far import known_on
from gddcast.series import DailySeries, Season, season_of

Cause = Literal["revised days", "weather", "method or card"]


@dataclass(frozen=True, slots=True)
class Basis:
    """Everything one outlook was made from.

    Parameters
    ----------
    series : DailySeries
        The record as it stood.
    today : datetime.date
    counting : Counting
    goal : float
        [°C·d]
    start : datetime.date
    """

    series: DailySeries
    today: dt.date
    counting: Counting
    goal: float
    start: dt.date


@dataclass(frozen=True, slots=True)
class Move:
    """What one cause did to the dates; later is above zero.

    Parameters
    ----------
    cause : {"revised days", "weather", "method or card"}
    fastest, middle, slowest : int or None
        Days moved; None where either date can't be said or is not this season.
    """

    cause: Cause
    fastest: int | None
    middle: int | None
    slowest: int | None

    @property
    def moved(self) -> bool:
        """Whether any date moved, came or went."""
        return (self.fastest, self.middle, self.slowest) != (0, 0, 0)


@dataclass(frozen=True, slots=True)
class Change:
    """An outlook beside an earlier one of the same event.

    Parameters
    ----------
    before, after : Outlook
    moves : tuple of Move
        One for each cause, in the order they were let in.
    new_days : (date, date) or None
        Days that became known in between.
    warmth : float or None
        How far their mean temperature lay above what is usual then. [°C]
    """

    before: Outlook
    after: Outlook
    moves: tuple[Move, ...]
    new_days: tuple[dt.date, dt.date] | None
    warmth: float | None


class Climates:
    """Past seasons made ready once for each record and morning that several dates share."""

    def __init__(self, steps: Steps = FULL, errors: ForecastErrors | None = None) -> None:
        self.steps, self.errors = steps, errors
        self._ready: dict[tuple[int, dt.date, Season], tuple[DailySeries, Climate]] = {}

    def of(self, series: DailySeries, today: dt.date, season: Season) -> Climate | None:
        """Past seasons on the calendar of ``season``; None where there are none."""
        which = id(series), today, season
        if which not in self._ready:
            record = known_on(series, today)
            if not past_seasons(record, season):
                return None
            # The series is kept beside its climate, so that no other can get its id.
            self._ready[which] = series, climate_of(record, season, steps=self.steps)
        return self._ready[which][1]


def changed(before: Basis, after: Basis, climates: Climates | None = None) -> Change:
    """Tell the causes of a move apart.

    Parameters
    ----------
    before, after : Basis
    climates : Climates, optional
        Shared by several dates of one record.
    """
    shared = climates or Climates()
    revised = Basis(after.series, before.today, before.counting, before.goal, before.start)
    weather = Basis(after.series, after.today, before.counting, before.goal, before.start)
    first = earlier = _outlook(before, shared)
    causes: tuple[Cause, ...] = ("revised days", "weather", "method or card")
    moves, basis = [], before
    for cause, then in zip(causes, (revised, weather, after), strict=True):
        later = earlier if _alike(basis, then) else _outlook(then, shared)
        moves.append(_move(cause, earlier, later))
        basis, earlier = then, later
    return Change(first, earlier, tuple(moves), *_new_weather(first, earlier, after, shared))


def has_moved(change: Change) -> bool:
    """Whether people are told other days than before."""
    before, after = change.before, change.after
    return (before.fastest, before.slowest) != (after.fastest, after.slowest)


def since(basis: Basis, day: dt.date, climates: Climates | None = None) -> Change:
    """What the weather since ``day`` has moved, where nothing else was kept of that day."""
    before = Basis(basis.series, day, basis.counting, basis.goal, basis.start)
    return changed(before, basis, climates)


def _alike(one: Basis, other: Basis) -> bool:
    """Whether two bases make the same outlook."""
    return one.series is other.series and (one.today, one.counting, one.goal, one.start) == (
        other.today, other.counting, other.goal, other.start
    )  # fmt: skip


def _outlook(basis: Basis, climates: Climates) -> Outlook:
    season = season_of(basis.start, basis.series.place.season_begins)
    return outlook(
        basis.series, basis.counting, basis.goal,
        start=basis.start, today=basis.today, steps=climates.steps,
        climate=climates.of(basis.series, basis.today, season), errors=climates.errors,
    )  # fmt: skip


def _move(cause: Cause, before: Outlook, after: Outlook) -> Move:
    def days(early: dt.date | None, late: dt.date | None) -> int | None:
        if early is None or late is None:
            return 0 if early is late else None
        return (late - early).days

    return Move(
        cause,
        days(before.fastest, after.fastest),
        days(before.reached or before.middle, after.reached or after.middle),
        days(before.slowest, after.slowest),
    )


def _new_weather(
    before: Outlook, after: Outlook, basis: Basis, climates: Climates
) -> tuple[tuple[dt.date, dt.date] | None, float | None]:
    """Days that became known, and how warm they were beside the usual."""
    first = before.through + dt.timedelta(days=1)
    if after.through < first:
        return None, None
    season = season_of(after.through, basis.series.place.season_begins)
    climate = climates.of(basis.series, basis.today, season)
    if climate is None:
        return (first, after.through), None
    record = climate.record
    days = slice(max(record.index(first), 0), record.index(after.through) + 1)
    unlike = climate.anomalies[:, days].mean(axis=0)
    known = unlike[~np.isnan(unlike)]
    warmth = float(known.mean()) if known.size and climate.members else None
    return (first, after.through), warmth
