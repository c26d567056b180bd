"""The outlook of every card, and a backtest, beside plain NumPy work. Ratios printed with -s."""

from __future__ import annotations

import datetime as dt
import itertools
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlooks
from gddcast.outlook.ensemble import FULL, PLAIN_GRAFT, Steps, climate_of
from gddcast.outlook.mixture import mixture
from gddcast.readers.card_files import load_cards
from gddcast.skill.backtest import Forecasts, backtest
from gddcast.skill.targets import Target, targets_of
from gddcast.weather.series import season_of
from tests.real_records import clemson
from tests.skill_table import station


def _best(work: Callable[[], object], times: int = 5) -> float:
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken)


# A yardstick that scales with the machine: the running sum of ten million numbers.
_NUMBERS = np.ones((1000, 10_000))


def _cumsum() -> float:
    return _best(lambda: np.cumsum(_NUMBERS, axis=-1))


def test_all_cards_at_one_place() -> None:
    """Every calendar sum of every card, full algorithm, 32 years of record."""
    whole = station("Champion")
    record = whole.before(dt.date(2018, 6, 1))
    season = season_of(record.last)
    groups: dict[tuple[Counting, tuple[int, int]], list[float]] = {}
    for each in targets_of(load_cards().values(), record.place):
        groups.setdefault((each.counting, each.start), []).append(each.goal)

    def every_card() -> None:
        climate = climate_of(record, season)
        for (counting, start), goals in groups.items():
            first = season.on(*start)
            outlooks(record, counting, goals, start=first, climate=climate)
            # As many ranges as there could be; a bracket costs the same.
            for low, high in itertools.pairwise(sorted(goals)):
                mixture(record, counting, (low, high), (first, first), climate=climate)

    took, yardstick = _best(every_card), _cumsum()
    goals = sum(map(len, groups.values()))
    print(
        f"\n{goals} goals, {len(groups)} ways of counting: {1e3 * took:.0f} ms, "
        f"{took / yardstick:.1f} × a running sum of ten million"
    )
    assert took / yardstick < 15.0


def foretell_thirty_seasons(steps: Steps = FULL) -> Forecasts:
    """Thirty seasons, weekly, forty goals on ten pairs of thresholds."""
    targets = [
        Target(f"{lower}/{part}", Counting(lower=float(lower)), part * 120.0 * (24.0 - lower))
        for lower in range(2, 12)
        for part in (0.15, 0.35, 0.6, 0.9)
    ]
    return backtest(station("Champion"), targets, steps=steps, at_least=3)


def test_backtest_of_forty_goals() -> None:
    """Against the plain graft's, which needs neither normals nor persistence."""
    assert np.unique(foretell_thirty_seasons().season).size == 30
    full = _best(foretell_thirty_seasons, 1)
    plain = _best(lambda: foretell_thirty_seasons(PLAIN_GRAFT), 1)
    yardstick = _cumsum()
    print(
        f"\n30 seasons foretold weekly, 40 goals: {full:.1f} s, {full / plain:.1f} × the plain "
        f"graft's, {full / yardstick:.0f} × a running sum of ten million"
    )
    assert full / yardstick < 600.0


def test_backtest_grows_slower_than_the_square_of_the_years() -> None:
    """Every card's goals on twice the years, members being few at first and many in the end."""
    whole = clemson().between(dt.date(1930, 1, 1), dt.date(2019, 12, 31))
    targets = targets_of(load_cards().values(), whole.place)
    took = {
        years: _best(
            lambda: backtest(whole.between(whole.first, dt.date(1929 + years, 12, 31)), targets),  # noqa: B023
            1,
        )
        for years in (45, 90)
    }
    print(f"\n{len(targets)} goals of 45 and 90 years: {took[45]:.1f} s and {took[90]:.1f} s")
    assert took[90] / took[45] < 6.0  # the seasons foretold are 35 and 80: their square is 5.2


STATUS = Path("/proc/self/status")


@pytest.mark.skipif(not STATUS.exists(), reason="only Linux tells a process's own peak")
def test_memory_of_a_backtest() -> None:
    """The most a process of its own ever held, libraries included.

    Not `resource.getrusage`: a process started by a large one, as by this, is told that one's peak.
    """
    program = (
        "from tests.benchmarks.test_outlook_speed import *; "
        "foretell_thirty_seasons(); print(STATUS.read_text())"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True,
        cwd=Path(__file__).parents[2],
    )  # fmt: skip
    (peak,) = (line for line in done.stdout.splitlines() if line.startswith("VmHWM:"))
    most = int(peak.split()[1]) / 1e3  # from kB
    print(f"\n30 seasons foretold weekly, 40 goals: {most:.0f} MB at most")
    assert most < 300.0
