"""Days and seasons of a record in any CF calendar: standard, without leap days, of 360 days."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal

_DAY = np.timedelta64(1, "D")


@dataclass(frozen=True)
class GridDays:
    """Consecutive days along the time axis of a grid.

    Parameters
    ----------
    stamps : ndarray, shape (days,)
        Midnights: ``datetime64``, or ``cftime`` dates where the calendar is not the usual one.
    """

    stamps: NDArray[Any]

    def __len__(self) -> int:
        return int(self.stamps.size)

    @property
    def is_usual(self) -> bool:
        """Whether they stand in the calendar of every day."""
        return self.stamps.dtype.kind == "M"

    @property
    def calendar(self) -> str:
        """CF name of their calendar."""
        return "proleptic_gregorian" if self.is_usual else str(self.stamps[0].calendar)

    @cached_property
    def years(self) -> range:
        """Years in which a season may begin, the one before the first day's included."""
        first, last = (self._year(self.stamps[at]) for at in (0, -1))
        return range(first - 1, last + 1)

    @cached_property
    def day_of_year(self) -> NDArray[np.int64]:
        """Number of each day in its year, from 1."""
        if self.is_usual:
            since = self.stamps.astype("datetime64[D]") - self.stamps.astype("datetime64[Y]")
            return np.asarray(since.astype("timedelta64[D]").astype(np.int64) + 1)
        return np.array([stamp.dayofyr for stamp in self.stamps], dtype=np.int64)

    def index(self, year: int, month: int, day: int) -> int:
        """Position of a date, also of one before or behind the record.

        A day that its month lacks in this calendar is the last one of the month.
        """
        if self.is_usual:
            day = min(day, calendar.monthrange(year, month)[1])
            date = np.datetime64(f"{year:04d}-{month:02d}-{day:02d}", "D")
            return int((date - self.stamps[0].astype("datetime64[D]")) / _DAY)
        kind = type(self.stamps[0])
        like = {"calendar": self.calendar} if kind.__name__ == "datetime" else {}
        day = min(day, kind(year, month, 1, **like).daysinmonth)
        return int((kind(year, month, day, **like) - self.stamps[0]).days)

    @staticmethod
    def _year(stamp: Any) -> int:
        return int(stamp.astype("datetime64[Y]").astype(int)) + 1970 if isinstance(
            stamp, np.datetime64
        ) else int(stamp.year)  # fmt: skip


@dataclass(frozen=True, slots=True)
class GridSeason:
    """One season of a clock: where it is counted from, where it ends.

    Parameters
    ----------
    year : int
        In which it begins.
    first, end : int
        Position of the first day counted and of the day after the last one on record; before or
        behind the record where the clock's first day is.
    whole : bool
        Whether the season ends there; else the record does.
    """

    year: int
    first: int
    end: int
    whole: bool


def days_along(stamps: Any, dim: str) -> GridDays:
    """The days of a time coordinate.

    Parameters
    ----------
    stamps : xarray.DataArray
        One stamp a day, at any hour of it.
    dim : str
        Its dimension.

    Raises
    ------
    Refusal
        If these are no dates, or a day is left out or stands twice.
    """
    values = np.asarray(stamps.values)
    if values.dtype.kind == "M":
        midnights = values.astype("datetime64[D]").astype("datetime64[ns]")
        steps = np.diff(midnights) / _DAY
    elif values.size and hasattr(values.flat[0], "calendar"):
        midnights = np.array([_midnight(stamp) for stamp in values], dtype=object)
        steps = np.array([step.days for step in np.diff(midnights)])
    else:
        raise Refusal(
            f"the dimension {dim}", "it holds no dates",
            "Seasons are found by the date of each day, in any CF calendar.",
            'Open the file with its times decoded, or name the dimension:  dim="day".',
            slug="days-undated",
        )  # fmt: skip
    if (holes := np.flatnonzero(steps != 1)).size:
        raise _hole(stamps, dim, int(holes[0]), holes.size)
    return GridDays(midnights)


def _midnight(stamp: Any) -> Any:
    return stamp.replace(hour=0, minute=0, second=0, microsecond=0)


def _hole(stamps: Any, dim: str, at: int, holes: int) -> Refusal:
    before, after = (str(stamps.values[each])[:10] for each in (at, at + 1))
    expected = "Each day follows the one before; a day left out would count as a day without heat."
    if before == after:
        return Refusal(
            f"the days along {dim}", f"{before} stands there more than once", expected,
            f'Of hours make days first:  ds["tas"].resample({dim}="1D").min()  and  .max().',
            slug="days-not-consecutive",
        )  # fmt: skip
    leap = before.endswith("02-28") and after.endswith("03-01")
    cure = (
        f'If its calendar has no leap days:  ds.convert_calendar("noleap", dim="{dim}").'
        if leap
        else f'Sort it, or put the missing days in as unknown:  ds.resample({dim}="1D").asfreq().'
    )
    return Refusal(
        f"the days along {dim}", f"{before} is followed by {after} ({holes} such steps)",
        expected, cure, slug="days-not-consecutive",
    )  # fmt: skip


def seasons_of(
    days: GridDays, begins: tuple[int, int], start: tuple[int, int]
) -> dict[int, GridSeason]:
    """Seasons whose first counted day is on record, by the year in which they begin.

    Parameters
    ----------
    days : GridDays
    begins : (int, int)
        Month and day on which a season starts over.
    start : (int, int)
        Month and day from which heat is counted.

    Examples
    --------
    >>> days = GridDays(np.arange("2020-01-01", "2022-01-01", dtype="datetime64[D]"))
    >>> [(each.first, each.end, each.whole) for each in seasons_of(days, (7, 1), (7, 1)).values()]
    [(182, 547, True), (547, 731, False)]
    """
    seasons = {}
    for year in days.years:
        first = days.index(year + (start < begins), *start)
        end = days.index(year + 1, *begins)
        if 0 <= first < len(days):
            seasons[year] = GridSeason(year, first, min(end, len(days)), end <= len(days))
    return seasons
