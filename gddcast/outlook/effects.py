"""What another reading of a card would do to its date, in days, at this place."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

from gddcast.heat.counting import Counting
from gddcast.heat.cutoffs import (
    Cutoff,
    horizontal,
    intermediate,
    no_cutoff,
    vertical,
)
from gddcast.heat.shapes import (
    Shape,
    floor_the_mean,
    floor_the_readings,
    single_sine,
)
from gddcast.journal.clocks import Clock
from gddcast.outlook.dates import Outlook, outlooks
from gddcast.outlook.ensemble import Climate
from gddcast.outlook.forecast import ForecastErrors
from gddcast.weather.series import DailySeries, Season
from gddcast.words import day

_SHAPES = (floor_the_mean, single_sine, floor_the_readings)
_CUTOFFS = (no_cutoff, horizontal, intermediate, vertical)


@dataclass(frozen=True, slots=True)
class Effect:
    """How far dates move if a field is read another way; positive is later.

    ``days`` is None where the other reading never gets there, or the date is not known.
    """

    field: str
    used: str
    instead: str
    days: tuple[int, int] | None


def effects(
    series: DailySeries,
    counting: Counting,
    clock: Clock,
    outlook: Outlook,
    season: Season,
    today: dt.date,
    *,
    fields: tuple[str, ...] = ("starts_from", "shape", "cutoff"),
    climate: Climate | None = None,
    errors: ForecastErrors | None = None,
) -> tuple[Effect, ...]:
    """Effects of reading each of ``fields`` another way.

    Parameters
    ----------
    series : DailySeries
    counting, clock, outlook
        What the date shown was made with.
    season : Season
    today : datetime.date
    fields : tuple of str
        Fields of a published number to vary.
    climate : Climate, optional
        Past seasons laid on this one's calendar, where the caller has them.
    errors : ForecastErrors, optional
        Of the forecast behind the record. Default: the usual ones.
    """
    effects = []
    for name in fields:
        for used, instead, other, start in _readings(name, counting, clock, season):
            (moved,) = outlooks(
                series, other, [outlook.goal],
                start=start, today=today, climate=climate, errors=errors,
            )  # fmt: skip
            effects.append(Effect(name, used, instead, _shift(outlook, moved)))
    return tuple(effects)


def _readings(
    name: str, counting: Counting, clock: Clock, season: Season
) -> Iterator[tuple[str, str, Counting, dt.date]]:
    """Every other reading of one field: used, instead, and what to count with."""
    if name == "starts_from" and clock.kind in ("date", "stand-in"):
        spring = _first_of_spring(season)
        if spring != clock.latest:
            used, instead = (day(each, weekday=False) for each in (clock.latest, spring))
            yield used, instead, counting, spring
    if name == "shape":
        for shape in _SHAPES:
            if shape != counting.shape:
                yield counting.shape.name, shape.name, _with(counting, shape=shape), clock.latest
    if name == "cutoff" and counting.upper != float("inf"):
        for cutoff in _CUTOFFS:
            if cutoff != counting.cutoff:
                other = _with(counting, cutoff=cutoff)
                yield counting.cutoff.name, cutoff.name, other, clock.latest


def _with(
    counting: Counting, *, shape: Shape | None = None, cutoff: Cutoff | None = None
) -> Counting:
    return replace(counting, shape=shape or counting.shape, cutoff=cutoff or counting.cutoff)


def _first_of_spring(season: Season) -> dt.date:
    """1 March, or 1 September where the season begins in July."""
    return season.on(3, 1) if season.first.month < 7 else season.on(9, 1)


def _shift(outlook: Outlook, other: Outlook) -> tuple[int, int] | None:
    """Least and most that the date moves, over the same past years."""
    if outlook.reached and other.reached:
        shift = (other.reached - outlook.reached).days
        return shift, shift
    if outlook.reached:  # the other reading is still on its way
        shifts = [(each - outlook.reached).days for each in other.days]
    elif other.reached:
        shifts = [(other.reached - each).days for each in outlook.days]
    else:
        after = {dot.season: dot.day for dot in other.dots}
        shifts = [
            (later - dot.day).days
            for dot in outlook.dots
            if dot.day is not None and (later := after.get(dot.season)) is not None
        ]
    return (min(shifts), max(shifts)) if shifts else None
