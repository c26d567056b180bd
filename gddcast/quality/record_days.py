"""Every day of a record by how far it may be trusted, and the runs of days that are alike."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from gddcast.quality.verdict import Verdict, season_usable
from gddcast.weather.series import DailySeries, Origin, Season


class DayKind(IntEnum):
    """What a day of a record is; a day is told as the worst it is."""

    SOUND = 0
    MODEL = 1
    PATCHED = 2
    SUSPECT = 3
    MISSING = 4

    @property
    def word(self) -> str:
        """For people."""
        return "from a model" if self is DayKind.MODEL else self.name.lower()


@dataclass(frozen=True, slots=True)
class DayRun:
    """Days of one kind, as places of a season: from ``begin`` to before ``end``."""

    kind: DayKind
    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class SeasonDays:
    """One season of a record, as far as it reaches.

    ``lends`` says whether a past season is complete enough to lend its weather; None for the
    season that still runs.
    """

    season: Season
    runs: tuple[DayRun, ...]
    lends: bool | None

    def count(self, kind: DayKind) -> int:
        """Days of one kind."""
        return sum(run.end - run.begin for run in self.runs if run.kind is kind)


def season_days(verdict: Verdict, patched: DailySeries, today: dt.date) -> tuple[SeasonDays, ...]:
    """Days of every season of a record, oldest first.

    Parameters
    ----------
    verdict : Verdict
        What was found in the record.
    patched : DailySeries
        The same days with short gaps filled and marked.
    today : datetime.date
        Days from it on, foretold ones among them, are not of the record.
    """
    kinds = day_kinds(verdict, patched)
    known = max(patched.index(today), 0)
    season_days = []
    for season in patched.seasons():
        begin, end = patched.index(season.first), patched.index(season.last) + 1
        first = max(begin, 0)
        own = kinds[first : min(end, known, len(kinds))]
        if not own.size:
            continue
        over = end <= known
        season_days.append(
            SeasonDays(
                season, tuple(_runs(own, first - begin)),
                season_usable(verdict.judged, season) if over else None,
            )
        )  # fmt: skip
    return tuple(season_days)


def day_kinds(verdict: Verdict, patched: DailySeries) -> NDArray[np.int8]:
    """The kind of each day of a record.

    Suspect are days of a finding that was left standing: stuck readings, sun on the thermometer,
    maxima booked late, a pasted month. Impossible readings were struck: those days are patched
    or missing.
    """
    kinds = np.full(len(patched), DayKind.SOUND, dtype=np.int8)
    kinds[patched.origin == Origin.MODEL] = DayKind.MODEL
    kinds[patched.origin == Origin.PATCHED] = DayKind.PATCHED
    for each in verdict.findings:
        if each.level == "finding" and not each.removed and each.rule != "missing":
            days = slice(max(patched.index(each.first), 0), patched.index(each.last) + 1)
            kinds[days] = np.maximum(kinds[days], DayKind.SUSPECT)
    kinds[~patched.known] = DayKind.MISSING
    return kinds


def _runs(kinds: NDArray[np.int8], first: int) -> Iterator[DayRun]:
    """Days alike, from place ``first`` of the season on: what came before is no day of it."""
    edges = np.flatnonzero(np.diff(kinds)) + 1
    for begin, end in zip([0, *edges], [*edges, len(kinds)], strict=True):
        yield DayRun(DayKind(int(kinds[begin])), first + int(begin), first + int(end))
