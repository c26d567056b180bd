"""History, recent days and forecast put together: each day is one source's word, never a mean.

============  ===================================================  ==============
days          source                                               origin
============  ===================================================  ==============
up to now     the nearest good station; by ``--grid`` the archive  measured; model
gaps          a second station, moved by its own offset            patched
recent days   past days of the forecast service                    model
coming days   Open-Meteo; in the US the Weather Service behind it  forecast
============  ===================================================  ==============
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from gddcast.errors import ArgumentRefusal, Refusal
from gddcast.online import archive_days, climate_data, forecast_days, station_days, weather_service
from gddcast.online.session import WeatherSession
from gddcast.quality.siting import compare
from gddcast.weather.gaps import on_days_of, patch_from
from gddcast.weather.provenance import NOBODY, Sourced
from gddcast.weather.series import DailySeries, Origin, Place
from gddcast.weather.stations import Station
from gddcast.words import count

#: A gap this long is worth asking a second station. [d]
WORTH_A_LOAN = 6
#: Two sources that lie farther apart than this over the days in common are not of one place. [°C]
ONE_PLACE = 8.0

_A_DAY = dt.timedelta(days=1)
_ENOUGH_TO_COMPARE = 10  # days
_AROUND = dt.timedelta(days=400)  # beside a gap: enough days in common for an offset

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be fetched.

    Parameters
    ----------
    place : Place
        With coordinates for a forecast.
    first : datetime.date
    today : datetime.date
        At the place.
    station : Station, optional
        None for the gridded archive.
    second : Station, optional
        Compared with the first, and asked for what it lacks.
    forecast : bool
    """

    place: Place
    first: dt.date
    today: dt.date
    station: Station | None = None
    second: Station | None = None
    forecast: bool = False


def collect(wanted: Wanted, session: WeatherSession, progress: Progress | None = None) -> Sourced:
    """Everything wanted, put together.

    Raises
    ------
    Refusal
        If there is no history; a forecast that can't be had is a note.
    """
    record = _history(wanted, session, progress)
    record = replace(record, series=replace(record.series, place=wanted.place))
    if wanted.second is not None:
        record = _lent(record, wanted, wanted.second, session)
    return _with_model(record, wanted, session)


def _history(wanted: Wanted, session: WeatherSession, progress: Progress | None) -> Sourced:
    yesterday = wanted.today - _A_DAY
    if wanted.station is None:
        return archive_days.daily(wanted.place, wanted.first, yesterday, session, wanted.today)
    if climate_data.is_id(wanted.station.id):
        return climate_data.daily(wanted.station, wanted.first, yesterday, session, wanted.today)
    return station_days.daily(
        wanted.station, wanted.first, yesterday, session, wanted.today, progress
    )


def _lent(record: Sourced, wanted: Wanted, second: Station, session: WeatherSession) -> Sourced:
    """Gaps filled from a second station, by its own offset for maxima and for minima."""
    gap = _gap_worth_a_loan(record.series, wanted.today)
    if gap is None:
        return record
    first, last = gap
    try:
        theirs = station_days.daily(
            second, max(first - _AROUND, wanted.first), min(last + _AROUND, wanted.today - _A_DAY),
            session, wanted.today,
        )  # fmt: skip
        return _with_loan(record, theirs)
    except ArgumentRefusal:
        raise  # a fault of ours
    except Refusal as refusal:
        return record.and_notes(f"No second station: {refusal.where}, {refusal.problem}.")


def _with_loan(record: Sourced, theirs: Sourced) -> Sourced:
    """Both compared, and the unknown days of one lent by the other."""
    ours = _reaching(record.series, theirs.series.last)
    apart = compare(ours, theirs.series)
    name = theirs.series.source
    said = f"Second station, {name}: {_apart(-apart.tmax, -apart.tmin)} over {apart.days:,} days"
    if apart.lag:
        return record.and_notes(f"{said}. It books its maxima on other days: nothing was lent.")
    loan = patch_from(ours, theirs.series)
    if not loan.lent:
        return record.and_notes(f"{said}.")
    new = _only_new(loan.series, ours)
    filled = replace(theirs, series=new, of_day=np.where(new.known, 0, NOBODY))
    note = f"{said}; it lent {count(loan.lent, 'day')}, the difference taken off, marked patched."
    return filled_from(record, filled).and_notes(note)


def _with_model(record: Sourced, wanted: Wanted, session: WeatherSession) -> Sourced:
    """Recent unknown days and coming days from the forecast services."""
    yesterday = wanted.today - _A_DAY
    ends = record.series.date(_last_known(record.series))
    if not wanted.forecast and ends >= yesterday:
        return record
    last = wanted.today + dt.timedelta(days=forecast_days.COMING_DAYS - 1)
    model, note = _model(record, wanted, last, session)
    if model is not None:
        until = last if wanted.forecast else yesterday
        record = filled_from(record, days_of(model, model.series.first, until))
    if wanted.forecast and _may_be_us(wanted.place):
        record = _second_opinion(record, wanted, last, session)
    return record.and_notes(note) if note else record


def _model(
    record: Sourced, wanted: Wanted, last: dt.date, session: WeatherSession
) -> tuple[Sourced | None, str]:
    """Days of the forecast service and how they compare; None where they can't be used."""
    first = wanted.today - dt.timedelta(days=forecast_days.PAST_DAYS)
    try:
        model = forecast_days.daily(wanted.place, first, last, session, wanted.today)
    except Refusal as refusal:
        what = "forecast" if wanted.forecast else "recent days"
        return None, f"No {what} from Open-Meteo: {refusal.problem}."
    theirs = on_days_of(record.series, model.series)
    both = record.series.known & theirs.known & (record.series.origin == Origin.MEASURED)
    if np.count_nonzero(both) < _ENOUGH_TO_COMPARE:
        return model, ""
    high = float((theirs.tmax - record.series.tmax)[both].mean())
    low = float((theirs.tmin - record.series.tmin)[both].mean())
    said = f"Open-Meteo beside the record: {_apart(high, low)} over {int(both.sum())} days"
    if max(abs(high), abs(low)) > ONE_PLACE:
        return None, f"{said}: another place or another scale, so it was left out."
    return model, f"{said}; its days are used as they are."


def _second_opinion(
    record: Sourced, wanted: Wanted, last: dt.date, session: WeatherSession
) -> Sourced:
    """The US Weather Service: stands in where there is no forecast, else is compared."""
    try:
        other = weather_service.daily(wanted.place, wanted.today, last, session, wanted.today)
    except Refusal as refusal:
        if refusal.slug == "not-there":
            return record
        return record.and_notes(f"No second forecast: {refusal.problem}.")
    theirs = on_days_of(record.series, other.series)
    both = record.series.known & theirs.known
    if not both.any():
        return filled_from(record, other)
    high = float((theirs.tmax - record.series.tmax)[both].mean())
    low = float((theirs.tmin - record.series.tmin)[both].mean())
    note = f"Second forecast, {weather_service.SERVICE}: {_apart(high, low)} over the next "
    return record.and_notes(f"{note}{count(int(both.sum()), 'day')}; the first one is used.")


def filled_from(record: Sourced, other: Sourced) -> Sourced:
    """Unknown days taken from another record, whole days, each with its source.

    Parameters
    ----------
    record : Sourced
        Its known days stay as they are.
    other : Sourced
        May reach further at the end.
    """
    base = _reaching(record.series, other.series.last)
    theirs = on_days_of(base, other.series)
    take = ~base.known & theirs.known
    series = replace(
        base,
        tmin=np.where(take, theirs.tmin, base.tmin),
        tmax=np.where(take, theirs.tmax, base.tmax),
        origin=np.where(take, theirs.origin, base.origin),
    )
    of_day = np.full(len(base), NOBODY, dtype=np.int8)
    of_day[: record.of_day.size] = record.of_day
    if not take.any():
        return replace(record, notes=(*record.notes, *other.notes))
    at = base.index(other.series.first) + np.flatnonzero(other.of_day != NOBODY)
    their_source = np.full(len(base), NOBODY, dtype=np.int8)
    held = at[(at >= 0) & (at < len(base))]
    their_source[held] = other.of_day[held - base.index(other.series.first)]
    of_day[take] = their_source[take] + len(record.sources)
    return Sourced(series, (*record.sources, *other.sources), of_day, (*record.notes, *other.notes))


def days_of(record: Sourced, first: dt.date, last: dt.date) -> Sourced:
    """The days from ``first`` to ``last`` of a record."""
    series = record.series.between(first, last)
    begin = record.series.index(series.first)
    return replace(record, series=series, of_day=record.of_day[begin : begin + len(series)])


def _reaching(series: DailySeries, last: dt.date) -> DailySeries:
    """The series with unknown days up to ``last``, if it ends before."""
    more = max((last - series.last).days, 0)
    blank = np.full(more, np.nan)
    return replace(
        series,
        tmin=np.concatenate([series.tmin, blank]),
        tmax=np.concatenate([series.tmax, blank]),
        origin=np.concatenate([series.origin, np.full(more, Origin.UNKNOWN, np.int8)]),
    )


def _only_new(patched: DailySeries, before: DailySeries) -> DailySeries:
    """The days a loan made whole; everything else unknown."""
    new = patched.known & ~before.known
    return replace(
        patched,
        tmin=np.where(new, patched.tmin, np.nan),
        tmax=np.where(new, patched.tmax, np.nan),
        origin=np.where(new, patched.origin, np.int8(Origin.UNKNOWN)),
    )


def _gap_worth_a_loan(series: DailySeries, today: dt.date) -> tuple[dt.date, dt.date] | None:
    """From the first to the last unknown day, if any gap is long."""
    whole = _reaching(series, today - _A_DAY)
    unknown = np.concatenate([[False], ~whole.known, [False]]).astype(np.int8)
    begins, ends = (np.flatnonzero(np.diff(unknown) == step) for step in (1, -1))
    long = ends - begins >= WORTH_A_LOAN
    if not long.any():
        return None
    return whole.date(begins[long][0]), whole.date(ends[long][-1] - 1)


def _last_known(series: DailySeries) -> int:
    known = np.flatnonzero(series.known)
    return int(known[-1]) if known.size else -1


def _apart(high: float, low: float) -> str:
    return f"{high:+.1f} °C by day, {low:+.1f} °C by night".replace("-", "−")


def _may_be_us(place: Place) -> bool:
    """Whether the place may lie in the Weather Service's area; the service itself decides."""
    if place.latitude is None or place.longitude is None:
        return False
    return 13.0 <= place.latitude <= 72.0 and (-180.0 <= place.longitude <= -64.0)
