"""Where each day of a record comes from: service, when issued, when fetched, where its days end.

A record may be put together from several sources, but each day is the word of one of them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.heat.counting import Counting
from gddcast.weather.gaps import on_days_of
from gddcast.weather.series import DailySeries, Origin, season_of

#: Index of a day that no source knows.
NOBODY = -1

# Two readings this close are the same number written twice. [°C]
_SAME = 0.051


@dataclass(frozen=True, slots=True)
class Provenance:
    """One source of days.

    Parameters
    ----------
    key : str
        Short name that stands beside each of its days.
    service : str
        Who answered, for people.
    what : str
        Station or grid cell, for people.
    day : str
        What it calls a day.
    terms : str
        Attribution and licence: goes wherever the numbers go.
    fetched : datetime.datetime
        When the answer was got, with its zone.
    issued : datetime.datetime, optional
        When the service made it, where it says so.
    stale : str, optional
        Why an older answer is used; None where the answer is as fresh as it should be.
    """

    key: str
    service: str
    what: str
    day: str
    terms: str
    fetched: dt.datetime
    issued: dt.datetime | None = None
    stale: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Sourced:
    """A record whose every known day names its source.

    Parameters
    ----------
    series : DailySeries
    sources : tuple of Provenance
    of_day : array_like of int, shape (days,)
        Index into ``sources``; ``NOBODY`` where the day is unknown.
    notes : tuple of str
        What happened on the way, one sentence each.

    Examples
    --------
    >>> made = dt.datetime(2026, 6, 1, tzinfo=dt.UTC)
    >>> source = Provenance("st", "a service", "a station", "midnight to midnight", "free", made)
    >>> record = Sourced.of(DailySeries(dt.date(2026, 5, 1), [4.0, np.nan], [9.0, 9.0]), source)
    >>> record.of_day
    array([ 0, -1], dtype=int8)
    """

    series: DailySeries
    sources: tuple[Provenance, ...]
    of_day: NDArray[np.int8]
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        of_day = np.array(self.of_day, dtype=np.int8)
        if of_day.shape != (len(self.series),):
            raise ArgumentRefusal(
                "the sources of this record",
                f"they have shape {of_day.shape}",
                f"One source a day is needed: {len(self.series)} of them.",
                "Give one index a day.",
            )
        of_day.flags.writeable = False
        object.__setattr__(self, "of_day", of_day)

    @classmethod
    def of(cls, series: DailySeries, source: Provenance, notes: tuple[str, ...] = ()) -> Sourced:
        """A record of one source."""
        return cls(series, (source,), np.where(series.known, 0, NOBODY), notes)

    def key_on(self, index: int) -> str:
        """Key of the source of one day; empty where nobody knows it."""
        at = int(self.of_day[index])
        return "" if at == NOBODY else self.sources[at].key

    def and_notes(self, *notes: str) -> Sourced:
        """The same record with more said about it."""
        return replace(self, notes=(*self.notes, *notes))


@dataclass(frozen=True, slots=True)
class Revision:
    """How the past days of a record differ from those of an earlier fetch.

    Parameters
    ----------
    changed : int
        Past days known both times with other readings.
    first, last : datetime.date, optional
        Between which they lie.
    worst : datetime.date, optional
        Day that moved most.
    worst_by : float
        By how much one of its readings moved. [°C]
    heat : float
        What the change does to the heat above 10 °C of the season of the last changed day, up to
        its last known day. [°C·d]
    lost : int
        Days known before and no longer given.
    came : int
        Days that were a forecast, or absent, and are on record now.
    """

    changed: int
    first: dt.date | None
    last: dt.date | None
    worst: dt.date | None
    worst_by: float
    heat: float
    lost: int
    came: int


def revision(earlier: DailySeries, later: DailySeries) -> Revision:
    """Compare a record with an earlier fetch of it, day by day; forecasts are no past days.

    Parameters
    ----------
    earlier, later : DailySeries
    """
    then = on_days_of(later, earlier)
    was_past = then.known & (then.origin != Origin.FORECAST)
    is_past = later.known & (later.origin != Origin.FORECAST)
    both = was_past & is_past
    moved = np.maximum(np.abs(later.tmin - then.tmin), np.abs(later.tmax - then.tmax))
    changed = both & (np.nan_to_num(moved) > _SAME)
    came = is_past & ~was_past & (later.dates > np.datetime64(earlier.first, "D"))
    lost = int(np.count_nonzero(was_past & ~later.known)) + _outside(earlier, later)
    at = np.flatnonzero(changed)
    if not at.size:
        return Revision(0, None, None, None, 0.0, 0.0, lost, int(came.sum()))
    worst = int(at[np.argmax(moved[at])])
    return Revision(
        changed=int(at.size),
        first=later.date(at[0]),
        last=later.date(at[-1]),
        worst=later.date(worst),
        worst_by=float(moved[worst]),
        heat=_heat_moved(then, later, both, later.date(at[-1])),
        lost=lost,
        came=int(came.sum()),
    )


def _outside(earlier: DailySeries, later: DailySeries) -> int:
    """Past days of the earlier record that lie outside the later one."""
    past = earlier.known & (earlier.origin != Origin.FORECAST)
    first, last = np.datetime64(later.first, "D"), np.datetime64(later.last, "D")
    return int(np.count_nonzero(past & ((earlier.dates < first) | (earlier.dates > last))))


def _heat_moved(
    then: DailySeries, later: DailySeries, both: NDArray[np.bool_], day: dt.date
) -> float:
    season = season_of(day, later.place.season_begins)
    within = both & (later.dates >= np.datetime64(season.first, "D"))
    within &= later.dates <= np.datetime64(season.last, "D")
    plain = Counting(lower=10.0)
    return float(np.nansum((plain.daily(later) - plain.daily(then))[within]))
