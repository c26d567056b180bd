"""Faults planted in real records: how many are found, and what is found where nothing was planted.

Each fault is planted forty times, one at a time and seeded, in ten-year pieces of four stations
(Champion NE, Córdoba, Brussels, Clemson 1960-1975 between its afternoon and its morning readings).
The table is printed with the tests; ``python -m tests.quality.test_planted_faults`` prints it as
Markdown.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from gddcast.quality.afternoon_readings import carried_over
from gddcast.quality.verdict import judge
from gddcast.units import celsius, fahrenheit
from gddcast.weather.series import DailySeries
from tests.real_records import brussels, champion, clean_stations, clemson, cordoba

TIMES = 40
Readings = np.ndarray  # shape (2, days), changed in place
Days = np.ndarray


@dataclass(frozen=True)
class Fault:
    """A fault, how it is planted at a day, the rules that should see it, and how often at least.

    ``plant`` returns the first day and the day after the last it touched.
    """

    name: str
    plant: Callable[[Readings, Days, int, np.random.Generator], tuple[int, int]]
    rules: tuple[str, ...]
    least: float
    season: tuple[int, int] = (1, 12)


def _one(row: int, change: Callable[[float], float]) -> Callable:
    def plant(
        readings: Readings, dates: Days, day: int, rng: np.random.Generator
    ) -> tuple[int, int]:
        readings[row, day] = change(readings[row, day])
        return day, day + 1

    return plant


def _both(change: Callable[[np.ndarray], np.ndarray]) -> Callable:
    def plant(
        readings: Readings, dates: Days, day: int, rng: np.random.Generator
    ) -> tuple[int, int]:
        readings[:, day] = change(readings[:, day])
        return day, day + 1

    return plant


def _stuck(days: int) -> Callable:
    def plant(
        readings: Readings, dates: Days, day: int, rng: np.random.Generator
    ) -> tuple[int, int]:
        readings[1, day : day + days] = readings[1, day]
        return day, day + days

    return plant


def _pasted(readings: Readings, dates: Days, day: int, rng: np.random.Generator) -> tuple[int, int]:
    """One month over another month of the record."""
    begins = np.flatnonzero(np.diff(dates.astype("datetime64[M]").astype(int))) + 1
    source, target = rng.choice(begins[:-1], 2, replace=False)
    readings[:, target : target + 28] = readings[:, source : source + 28]
    # Which of the two is the copy no record tells: the later one is named.
    return int(min(source, target)), int(max(source, target)) + 28


def _other_scale(
    readings: Readings, dates: Days, day: int, rng: np.random.Generator
) -> tuple[int, int]:
    readings[:, day:] = fahrenheit(readings[:, day:])
    return day, day + 1


def _late(readings: Readings, dates: Days, day: int, rng: np.random.Generator) -> tuple[int, int]:
    readings[1, 1:] = readings[1, :-1].copy()
    return 0, readings.shape[1]


def _late_of_late(
    readings: Readings, dates: Days, day: int, rng: np.random.Generator
) -> tuple[int, int]:
    readings[1, -60:] = readings[1, -61:-1].copy()
    return readings.shape[1] - 60, readings.shape[1]


def _afternoon(
    readings: Readings, dates: Days, day: int, rng: np.random.Generator
) -> tuple[int, int]:
    """Read about 17 h, when the air has cooled by a tenth of its way on average.

    Beijing, Hesse and Minneapolis, hourly: median 2 to 9 %, nine days in ten below 26 to 33 %.
    """
    cooled = np.minimum(rng.exponential(0.1, dates.size), 1.0)
    readings[1] = carried_over(DailySeries(dates[0].item(), *readings), cooled).tmax
    return 0, dates.size


def _sun(readings: Readings, dates: Days, day: int, rng: np.random.Generator) -> tuple[int, int]:
    last_spring = readings.shape[1] - 240
    readings[1, last_spring : last_spring + 60] += 5.0
    return last_spring, last_spring + 60


def _gap(readings: Readings, dates: Days, day: int, rng: np.random.Generator) -> tuple[int, int]:
    readings[:, day : day + 14] = np.nan
    return day, day + 14


def _coarser(
    readings: Readings, dates: Days, day: int, rng: np.random.Generator
) -> tuple[int, int]:
    at = 5 * 365 + 2  # 1 January of the sixth year
    readings[:, :at] = celsius(np.round(fahrenheit(readings[:, :at])))
    return at, readings.shape[1]


SINGLE = ("bounds", "spike", "lagged-range", "month-gap", "outlier")
FAULTS = (
    Fault("maximum of 155 °F", _one(1, lambda _: celsius(155.0)), ("bounds",), 1.0),
    Fault("both readings nought °C", _both(np.zeros_like), ("naught",), 1.0),
    Fault("maximum and minimum swapped", _both(lambda day: day[::-1]), ("swapped",), 0.97),
    Fault("minimum 40 °C too low", _one(0, lambda x: x - 40.0), SINGLE, 1.0),
    Fault("maximum 30 °C too high", _one(1, lambda x: x + 30.0), SINGLE, 0.7),
    Fault("maximum 20 °C too high", _one(1, lambda x: x + 20.0), SINGLE, 0.15),
    Fault("maximum 10 °C too high", _one(1, lambda x: x + 10.0), SINGLE, 0.0),
    Fault("maximum stuck for 5 days", _stuck(5), ("streak",), 0.92),
    Fault("maximum stuck for 10 days", _stuck(10), ("streak",), 0.92),
    Fault("a month pasted over another", _pasted, ("repeated-month",), 1.0),
    Fault("°F among °C from a day on", _other_scale, ("unit-break",), 0.8, (4, 10)),
    Fault("maxima booked a day late", _late, ("morning-readings",), 0.97),
    Fault("the same, of the last 60 days only", _late_of_late, ("morning-readings",), 0.0),
    Fault("read and reset in the afternoon", _afternoon, ("afternoon-readings",), 0.9),
    Fault("sun: maxima 5 °C up for 60 days", _sun, ("wide-range",), 0.5),
    Fault("whole °F, then not", _coarser, ("precision",), 0.6),
    Fault("two weeks missing", _gap, ("missing",), 1.0),
)


@cache
def pieces() -> tuple[DailySeries, ...]:
    """Ten whole years of each station, free of findings."""
    stations = (
        champion(),
        cordoba(),
        brussels(),
        clemson().between(dt.date(1960, 1, 1), dt.date(1975, 12, 31)),
    )
    found = []
    for series in stations:
        for year in range(series.first.year, series.last.year - 8, 5):
            piece = series.between(dt.date(year, 1, 1), dt.date(year + 9, 12, 31))
            # A piece stands in °C whatever its file: what is planted is planted in °C.
            piece = DailySeries(piece.first, piece.tmin, piece.tmax)
            if not any(each.level == "finding" for each in judge(piece).findings):
                found.append(piece)
    return tuple(found)


@cache
def found_before(piece: DailySeries) -> set[tuple[str, dt.date]]:
    """What is found in a piece with nothing planted."""
    return {(each.rule, each.first) for each in judge(piece).findings}


@cache
def hit_rate(fault: Fault) -> tuple[float, Counter[str]]:
    """Share found by a rule that should, and the rules that touched the planted days."""
    rng = np.random.default_rng(1936)
    hits, by_rule = 0, Counter[str]()
    for _ in range(TIMES):
        series = pieces()[rng.integers(len(pieces()))]
        months = series.dates.astype("datetime64[M]").astype(int) % 12 + 1
        allowed = np.flatnonzero((months >= fault.season[0]) & (months <= fault.season[1]))
        day = int(rng.choice(allowed[(allowed > 400) & (allowed < len(series) - 400)]))
        readings = np.stack([series.tmin, series.tmax])
        begin, end = fault.plant(readings, series.dates, day, rng)
        before = found_before(series)
        first, last = series.date(begin), series.date(end - 1)
        rules = {
            each.rule
            for each in judge(DailySeries(series.first, *readings)).findings
            if each.first <= last and each.last >= first and (each.rule, each.first) not in before
        }
        by_rule.update(rules)
        hits += bool(rules & set(fault.rules))
    return hits / TIMES, by_rule


@cache
def false_alarms() -> tuple[int, Counter[tuple[str, str]]]:
    """Days of clean stations, and what was found in them."""
    found = Counter[tuple[str, str]]()
    for series in clean_stations().values():
        found.update((each.rule, each.level) for each in judge(series).findings)
    return sum(len(series) for series in clean_stations().values()), found


def table() -> list[str]:
    """Hit rates and false alarms, as Markdown."""
    lines = [f"| planted ({TIMES} times each) | found | by |", "|---|---|---|"]
    for fault in FAULTS:
        rate, by_rule = hit_rate(fault)
        by = ", ".join(f"{rule} {n}" for rule, n in by_rule.most_common())
        lines.append(f"| {fault.name} | {100 * rate:.0f} % | {by or '–'} |")
    days, found = false_alarms()
    told = ", ".join(f"{rule} ({level}) {n}" for (rule, level), n in found.items()) or "none"
    per = 1e4 * sum(found.values()) / days
    lines += ["", f"False alarms on {days:,} clean station-days: {told}; {per:.1f} in 10,000 days."]
    return lines


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_planted_faults_are_found(fault: Fault) -> None:
    rate, by_rule = hit_rate(fault)
    assert rate >= fault.least, by_rule


def test_the_table(capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print("", *table(), sep="\n  ")
    days, found = false_alarms()
    assert 1e4 * sum(found.values()) / days < 1.0


if __name__ == "__main__":
    print("\n".join(table()))
