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
from gddcast.ensemble import FULL, Steps, climate_of, past_seasons
from gddcast.outlook import Outlook, outlook
from gddcast.season_so_far import known_on
from gddcast.series import DailySeries, season_of

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


def changed(before: Basis, after: Basis, *, steps: Steps = FULL) -> Change:
    """Tell the causes of a move apart.

    Parameters
    ----------
    before, after : Basis
    steps : Steps, default: FULL
    """
    revised = Basis(after.series, before.today, before.counting, before.goal, before.start)
    weather = Basis(after.series, after.today, before.counting, before.goal, before.start)
    first, *rest = (_outlook(each, steps) for each in (before, revised, weather, after))
    causes: tuple[Cause, ...] = ("revised days", "weather", "method or card")
    moves, earlier = [], first
    for cause, later in zip(causes, rest, strict=True):
        moves.append(_move(cause, earlier, later))
        earlier = later
    return Change(first, earlier, tuple(moves), *_new_weather(first, earlier, after, steps))


def since(basis: Basis, day: dt.date, *, steps: Steps = FULL) -> Change:
    """What the weather since ``day`` has moved, where nothing else was kept of that day."""
    before = Basis(basis.series, day, basis.counting, basis.goal, basis.start)
    return changed(before, basis, steps=steps)


def _outlook(basis: Basis, steps: Steps) -> Outlook:
    return outlook(
        basis.series, basis.counting, basis.goal,
        start=basis.start, today=basis.today, steps=steps,
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
    before: Outlook, after: Outlook, basis: Basis, steps: Steps
) -> tuple[tuple[dt.date, dt.date] | None, float | None]:
    """Days that became known, and how warm they were beside the usual."""
    first = before.through + dt.timedelta(days=1)
    if after.through < first:
        return None, None
    record = known_on(basis.series, basis.today)
    season = season_of(after.through, record.place.season_begins)
    if not past_seasons(record, season):
        return (first, after.through), None
    climate = climate_of(record, season, steps=steps)
    days = slice(max(record.index(first), 0), record.index(after.through) + 1)
    unlike = climate.anomalies[:, days].mean(axis=0)
    known = unlike[~np.isnan(unlike)]
    warmth = float(known.mean()) if known.size and climate.members else None
    return (first, after.through), warmth
