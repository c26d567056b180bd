"""What a window says of its own outlooks."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast.heat.counting import Counting
from gddcast.outlook.dates import outlook_of
from gddcast.readers.card_files import load_cards
from gddcast.scouting.windows import ScoutingWindow
from gddcast.words import Status
from tests.real_records import champion

TODAY = dt.date(2016, 5, 15)


def window(goal: float) -> ScoutingWindow:
    """A window of one sum. [°C·d]"""
    card = load_cards()["squash-bug"]
    event = card.finds[0]
    outlook = outlook_of(champion(), Counting(10.0), goal, start=dt.date(2016, 1, 1), today=TODAY)
    return ScoutingWindow(card, event, Status.COMING_UP, card.look, early=outlook, late=outlook)


@pytest.mark.parametrize("goal", [600.0, 1900.0, 9000.0])
def test_how_many_past_years_never_get_there(goal: float) -> None:
    one = window(goal)
    assert one.late is not None
    come = [dot for dot in one.late.dots if dot.day is not None]
    assert one.never == pytest.approx(1.0 - len(come) / len(one.late.dots), rel=0, abs=1e-12)


def test_without_past_years_nothing_is_said_of_them() -> None:
    card = load_cards()["squash-bug"]
    bare = ScoutingWindow(card, card.finds[0], Status.QUIET, card.look)
    assert bare.never is None
    assert (bare.fastest, bare.slowest, bare.inner, bare.spans) == (None, None, None, {})
