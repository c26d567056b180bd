"""What answers of weather models have in common: local days, one place, a labelled scale."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from gddcast.online.plausible import check_temperatures, cleaned
from gddcast.online.trouble import Trouble, of_page
from gddcast.units import Unit, to_celsius
from gddcast.weather.series import DailySeries, Origin, Place

Array = NDArray[np.float64]

#: Grid cells farther from the place than this are another place. [°]
SAME_PLACE = 0.5
#: And so far from its height that it would be some 2 °C off. [m]
SAME_HEIGHT = 300.0
# Zones lie at most this far from the sun's time: western China, 3 hours; with summer time 4. [h]
_OFF_THE_SUN = 4.5

_UNITS: dict[str, Unit] = {
    "°C": "C", "°F": "F", "wmoUnit:degC": "C", "wmoUnit:degF": "F", "unit:degC": "C",
}  # fmt: skip


#: The service's own today may be the day before or after ours.
_MIDNIGHT = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Daily:
    """Consecutive local days of a model, in °C."""

    first: dt.date
    low: Array
    high: Array
    timezone: str | None
    issued: dt.datetime | None = None

    def series(self, place: Place, today: dt.date, source: str) -> tuple[DailySeries, int]:
        """The days as a series, past ones marked model, coming ones forecast; impossible ones."""
        low, high, struck = cleaned(self.low, self.high)
        dates = np.datetime64(self.first, "D") + np.arange(low.size)
        coming = dates >= np.datetime64(today, "D")
        known = ~np.isnan(low) & ~np.isnan(high)
        origin = np.where(coming, Origin.FORECAST, Origin.MODEL)
        origin = np.where(known, origin, Origin.UNKNOWN).astype(np.int8)
        return DailySeries(self.first, low, high, origin, place, source, "C"), struck

    def holding(self, today: dt.date, what: str) -> Daily:
        """These days, if today is one of them, or the day after or before by another's midnight.

        Raises
        ------
        Trouble
            If not: a clock is wrong, most likely this machine's.
        """
        last = self.first + dt.timedelta(days=self.low.size - 1)
        if not self.first - _MIDNIGHT <= today <= last + _MIDNIGHT:
            raise Trouble(
                f"{what} is of {self.first:%d %B %Y} to {last:%d %B %Y}",
                f"By this machine today is {today:%d %B %Y}.",
                slug="clock-wrong",
                cure="Set the clock of this machine, then try again.",
            )
        return self


def json_in(body: bytes, what: str) -> dict[str, Any]:
    """The object of an answer, or Trouble."""
    page = of_page(body, what)
    if page is not None:
        raise page
    try:
        # As floats: one of 400 digits is infinite, and no fault of ours.
        found = json.loads(body, parse_int=float)
    except (ValueError, RecursionError) as error:
        raise Trouble(f"{what} can’t be read", f"{error}.", slug="not-data") from error
    if not isinstance(found, dict):
        raise Trouble(f"{what} has changed its form", "It is no object.", slug="form-changed")
    return found


def in_celsius(values: Array, label: object, what: str) -> Array:
    """Temperatures by the scale their label names; a label we don't know is no °C."""
    unit = _UNITS.get(str(label))
    if unit is None:
        raise Trouble(
            f"{what} names the scale '{label}'", "°C or °F was expected.", slug="wrong-unit"
        )
    return to_celsius(values, unit)


def numbers(values: object, what: str) -> Array:
    """A list of numbers and nulls."""
    try:
        return np.array([np.nan if value is None else float(value) for value in values])  # type: ignore[attr-defined]
    except (TypeError, ValueError) as error:
        raise Trouble(f"{what} can’t be read", f"{error}.", slug="not-data") from error


def consecutive(days: object, what: str) -> dt.date:
    """First of a row of days without a break."""
    try:
        dates = [dt.date.fromisoformat(day) for day in days]  # type: ignore[attr-defined]
    except (TypeError, ValueError) as error:
        raise Trouble(f"the days of {what} can’t be read", f"{error}.", slug="not-data") from error
    if not dates or any((dates[at] - dates[0]).days != at for at in range(len(dates))):
        raise Trouble(f"{what} skips days", "One value a day was expected.", slug="not-data")
    return dates[0]


def checked(low: Array, high: Array, what: str) -> None:
    """Trouble where these are no air temperatures, or none at all."""
    if np.isnan(low).all() or np.isnan(high).all():
        raise Trouble(
            f"{what} is empty there",
            "All its values are blank, as over open sea.",
            slug="no-days",
            cure="Check the point: latitude comes first, west of Greenwich has a minus.",
        )
    check_temperatures(low, high, what)


def zone_of(name: object, place: Place, what: str) -> str:
    """The time zone an answer's days are in, or Trouble where they are cut at a wrong hour."""
    if not isinstance(name, str) or not name:
        raise Trouble(
            f"{what} names no time zone",
            "Days cut at an unknown hour put a warm afternoon on the wrong date.",
            slug="no-time-zone",
        )
    try:
        answered = ZoneInfo(name)
        if place.timezone is not None and not _alike(answered, ZoneInfo(place.timezone)):
            raise Trouble(
                f"{what} has days of {name}",
                f"Days of {place.timezone} were asked for.",
                slug="wrong-time-zone",
            )
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:  # a folder of zones
        raise Trouble(
            f"{what} names the time zone '{name}'", f"{error}", slug="wrong-time-zone"
        ) from error
    if place.timezone is None and off_the_sun(name, place.longitude):
        raise Trouble(
            f"{what} has days of {name}",
            f"The sun is at another hour at longitude {place.longitude:g}.",
            slug="wrong-time-zone",
        )
    return name


def off_the_sun(timezone: str, longitude: float | None) -> bool:
    """Whether a zone lies hours from the sun's time at a longitude: swapped, or a sign lost.

    Examples
    --------
    >>> off_the_sun("America/Chicago", -89.4), off_the_sun("America/Chicago", 89.4)
    (False, True)
    """
    if longitude is None:
        return False
    offset = dt.datetime(2024, 1, 15, tzinfo=ZoneInfo(timezone)).utcoffset() or dt.timedelta()
    apart = abs(offset / dt.timedelta(hours=1) - longitude / 15.0)
    return min(apart, 24.0 - apart) > _OFF_THE_SUN


def _alike(one: ZoneInfo, other: ZoneInfo) -> bool:
    """Whether two zones keep the same clock, whatever they are called."""
    moments = [dt.datetime(2025, month, 15, 12) for month in (1, 4, 7, 10)]
    return all(
        moment.replace(tzinfo=one).utcoffset() == moment.replace(tzinfo=other).utcoffset()
        for moment in moments
    )
