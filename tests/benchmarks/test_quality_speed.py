"""A century of days is judged while a person blinks. Ratios are printed with the tests."""

from __future__ import annotations

import time
from collections.abc import Callable

import pandas as pd
import pytest

from gddcast.quality.verdict import judge
from tests.real_records import clemson


def _best(work: Callable[[], object], times: int = 3) -> float:
    found = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        found.append(time.perf_counter() - begin)
    return min(found)


def test_judging_a_century_beside_reading_it(
    tmp_path_factory: pytest.TempPathFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every check, and the cost of every finding in days, against ``pandas.read_csv``."""
    series = clemson()
    path = tmp_path_factory.mktemp("speed") / "century.csv"
    series.to_frame().to_csv(path)
    read = _best(lambda: pd.read_csv(path, parse_dates=["day"]))
    judged = _best(lambda: judge(series))
    with capsys.disabled():
        print(f"\n  judging 91 years: {judged / read:.1f} × pandas.read_csv of the same days")
    # 35 × where this was written, 0.12 s: a tenth of a second for each 28,000 days.
    assert judged < 120.0 * read
