"""How long reading takes, against pandas reading the same file. Ratios are printed with -s."""

import io
import time
from collections.abc import Callable

import numpy as np
import pandas as pd

from gddcast.readers.reading import Options
from gddcast.readers.temperature_file import temperatures_in


def best_of(work: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs. [s]"""
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken)


def a_hundred_years() -> bytes:
    days = np.arange("1926-01-01", "2026-01-01", dtype="datetime64[D]")
    season = 15 * np.sin((np.arange(days.size) - 110) * 2 * np.pi / 365.25)
    noise = np.random.default_rng(1).normal(0, 4, days.size)
    rows = zip(days.astype(str), 16 + season + noise, 5 + season + noise, strict=True)
    return ("date,max_c,min_c\n" + "".join(f"{d},{x:.1f},{n:.1f}\n" for d, x, n in rows)).encode()


def ten_years_of_half_hours() -> bytes:
    stamps = np.arange("2016-01-01T00:00", "2026-01-01T00:00", 30, dtype="datetime64[m]")
    hour = (stamps - stamps.astype("datetime64[D]")).astype(np.int64) / 60
    warm = 12 + 8 * np.cos((hour - 15) * np.pi / 12)
    rows = zip(stamps.astype(str), warm, strict=True)
    return ("time,temp_c\n" + "".join(f"{s.replace('T', ' ')},{t:.2f}\n" for s, t in rows)).encode()


def test_a_hundred_years_of_days_take_no_more_than_thrice_read_csv() -> None:
    raw = a_hundred_years()
    ours = best_of(lambda: temperatures_in(raw, "century.csv", Options()))
    theirs = best_of(lambda: pd.read_csv(io.BytesIO(raw), parse_dates=["date"]))
    print(f"\n100 years of days: {1000 * ours:.0f} ms, {ours / theirs:.2f} × read_csv(parse_dates)")

    assert len(temperatures_in(raw, "century.csv", Options()).series) == 36_525
    assert ours <= 6 * theirs  # measured 2.6; generous for a busy machine


def test_ten_years_of_half_hours_cost_little_more_than_read_csv() -> None:
    raw = ten_years_of_half_hours()
    ours = best_of(lambda: temperatures_in(raw, "log.csv", Options()), times=3)
    theirs = best_of(lambda: pd.read_csv(io.BytesIO(raw), parse_dates=["time"]), times=3)
    print(f"\n10 years of half hours: {ours:.2f} s, {ours / theirs:.2f} × read_csv(parse_dates)")

    assert temperatures_in(raw, "log.csv", Options()).series.missing == 0
    assert ours <= 10 * theirs  # measured 3.4
