"""Made-up weather of several climates: what the files of the fuzz are written from."""

from __future__ import annotations

import datetime as dt
import math
import random

#: Yearly mean, half the yearly swing, and usual daily range. [°C]
CLIMATES = {
    "temperate": (10.0, 9.0, 9.0),
    "cool": (3.0, 11.0, 6.0),
    "subarctic": (-8.0, 20.0, 8.0),
    "hot": (26.0, 9.0, 15.0),
    "seaside": (12.0, 4.0, 4.0),
    "southern": (15.0, -7.0, 11.0),
}

#: Days a file holds: mostly a season's part, now and then a few or more than a year.
LENGTHS = (3, 5, 9, 12, 12, 20, 31, 31, 45, 60, 90) * 4 + (400,)

Day = tuple[dt.date, float, float]


def weather(chance: random.Random, length: int | None = None, since: int = 1970) -> list[Day]:
    """Consecutive days with their lowest and highest temperature. [°C]"""
    mean, swing, usual = CLIMATES[chance.choice(tuple(CLIMATES))]
    length = chance.choice(LENGTHS) if length is None else length
    first = dt.date(chance.randint(since, 2026), chance.randint(1, 12), chance.randint(1, 28))
    if chance.random() < 0.15:  # across the end of a February, leap or not
        first = dt.date(chance.randint(since, 2026), 2, 24)
    days, drift = [], 0.0
    for number in range(length):
        day = first + dt.timedelta(days=number)
        season = math.cos(2 * math.pi * (day.timetuple().tm_yday - 200) / 365.25)
        drift = 0.7 * drift + chance.gauss(0, 2)
        spread = max(2.0, usual * chance.uniform(0.5, 1.4))
        middle = mean + swing * season + drift
        days.append((day, max(middle - spread / 2, -52.0), min(middle + spread / 2, 50.0)))
    return days


def readings_of(day: Day, step: int, chance: random.Random) -> list[tuple[int, float]]:
    """Readings of one day: minute and temperature, coldest about 5 h, warmest about 15 h."""
    _, low, high = day
    middle, half = (low + high) / 2, (high - low) / 2
    return [
        (minute, middle + half * math.cos(2 * math.pi * (minute / 60 - 15) / 24))
        for minute in range(0, 1440, step)
    ]
