"""Who is due where: each farm on a day, those with a date ranked by their first stage to look for.

A farm whose record needs an eye is never ranked, whatever its date says; it stands beside with its
reasons. What is kept of a farm is small, so that thousands can be ranked: no record, no plan.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.farms.doubts import Doubt, doubts_of
from gddcast.farms.farm import Farm
from gddcast.farms.likeness import Alike, recent_readings, same_readings
from gddcast.farms.looks import Due, LastLook, due_looks, last_look
from gddcast.outlook.sightings import InsectDates
from gddcast.quality.verdict import Trust
from gddcast.today.beside_dates import insect_date
from gddcast.today.today import Today
from gddcast.weather.series import Place

#: Days ahead in which a look counts as due, unless somebody says another number. [d]
A_WEEK = 7
#: Whether a farm has a date that can be ranked, needs a person's eye first, or can't be read.
State = Literal["dated", "eye", "refused"]


@dataclass(frozen=True, slots=True)
class Weather:
    """How far a farm's weather is known, and what it is worth."""

    first: dt.date
    through: dt.date
    days_behind: int  # [d]
    missing: int  # days of this season so far
    patched: int  # of this season so far
    forecast: int  # from today on
    trust: Trust
    reasons: tuple[str, ...]
    past_years: int  # that can lend their weather


@dataclass(frozen=True, slots=True, eq=False)
class FarmDay:
    """One farm on a day.

    Parameters
    ----------
    farm : Farm
    state : {"dated", "eye", "refused"}
    day : datetime.date, optional
        Today there; None where it can't be read.
    weather : Weather, optional
    due : tuple of Due
        Stages to look for by the end of the days asked, the most pressing first.
    later : Due, optional
        The first after them.
    doubts : tuple of Doubt
        Why it needs an eye.
    refusal : Refusal, optional
        Why it can't be read.
    looked : LastLook, optional
        The last look somebody logged there this season.
    same_as : tuple of Alike
        Farms whose last year of readings is the same.
    insects : tuple of InsectDates or None
        When the insect of each of ``due`` is seen, where its number has a spread.
    recent : ndarray, shape (2, days), optional
        The last year's minima and maxima, to tell copies. [°C]
    lies : Place, optional
        Where its own book says that it lies.
    notes : tuple of str
        What the reader of its file said that may move its dates.
    """

    farm: Farm
    state: State
    day: dt.date | None = None
    weather: Weather | None = None
    due: tuple[Due, ...] = ()
    later: Due | None = None
    doubts: tuple[Doubt, ...] = ()
    refusal: Refusal | None = None
    looked: LastLook | None = None
    same_as: tuple[Alike, ...] = ()
    insects: tuple[InsectDates | None, ...] = ()
    recent: NDArray[np.float32] | None = field(default=None, repr=False)
    lies: Place | None = None
    notes: tuple[str, ...] = ()

    @property
    def place(self) -> Place:
        """Where it lies: by its book, else by the list."""
        return self.lies or self.farm.place

    @property
    def first(self) -> Due | None:
        """Its most pressing stage, within the days asked or after them."""
        return self.due[0] if self.due else self.later

    @property
    def days_since_look(self) -> int | None:
        """Days since the last look. [d]"""
        if self.looked is None or self.day is None:
            return None
        return (self.day - self.looked.day).days


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """Every farm of a list on a day.

    Parameters
    ----------
    day : datetime.date
        Today at the list's own place.
    days : int
        Days ahead that were asked for. [d]
    farms : tuple of FarmDay
        Those dated by rank, then those that need an eye, then those that can't be read.
    not_asked : int
        Farms of the list that were left when a person stopped it.
    """

    day: dt.date
    days: int
    farms: tuple[FarmDay, ...]
    not_asked: int = 0

    def of(self, state: State) -> tuple[FarmDay, ...]:
        """Farms of one state, in their order."""
        return tuple(each for each in self.farms if each.state == state)

    @property
    def ranked(self) -> Iterator[tuple[int, FarmDay]]:
        """Dated farms with their rank from 1."""
        return enumerate(self.of("dated"), start=1)


def farm_day(farm: Farm, today: Today, days: int = A_WEEK, notes: tuple[str, ...] = ()) -> FarmDay:
    """One farm on a day, by what its place says.

    Parameters
    ----------
    farm : Farm
    today : Today
    days : int
        A stage to look for within so many days is due. [d]
    notes : tuple of str
        What the reader of its file said that may move its dates.
    """
    plan = today.plan
    looks = due_looks(plan)
    until = plan.today + dt.timedelta(days=days)
    due = tuple(each for each in looks if each.day <= until)
    doubts = doubts_of(plan)
    weather = Weather(
        plan.series.first, plan.through, plan.days_behind, plan.missing, plan.patched,
        plan.forecast, plan.verdict.trust, plan.verdict.reasons, len(plan.verdict.usable_seasons),
    )  # fmt: skip
    return FarmDay(
        farm, "eye" if doubts else "dated", plan.today, weather, due,
        next((each for each in looks if each.day > until), None), doubts,
        looked=last_look(today.journal, plan.season, plan.today),
        insects=tuple(insect_date(plan, each.window) for each in due),
        recent=recent_readings(today.record.as_read, plan.today),
        lies=plan.place, notes=notes,
    )  # fmt: skip


def refused_farm(farm: Farm, refusal: Refusal) -> FarmDay:
    """A farm that can't be read."""
    return FarmDay(farm, "refused", refusal=refusal)


def board_of(
    farms: Iterable[FarmDay], day: dt.date, days: int = A_WEEK, not_asked: int = 0
) -> Board:
    """The farms in their order; of those with the same readings each says so.

    Of two that are the same the later in the list needs an eye, for one of them is a copy; the
    earlier, where its own record is doubtful and the later one's is not.
    """
    rows = list(farms)
    for one, other, alike in same_readings([each.recent for each in rows]):
        first, second = rows[one], rows[other]
        if (first.farm.file, first.farm.site) == (second.farm.file, second.farm.site):
            continue  # both are said to go by one thermometer
        copy = one if first.state == "eye" and second.state == "dated" else other
        rows[one] = _same_as(first, replace(alike, farm=second.farm.name), is_copy=copy == one)
        rows[other] = _same_as(
            second, alike.of_the_other(first.farm.name), is_copy=copy == other
        )  # fmt: skip
    return Board(day, days, tuple(sorted(rows, key=_rank)), not_asked)


def _same_as(row: FarmDay, alike: Alike, *, is_copy: bool) -> FarmDay:
    """The farm with another that reads as it does; of all its copies one is a doubt."""
    row = replace(row, same_as=(*row.same_as, alike))
    if not is_copy or any(each.kind == "same-readings" for each in row.doubts):
        return row
    doubt = Doubt("same-readings", other=alike.farm)
    return replace(row, state="eye", doubts=(*row.doubts, doubt))


def _rank(row: FarmDay) -> tuple[int, dt.date, bool, str]:
    """State, then the day of the most pressing look; one never looked for goes first."""
    first = row.first
    return (
        ("dated", "eye", "refused").index(row.state),
        first.day if first else dt.date.max,
        first is not None and first.looked_on is not None,
        row.farm.name,
    )
