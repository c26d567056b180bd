"""A log's readings to days: complete days only, each with its highest and lowest reading."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.days import Rows
from gddcast.readers.reading import Array, Days, HourlySeries, Integers, Note, Options
from gddcast.readers.standard_time import StandardTime, standard_time
from gddcast.weather.series import Place

#: Hours of the 24 that must hold a reading, and the hours around the day's two extremes of which
#: all but one must: common practice, no source.
HOURS_NEEDED = 20
AFTERNOON, MORNING = slice(12, 17), slice(3, 8)

#: Readings of one thermometer within a minute lie no further apart: common practice, no source.
#: [°C]
APART = 0.5

#: A single reading so far above both its neighbours, or below both, is no air: of 137,000 hours
#: at six stations none lies further off than 6 °C but for faults, such as 13.1 °F between 57 and
#: 57 °F at New York on 8 May 2013. [°C]
LONE_READING = 10.0
#: Neighbours further apart than this are none. [min]
_NEIGHBOURS = 120

#: The hour at which the mean day should be warmest. [h]
WARMEST_HOURS = range(12, 18)


@dataclass(frozen=True, slots=True)
class LogDays:
    """Days of a log in °C; NaN on a day that lacks hours."""

    days: Days
    high: Array
    low: Array
    hourly: HourlySeries
    understood: tuple[str, ...]
    notes: tuple[Note, ...]


def rough_extremes(rows: Rows) -> tuple[Days, Array, Array]:
    """Highest and lowest reading of each date in the file, complete or not, in its own scale."""
    days, where = np.unique(rows.days, return_inverse=True)
    high, low = np.full(days.size, np.nan), np.full(days.size, np.nan)
    np.fmax.at(high, where, rows.high)
    np.fmin.at(low, where, rows.low)
    return days, high, low


def days_of_log(
    rows: Rows, name: str, place: Place, options: Options, *, one_column: bool = True
) -> LogDays:
    """Make days of a log.

    Parameters
    ----------
    rows : Rows
        In °C.
    name : str
        File, for people.
    place : Place
    options : Options
    one_column : bool
        Whether the log holds single readings, not highs and lows of its intervals.

    Raises
    ------
    Refusal
        If no day has readings enough (T9), or stamps are in UTC and nobody said where.
    """
    clock = standard_time(rows, name, place, options)
    order = np.argsort(clock.moments, kind="stable")
    moments = clock.moments[order]
    high, low = rows.high[order], rows.low[order]
    step = _usual_step(moments)
    _refuse_two_thermometers(moments, high, name)
    notes = [*clock.notes, *_order_notes(clock, high, low, moments)]
    lone = _lone_readings(moments, high) | _lone_readings(moments, low)
    if lone.any():
        notes.append(_lone_note(moments, high, lone))
        one = high is low
        high = np.where(lone, np.nan, high)
        low = high if one else np.where(lone, np.nan, low)
    days, hours = _hours_known(moments, high, low)
    highest, lowest = _extremes(moments, high, low, days)
    complete = _complete(hours)
    if not complete.any():
        raise _too_few(name, hours, step)
    notes += _coverage_notes(days, complete, hours)
    kept = slice(*(np.flatnonzero(complete)[[0, -1]] + [0, 1]))
    highest, lowest = np.where(complete, highest, np.nan), np.where(complete, lowest, np.nan)
    notes += _warmest_hour_note(moments, high)
    if one_column:
        notes.append(
            Note(
                "between-readings",
                f"Its days are made of readings every {step} minutes: the true maximum lies "
                "between two of them, a little higher.",
            )
        )
    stamps = moments.astype("datetime64[m]")
    middle = high if low is high else (high + low) / 2
    hourly = HourlySeries(stamps, middle, step, clock.certain, place)
    every = "hour" if step == 60 else f"{step} minutes"
    understood = (f"A log, one reading every {every}", clock.understood)
    return LogDays(days[kept], highest[kept], lowest[kept], hourly, understood, tuple(notes))


def _refuse_two_thermometers(moments: Integers, high: Array, name: str) -> None:
    """Refuse a log in which moments stand twice, with readings of two places.

    A logger that drops its seconds repeats a stamp too; its two readings lie close together.
    """
    apart = np.abs(np.diff(high))[np.diff(moments) == 0]
    apart = apart[~np.isnan(apart)]
    if apart.size <= 120 and 5 * apart.size < moments.size:
        return
    if apart.size < 3 or np.median(apart) <= APART:
        return
    raise Refusal(
        name,
        f"{apart.size:,} of its stamps stand again with another reading",
        f"The two usually lie {np.median(apart):.1f} °C apart, as those of two thermometers do, "
        "and no column tells them apart.",
        "Export each logger to a file of its own.",
        slug="several-sites",
    )


def _usual_step(moments: Integers) -> int:
    steps = np.diff(moments)
    steps = steps[steps > 0]
    return int(np.median(steps)) if steps.size else 60


def _hours_known(moments: Integers, high: Array, low: Array) -> tuple[Days, NDArray[np.bool_]]:
    """All days from first to last, and whether each of their 24 hours holds a reading."""
    day = moments // 1440
    count = int(day[-1] - day[0]) + 1
    hours = np.zeros(count * 24, np.bool_)
    known = ~(np.isnan(high) | np.isnan(low))
    hours[((moments - day[0] * 1440) // 60)[known]] = True
    days: Days = day[0].astype("datetime64[D]") + np.arange(count)
    return days, hours.reshape(count, 24)


def _extremes(moments: Integers, high: Array, low: Array, days: Days) -> tuple[Array, Array]:
    at = moments // 1440 - days[0].astype(np.int64)
    highest, lowest = np.full(days.size, np.nan), np.full(days.size, np.nan)
    np.fmax.at(highest, at, high)
    np.fmin.at(lowest, at, low)
    return highest, lowest


def _complete(hours: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Days on which the maximum and the minimum cannot have been missed."""
    enough: NDArray[np.bool_] = hours.sum(axis=1) >= HOURS_NEEDED
    for part in (AFTERNOON, MORNING):
        span = hours[:, part]
        enough &= span.sum(axis=1) >= span.shape[1] - 1
    return enough


def _lone_readings(moments: Integers, values: Array) -> NDArray[np.bool_]:
    """Single readings far above both their neighbours, or far below both."""
    lone = np.zeros(values.shape, np.bool_)
    known = np.flatnonzero(~np.isnan(values))
    if known.size < 3:
        return lone
    steps, times = np.diff(values[known]), np.diff(moments[known])
    onto, off_again = steps[:-1], -steps[1:]
    near = (times[:-1] <= _NEIGHBOURS) & (times[1:] <= _NEIGHBOURS)
    off = np.minimum(np.abs(onto), np.abs(off_again)) >= LONE_READING
    lone[known[1:-1]] = near & off & (onto * off_again > 0.0)
    return lone


def _lone_note(moments: Integers, high: Array, lone: NDArray[np.bool_]) -> Note:
    """Name the readings that were taken as missing, in °C."""
    at = np.flatnonzero(lone)
    first, last = ((moments[each] // 1440).astype("datetime64[D]").item() for each in at[[0, -1]])
    stamp = moments[at[0]].astype("datetime64[m]").item()
    shown = f"{high[at[0]]:.1f}".replace("-", "−") + f" °C on {stamp:%Y-%m-%d at %H:%M}"
    many = f"{at.size:,} single readings lie" if at.size > 1 else "One single reading lies"
    verb = "were" if at.size > 1 else "was"
    return Note(
        "lone-readings",
        f"{many} {LONE_READING:.0f} °C or more from the one before and the one after it and {verb} "
        f"taken as missing{', the first ' if at.size > 1 else ': '}{shown}.",
        first=first,
        last=last,
    )


def _order_notes(clock: StandardTime, high: Array, low: Array, moments: Integers) -> list[Note]:
    """Say what is odd about the order of stamps; an hour shown twice in autumn is not."""
    notes = []
    back = np.diff(clock.moments)
    hour_again = clock.changed and not clock.certain
    if (back < (-60 if hour_again else 0)).any():
        notes.append(Note("out-of-order", "Its stamps stand out of order; they were put in order."))
    twice = np.flatnonzero(np.diff(moments) == 0)
    if twice.size > (120 if hour_again else 0):
        same = (high[twice] == high[twice + 1]) & (low[twice] == low[twice + 1])
        differ = int(np.count_nonzero(~same & ~np.isnan(high[twice]) & ~np.isnan(high[twice + 1])))
        tail = f", {differ:,} of them with another reading; all are kept" if differ else ""
        verb = "stamp stands" if twice.size == 1 else "stamps stand"
        notes.append(Note("duplicate-stamps", f"{twice.size:,} {verb} again{tail}."))
    return notes


def _coverage_notes(
    days: Days, complete: NDArray[np.bool_], hours: NDArray[np.bool_]
) -> list[Note]:
    """Name the days that lack hours; the half days at both ends go without saying."""
    inner = ~complete
    edge = np.flatnonzero(complete)
    inner[: edge[0]] = inner[edge[-1] + 1 :] = False
    missing = int(np.count_nonzero(inner))
    ends = int(np.count_nonzero(~complete & ~inner & hours.any(axis=1)))
    notes = []
    if missing:
        first, last = days[np.flatnonzero(inner)[[0, -1]]]
        verb = "day lacks" if missing == 1 else "days lack"
        notes.append(
            Note(
                "hours-missing",
                f"{missing:,} {verb} hours and {'is' if missing == 1 else 'are'} taken as missing: "
                f"{HOURS_NEEDED} of 24 hours are needed, and those around dawn and mid-afternoon.",
                first=first.item(),
                last=last.item(),
            )
        )
    if ends:
        notes.append(
            Note(
                "half-days",
                f"{ends} incomplete {'day' if ends == 1 else 'days'} at the ends "
                f"{'was' if ends == 1 else 'were'} left out.",
            )
        )
    return notes


def _warmest_hour_note(moments: Integers, high: Array) -> list[Note]:
    """Say where the mean day is warmest at an hour at which it can't be (T5)."""
    known = ~np.isnan(high)
    hour = (moments % 1440 // 60)[known]
    count = np.bincount(hour, minlength=24)
    if (count < 3).any():
        return []
    mean = np.bincount(hour, high[known], minlength=24) / count
    warmest = int(np.argmax(mean))
    if warmest in WARMEST_HOURS or np.ptp(mean) < 2:
        return []
    return [
        Note(
            "clock-doubtful",
            f"On the mean day it is warmest at {warmest} h, not between 12 and 18 h: the logger’s "
            "clock may be set to another zone, or to UTC.",
            cure="If the stamps are UTC:",
            flag="--stamps utc",
        )
    ]


def _too_few(name: str, hours: NDArray[np.bool_], step: int) -> Refusal:
    best = int(hours.sum(axis=1).max())
    return Refusal(
        name,
        "no day in it has readings enough to know its maximum and minimum",
        f"The best day has readings in {best} of 24 hours, one every {step} minutes; "
        f"{HOURS_NEEDED} are needed, and those around dawn and mid-afternoon.",
        "Use a log with a reading at least every hour, or daily maxima and minima.",
        slug="hours-missing",
    )
