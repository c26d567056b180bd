"""Where each day of a record comes from: service, when issued, when fetched, where its days end.

A record may be put together from several sources, but each day is the word of one of them.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import ArgumentRefusal
from gddcast.weather.series import DailySeries

#: Index of a day that no source knows.
NOBODY = -1


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
