"""Rows to a Reading: the scale settled, numbers in °C, rows made into days."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gddcast.errors import Refusal, shell
from gddcast.readers import days as calendar
from gddcast.readers import log_days, scale
from gddcast.readers.days import Rows
from gddcast.readers.reading import Array, Days, FileUnit, Note, Options, Reading, in_words
from gddcast.readers.scale import refuse_change_of_scale
from gddcast.readers.standard_time import days_of_daily_stamps
from gddcast.readers.values import COLDEST_MARK, family_of, in_celsius, without_marks
from gddcast.units import Unit
from gddcast.weather.series import DailySeries, Origin, Place
from gddcast.words import AFTERNOON, COUNTED_TWICE

Origins = NDArray[np.int8]

#: Share of days with the maximum below the minimum above which the columns are swapped.
SWAPPED = 0.5


@dataclass(frozen=True, slots=True)
class FileAbout:
    """What is known of a file besides its rows."""

    name: str
    columns: tuple[str, ...]
    understood: tuple[str, ...]
    notes: tuple[Note, ...] = ()
    stated: FileUnit | None = None
    stated_by: str = "header"
    means_only: bool = False
    single: bool = False
    site: str | None = None
    sites: tuple[str, ...] = ()
    provenance: tuple[tuple[str, str], ...] = ()


def reading_of_rows(rows: Rows, about: FileAbout, options: Options) -> Reading:
    """Make a Reading of rows.

    Raises
    ------
    Refusal
        If the scale cannot be settled, days conflict, or the columns are swapped.
    """
    calendar.refuse_far_years(rows.days, rows.lines, about.name)
    one_column = rows.high is rows.low
    is_log = rows.is_log
    if about.single and not is_log:
        raise _one_reading_a_day(about)
    family = family_of(rows.high, rows.low, options.unit or about.stated)
    rows, marks = _without_marks(rows, family)
    if is_log:
        rows = rows.of(rows.high, rows.high if one_column else rows.low)
        days, high, low = log_days.rough_extremes(rows)
        notes: tuple[Note, ...] = ()
        stated_origin = np.zeros(days.size, np.int8)
    else:
        local = days_of_daily_stamps(rows, about.name, _place(about, options), options)
        about = replace(about, notes=(*about.notes, *_read_in_the_morning(rows, options)))
        whole = calendar.consecutive(replace(rows, days=local), about.name)
        days, high, low, notes = whole.days, whole.high, whole.low, whole.notes
        stated_origin = whole.stated_origin
    degrees = 10.0 if family == "tenths" else 1.0
    refuse_change_of_scale(high / degrees, low / degrees, days, about.name)
    file_scale, scale_notes = scale.decide(
        high,
        low,
        days,
        about.name,
        stated=about.stated,
        stated_by=about.stated_by,
        given=options.unit,
        family=family,
        sure=options.sure,
        latitude=options.place.latitude if options.place else None,
    )
    about = replace(
        about,
        understood=(about.understood[0], file_scale.understood, *about.understood[1:]),
        notes=(*about.notes, *marks, *notes, *scale_notes),
    )
    if is_log:
        rows = _converted_rows(rows, file_scale.unit)
        return _log_reading(rows, about, options, file_scale, one_column)
    high, low = (in_celsius(values, file_scale.unit) for values in (high, low))
    return _daily_reading(
        days, *_colder_than_air(high, low), stated_origin, about, options, file_scale
    )


def _read_in_the_morning(rows: Rows, options: Options) -> tuple[Note, ...]:
    """Ask about days that are all stamped with a morning hour: when a thermometer is reset."""
    if rows.minutes is None or options.reading_hour is not None:
        return ()
    hours = rows.minutes // 60
    if not ((hours >= 5) & (hours < 11)).all() or rows.zone is not None:
        return ()
    hour = int(np.median(hours))
    return (
        Note(
            "reading-hour",
            f"Its days are stamped about {hour} h. If that is when you read the thermometer, the "
            "maximum belongs to the day before.",
            cure="If so:",
            flag=f"--reading-hour {hour}",
        ),
    )


def _without_marks(rows: Rows, family: str) -> tuple[Rows, tuple[Note, ...]]:
    """Rows without numbers that no thermometer shows."""
    high, met = without_marks(rows.high, family)
    low, met_low = (high, met) if rows.low is rows.high else without_marks(rows.low, family)
    if rows.low is not rows.high:
        met = met + met_low
    if not met:
        return rows, ()
    listed = ", ".join(f"{value:g} ×{times}" for value, times in met.most_common(8))
    note = Note(
        "missing-marks",
        f"Numbers that no thermometer shows were taken as missing: {listed}.".replace("-", "−"),
    )
    return rows.of(high, low), (note,)


def _converted_rows(rows: Rows, unit: FileUnit) -> Rows:
    high = in_celsius(rows.high, unit)
    low = high if rows.low is rows.high else in_celsius(rows.low, unit)
    return rows.of(*_colder_than_air(high, low))


def _colder_than_air(high: Array, low: Array) -> tuple[Array, Array]:
    """NaN below what air has ever been: what is left of markers once the scale is known."""
    coldest = COLDEST_MARK
    first = np.where(high < coldest, np.nan, high) if np.nanmin(high) < coldest else high
    if low is high:
        return first, first
    return first, np.where(low < coldest, np.nan, low)


def _daily_reading(
    days: Days,
    high: Array,
    low: Array,
    stated_origin: Origins,
    about: FileAbout,
    options: Options,
    file_scale: scale.Scale,
) -> Reading:
    notes = list(about.notes)
    swapped = np.flatnonzero(high < low)
    if swapped.size:
        notes.append(_swapped_days(days, high, low, swapped, about))
        high, low = high.copy(), low.copy()
        high[swapped] = low[swapped] = np.nan
    day_ends = dict(about.provenance).get("day_ends", "midnight")
    understood = list(about.understood)
    if options.reading_hour is not None and options.reading_hour < 12:
        days, high, low, stated_origin = _morning_readings(days, high, low, stated_origin)
        day_ends = "morning-reading"
        understood.append(f"Read at {options.reading_hour} h: each maximum given to the day before")
    if options.reading_hour is not None and options.reading_hour in AFTERNOON:
        notes.append(Note("afternoon-readings", COUNTED_TWICE))
    origin = _origins(days, high, low, stated_origin, options, notes)
    if about.means_only:
        notes.append(
            Note(
                "means-only",
                "It has only daily means: heat can only be counted by flooring the mean, which "
                "undercounts spring, when cool days have warm hours.",
            )
        )
    series = DailySeries(
        days[0].item(),
        low,
        high,
        origin,
        place=_place(about, options),
        source=about.name,
        unit=_screen_unit(file_scale.unit),
        notes=tuple(understood),
    )
    return Reading(
        series,
        tuple(understood),
        tuple(notes),
        file_scale.unit,
        file_scale.decided_by,
        about.columns,
        means_only=about.means_only,
        day_ends=day_ends,
        site=about.site,
        sites=about.sites,
        provenance=about.provenance,
    )


def _origins(
    days: Days, high: Array, low: Array, stated_origin: Origins, options: Options, notes: list[Note]
) -> Origins:
    """Origin of each day; a day still to come is a forecast whatever the file says."""
    known = ~(np.isnan(high) | np.isnan(low))
    origin = np.where(
        known, np.where(stated_origin > 0, stated_origin, Origin.MEASURED), Origin.UNKNOWN
    )
    coming = calendar.after(days, options.today)
    future = coming & known
    origin[future] = Origin.FORECAST
    if future.any():
        at = np.flatnonzero(future)
        notes.append(
            Note(
                "forecast-rows",
                f"{at.size} {'day' if at.size == 1 else 'days'} after today "
                f"({in_words(days[at[0]])} to {in_words(days[at[-1]])}) "
                f"{'is' if at.size == 1 else 'are'} taken as forecast, not measured.",
                first=days[at[0]].item(),
                last=days[at[-1]].item(),
            )
        )
    return origin.astype(np.int8)


def _morning_readings(
    days: Days, high: Array, low: Array, stated_origin: Origins
) -> tuple[Days, Array, Array, Origins]:
    """Give each morning's maximum to the day before, when it was reached."""
    days = np.concatenate((days[:1] - 1, days))
    return (
        days,
        np.concatenate((high, [np.nan])),
        np.concatenate(([np.nan], low)),
        np.concatenate((stated_origin[:1], stated_origin)),
    )


def _swapped_days(
    days: Days, high: Array, low: Array, swapped: NDArray[np.intp], about: FileAbout
) -> Note:
    known = np.count_nonzero(~np.isnan(high) & ~np.isnan(low))
    if swapped.size > SWAPPED * known:
        upper, lower = about.columns[-2:] if len(about.columns) > 2 else ("max", "min")
        raise Refusal(
            about.name,
            f"column '{upper}' is below column '{lower}' on {swapped.size} of {known} days",
            "The columns look swapped.",
            "If so, say which is which:",
            flag=shell("--max-column", lower, "--min-column", upper),
            slug="columns-swapped",
        )
    first, last = days[swapped[0]].item(), days[swapped[-1]].item()
    shown = ", ".join(in_words(days[at]) for at in swapped[:4])
    more = f" and {swapped.size - 4} more" if swapped.size > 4 else ""
    verb = "has" if swapped.size == 1 else "have"
    return Note(
        "swapped-days",
        f"{swapped.size} {'day' if swapped.size == 1 else 'days'} {verb} a maximum below the "
        f"minimum and {'is' if swapped.size == 1 else 'are'} taken as missing: {shown}{more}.",
        first=first,
        last=last,
        cure="Look them up in the original.",
    )


def _log_reading(
    rows: Rows, about: FileAbout, options: Options, file_scale: scale.Scale, one_column: bool
) -> Reading:
    place = _place(about, options)
    log = log_days.days_of_log(rows, about.name, place, options, one_column=one_column)
    about = replace(
        about, understood=(*about.understood, *log.understood), notes=(*about.notes, *log.notes)
    )
    stated_origin = np.zeros(log.days.size, np.int8)
    options = replace(options, reading_hour=None, place=place)
    reading = _daily_reading(log.days, log.high, log.low, stated_origin, about, options, file_scale)
    return replace(reading, hourly=log.hourly)


def _place(about: FileAbout, options: Options) -> Place:
    place = options.place or Place(about.site or "this place")
    return replace(place, timezone=options.timezone) if options.timezone else place


def _screen_unit(unit: FileUnit) -> Unit:
    return "F" if unit == "F" else "C"


def _one_reading_a_day(about: FileAbout) -> Refusal:
    return Refusal(
        about.name,
        "it has one temperature a day, and none of its columns is called maximum or minimum",
        f"Its columns are {', '.join(about.columns)}. One reading is neither the day’s highest "
        "nor its lowest.",
        "If the columns have other names, say which are which:",
        flag="--max-column NAME --min-column NAME",
        slug="column-unclear",
    )
