"""Days of any season stand at one place by month and day."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.draw.scales import Calendar, days_between

pytest.importorskip("matplotlib", reason="figures need the extra [charts]")

from matplotlib.figure import Figure


@pytest.mark.parametrize("begins", [(1, 1), (7, 1), (10, 1)])
def test_a_day_of_a_common_year_and_of_a_leap_year_share_a_place(begins: tuple[int, int]) -> None:
    calendar = Calendar(begins)
    assert calendar.at(dt.date(2023, *begins)) == 0
    assert calendar.days == 366
    for month in range(1, 13):
        assert calendar.at(dt.date(2023, month, 1)) == calendar.at(dt.date(2024, month, 1))
    february, march = (calendar.at(dt.date(2024, *day)) for day in ((2, 29), (3, 1)))
    assert march == february + 1


@given(st.dates(dt.date(1900, 1, 1), dt.date(2100, 1, 1)))
def test_the_place_gives_the_day_back(day: dt.date) -> None:
    found = Calendar((7, 1)).day(Calendar((7, 1)).at(day))
    assert (found.month, found.day) == (day.month, day.day)


@pytest.mark.parametrize("room", [2, 4, 12])
def test_labels_never_outnumber_the_room(room: int) -> None:
    for first, last in ((0, 366), (60, 170), (150, 190), (10, 12)):
        axis = Figure().add_subplot().xaxis
        Calendar().label(axis, first, last, room=room)
        assert 1 <= len(axis.get_ticklocs()) <= room
    assert len(days_between(0, 400, room)) <= max(room, 400 // 30 + 1)
