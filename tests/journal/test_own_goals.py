"""A kept sum is used while everything it was counted by is the same, and no longer."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from gddcast.heat.counting import Counting
from gddcast.heat.daily import floor_the_mean, horizontal, single_sine, vertical
from gddcast.journal.entries import OwnGoal
from gddcast.journal.own_goals import is_counted_alike, method_of

FROM = (1, 1)
CAPPED = Counting(10.0, 30.0, floor_the_mean, horizontal)


def kept(counting: Counting, starts: tuple[int, int] = (1, 1)) -> OwnGoal:
    own = OwnGoal("borer", "moths", 580.0, 570.0, 590.0, dt.date(2025, 10, 3), 5.0, 4)
    return replace(own, **method_of(counting, starts))  # type: ignore[arg-type]


def test_the_same_method_is_the_same() -> None:
    assert is_counted_alike(kept(CAPPED), CAPPED, FROM)
    # A card's 50 °F, read again, may differ in the last binary digit.
    assert is_counted_alike(kept(replace(CAPPED, lower=(50 - 32) / 1.8)), CAPPED, FROM)


@pytest.mark.parametrize(
    "now",
    [
        replace(CAPPED, lower=9.0),
        replace(CAPPED, upper=31.0),
        replace(CAPPED, upper=float("inf")),
        replace(CAPPED, shape=single_sine),
        replace(CAPPED, cutoff=vertical),
    ],
)
def test_any_other_threshold_or_method_is_another_sum(now: Counting) -> None:
    assert not is_counted_alike(kept(CAPPED), now, FROM)
    assert not is_counted_alike(kept(now), CAPPED, FROM)


def test_another_start_is_another_sum_and_an_unknown_method_is_none() -> None:
    assert not is_counted_alike(kept(CAPPED, (3, 1)), CAPPED, FROM)
    old = OwnGoal("borer", "moths", 580.0, 570.0, 590.0, dt.date(2025, 10, 3))
    assert not is_counted_alike(old, CAPPED, FROM)


def test_without_an_upper_threshold_a_cutoff_has_nothing_to_do() -> None:
    plain = Counting(10.0, shape=floor_the_mean)
    assert is_counted_alike(kept(replace(plain, cutoff=vertical)), plain, FROM)
