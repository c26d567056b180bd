"""A place, and its days: lowest and highest temperature in °C, each marked with its origin."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.errors import ArgumentRefusal, Refusal
from gddcast.units import Unit, known_unit, to_celsius
from gddcast.weather.calendar_day import DateLike, date_in, date_of

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]


class Origin(IntEnum):
    """Where a day's temperatures come from. A patched day stays marked for ever."""

    UNKNOWN = 0
    MEASURED = 1
    PATCHED = 2
    MODEL = 3
    FORECAST = 4


@dataclass(frozen=True, slots=True)
class Place:
    """One spot with coordinates and a time zone.

    Parameters
    ----------
    name : str
        What its people call it.
    latitude, longitude : float, optional
        North and east are positive. None where nobody said. [°]
    elevation : float, optional
        Height above the sea. [m]
    timezone : str, optional
        IANA name.
    season_begins : tuple of int, default: (1, 1)
        Month and day on which a season's sums start over; (7, 1) south of the equator.
    """

    name: str
    latitude: float | None = None
    longitude: float | None = None
    elevation: float | None = None
    timezone: str | None = None
    season_begins: tuple[int, int] = (1, 1)

    @property
    def is_south(self) -> bool:
        """Whether it lies south of the equator; where nobody said, by its seasons' first day."""
        if self.latitude is not None:
            return self.latitude < 0.0
        return self.season_begins == (7, 1)


@dataclass(frozen=True, slots=True)
class Season:
    """One run of the year at a place: ``2025``, or ``2025/26`` where it spans two years."""

    first: dt.date
    last: dt.date

    @property
    def name(self) -> str:
        """Name people give it."""
        begins, ends = self.first.year, self.last.year
        return f"{begins}" if begins == ends else f"{begins}/{ends % 100:02d}"

    @property
    def days(self) -> int:
        """Number of days in it."""
        return (self.last - self.first).days + 1

    def on(self, month: int, day: int) -> dt.date:
        """The calendar day ``month``/``day`` that lies in this season (28 February for 29)."""
        year = self.first.year
        found = date_in(year, month, day)
        return found if found >= self.first else date_in(year + 1, month, day)


def season_of(day: dt.date, begins: tuple[int, int] = (1, 1)) -> Season:
    """The season a day lies in.

    Examples
    --------
    >>> season_of(dt.date(2026, 2, 3), begins=(7, 1)).name
    '2025/26'
    """
    first = date_in(day.year, *begins)
    if first > day:
        first = date_in(day.year - 1, *begins)
    following = date_in(first.year + 1, *begins)
    return Season(first, following - dt.timedelta(days=1))


def runs(mask: ArrayLike, shortest: int = 1) -> list[tuple[int, int]]:
    """First position, and the one after the last, of every stretch that is True.

    Parameters
    ----------
    mask : array_like of bool, shape (days,)
    shortest : int, default: 1
        Shorter stretches are left out. [d]

    Examples
    --------
    >>> runs([True, False, True, True])
    [(0, 1), (2, 4)]
    """
    edges = np.diff(np.concatenate(([False], mask, [False])).astype(np.int8))
    found = np.flatnonzero(edges).reshape(-1, 2)
    if shortest > 1:
        found = found[found[:, 1] - found[:, 0] >= shortest]
    return [(begin, end) for begin, end in found.tolist()]


def _frozen(values: ArrayLike, dtype: type, days: int, name: str) -> NDArray[Any]:
    array: NDArray[Any] = np.array(values, dtype=dtype)
    if array.shape != (days,):
        raise ArgumentRefusal(
            f"the {name} of this series",
            f"it has shape {array.shape}",
            f"One value a day is needed: {days} of them.",
            "Give tmin, tmax and origin the same length.",
        )
    array.flags.writeable = False
    return array


@dataclass(frozen=True, slots=True, eq=False)
class DailySeries:
    """Consecutive local days of one thermometer.

    Parameters
    ----------
    first : datetime.date
        Day of the first value; the others follow without a break.
    tmin, tmax : array_like, shape (days,)
        Lowest and highest temperature; NaN where unknown. [°C]
    origin : array_like of Origin, shape (days,), optional
        Default: MEASURED where both are known, else UNKNOWN.
    place : Place, optional
    source : str
        File or service it came from, for people.
    unit : {"F", "C"}
        Scale the source was in; numbers here are °C all the same.
    notes : tuple of str
        What the reader understood, one line each.

    Examples
    --------
    >>> series = DailySeries(dt.date(2026, 5, 1), [4.0, np.nan, 6.0], [16.0, 18.0, 20.0])
    >>> series.last, series.missing
    (datetime.date(2026, 5, 3), 1)
    """

    first: dt.date
    tmin: Array
    tmax: Array
    origin: NDArray[np.int8] = None  # type: ignore[assignment]  # filled in __post_init__
    place: Place = field(default_factory=lambda: Place("this place"))
    source: str = "this series"
    unit: Unit = "C"
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        days = np.size(self.tmin)
        object.__setattr__(self, "first", date_of(self.first))
        for name in ("tmin", "tmax"):
            object.__setattr__(self, name, _frozen(getattr(self, name), np.float64, days, name))
        origin: ArrayLike | None = self.origin
        if origin is None:
            origin = np.where(self.known, Origin.MEASURED, Origin.UNKNOWN)
        object.__setattr__(self, "origin", _frozen(origin, np.int8, days, "origin"))

    def __len__(self) -> int:
        return int(self.tmin.size)

    def __repr__(self) -> str:
        marks = [f"{self.missing:,} unknown"] if self.missing else []
        for origin in (Origin.PATCHED, Origin.MODEL, Origin.FORECAST):
            if days := self.count(origin):
                marks.append(f"{days:,} {origin.name.lower()}")
        about = ", ".join([f"{len(self):,} days", *marks])
        return f"<DailySeries of {self.place.name}: {self.first} to {self.last}, {about}>"

    @property
    def last(self) -> dt.date:
        """Day of the last value."""
        return self.first + dt.timedelta(days=len(self) - 1)

    @property
    def known(self) -> NDArray[np.bool_]:
        """Whether both readings of a day are known."""
        known: NDArray[np.bool_] = ~(np.isnan(self.tmin) | np.isnan(self.tmax))
        return known

    @property
    def missing(self) -> int:
        """Number of unknown days."""
        return int(len(self) - np.count_nonzero(self.known))

    @property
    def dates(self) -> NDArray[np.datetime64]:
        """Every day, as ``datetime64[D]``."""
        return np.datetime64(self.first, "D") + np.arange(len(self))

    def index(self, day: DateLike) -> int:
        """Position of a day; negative, or past the end, where the series does not hold it."""
        return (date_of(day) - self.first).days

    def date(self, index: int) -> dt.date:
        """Day at a position."""
        return self.first + dt.timedelta(days=int(index))

    def between(self, first: DateLike, last: DateLike) -> DailySeries:
        """The days from ``first`` to ``last``, both included, as far as the series holds them."""
        begin = min(max(self.index(first), 0), len(self))
        end = max(min(self.index(last) + 1, len(self)), begin)
        return replace(
            self,
            first=self.date(begin),
            tmin=self.tmin[begin:end],
            tmax=self.tmax[begin:end],
            origin=self.origin[begin:end],
        )

    @property
    def last_known(self) -> dt.date | None:
        """The last day of which both readings are known; None where there is none."""
        known = np.flatnonzero(self.known)
        return self.date(int(known[-1])) if known.size else None

    def without(self, origin: Origin) -> DailySeries:
        """The series with all days of one origin unknown."""
        dropped = self.origin == origin
        low, high = (np.where(dropped, np.nan, each) for each in (self.tmin, self.tmax))
        kept = np.where(dropped, np.int8(Origin.UNKNOWN), self.origin)
        return replace(self, tmin=low, tmax=high, origin=kept)

    def before(self, day: DateLike) -> DailySeries:
        """What was on record on the morning of ``day``: later days are not known yet."""
        return self.between(self.first, date_of(day) - dt.timedelta(days=1))

    def count(self, origin: Origin) -> int:
        """Number of days of one origin."""
        return int(np.count_nonzero(self.origin == origin))

    def seasons(self) -> Iterator[Season]:
        """Every season the series touches, oldest first."""
        if not len(self):
            return
        season = season_of(self.first, self.place.season_begins)
        while season.first <= self.last:
            yield season
            season = season_of(season.last + dt.timedelta(days=1), self.place.season_begins)

    @classmethod
    def from_frame(
        cls, frame: pd.DataFrame, *, unit: Unit, place: Place | None = None
    ) -> DailySeries:
        """Series from a table with days as its index and columns ``tmin`` and ``tmax``.

        A column ``origin``, as `to_frame` writes it, keeps patched and forecast days marked.

        Parameters
        ----------
        frame : pandas.DataFrame
            Days may be missing; they become unknown days.
        unit : {"F", "C"}
            Scale of the two columns: a table never says, so you must.
        place : Place, optional

        Raises
        ------
        Refusal
            If a column is absent, a day stands twice, or the unit or an origin is none.

        Examples
        --------
        >>> series = DailySeries(dt.date(2026, 5, 1), [4.0, 5.0], [16.0, 18.0],
        ...                      [Origin.PATCHED, Origin.FORECAST])
        >>> DailySeries.from_frame(series.to_frame(), unit="C").origin.tolist()
        [2, 4]
        """
        import pandas as pd

        unit = known_unit(unit)
        absent = {"tmin", "tmax"} - set(frame.columns)
        if absent:
            raise Refusal(
                "this table",
                f"it has no column {' or '.join(sorted(absent))}",
                f"Its columns are {', '.join(map(str, frame.columns))}.",
                "Rename the columns of daily minima and maxima to tmin and tmax.",
                slug="column-missing",
            )
        days = pd.DatetimeIndex(frame.index).normalize()
        if days.has_duplicates:
            twice = days[days.duplicated()][0]
            raise Refusal(
                "this table",
                f"{twice:%Y-%m-%d} stands in it twice",
                "Each day has one minimum and one maximum.",
                "Drop one of the two rows.",
                slug="duplicate-days",
            )
        if not len(days):
            raise Refusal(
                "this table", "it has no rows", "One row a day is needed.",
                "Check how it was made.", slug="no-days",
            )  # fmt: skip
        whole = frame.set_axis(days, axis=0).sort_index().asfreq("D")
        low, high = (
            to_celsius(whole[name].to_numpy(dtype=np.float64, na_value=np.nan), unit)
            for name in ("tmin", "tmax")
        )
        first = whole.index[0].date()
        origin: Any = _origins(whole["origin"]) if "origin" in whole else None
        return cls(first, low, high, origin, place or Place("this place"), unit=unit)

    def to_frame(self) -> pd.DataFrame:
        """Table with days as index and columns ``tmin``, ``tmax`` [°C] and ``origin``."""
        import pandas as pd

        names = [Origin(code).name.lower() for code in self.origin]
        return pd.DataFrame(
            {"tmin": self.tmin, "tmax": self.tmax, "origin": names},
            index=pd.DatetimeIndex(self.dates, name="day"),
        )


def _origins(names: pd.Series[Any]) -> NDArray[np.int8]:
    """Codes of a column of origins; a day put in between was not there, so it is unknown."""
    codes = names.str.upper().map(Origin.__members__).where(names.notna(), Origin.UNKNOWN)
    if codes.isna().any():
        raise Refusal(
            "this table",
            f"the origin of a day is {names[codes.isna()].iloc[0]!r}",
            f"It is one of: {', '.join(each.name.lower() for each in Origin)}.",
            "Write one of them, or drop the column.",
            slug="origin-unknown",
        )
    return np.asarray(codes, dtype=np.int8)


class HasSeries(Protocol):
    """Anything that holds a series of days, as a file that was read does."""

    @property
    def series(self) -> DailySeries:
        """Its days."""


def series_of(record: DailySeries | HasSeries) -> DailySeries:
    """The days of a series, or of what `read_temperatures` hands over.

    Raises
    ------
    ArgumentRefusal
        If it holds none.
    """
    series: object = getattr(record, "series", record)
    if isinstance(series, DailySeries):
        return series
    raise ArgumentRefusal(
        f"this {type(record).__name__}", "it is no series of days",
        "A DailySeries is wanted, or what read_temperatures gives.",
        'Make one of a table:  gddcast.DailySeries.from_frame(table, unit="F").',
        slug="series-wanted",
    )  # fmt: skip
