"""A week on paper: the same sheet for a seed, no answer on it, a key whose every sum is right."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tests.acceptance import second_opinion
from tests.acceptance.terminal import run

SHEET = ("lesson", "worksheet", "--seed", "7", "--days", "7")


def readings(sheet: str) -> tuple[np.ndarray, np.ndarray, float]:
    """Lows, highs and the line they are counted above, as a student copies them down."""
    rows = re.findall(r"^  \w{3} \d+ \w+ +([\d.]+) +([\d.]+)$", sheet, re.M)
    high, low = np.array(rows, dtype=float).T
    return low, high, float(re.search(r"above ([\d.]+) °", sheet)[1])


def totals(low: np.ndarray, high: np.ndarray, line: float) -> dict[str, float]:
    """The three methods of the sheet; the floored readings are McMaster & Wilhelm's method 2."""
    raised = (np.maximum(low, line) + np.maximum(high, line)) / 2 - line
    return {
        "floor the readings": raised.sum(),
        "single sine": second_opinion.single_sine(low, high, line).sum(),
        "floor the mean": second_opinion.floor_the_mean(low, high, line).sum(),
    }


def key_totals(key: str) -> dict[str, str]:
    """What the key gives as totals."""
    return dict(re.findall(r"^  ([a-z ]+?) {2,}([\d.]+)$", key.partition("Totals")[2], re.M))


@pytest.mark.parametrize("unit", ["F", "C"])
@pytest.mark.parametrize("seed", [7, 12])
def test_every_total_of_the_key_is_that_of_the_readings(seed: int, unit: str) -> None:
    words = ("lesson", "worksheet", "--seed", str(seed), "--days", "7", "--unit", unit)
    sheet, key = run(*words).stdout, run(*words, "--answers").stdout
    low, high, line = readings(sheet)
    assert len(low) == 7
    assert line == {"F": 50.0, "C": 10.0}[unit]
    ours = totals(low, high, line)
    digits = {"F": 1, "C": 2}[unit]
    half_up = {method: int(total * 10**digits + 0.5 + 1e-9) for method, total in ours.items()}
    assert key_totals(key) == {
        method: f"{total / 10**digits:.{digits}f}" for method, total in half_up.items()
    }
    for total in key_totals(key).values():
        assert not re.search(rf"{total}(?! +\d|\n)", sheet)


def test_each_step_of_the_key_adds_up() -> None:
    """Every "… = heat" of every day, and the days' heats to the totals within the rounding."""
    sheet, key = run(*SHEET).stdout, run(*SHEET, "--answers").stdout
    low, high, line = readings(sheet)
    days = re.split(r"^\w{3} \d+ \w+: high", key.partition("Totals")[0], flags=re.M)[1:]
    assert len(days) == 7
    for text, cold, warm in zip(days, low, high, strict=True):
        ours = totals(np.array([cold]), np.array([warm]), line)
        for method, heat in ours.items():
            (step,) = re.findall(rf"^  {method}: (.*)$", text, re.M)
            told = 0.0 if step.endswith("below zero: 0") else float(step.rsplit("= ", 1)[1])
            # Four digits of g from the printed table, times half the day's range.
            assert told == pytest.approx(heat, abs=0.00005 * (warm - cold) / 2 + 1e-9)


def test_celsius_totals_are_five_ninths() -> None:
    both = [totals(*readings(run(*SHEET, "--unit", unit).stdout)) for unit in ("F", "C")]
    for method, total in both[0].items():
        assert both[1][method] == pytest.approx(total * 5 / 9, abs=1e-9)


def test_the_same_seed_makes_the_same_bytes(here: Path) -> None:
    for flags in ((), ("--answers",), ("--paper", "letter"), ("--unit", "C")):
        for copy in ("1.html", "2.html"):
            run(*SHEET, *flags, "-o", copy, "--force")
        assert Path("1.html").read_bytes() == Path("2.html").read_bytes()
    assert run(*SHEET).stdout_bytes == run(*SHEET).stdout_bytes
    assert run(*SHEET).stdout_bytes != run(*SHEET[:3], "8").stdout_bytes


def test_the_day_of_the_blackboard() -> None:
    """72/46 above 50 °F: 11.0, 9.7 and 9.0; and a printed school example, 54/40, gives 2."""
    for high, low in ((72, 46), (54, 40)):
        words = ("lesson", "day", "--high", str(high), "--low", str(low), "--lower", "50")
        said = run(*words, "--unit", "F").stdout
        ours = totals(np.array([low]), np.array([high]), 50.0)
        for method, heat in ours.items():
            assert re.search(rf"^  {method} .*= {heat:.1f}\b", said, re.M), method
    assert [round(each, 1) for each in totals(np.array([46]), np.array([72]), 50.0).values()] == [
        11.0, 9.7, 9.0,
    ]  # fmt: skip
