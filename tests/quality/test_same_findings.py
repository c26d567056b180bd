"""Judging faster finds the same: every sample, and records bent in the ways that checks look for.

``judged.json`` holds what was found before the checks were made faster. Where a check is changed
on purpose, ``python -m tests.quality.test_same_findings`` writes it anew; say in the changes what
moved.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.quality.verdict import judge
from gddcast.readers.temperature_file import read_temperatures
from gddcast.weather.series import DailySeries
from tests.real_records import SAMPLES, sample

FROZEN = Path(__file__).with_name("judged.json")


def _samples() -> Iterator[tuple[str, DailySeries]]:
    for path in sorted(SAMPLES.glob("*.csv")):
        with suppress(Refusal):
            yield path.stem, read_temperatures(path, unit="F").series


def _bent() -> Iterator[tuple[str, DailySeries]]:
    whole = sample("larkhollow_2014_2026_f")
    low, high, size = whole.tmin, whole.tmax, len(whole)
    days = np.arange(size)
    thrice = DailySeries(whole.first, np.tile(low, 3), np.tile(high + np.sin(days), 3), unit="F")
    yield "three times over", thrice
    for lag in (-1, 1, 2):
        yield f"maxima {lag} later", replace(whole, tmax=np.roll(high, lag))
    late = np.where(days >= size // 2, np.roll(high, 1), high)
    yield "late since half way", replace(whole, tmax=late)
    yield (
        "late in one decade",
        replace(thrice, tmax=np.where(days.repeat(3) < size, np.roll(thrice.tmax, 1), thrice.tmax)),
    )
    evening = np.fmax(high, np.roll(high, 1) - 0.3)
    yield "afternoons", replace(whole, tmax=evening)
    for at in (400, 2200, size - 90):
        other = np.where(days >= at, 1.8, 1.0), np.where(days >= at, 32.0, 0.0)
        yield (
            f"other scale from {at}",
            replace(whole, tmin=low * other[0] + other[1], tmax=high * other[0] + other[1]),
        )
    yield "read in the other scale", replace(whole, tmin=(low - 32) / 1.8, tmax=(high - 32) / 1.8)
    yield "columns swapped", replace(whole, tmin=high, tmax=low)
    sun = high + np.where((days > size - 70) & (days < size - 20), 8.0, 0.0)
    yield "sun", replace(whole, tmax=sun)
    yield (
        "whole degrees since half way",
        _both(whole, lambda x: np.where(days > 2000, x.round(), x)),
    )
    yield "fives", _both(whole, lambda x: ((x * 1.8 + 32) / 5.0).round() / 0.36 - 160 / 9)
    yield "flat", replace(whole, tmax=np.where(days % 9 == 0, low, high))
    copied = low.copy(), high.copy()
    for row in copied:
        row[2000:2031], row[3287:3652] = row[1635:1666], row[2922:3287]
        row[2343:2374] = row[1977:2008]  # June 2020 begins at 2343, June 2019 at 1977
    yield "pasted twice", replace(whole, tmin=copied[0], tmax=copied[1])
    chance = np.random.default_rng(23)
    for share in (0.002, 0.02, 0.3):
        wild = [
            row + np.where(chance.random(size) < share, chance.normal(0, 25, size), 0)
            for row in (low, high)
        ]
        yield f"{share} wild", replace(whole, tmin=wild[0], tmax=wild[1])
        holes = chance.random(size) < share
        yield f"{share} missing", _both(whole, lambda x, holes=holes: np.where(holes, np.nan, x))
    stuck = high.copy()
    for at in (1000, 2500, 4400, 4480):
        stuck[at : at + 9], stuck[at + 60] = stuck[at], 68.3
    yield "stuck and absurd", replace(whole, tmax=stuck)
    yield "noughts", _both(whole, lambda x: np.where(days % 331 == 7, -160 / 9, x))
    gap = np.where((days > 4400) & (days < 4425) | (days > 900) & (days < 1200), np.nan, low)
    yield "long gaps", replace(whole, tmin=gap)
    for length in (0, 1, 2, 15, 25, 200, 700):
        yield f"first {length} days", whole.between(whole.first, whole.date(length - 1))
    yield "nothing known", _both(whole, lambda x: np.full_like(x, np.nan))
    south = replace(whole, place=replace(whole.place, latitude=-33.0, longitude=151.0))
    yield "southern", south


def _both(series: DailySeries, bend: Any) -> DailySeries:
    low, high = bend(series.tmin), bend(series.tmax)
    return replace(series, tmin=low, tmax=high, origin=None)


def _judged(series: DailySeries) -> dict[str, Any]:
    verdict = judge(series)
    readings = np.stack([verdict.judged.tmin, verdict.judged.tmax]) + 0.0
    said = [
        (each.sentence, each.cure, each.event, [f"{value:.6f}" for value in each.values])
        for each in verdict.findings
    ]
    return {
        "trust": verdict.trust.value,
        "reasons": list(verdict.reasons),
        "usable": list(verdict.usable_seasons),
        "lost": list(verdict.lost_seasons),
        # Which readings were struck, not what they are: 1e-15 °C is no fault.
        "struck": hashlib.sha256(np.isnan(readings).tobytes()).hexdigest()[:16],
        "origin": hashlib.sha256(verdict.judged.origin.tobytes()).hexdigest()[:16],
        "findings": [
            f"{each.rule} {each.first} {each.last} {each.level} {each.days} {each.removed} "
            + ("" if each.effect_days is None else f"{each.effect_days:.6f}")
            for each in verdict.findings
        ],
        "words": hashlib.sha256(repr(said).encode()).hexdigest()[:16],
    }  # fmt: skip


RECORDS = dict([*_samples(), *_bent()])


@pytest.mark.parametrize("name", RECORDS)
def test_a_record_is_judged_as_before(name: str) -> None:
    assert _judged(RECORDS[name]) == json.loads(FROZEN.read_text("utf-8"))[name]


def test_every_rule_is_tried() -> None:
    held = json.loads(FROZEN.read_text("utf-8"))
    rules = {found.split()[0] for each in held.values() for found in each["findings"]}
    assert rules >= {
        "afternoon-readings", "bounds", "flat-days", "lagged-range", "missing", "month-gap",
        "morning-readings", "naught", "outlier", "precision", "repeated-month", "repeated-year",
        "rounded-to-five", "spike", "streak", "swapped", "swapped-columns", "unit-break",
        "unusual", "wide-range",
    }  # fmt: skip


if __name__ == "__main__":
    judged = {name: _judged(series) for name, series in RECORDS.items()}
    FROZEN.write_text(json.dumps(judged, ensure_ascii=False, indent=0) + "\n", "utf-8")
