"""A short run of tests.fuzz.fuzz_doors, and its judge judged."""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path
from unittest import mock

import pytest

from gddcast.errors import Refusal
from tests.fuzz import fuzz_doors
from tests.fuzz.doors.known_file import KnownFile
from tests.fuzz.fuzz_doors import DOORS, file_of, outcome, run
from tests.fuzz.oracle import REFUSED, RIGHT, WRONG

DAYS = Counter({("2026-05-01", 8.0, 21.5): 1})


@pytest.mark.slow
def test_no_file_is_read_wrong() -> None:
    figures = run(800)

    assert figures.failures == []
    assert set(figures.by) >= {"forecasts", "jars", "typed back", "settings", "export", "workbook"}
    for kind, row in figures.by.items():
        assert row[RIGHT], kind


@pytest.mark.parametrize("kind", sorted(set(DOORS) - {"export"}))
def test_a_number_is_always_the_same_file(kind: str) -> None:
    one, other = (file_of(4711, kind) for _ in range(2))
    assert one.changes == other.changes
    assert one.facts == other.facts
    assert kind == "workbook" or one.raw == other.raw  # a workbook has the hour in it


def known(read: object, must: str = "") -> KnownFile:
    return KnownFile("days", "a.csv", b"", DAYS, read, must)  # type: ignore[arg-type]


def answered(*facts: tuple[object, ...]) -> object:
    return lambda _: iter(facts)


def refused(_: Path) -> object:
    raise Refusal("a.csv", "it is odd", "Else.", "Mend it.")


def broken(_: Path) -> object:
    raise KeyError("max")


def endless(_: Path) -> object:
    while True:
        time.sleep(0.01)


@pytest.mark.parametrize(
    ("read", "must", "verdict"),
    [
        (answered(*DAYS), "read", RIGHT),
        (answered(*DAYS), "refuse", WRONG),
        (answered(*DAYS, *DAYS), "", WRONG),
        (answered(), "", WRONG),
        (answered(("2026-05-01", 8.0, 22.5)), "", WRONG),
        (answered(("2026-05-01", 8.0, 22.5)), "damage", RIGHT),
        (refused, "", REFUSED),
        (refused, "read", WRONG),
        (broken, "damage", WRONG),
        (endless, "damage", WRONG),
    ],
)
def test_each_answer_is_judged(read: object, must: str, verdict: str) -> None:
    with mock.patch.object(fuzz_doors, "PATIENCE", 0.2):
        assert outcome(known(read, must))[0] == verdict
