"""What a reader takes and hands over: options, questions it must ask, the days it understood."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal, shell
from gddcast.heat.cutoffs import Cutoff, horizontal
from gddcast.heat.daily import hourly_degree_days
from gddcast.weather.series import DailySeries, Place
from gddcast.words import count, short_day

if TYPE_CHECKING:
    import pandas as pd


Array = NDArray[np.float64]
Days = NDArray[np.datetime64]
Integers = NDArray[np.int64]

#: Scales a file can be in. Tenths of a degree and kelvin occur in files, never on our screens.
FileUnit = Literal["F", "C", "K", "tenths-C"]

#: Which part of a numeric date stands in front.
DateOrder = Literal["day-first", "month-first", "year-first"]

#: What the stamps of a log follow.
StampsFollow = Literal["utc", "standard", "clock"]


@dataclass(frozen=True, slots=True)
class Options:
    """What the person said about a file. None where they said nothing."""

    unit: FileUnit | None = None
    dates: DateOrder | None = None
    site: str | None = None
    max_column: str | None = None
    min_column: str | None = None
    today: dt.date | None = None
    place: Place | None = None
    reading_hour: int | None = None
    timezone: str | None = None
    stamps: StampsFollow | None = None
    sheet: str | None = None
    sure: bool = False

    def chosen(self) -> dict[str, Any]:
        """What was said of the file itself, for whoever reads it once more.

        Examples
        --------
        >>> Options(unit="F", today=dt.date(2026, 6, 11)).chosen()
        {'unit': 'F'}
        """
        apart = ("today", "place")
        given = {each.name: getattr(self, each.name) for each in fields(self)}
        return {name: value for name, value in given.items() if value and name not in apart}


@dataclass(frozen=True, slots=True)
class Note:
    """One thing about a file that its owner should hear once.

    Parameters
    ----------
    rule : str
        Short name of the rule that spoke, such as ``"duplicate-days"``.
    text : str
        One sentence.
    lines : tuple of int
        Lines of the file it speaks of, counted from 1.
    first, last : datetime.date, optional
        Days it speaks of.
    cure : str
        What can be done about it; empty where nothing need be.
    flag : str, optional
        Words to add to the command just given.
    """

    rule: str
    text: str
    lines: tuple[int, ...] = ()
    first: dt.date | None = None
    last: dt.date | None = None
    cure: str = ""
    flag: str | None = None

    def __str__(self) -> str:
        return " ".join(part for part in (self.text, self.cure, self.flag) if part)


@dataclass(frozen=True, slots=True, eq=False)
class HourlySeries:
    """Readings of a logger in the order of time.

    Parameters
    ----------
    stamps : numpy.ndarray of datetime64[m], shape (readings,)
        Local standard time where ``standard_time`` is true, else the clock's.
    temperature : numpy.ndarray, shape (readings,)
        Air temperature, NaN where unknown. [°C]
    step : int
        Usual distance between two readings. [min]
    standard_time : bool
        Whether the stamps are known to ignore daylight saving.
    place : Place

    Examples
    --------
    >>> import numpy as np
    >>> noon = np.datetime64("2026-05-01T12:00", "m")
    >>> HourlySeries(noon + np.arange(3) * 60, np.array([9.0, 10.0, 11.0]), 60, True).days
    1
    """

    stamps: NDArray[np.datetime64]
    temperature: Array
    step: int
    standard_time: bool
    place: Place = field(default_factory=lambda: Place("this place"))

    def __len__(self) -> int:
        return int(self.temperature.size)

    @property
    def days(self) -> int:
        """Number of days from the first reading to the last."""
        if not len(self):
            return 0
        day = self.stamps[[0, -1]].astype("datetime64[D]").astype(np.int64)
        return int(day[1] - day[0]) + 1

    def by_day(self) -> Array:
        """The readings as a table of evenly spaced ones, shape (days, readings a day). [°C]

        A time of day without a reading is NaN; several readings within one step are averaged.
        """
        step = self.step if 0 < self.step <= 60 and 60 % self.step == 0 else 60
        per_day = 24 * 60 // step
        if not len(self):
            return np.empty((0, per_day))
        since = self.stamps - self.stamps[0].astype("datetime64[D]")
        slot = since.astype("timedelta64[m]").astype(np.int64) // step
        known = ~np.isnan(self.temperature)
        size = self.days * per_day
        total = np.bincount(slot[known], self.temperature[known], minlength=size)
        count = np.bincount(slot[known], minlength=size)
        mean = np.full(size, np.nan)
        np.divide(total, count, out=mean, where=count > 0)
        return mean.reshape(-1, per_day)

    def degree_days(
        self, lower: float, upper: float = np.inf, cutoff: Cutoff = horizontal
    ) -> Array:
        """Degree-days of each day from the readings themselves.

        Parameters
        ----------
        lower, upper : float
            Thresholds. [°C]
        cutoff : Cutoff, default: horizontal

        Returns
        -------
        numpy.ndarray, shape (days,)
            Heat units of each day [°C·d]; NaN on a day that lacks a reading.
        """
        days = hourly_degree_days(self.by_day(), lower=lower, upper=upper, cutoff=cutoff)
        return np.asarray(days, dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A temperature file, understood.

    Parameters
    ----------
    series : DailySeries
        Its days, in °C.
    understood : tuple of str
        One line each of what the reader took the file to mean.
    notes : tuple of Note
        What it met on the way.
    unit : {"F", "C", "K", "tenths-C"}
        Scale of the numbers in the file.
    unit_decided_by : {"header", "cells", "format", "you"}
        Who said so.
    columns : tuple of str
        Names of the columns used.
    hourly : HourlySeries, optional
        The readings behind the days, where the file is a log.
    means_only : bool
        Whether the file has only daily means: tmin and tmax are both that mean, and only
        floor-the-mean sums may be taken of them.
    day_ends : str
        Where the file's days end: ``midnight``, ``morning-reading``, ``utc-midnight``, ``12utc``.
    site : str, optional
        The one site read.
    sites : tuple of str
        All sites the file holds.
    provenance : tuple of (str, str)
        The file's own ``# key: value`` lines.
    options : Options
        What was said when it was read.
    """

    series: DailySeries
    understood: tuple[str, ...]
    notes: tuple[Note, ...]
    unit: FileUnit
    unit_decided_by: str
    columns: tuple[str, ...] = ()
    hourly: HourlySeries | None = None
    means_only: bool = False
    day_ends: str = "midnight"
    site: str | None = None
    sites: tuple[str, ...] = ()
    provenance: tuple[tuple[str, str], ...] = ()
    options: Options = Options()

    def __repr__(self) -> str:
        notes = f"{len(self.notes)} note{'' if len(self.notes) == 1 else 's'}"
        return f"<Reading of {self.series.source}, °{self.series.unit}, {notes}: {self.series!r}>"

    def to_frame(self) -> pd.DataFrame:
        """Its days as a table; see `DailySeries.to_frame`."""
        return self.series.to_frame()


def named_lines(lines: tuple[int, ...] | list[int], most: int = 5) -> str:
    """Line numbers in words: ``line 4``, ``lines 4 and 9``, ``lines 4, 5, 6 and 12 more``.

    Examples
    --------
    >>> named_lines([4, 9])
    'lines 4 and 9'
    """
    shown = [str(line) for line in lines[:most]]
    left = len(lines) - len(shown)
    if left:
        shown.append(f"{left} more")
    if len(shown) == 1:
        return f"line {shown[0]}"
    return f"lines {', '.join(shown[:-1])} and {shown[-1]}"


def in_words(day: dt.date | np.datetime64) -> str:
    """A day as people say it: ``1 May 2026``.

    Examples
    --------
    >>> in_words(dt.date(2026, 5, 1))
    '1 May 2026'
    """
    date: dt.date = day.astype("datetime64[D]").item() if isinstance(day, np.datetime64) else day
    return f"{short_day(date)} {date.year}"


#: Flags of answers that cannot be guessed.
_STAND_INS = {"timezone": "--timezone AREA/CITY"}
#: By which a file is read on, to see what else it leaves open.
_ASSUMED = {"timezone": "UTC"}


class OpenQuestion(Refusal):
    """One fact that a file leaves open.

    Parameters
    ----------
    where, problem, expected, cure, slug : str
        As of every `Refusal`.
    option : str
        The field of `Options` that answers it.
    answer : str, optional
        The likeliest answer; None where only its owner knows.
    choices : sequence of str
        What can be answered; empty where it is a word of their own.
    conflict : bool
        Whether what was said speaks against what the file holds: nothing is assumed then.
    """

    def __init__(
        self,
        where: str,
        problem: str,
        expected: str,
        cure: str,
        *,
        option: str,
        answer: str | None = None,
        choices: Sequence[str] = (),
        conflict: bool = False,
        slug: str,
    ) -> None:
        flag = _STAND_INS[option] if answer is None else shell(f"--{option}", answer)
        super().__init__(where, problem, expected, cure, flag=flag, slug=slug)
        self.option = option
        self.answer = answer
        self.choices = tuple(choices)
        self.conflict = conflict
        self.questions: tuple[OpenQuestion, ...] = (self,)


class OpenQuestions(Refusal):
    """Several facts that a file leaves open, in the order in which they are needed."""

    def __init__(self, questions: Sequence[OpenQuestion]) -> None:
        lines = (
            f"{each.problem[:1].upper()}{each.problem[1:]}. {each.expected}" for each in questions
        )
        super().__init__(
            questions[0].where,
            f"it leaves {count(len(questions), 'fact')} open",
            "\n  ".join(lines),
            "Say all of them:",
            flag=" ".join(each.flag or "" for each in questions),
            slug="facts-missing",
        )
        self.questions = tuple(questions)


def all_open(
    first: OpenQuestion, options: Options, read: Callable[[Options], object]
) -> OpenQuestion | OpenQuestions:
    """The question that stopped a reading, with those that would have stopped it next.

    Parameters
    ----------
    first : OpenQuestion
    options : Options
        With which the file was read.
    read : callable
        Reads it by other options.
    """
    questions = [first]
    while not questions[-1].conflict:
        last = questions[-1]
        assumed = {last.option: last.answer or _ASSUMED[last.option]}
        options = replace(options, **assumed)  # type: ignore[arg-type]
        try:
            read(options)
        except OpenQuestion as question:
            if question.conflict or question.option in {each.option for each in questions}:
                break
            questions.append(question)
        except Refusal:
            break
        else:
            break
    return first if len(questions) == 1 else OpenQuestions(questions)
