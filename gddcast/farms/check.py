"""Each farm's record beside the others': verdict, gaps, copies, and who could lend to it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.farms.farm import Farm
from gddcast.farms.likeness import (
    ENOUGH_IN_COMMON,
    Alike,
    Row,
    exactly,
    recent_readings,
    rows,
)
from gddcast.outlook.current_week import LATE_DAYS
from gddcast.quality.verdict import Trust
from gddcast.today.record import Record
from gddcast.weather.calendar_day import Span
from gddcast.weather.gaps import SHORT, gaps_of

#: Months in common beyond which more tell no better how two places differ. Our own choice.
_MONTHS = 6


@dataclass(frozen=True, slots=True, eq=False)
class FarmRecord:
    """What one farm's record is worth; nothing but its refusal where it can't be read.

    Parameters
    ----------
    farm : Farm
    trust : Trust, optional
    reasons : tuple of str
        What decided the word.
    through : datetime.date, optional
        Its last known day.
    days_behind : int
        Days before today that it has yet to reach. [d]
    gaps : tuple of (date, date)
        Of this season, longer than is filled unasked.
    past_years : int
        That can lend their weather.
    same_as : tuple of Alike
        Farms with which it shares a month of readings or more.
    neighbour : Alike, optional
        The farm that could lend to it: the one the list names, else the best.
    refusal : Refusal, optional
    notes : tuple of str
        What the reader of its file said that may move its dates.
    """

    farm: Farm
    trust: Trust | None = None
    reasons: tuple[str, ...] = ()
    through: dt.date | None = None
    days_behind: int = 0
    gaps: tuple[Span, ...] = ()
    past_years: int = 0
    same_as: tuple[Alike, ...] = ()
    neighbour: Alike | None = None
    refusal: Refusal | None = None
    recent: NDArray[np.float32] | None = field(default=None, repr=False)
    notes: tuple[str, ...] = ()

    @property
    def needs_an_eye(self) -> bool:
        """Whether a person has to look at it before its dates are used."""
        bad = self.refusal is not None or self.trust in ("shaky", "unusable")
        return bad or self.days_behind > LATE_DAYS or not self.past_years or bool(self.same_as)


def farm_record(farm: Farm, record: Record, notes: tuple[str, ...] = ()) -> FarmRecord:
    """One farm's record by itself."""
    season = record.known.between(record.season.first, record.known.last)
    gaps = tuple(
        (season.date(begin), season.date(end - 1))
        for begin, end in gaps_of(season) if end - begin > SHORT
    )  # fmt: skip
    verdict = record.verdict
    return FarmRecord(
        farm,
        verdict.trust,
        verdict.reasons,
        record.through,
        record.days_behind,
        gaps,
        len(verdict.usable_seasons),
        recent=recent_readings(record.as_read, record.today),
        notes=notes,
    )


def with_neighbours(records: Sequence[FarmRecord]) -> tuple[FarmRecord, ...]:
    """The same, each with its copies and its neighbour."""
    names = [each.farm.name for each in records]
    farm_records = []
    for one, row in enumerate(rows([each.recent for each in records])):
        record, others = records[one], np.arange(len(records)) != one
        same = map(int, np.flatnonzero(others & (row.same > 0.0)))
        apart = others & (row.same == 0.0) & (row.days >= ENOUGH_IN_COMMON)
        best = _best(record, names, row, apart)
        farm_records.append(
            replace(
                record, same_as=tuple(
                    exactly(row.alike(each, names[each]), record.recent, records[each].recent)
                    for each in same
                ),
                neighbour=None if best is None else row.alike(best, names[best]),
            )
        )  # fmt: skip
    return tuple(farm_records)


def _best(
    record: FarmRecord, names: Sequence[str], row: Row, apart: NDArray[np.bool_]
) -> int | None:
    """The neighbour that is named; else who knows most of the unknown days and runs evenly."""
    if record.farm.neighbour in names and record.recent is not None:
        return names.index(record.farm.neighbour)

    def worth(index: int) -> tuple[int, int, float]:
        months = int(row.days[index]) // ENOUGH_IN_COMMON
        return round(float(row.lends[index])), min(months, _MONTHS), -float(row.scatter[index])

    among = [int(each) for each in np.flatnonzero(apart)]
    return max(among, key=worth, default=None)
