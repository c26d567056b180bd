"""Half-hour readings, one byte of Latin-1, a clock put back, a row of the logger's own."""

from __future__ import annotations

import collections
import csv
import datetime as dt
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from tests.acceptance.terminal import SAMPLES, flat, programs, run

LOGGER = SAMPLES / "06_logger_halfhour_latin1_clockchange.csv"
ON = ("--on", "2026-11-10")


def by_hand(zone: str | None = None) -> dict[str, list[float]]:
    """Readings of each day of the clock; or of standard time, where the clock's zone is known."""
    days, met = collections.defaultdict(list), set()
    with LOGGER.open(encoding="latin-1", newline="") as lines:
        rows = [row for row in list(csv.reader(lines))[2:] if row[2]]
    for row in rows:
        stamp = dt.datetime.strptime(row[1], "%m/%d/%y %I:%M:%S %p")
        if zone:
            there = stamp.replace(tzinfo=ZoneInfo(zone), fold=stamp in met)
            met.add(stamp)
            stamp -= there.dst() or dt.timedelta()
        days[stamp.date().isoformat()].append(float(row[2]))
    return dict(days)


def test_it_is_understood_and_every_oddity_is_said() -> None:
    said = flat(run("weather", "check", str(LOGGER), *ON).stdout)
    for words in (
        "Read 3 days, 31 October 2026 to 2 November 2026.",
        "°F (S/N 00000001)",  # the degree byte 0xB0 has survived
        "Header on line 2",
        "month first: line 3 has 31 in the middle",
        "Line 149 holds no reading but 'Logged'.",
        "The clock was put back on 1 Nov 2026: both hours are kept.",
        "Weather record: SOUND",
    ):
        assert words in said
    assert said.count("--timezone AREA/CITY") == 1


def test_its_three_days_are_the_readings_of_three_days() -> None:
    readings = by_hand()
    assert len(readings["2026-11-01"]) == 50  # 24 hours and the one that came twice
    told = programs("heat", str(LOGGER), "--lower", "50F", "--show", "F", *ON)["days"]
    assert [day["date"] for day in told] == list(readings)
    extremes = [(max(each), min(each)) for each in readings.values()]
    ours = [(day["max"], day["min"]) for day in told]
    np.testing.assert_allclose(ours, extremes, rtol=0, atol=0.0006)
    # The curve the sample was made from.
    np.testing.assert_allclose(ours, [(66, 44), (61, 39), (58, 37)], rtol=0, atol=0.5)


def test_a_book_makes_its_days_in_the_standard_time_of_its_place(here: Path) -> None:
    """31 October begins at 1 o'clock of summer time: its last hour is the next day's first."""
    run("setup", "--name", "Bed 3", "--at", "41.2,-89.4", "--timezone", "America/Chicago",
        "--show", "F", "--no-input")  # fmt: skip
    said = flat(run("weather", "add", str(LOGGER), "--no-input", *ON).stdout)
    assert "Days made in local standard time of America/Chicago" in said
    assert "1 incomplete day at the ends was left out" in said  # an hour of 30 October
    run("export", "out")
    with Path("out/weather_day.csv").open(encoding="utf-8") as lines:
        kept = {row["day"]: row for row in csv.DictReader(lines)}
    readings = by_hand("America/Chicago")
    assert [len(each) for each in readings.values()] == [2, 48, 48, 48]
    del readings["2026-10-30"]
    assert list(kept) == list(readings)
    ours = [[float(row[name]) * 1.8 + 32 for name in ("tmax_c", "tmin_c")] for row in kept.values()]
    extremes = [(max(each), min(each)) for each in readings.values()]
    np.testing.assert_allclose(ours, extremes, rtol=0, atol=1e-9)
