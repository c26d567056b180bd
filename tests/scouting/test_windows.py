"""What a window says of its own outlooks, and how often to look."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from gddcast.cards.model import Days, Start
from gddcast.heat.counting import Counting
from gddcast.journal.clocks import Clock
from gddcast.journal.entries import Bracket, Sighting
from gddcast.outlook.dates import outlook_of
from gddcast.readers.card_files import load_cards
from gddcast.scouting.day_counts import DayCount
from gddcast.scouting.windows import Habits, ScoutingWindow, looking_interval
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


@pytest.mark.parametrize(
    ("clean", "opens", "looked"),
    [(0, 0, True), (1, 0, True), (-1, 0, False), (None, 0, False), (0, None, False)],
)
def test_a_clean_look_counts_from_the_day_to_start_looking(
    clean: int | None, opens: int | None, *, looked: bool
) -> None:
    card = load_cards()["squash-bug"]
    on, since = (
        None if each is None else TODAY + dt.timedelta(days=each) for each in (clean, opens)
    )
    bare = ScoutingWindow(card, card.finds[0], Status.QUIET, card.look, opens=since, clean_on=on)
    assert bare.looked is looked


def test_a_stage_waits_until_its_clock_starts_or_a_find_answers_it() -> None:
    """By a sum or by printed days alike; a stage with neither waits for nothing."""
    card = load_cards()["squash-bug"]
    event = next(each for each in card.events if each.numbers)
    bare = ScoutingWindow(card, event, Status.QUIET, card.look)
    found = Bracket(None, TODAY, Sighting(card.key, event.key, TODAY))
    printed = Days((7.0, 10.0), Start(event="eggs"), "x", "seen")
    by_days = replace(bare, days=printed)
    by_sum = replace(bare, number=event.numbers[0])
    assert not bare.waits
    assert by_days.waits
    assert not replace(by_days, by_days=DayCount(printed, (TODAY, TODAY))).waits
    assert not replace(by_days, bracket=found).waits
    assert by_sum.waits
    assert not replace(by_sum, clock=Clock(TODAY, TODAY, "15 May", "date")).waits
    assert not replace(by_sum, bracket=found).waits


def test_eggs_get_three_chances_and_a_habit_is_never_lengthened() -> None:
    """245 °F-days at 21.4 a day are 11 days: every 3, or oftener if that is the habit."""

    def interval(goal: float | None, pace: float, habits: Habits) -> tuple[int, str]:
        return looking_interval(goal, pace, habits, "at this week's warmth")

    days, words = interval(245.0 / 1.8, 21.4 / 1.8, Habits())
    assert (days, words) == (3, "eggs take about 11 days at this week's warmth: 3 chances at each")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=2)) == (2, "your habit")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=3)) == (3, "your habit")
    assert interval(245.0 / 1.8, 21.4 / 1.8, Habits(every_days=6))[0] == 3
    for egg_days, every, chances in (
        (25.0, 7, "3 chances"),
        (2.0, 1, "2 chances"),
        (0.9, 1, "1 chance"),
    ):
        days, words = interval(egg_days * 0.4, 0.4, Habits())
        assert (days, words.split(": ")[1]) == (every, f"{chances} at each")
    for goal, pace, why in (
        (None, 11.9, "no egg time published"), (245.0, np.nan, "no weather known"),
        (245.0, 0.0, "too cold for eggs"),
    ):  # fmt: skip
        days, words = interval(goal, pace, Habits())
        assert days == 7
        assert why in words
