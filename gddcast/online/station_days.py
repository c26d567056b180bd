"""Days of one weather station, from Meteostat's year files.

Days run from midnight to midnight UTC or as the reporting network has them: Meteostat joins many
networks, and METAR-derived extremes are hourly samples, slightly clipped.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import io
import re
import zlib
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from gddcast.errors import Refusal
from gddcast.online.mirror import meteostat_reading, put, year_file, zipped
from gddcast.online.plausible import check_temperatures, cleaned
from gddcast.online.session import NEVER, Answer, WeatherSession
from gddcast.online.station_list import model_labels
from gddcast.online.trouble import Trouble, of_page
from gddcast.weather.provenance import Provenance, Sourced
from gddcast.weather.series import DailySeries, Origin, Place
from gddcast.weather.stations import Station

SERVICE = "Meteostat"
TERMS = "{attribution}; data under CC BY 4.0, meteostat.net"
DAY = "the day of the reporting network; UTC days where it is made of hourly readings"
#: How long the file of this year and of the last one holds: both are still corrected.
GROWING = dt.timedelta(hours=6)

#: More rows without a date than this and a table is not what it was. [share]
UNDATED_ALLOWED = 0.1
#: A year of days takes 20 kB. [bytes]
LARGEST_YEAR = 5_000_000

_A_DAY = dt.timedelta(days=1)
_ID = re.compile(r"^[A-Za-z0-9]{3,8}$")
# Failures in a row after which nobody is asked any more.
_ENOUGH = 3
_NEEDED = ("year", "month", "day", "tmin", "tmax")


def daily(
    station: Station,
    first: dt.date,
    last: dt.date,
    session: WeatherSession,
    today: dt.date,
    progress: Callable[[int, int], None] | None = None,
) -> Sourced:
    """Days of a station.

    Parameters
    ----------
    station : Station
    first, last : datetime.date
    session : WeatherSession
    today : datetime.date
        Days from this one on are a forecast, whoever gives them.
    progress : callable
        Called with the years done and their number.

    Raises
    ------
    Refusal
        If no year can be had.
    """
    if not _ID.match(station.id):
        raise Refusal(
            f"the station {station.id!r}",
            "that is no station id",
            "Ids are 3 to 8 letters and digits, such as 72530.",
            "Find one near you:  gddcast weather stations --at LAT,LON",
            slug="no-such-station",
        )
    begin = first.year if station.first is None else max(first.year, station.first.year)
    years = range(begin, last.year + 1)
    answers: dict[int, Answer[int]] = {}
    troubles: dict[int, Trouble] = {}
    undated: dict[int, int] = {}
    in_a_row, nobody_there = 0, False
    for done, year in enumerate(years):
        _say(progress, done, len(years))
        keep = NEVER if year < today.year - 1 else GROWING
        try:
            # Nobody there: three timeouts are enough, the cache answers for the other years.
            answers[year] = _year(station.id, year, keep, session, offline=nobody_there)
            if answers[year].value is not None:
                undated[year] = _keep(station.id, year, answers[year].body, session)
            in_a_row = 0 if answers[year].stale is None else in_a_row + 1
        except Trouble as trouble:
            troubles[year] = trouble
            in_a_row += 1
        nobody_there = nobody_there or in_a_row >= _ENOUGH
    _say(progress, len(years), len(years))
    there = {year: answer for year, answer in answers.items() if answer.value is not None}
    if not there:
        raise _nothing(station, years, troubles)
    begins = max(first, dt.date(begin, 1, 1))
    sourced = _read(station, begins, min(last, today - _A_DAY), session, there, troubles)
    years_undated = [year for year, rows in undated.items() if rows]
    if not years_undated:
        return sourced
    rows = sum(undated.values())
    note = (
        f"{SERVICE}: {rows} {'row' if rows == 1 else 'rows'} of {_years(years_undated)} without a "
        f"date of that year {'was' if rows == 1 else 'were'} left out."
    )
    return replace(sourced, notes=(*sourced.notes, note))


def _say(progress: Callable[[int, int], None] | None, done: int, of: int) -> None:
    if progress is not None:
        progress(done, of)


def _year(
    station: str, year: int, keep: dt.timedelta | None, session: WeatherSession, *, offline: bool
) -> Answer[int]:
    """The file of a year."""
    return session.get(
        session.services.station_years.format(station=station, year=year),
        read=days_in,
        keep=keep,
        absent_is_an_answer=True,
        offline=offline,
    )


def _keep(station: str, year: int, body: bytes, session: WeatherSession) -> int:
    """Bring a year into the mirror without rows that name no day of it; how many these are.

    The library that reads the mirror gives up a whole year for one of them.
    """
    lines = _text(body).splitlines()
    rows = list(csv.DictReader(lines))
    sound = [(day := _day(row)) is not None and day.year == year for row in rows]
    if all(sound) or len(rows) != len(lines) - 1:
        put(year_file(session.folder, station, year), zipped(body))
        return 0
    kept = [lines[0], *(line for line, good in zip(lines[1:], sound, strict=True) if good)]
    put(year_file(session.folder, station, year), zipped(("\n".join(kept) + "\n").encode()))
    return sound.count(False)


def _text(body: bytes) -> str:
    if body[:2] == b"\x1f\x8b":
        with gzip.open(io.BytesIO(body)) as packed:
            body = packed.read(LARGEST_YEAR + 1)
    return body.decode("utf-8")


def _day(row: dict[str, str]) -> dt.date | None:
    try:
        return dt.date(int(row["year"]), int(row["month"]), int(row["day"]))
    except (ValueError, TypeError, OverflowError):
        return None


def days_in(body: bytes) -> int:
    r"""Number of days with both readings in a year file, or Trouble if it is none.

    Examples
    --------
    >>> days_in(b"year,month,day,tmin,tmin_source,tmax,tmax_source\n2020,5,1,4,ghcnd,16,ghcnd\n")
    1
    """
    page = of_page(body, "a year of readings")
    if page is not None:
        raise page
    try:
        text = _text(body)
    except (OSError, EOFError, zlib.error, UnicodeDecodeError) as error:
        raise Trouble(
            "a year of readings broke off on the way", f"{error}.", slug="not-data"
        ) from error
    if len(text) > LARGEST_YEAR:
        raise Trouble(
            "a year of readings is far too large",
            f"It unpacks to more than {LARGEST_YEAR // 1_000_000} MB.",
            slug="too-large",
        )
    try:
        table = csv.DictReader(text.splitlines())
        names, rows = table.fieldnames or (), list(table)
    except csv.Error as error:
        raise Trouble("a year of readings can’t be read", f"{error}.", slug="not-data") from error
    missing = [name for name in _NEEDED if name not in names]
    if missing:
        raise Trouble(
            "a year of readings has changed its form",
            f"It lacks the columns {', '.join(missing)}.",
            slug="form-changed",
            cure="Look for a newer gddcast.",
        )
    return _sane(rows)


def _sane(rows: list[dict[str, str]]) -> int:
    """Number of whole days; Trouble where they can be no air temperatures in °C."""
    try:
        days = [day for row in rows if (day := _day(row)) is not None]
        dated = [row for row in rows if _day(row) is not None]
        low, high = (
            np.array([float(row[name] or "nan") for row in dated]) for name in ("tmin", "tmax")
        )
    except (ValueError, TypeError) as error:
        raise Trouble("a year of readings can’t be read", f"{error}.", slug="not-data") from error
    if len(rows) - len(days) > UNDATED_ALLOWED * len(rows):
        raise Trouble("most dates in a year of readings can’t be read", slug="not-data")
    if len(set(days)) < len(days):
        raise Trouble("a year of readings has days twice", slug="not-data")
    check_temperatures(low, high, "a year of readings")
    return int(np.count_nonzero(~np.isnan(low) & ~np.isnan(high)))


def _read(
    station: Station,
    first: dt.date,
    last: dt.date,
    session: WeatherSession,
    answers: dict[int, Answer[int]],
    troubles: dict[int, Trouble],
) -> Sourced:
    """Read the mirror with the meteostat library and mark model days."""
    with meteostat_reading(session.folder) as meteostat:
        series = meteostat.daily(
            meteostat.Station(id=station.id), first, last,
            parameters=[meteostat.Parameter.TMIN, meteostat.Parameter.TMAX],
        )  # fmt: skip
        table, attribution = series.fetch(fill=True, sources=True), series.attribution
    if table is None or "tmin" not in table or "tmax" not in table:
        raise _nothing(station, range(first.year, last.year + 1), troubles)
    import pandas as pd

    table = table.reindex(pd.date_range(first, last, freq="D"))
    low, high, struck = cleaned(
        *(table[name].to_numpy(dtype=np.float64, na_value=np.nan) for name in ("tmin", "tmax"))
    )
    modelled = _modelled(table)
    known = ~np.isnan(low) & ~np.isnan(high)
    origin = np.where(known, np.where(modelled, Origin.MODEL, Origin.MEASURED), Origin.UNKNOWN)
    place = Place(
        station.name or station.id, station.latitude, station.longitude,
        station.elevation, station.timezone,
    )  # fmt: skip
    days = DailySeries(first, low, high, origin.astype(np.int8), place, _title(station), "C")
    notes = _notes(answers, troubles, struck, int(np.count_nonzero(modelled & known)))
    return Sourced.of(days, _provenance(station, answers, attribution), notes)


def _modelled(table: object) -> np.ndarray:
    """Days on which either reading carries the label of a model, alone or among others."""
    models = model_labels()

    def is_model(label: object) -> bool:
        return isinstance(label, str) and not models.isdisjoint(label.split())

    either = [table[f"{name}_source"].map(is_model) for name in ("tmin", "tmax")]  # type: ignore[index]
    return np.asarray(either[0] | either[1], dtype=bool)


def _title(station: Station) -> str:
    return f"{station.name} ({station.id})" if station.name else f"station {station.id}"


def _provenance(station: Station, answers: dict[int, Answer[int]], attribution: str) -> Provenance:
    newest = answers[max(answers)]
    stale = next((answers[year].stale for year in sorted(answers) if answers[year].stale), None)
    return Provenance(
        key=station.id,
        service=SERVICE,
        what=_title(station),
        day=DAY,
        terms=TERMS.format(attribution=attribution),
        fetched=newest.fetched,
        issued=newest.issued,
        stale=stale,
    )


def _notes(
    answers: dict[int, Answer[int]], troubles: dict[int, Trouble], struck: int, modelled: int
) -> tuple[str, ...]:
    notes = []
    stale = [year for year, answer in answers.items() if answer.stale]
    if stale:
        # The first was asked for; once nobody answers, the others come from the cache unasked.
        why, fetched = answers[min(stale)].stale, answers[max(stale)].fetched
        notes.append(f"{SERVICE}: {why}; {_years(stale)} as of {fetched:%d %B %Y %H:%M} UTC.")
    if troubles:
        why = next(iter(troubles.values())).problem
        notes.append(f"{SERVICE}: {_years(list(troubles))} left out: {why}.")
    if struck:
        notes.append(f"{struck} impossible days taken as missing.")
    if modelled:
        notes.append(f"{modelled} days of the station come from a weather model; marked so.")
    return tuple(notes)


def _years(years: list[int]) -> str:
    years = sorted(years)
    if len(years) == 1:
        return str(years[0])
    whole = years[-1] - years[0] + 1 == len(years)
    return f"{years[0]}–{years[-1]}" if whole else ", ".join(map(str, years))


def _nothing(station: Station, years: range, troubles: dict[int, Trouble]) -> Refusal:
    if troubles:
        return next(iter(troubles.values())).refusal(SERVICE)
    return Refusal(
        _title(station),
        f"it has no daily readings from {years[0]} to {years[-1]}" if years else "it has no days",
        f"{SERVICE} has no file of these years.",
        "Take another:  gddcast weather stations --at LAT,LON",
        slug="no-days",
    )
