"""Weather stations as seen from a place, best first, by a rule that is explained."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

#: What makes a station good: years on file, share of days, days since its last one.
ENOUGH_YEARS, ENOUGH_DAYS, LATELY = 10, 0.90, 60
#: Height that counts as one kilometre of distance: 100 m is 0.65 °C, as far as 10 km of flat
#: land (our own rule; lapse rate 6.5 °C/km, ISO 2533). [m]
METRES_PER_KM = 10.0

#: The rule in words.
GOOD = (
    f"Good: {ENOUGH_YEARS} years or more on file, {ENOUGH_DAYS:.0%} of days or more, reported in "
    f"the last {LATELY} days."
)
#: The same with the order, printed under every list.
RULE = (
    f"{GOOD} Good ones first; then the nearest, 100 m of height counting as "
    f"{100 / METRES_PER_KM:.0f} km where your own height is known (--elevation)."
)


@dataclass(frozen=True, slots=True)
class Station:
    """A weather station, as much as a later fetch needs to know of it.

    Parameters
    ----------
    id : str
    name, country : str
    latitude, longitude : float, optional
        [°]
    elevation : float, optional
        [m]
    timezone : str, optional
        IANA name.
    first, last : datetime.date, optional
        Days on file.
    share : float, optional
        Of these days, how many are there: 0 to 1.
    """

    id: str
    name: str = ""
    country: str = ""
    latitude: float | None = None
    longitude: float | None = None
    elevation: float | None = None
    timezone: str | None = None
    first: dt.date | None = None
    last: dt.date | None = None
    share: float | None = None

    @property
    def years(self) -> float:
        """Years from the first day on file to the last."""
        if self.first is None or self.last is None:
            return 0.0
        return (self.last - self.first).days / 365.25


@dataclass(frozen=True, slots=True)
class Near:
    """A station seen from a place.

    Parameters
    ----------
    station : Station
    distance : float
        [km]
    higher : float, optional
        Station above the place; None where the place's height is unknown. [m]
    lacks : tuple of str
        What keeps it from being good; empty if it is.
    """

    station: Station
    distance: float
    higher: float | None
    lacks: tuple[str, ...]

    @property
    def good(self) -> bool:
        """Whether it is good by the rule."""
        return not self.lacks

    @property
    def counted(self) -> float:
        """Distance with height counted in. [km]"""
        return self.distance + abs(self.higher or 0.0) / METRES_PER_KM


def ranked(
    stations: Iterable[tuple[Station, float]], today: dt.date, elevation: float | None = None
) -> list[Near]:
    """Stations as seen from a place, best first by ``RULE``.

    Parameters
    ----------
    stations : iterable of (Station, float)
        With their distance. [km]
    today : datetime.date
    elevation : float, optional
        Height of the place. [m]

    Examples
    --------
    >>> old = Station("A", first=dt.date(1980, 1, 1), last=dt.date(2026, 5, 30), share=0.99)
    >>> new = Station("B", first=dt.date(2024, 1, 1), last=dt.date(2026, 5, 30), share=0.99)
    >>> [near.station.id for near in ranked([(new, 2.0), (old, 9.0)], dt.date(2026, 6, 1))]
    ['A', 'B']
    """
    near = [_near(station, distance, elevation, today) for station, distance in stations]
    return sorted(near, key=lambda each: (not each.good, each.counted, each.station.id))


def _near(station: Station, distance: float, elevation: float | None, today: dt.date) -> Near:
    higher = None
    if elevation is not None and station.elevation is not None:
        higher = station.elevation - elevation
    lacks = []
    if station.last is None:
        lacks.append("no minima on file")
    else:
        if station.years < ENOUGH_YEARS:
            lacks.append(f"{station.years:.0f} years only")
        if station.share is not None and station.share < ENOUGH_DAYS:
            lacks.append(f"{station.share:.0%} of days")
        if (today - station.last).days > LATELY:
            lacks.append(f"silent since {station.last:%Y-%m}")
    return Near(station, distance, higher, tuple(lacks))
