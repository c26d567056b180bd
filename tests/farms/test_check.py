"""The farms' records beside each other: gaps, and who could lend."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from gddcast.errors import Refusal
from gddcast.farms.check import FarmRecord, farm_record, with_neighbours
from gddcast.farms.farm import Farm
from gddcast.today.record import Record
from gddcast.weather.series import DailySeries, Place
from tests.farms.twelve import TODAY, farm


def _record(name: str, series: DailySeries, neighbour: str | None = None) -> FarmRecord:
    listed = Farm(name, Place(name), f"{name}.csv", neighbour=neighbour)
    return farm_record(listed, Record(series, TODAY))


def _without(series: DailySeries, first: dt.date, days: int) -> DailySeries:
    low, high = series.tmin.copy(), series.tmax.copy()
    at = series.index(first)
    low[at : at + days] = high[at : at + days] = np.nan
    return replace(series, tmin=low, tmax=high, origin=None)  # type: ignore[arg-type]


MAY = dt.date(2026, 5, 10)


def test_a_neighbour_knows_the_days_that_are_lacking() -> None:
    """Who runs closest but has the same gap is no help."""
    twin = farm(0)
    closest = replace(twin, tmin=twin.tmin + 0.6, tmax=twin.tmax + 0.6)
    records = [
        _record("Gap", _without(twin, MAY, 14)),
        _record("Closest", _without(closest, MAY, 14)),
        _record("Knows", farm(5)),
    ]
    gap, closest_, knows = with_neighbours(records)
    assert gap.gaps == ((MAY, MAY + dt.timedelta(days=13)),)
    assert gap.trust == "shaky"
    assert gap.neighbour is not None
    assert gap.neighbour.farm == "Knows"
    assert gap.neighbour.offset > 0.5  # the fifth farm is colder
    assert closest_.neighbour is not None
    assert knows.neighbour is not None
    assert not knows.needs_an_eye


def test_the_neighbour_of_the_list_is_the_neighbour() -> None:
    records = [_record("A", farm(0), neighbour="C"), _record("B", farm(0)), _record("C", farm(9))]
    assert with_neighbours(records)[0].neighbour.farm == "C"  # type: ignore[union-attr]


def test_a_copy_is_named_and_lends_nothing() -> None:
    records = [_record("A", farm(0)), _record("B", farm(0)), _record("C", farm(1))]
    one, _, other = with_neighbours(records)
    assert [each.farm for each in one.same_as] == ["B"]
    assert one.neighbour is not None
    assert one.neighbour.farm == "C"
    assert one.needs_an_eye
    assert not other.same_as


def test_one_that_can_t_be_read_stands_beside_the_others() -> None:
    refusal = Refusal("x.csv", "it is empty", "a table", "Export it.")
    broken = FarmRecord(Farm("X", Place("X"), "x.csv"), refusal=refusal)
    found = with_neighbours([broken, _record("A", farm(0))])
    assert [each.farm.name for each in found] == ["X", "A"]
    assert found[0].needs_an_eye
    assert found[1].neighbour is None
