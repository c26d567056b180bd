"""The judge of the fuzz: what a reading of a file is worth, its truth being known."""

from __future__ import annotations

import datetime as dt
import math

from gddcast.quality import verdict as quality
from gddcast.readers.reading import Reading
from gddcast.weather.series import Origin
from tests.fuzz.sheets import NAN, Truth

RIGHT, REFUSED, FLAGGED, WRONG = "right", "refused", "flagged", "WRONG"

#: Notes that say readings of the file were left out.
OF_LOSS = frozenset({
    "missing-marks", "readings-unclear", "accumulated", "swapped-days", "days-absent", "footer",
    "hours-missing", "half-days", "archive-flags", "event-row", "year-of-365-days",
    "cells-uneven", "cut-end", "lone-readings",
})  # fmt: skip

_NOTHING = (NAN, NAN)
_HALF = ("minimum", "maximum")


def judged(truth: Truth, reading: Reading) -> tuple[str, str]:
    """Class of a reading and, where it is not right, why."""
    series = reading.series
    off: list[tuple[dt.date, str]] = []
    lost: list[dt.date] = []
    last = series.last
    for day, *read in zip(
        series.dates.tolist(), series.tmin.tolist(), series.tmax.tolist(), strict=True
    ):
        known = truth.days.get(day, _NOTHING)
        for half, value in enumerate(read):
            if (day, half) in truth.free:
                continue
            if math.isnan(value):
                lost += [] if math.isnan(known[half]) else [day]
            elif not abs(value - known[half]) <= truth.tolerance:  # NaN is far from everything
                off.append((day, f"{day} {_HALF[half]} is {known[half]:.2f}, read {value:.2f}"))
    lost += [
        day
        for day, known in truth.days.items()
        if not series.first <= day <= last and not all(map(math.isnan, known))
        and (day, 0) not in truth.free
    ]  # fmt: skip
    for day in sorted(truth.forecast):
        at = series.index(day)
        if 0 <= at < len(series) and series.origin[at] == Origin.MEASURED:
            off.append((day, f"{day} is a forecast, called measured"))
    strays = sorted({day for day, _ in off if day not in truth.days})[: truth.stray]
    off = [each for each in off if each[0] not in strays]
    if off:
        listed = _listed(reading)
        off = [each for each in off if not any(a <= each[0] <= b for a, b in listed)]
        if off:
            return WRONG, f"{len(off)} wrong: {off[0][1]}"
        return FLAGGED, "suspicious days"
    if lost:
        days = sorted(set(lost))
        if len(days) > _noted(reading):
            return WRONG, f"{len(days)} days lost without a word, {days[0]} first"
        return FLAGGED, "days left out"
    return RIGHT, ""


def _noted(reading: Reading) -> float:
    """How many days the notes say were left out; without end where one gives no lines or days."""
    total = 0.0
    for note in reading.notes:
        if note.rule in OF_LOSS:
            days = (note.last - note.first).days + 1 if note.first and note.last else 0
            total += max(days, len(note.lines)) or math.inf
    return total


def _listed(reading: Reading) -> list[tuple[dt.date, dt.date]]:
    """Days the checks call suspicious."""
    verdict = quality.judge(reading.series)
    return [
        (each.first, each.last)
        for each in verdict.findings
        if each.level == "finding" and each.rule != "missing"
    ]
