"""The nearest good station, and why the others are not."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.weather.stations import RULE, Station, ranked

TODAY = dt.date(2026, 6, 1)
GOOD = Station("A", "A", "US", 41.0, -89.0, 200.0, None, dt.date(1990, 1, 1),
               dt.date(2026, 5, 30), 0.98)  # fmt: skip


def order(*found: tuple[Station, float], elevation: float | None = None) -> list[str]:
    return [near.station.id for near in ranked(found, TODAY, elevation)]


def test_near_beats_far() -> None:
    assert order((replace(GOOD, id="far"), 20.0), (replace(GOOD, id="near"), 3.0)) == [
        "near",
        "far",
    ]


@pytest.mark.parametrize(
    ("change", "lacks"),
    [
        ({"first": dt.date(2020, 1, 1)}, "6 years only"),
        ({"share": 0.62}, "62% of days"),
        ({"last": dt.date(2019, 3, 1)}, "silent since 2019-03"),
        ({"first": None, "last": None}, "no minima on file"),
    ],
)
def test_good_and_far_beats_near_and_lacking(change: dict[str, object], lacks: str) -> None:
    lacking = replace(GOOD, id="lacking", **change)
    assert order((lacking, 1.0), (GOOD, 40.0)) == ["A", "lacking"]
    near = ranked([(lacking, 1.0)], TODAY)[0]
    assert near.lacks == (lacks,)
    assert not near.good


def test_height_counts_only_where_the_place_has_one() -> None:
    """100 m of height count as 10 km."""
    hill = replace(GOOD, id="hill", elevation=400.0)
    assert order((hill, 2.0), (GOOD, 15.0)) == ["hill", "A"]
    assert order((hill, 2.0), (GOOD, 15.0), elevation=200.0) == ["A", "hill"]
    near = ranked([(hill, 2.0)], TODAY, 200.0)[0]
    assert (near.higher, near.counted) == (200.0, 22.0)


def test_completeness_nobody_knows_is_not_held_against_it() -> None:
    assert ranked([(replace(GOOD, share=None), 1.0)], TODAY)[0].good


def test_the_rule_says_its_own_numbers() -> None:
    for number in ("10 years", "90%", "60 days", "10 km"):
        assert number in RULE
