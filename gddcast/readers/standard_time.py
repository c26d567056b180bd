"""Stamps of a log to local standard time: UTC, zones in the stamps, clocks that change."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal
from gddcast.readers.days import Rows
from gddcast.readers.reading import Days, Integers, Note, OpenQuestion, Options, in_words
from gddcast.weather.series import Place


@dataclass(frozen=True, slots=True)
class StandardTime:
    """Minutes since 1970 of every row, by a clock that never changes.

    Parameters
    ----------
    moments : numpy.ndarray of int
    certain : bool
        Whether that clock is known to be standard time.
    understood : str
        One line for people.
    changed : bool
        Whether the stamps jump back where the clock was changed.
    notes : tuple of Note
    """

    moments: Integers
    certain: bool
    understood: str
    changed: bool = False
    notes: tuple[Note, ...] = ()


def standard_time(rows: Rows, name: str, place: Place, options: Options) -> StandardTime:
    """Bring stamps to the place's local standard time, the year round.

    Raises
    ------
    Refusal
        If stamps are in UTC and nobody said where, or the time zone is unknown.
    """
    moments = rows.moments
    zone = _zone(place, name)
    years = rows.days.astype("datetime64[Y]").astype(np.int64) + 1970
    offset = _standard_offset(zone, place, int(np.median(years)))
    if rows.zone is not None or options.stamps == "utc":
        stated = rows.zone if rows.zone is not None else np.zeros_like(moments)
        return _from_utc(moments, stated, offset, name, place)
    again = _hour_again(moments)
    if options.stamps == "clock" or (again.size and options.stamps is None):
        return _from_clock(moments, again, zone, rows)
    understood = "Days of the stamps’ own clock, taken as standard time"
    note = _standard_assumed(rows, zone, options)
    return StandardTime(moments, options.stamps == "standard", understood, notes=note)


def days_of_daily_stamps(rows: Rows, name: str, place: Place, options: Options) -> Days:
    """Days of rows that stand for one each, by the date at the place.

    A day's row may be stamped in UTC with the moment it begins: 22:00Z is midnight of the next
    date in a summer of Central Europe. At 0 h UTC such a stamp is a date and no more.

    Raises
    ------
    Refusal
        If stamps are in UTC and nobody said where, or the time zone is unknown.
    """
    minutes = rows.minutes
    if minutes is None or (rows.zone is None and options.stamps != "utc"):
        return rows.days
    if rows.zone is not None and rows.zone.any():
        return rows.days  # the stamps are in the place's own time, and say so
    if not (minutes % 1440).any():
        return rows.days
    zone = _zone(place, name)
    if zone is None:
        raise _zone_missing(name, "A day that begins at 22 h UTC is the next date in Berlin.")
    epoch = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
    local = [(epoch + dt.timedelta(minutes=int(at))).astimezone(zone) for at in rows.moments]
    if all(moment.hour == 23 and moment.minute < 45 for moment in local):
        raise OpenQuestion(
            name,
            f"its days would begin at 23 h in {zone.key}",
            "They are stamped in UTC; a day begins at midnight.",
            "Say the time zone in which they do:",
            option="timezone",
            conflict=True,
            slug="timezone-missing",
        )
    return np.array([moment.date() for moment in local], "datetime64[D]")


def _zone(place: Place, name: str) -> ZoneInfo | None:
    if place.timezone is None:
        return None
    try:
        return ZoneInfo(place.timezone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Refusal(
            f"the time zone '{place.timezone}'",
            "there is no such zone",
            f"It was given for {name}. Zones are named like America/Chicago or Europe/Berlin.",
            "Mend its spelling.",
            slug="timezone-unknown",
        ) from None


def _standard_offset(zone: ZoneInfo | None, place: Place, year: int) -> int | None:
    """Distance of local standard time from UTC [min], by zone, else by longitude."""
    if zone is not None:
        year = min(max(year, 1), 9999)
        offsets = [dt.datetime(year, month, 1, 12, tzinfo=zone).utcoffset() for month in (1, 7)]
        return min(int(offset.total_seconds() // 60) for offset in offsets if offset is not None)
    if place.longitude is not None:
        return round(place.longitude / 15) * 60
    return None


def _from_utc(
    moments: Integers, stated: Integers, offset: int | None, name: str, place: Place
) -> StandardTime:
    """Stamps that say how far from UTC they are."""
    if offset is None and not stated.any():
        raise _zone_missing(
            name, "A day begins at local midnight: in UTC an American afternoon lies on two dates."
        )
    by = place.timezone or ("the longitude" if offset is not None else "the stamps")
    if offset is None:
        offset = int(stated.min())  # daylight saving adds an hour to the standard distance
    hours = f"{offset / 60:+g} h".replace("-", "−")
    understood = f"Days made in local standard time, UTC {hours} ({by})"
    return StandardTime(moments - stated + offset, True, understood)


def _zone_missing(name: str, why: str) -> Refusal:
    return OpenQuestion(
        name,
        "its stamps are in UTC, and I don’t know where it hangs",
        why,
        "Say the time zone, such as America/Chicago:",
        option="timezone",
        slug="timezone-missing",
    )


def _hour_again(moments: Integers) -> NDArray[np.intp]:
    """Rows at which the clock is put back in autumn: an hour before 4 o'clock stands twice.

    An hourly log shows it as one stamp twice; only on a Sunday is that taken for the clock.
    """
    back = np.diff(moments)
    hour = moments[1:] % 1440 // 60
    sunday = (moments[1:] // 1440) % 7 == 3  # 1 January 1970 was a Thursday
    again = np.flatnonzero((hour < 4) & (back >= -60) & ((back < 0) | ((back == 0) & sunday))) + 1
    years = 1 + int(np.ptp(moments)) // (365 * 1440)
    return again if again.size <= years + 1 else again[:0]


def _from_clock(
    moments: Integers, again: NDArray[np.intp], zone: ZoneInfo | None, rows: Rows
) -> StandardTime:
    """Stamps by a clock that changes in spring and autumn."""
    days = rows.days
    shown = [in_words(days[row]) for row in again[:2]]
    text = f"The clock was put back on {' and '.join(shown)}: both hours are kept." if shown else ""
    if zone is None:
        note = Note(
            "clock-change",
            f"{text} Its days are the clock’s own, one of 25 hours.".strip(),
            tuple(int(rows.lines[row]) for row in again[:5]),
            cure="With a time zone the days are made in standard time:",
            flag="--timezone AREA/CITY",
        )
        return StandardTime(moments, False, "Days of the clock, which changes", True, (note,))
    shift = _clock_shift(moments, again, zone)
    note = Note(
        "clock-change", f"{text} Days are made in standard time.".strip(),
        tuple(int(rows.lines[row]) for row in again[:5]),
    )  # fmt: skip
    understood = f"Days made in local standard time of {zone.key}; the stamps follow the clock"
    return StandardTime(moments - shift, True, understood, bool(again.size), (note,))


def _clock_shift(moments: Integers, again: NDArray[np.intp], zone: ZoneInfo) -> Integers:
    """Minutes by which the clock runs ahead of standard time at each row."""
    epoch = dt.datetime(1970, 1, 1)
    hours, where = np.unique(moments // 60, return_inverse=True)
    standard = _standard_offset(zone, Place(""), (epoch + dt.timedelta(hours=int(hours[0]))).year)
    assert standard is not None
    ahead = np.empty((2, hours.size), np.int64)
    for column, hour in enumerate(hours):
        clock = epoch + dt.timedelta(hours=int(hour))
        for fold in (0, 1):
            offset = clock.replace(tzinfo=zone, fold=fold).utcoffset() or dt.timedelta()
            ahead[fold, column] = int(offset.total_seconds() // 60) - standard
    # An hour the clock shows twice is standard time from the row at which it jumped back.
    second = np.zeros(moments.size, np.int64)
    for row in again:
        near = moments[row:] < moments[row] + 60
        second[row:][: np.argmin(near) if not near.all() else near.size] = 1
    return ahead[second, where.reshape(-1)]


def _standard_assumed(rows: Rows, zone: ZoneInfo | None, options: Options) -> tuple[Note, ...]:
    """Say that stamps were taken as standard time where that could be otherwise."""
    if options.stamps is not None:
        return ()
    if zone is not None and not _changes(zone, rows):
        return ()
    return (
        Note(
            "standard-time-assumed",
            "Its stamps are taken as standard time the year round. If they follow the clock, "
            "summer days begin an hour early.",
            cure="If so:",
            flag="--stamps clock",
        ),
    )


def _changes(zone: ZoneInfo, rows: Rows) -> bool:
    """Whether clocks change in the zone while the log runs."""
    first, last = rows.days.min().item(), rows.days.max().item()
    noons = (
        dt.datetime.combine(first + dt.timedelta(days=step), dt.time(12), zone)
        for step in range(0, min((last - first).days, 366) + 1, 7)
    )
    return len({noon.utcoffset() for noon in noons}) > 1
