"""Where farms lie, how far apart, and what they are called in a letter."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.farms.board import Board, FarmDay, State
from gddcast.farms.farm import Farm
from gddcast.farms.places import EYE, REFUSED, TO_COME, initials, kilometres, stops_of
from gddcast.weather.series import Place

DAY = dt.date(2026, 6, 11)
_POINT = st.tuples(st.floats(-90, 90), st.floats(-180, 180))


def row(name: str, latitude: float | None, longitude: float | None, state: State) -> FarmDay:
    return FarmDay(Farm(name, Place(name, latitude, longitude), f"{name}.csv"), state, DAY)


def test_kilometres_of_points_whose_distance_is_known() -> None:
    """A degree of a meridian, half the earth, and none."""
    found = [kilometres((0, 0), (1, 0)), kilometres((0, 0), (0, 180)), kilometres((5, 5), (5, 5))]
    np.testing.assert_allclose(found, [111.195, 20015.1, 0.0], rtol=0, atol=0.06)


@given(_POINT, _POINT, _POINT)
def test_a_way_is_as_long_back_and_no_detour_is_shorter(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]
) -> None:
    assert kilometres(a, b) == pytest.approx(kilometres(b, a), rel=0, abs=1e-6)
    assert kilometres(a, c) <= kilometres(a, b) + kilometres(b, c) + 1e-3


def test_legs_run_by_rank_over_farms_that_have_a_place() -> None:
    board = Board(DAY, 7, (
        row("a", 41.0, -89.0, "dated"), row("b", 42.0, -89.0, "dated"),
        row("c", None, None, "dated"), row("d", 43.0, -89.0, "dated"),
        row("e", 43.5, -89.0, "eye"), row("f", None, None, "refused"),
    ))  # fmt: skip
    stops = stops_of(board, Place("all"))
    legs = [None if each.leg is None else round(each.leg) for each in stops]
    assert legs == [None, 111, None, 111, None, None]
    assert [each.rank for each in stops] == [1, 2, 3, 4, None, None]
    assert [each.status for each in stops] == [TO_COME] * 4 + [EYE, REFUSED]


def test_a_place_that_several_have_from_the_list_is_no_place_of_theirs() -> None:
    board = Board(DAY, 7, (
        row("a", 41.0, -89.0, "dated"), row("b", 41.0, -89.0, "dated"),
        row("c", 41.5, -89.0, "dated"),
    ))  # fmt: skip
    assert [each.latitude for each in stops_of(board, Place("all", 41.0, -89.0))] == [
        None, None, 41.5,
    ]  # fmt: skip
    alone = Board(DAY, 7, board.farms[1:])
    assert [each.latitude for each in stops_of(alone, Place("all", 41.0, -89.0))] == [41.0, 41.5]


def test_farms_of_the_same_initials_are_numbered() -> None:
    rows = [
        row(name, None, None, "dated") for name in ("Two Ponds", "Three Pines", "Oak", "Tall-P")
    ]
    assert list(initials(rows).values()) == ["TP", "TP 2", "O", "TP 3"]
