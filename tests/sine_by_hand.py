"""Degree-days of a day written out once more from the trade's formula, apart from the package.

Single sine without an upper threshold, after Baskerville and Emin (1969), Ecology 50:514-517;
the closed form is from memory.
"""

from __future__ import annotations

import csv
import datetime as dt
import math
from pathlib import Path

Days = dict[dt.date, tuple[float, float]]


def fahrenheit_days(file: Path) -> Days:
    """Lowest and highest temperature of each day of a clean file. [°F]"""
    with file.open(encoding="utf-8") as lines:
        rows = [row for row in csv.reader(lines) if row and row[0][:2] == "20"]
    days = {dt.date.fromisoformat(row[0]): (float(row[1]), float(row[2])) for row in rows}
    return {day: (min(pair), max(pair)) for day, pair in days.items()}


def single_sine(low: float, high: float, threshold: float) -> float:
    """Heat of one day above a threshold, all in one scale."""
    mean, half = (high + low) / 2, (high - low) / 2
    if low >= threshold:
        return mean - threshold
    if high <= threshold:
        return 0.0
    angle = math.asin((threshold - mean) / half)
    return ((mean - threshold) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi


def heat_through(days: Days, first: dt.date, last: dt.date, threshold: float = 50.0) -> float:
    """Sum from one day through another."""
    count = (last - first).days + 1
    own = (days[first + dt.timedelta(days=ahead)] for ahead in range(count))
    return math.fsum(single_sine(low, high, threshold) for low, high in own)
