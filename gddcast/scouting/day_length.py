"""Hours of light in a day, and the date on which days have grown too short for another brood.

A day length means nothing without its *definition*: how far the sun's centre stands below the
horizon when the day is said to begin and end. Tables of sunrise use 0.8333°, many papers on
diapause count civil twilight (6°), and the two differ by an hour.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gddcast.cards.model import DayLength
from gddcast.errors import ArgumentRefusal

Array = NDArray[np.float64]

#: Degrees of the sun's centre below the horizon at which a day begins and ends.
DEFINITIONS = {
    "sun's centre on the horizon": 0.0,
    "sun's upper edge on the horizon": 0.26667,
    "sunrise to sunset": 0.8333,  # upper edge, with the light bent by the air
    "civil twilight": 6.0,
    "nautical twilight": 12.0,
    "astronomical twilight": 18.0,
}
SUNRISE_TO_SUNSET = DEFINITIONS["sunrise to sunset"]


def day_length(
    day_of_year: ArrayLike, latitude: ArrayLike, definition: float = SUNRISE_TO_SUNSET
) -> Array:
    """Hours of a day with the sun above the stated depression.

    Parameters
    ----------
    day_of_year : array_like
        1 on 1 January.
    latitude : array_like
        North is positive; broadcast against the days. [°]
    definition : float, default: 0.8333
        How far the sun's centre stands below the horizon as the day begins and ends; see
        `DEFINITIONS`. [°]

    Returns
    -------
    ndarray
        24 through a polar day and 0 through a polar night. [h]

    Raises
    ------
    ArgumentRefusal
        If a latitude lies beyond a pole or is unknown.

    Notes
    -----
    The CBM formula. Over a leap-year cycle an almanac differs from it by up to 2.7 minutes at
    30°, 3.9 at 40°, 5.4 at 50° and 7.8 at 60°, most near the equinoxes: one to two days in the
    date of a given length.

    References
    ----------
    Forsythe W.C., Rykiel E.J., Stahl R.S., Wu H., Schoolfield R.M. (1995), A model comparison
    for daylength as a function of latitude and day of year. Ecological Modelling 80:87-95.

    Examples
    --------
    >>> day_length([172, 355], 40.0).round(2)
    array([15.02,  9.32])
    >>> float(day_length(172, 80.0))
    24.0
    """
    degrees = np.asarray(latitude, dtype=np.float64)
    if not np.all(np.abs(degrees) <= 90.0):  # NaN is no latitude either
        raise ArgumentRefusal(
            f"the latitude {degrees}",
            "it lies beyond a pole or is unknown",
            "A latitude lies between −90 and 90 degrees; south is negative.",
            "Look whether latitude and longitude are swapped.",
            slug="latitude",
        )
    day = np.asarray(day_of_year, dtype=np.float64)
    revolution = 0.2163108 + 2.0 * np.arctan(0.9671396 * np.tan(0.00860 * (day - 186.0)))
    declination = np.arcsin(0.39795 * np.cos(revolution))
    phi = np.radians(degrees)
    above = np.sin(np.radians(definition)) + np.sin(phi) * np.sin(declination)
    # At the poles themselves the cosine is a rounding error: clipping makes it day or night.
    half_day = above / (np.cos(phi) * np.cos(declination))
    return np.asarray(24.0 - 24.0 / np.pi * np.arccos(np.clip(half_day, -1.0, 1.0)))


def first_short_day(
    hours: float,
    *,
    latitude: float,
    first: dt.date,
    last: dt.date,
    definition: float = SUNRISE_TO_SUNSET,
) -> dt.date | None:
    """The day on which days fall below ``hours``, after the long days of a season.

    Parameters
    ----------
    hours : float
        Critical day length. [h]
    latitude : float
        North is positive. [°]
    first, last : datetime.date
        The season. Short days before its long ones do not count: in spring they are growing.
    definition : float, default: 0.8333
        Definition the critical length was published with. [°]

    Returns
    -------
    datetime.date or None
        The first day shorter than ``hours`` that follows a day at least as long; ``first``
        where every day is shorter; None where days do not fall below it within the season.

    Examples
    --------
    >>> season = dict(first=dt.date(2026, 1, 1), last=dt.date(2026, 12, 31))
    >>> first_short_day(14.0, latitude=43.3, **season)
    datetime.date(2026, 8, 16)
    >>> first_short_day(16.0, latitude=43.3, **season)  # never that long: short all season
    datetime.date(2026, 1, 1)
    >>> first_short_day(9.0, latitude=30.0, **season) is None
    True
    """
    eve = first - dt.timedelta(days=1)  # days may fall below it on the very first day
    days = [eve + dt.timedelta(days=i) for i in range((last - eve).days + 1)]
    long = day_length([day.timetuple().tm_yday for day in days], latitude, definition) >= hours
    falls = np.flatnonzero(long[:-1] & ~long[1:])
    if falls.size:
        return days[int(falls[0]) + 1]
    return None if long[1:].any() else first


def no_more_broods(
    rule: DayLength, *, latitude: float, first: dt.date, last: dt.date
) -> tuple[dt.date | None, dt.date | None]:
    """Between which dates a card's critical day length is passed.

    Parameters
    ----------
    rule : DayLength
        A rule of a card, with its own definition of a day.
    latitude : float
        North is positive. [°]
    first, last : datetime.date
        The season.

    Returns
    -------
    begins, ends : datetime.date or None
        The first days shorter than the longer and than the shorter of the printed lengths; the
        same where one is printed, None where days stay longer to the season's end, or where
        what counts as a day was not stated: no date follows from such a length.

    Examples
    --------
    >>> rule = DayLength("adults rest", (14.25, 14.5), "made up", "common practice", "nowhere")
    >>> begins, ends = no_more_broods(
    ...     rule, latitude=39.2, first=dt.date(2026, 1, 1), last=dt.date(2026, 12, 31)
    ... )
    >>> begins.isoformat(), ends.isoformat()
    ('2026-07-23', '2026-08-01')
    """
    if rule.definition is None:
        return None, None
    low, high = rule.hours
    begins, ends = (
        first_short_day(
            hours, latitude=latitude, first=first, last=last, definition=rule.definition
        )
        for hours in (high, low)
    )
    return begins, ends
