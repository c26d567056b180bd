"""Who is due where: the order of looks, what is never ranked, what one farm's fault may not do."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import NoReturn

import numpy as np
import pytest

from gddcast.cards.model import Card
from gddcast.errors import Refusal
from gddcast.farms.attempt import attempt
from gddcast.farms.board import Board, board_of, farm_day, refused_farm
from gddcast.farms.farm import Farm
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import DailySeries, Place
from tests.farms.twelve import PEST, TODAY, farm

#: The windows of the two warmest farms are open.
LATER = dt.date(2026, 6, 23)
YESTERDAY = dt.date(2026, 6, 22)


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return load_cards()


def a_farm(name: str, file: str = "") -> Farm:
    return Farm(name, Place(name), file or f"{name}.csv")


def said(
    series: DailySeries, cards: dict[str, Card], *looks: Sighting, today: dt.date = TODAY
) -> Today:
    """What a farm says that watches one pest."""
    record = Record(series, today)
    return Today(record, cards, Journal(sightings=looks), Practice(watch=(PEST,)))


def _known_to(series: DailySeries, day: dt.date) -> DailySeries:
    """The record with its last week again and again, up to a day."""
    more = (day - series.last).days - 1
    low, high = (np.concatenate([each, np.resize(each[-7:], more)])
                 for each in (series.tmin, series.tmax))  # fmt: skip
    return replace(series, tmin=low, tmax=high, origin=None)  # type: ignore[arg-type]


def test_the_warmer_farm_is_due_first_and_the_list_s_order_has_no_say(
    cards: dict[str, Card],
) -> None:
    rows = [farm_day(a_farm(name), said(farm(number), cards))
            for number, name in ((6, "A"), (0, "B"), (3, "C"))]  # fmt: skip
    board = board_of(rows, TODAY)
    assert [(rank, row.farm.name) for rank, row in board.ranked] == [(1, "B"), (2, "C"), (3, "A")]
    days = [row.first.day for row in board.farms if row.first]
    assert days == sorted(days)
    assert len(set(days)) == 3


def test_what_is_due_lies_within_the_days_asked_and_the_next_is_named(
    cards: dict[str, Card],
) -> None:
    today = said(farm(0), cards)
    wide = farm_day(a_farm("A"), today, days=60)
    assert wide.due
    first = wide.due[0].day
    narrow = farm_day(a_farm("A"), today, days=(first - TODAY).days - 1)
    assert narrow.due == ()
    assert narrow.later is not None
    assert narrow.later.day == first
    exact = farm_day(a_farm("A"), today, days=(first - TODAY).days)
    assert [each.day for each in exact.due] == [first]


def test_a_clean_look_puts_the_next_off_by_the_days_between_looks(cards: dict[str, Card]) -> None:
    """So the warmer farm, looked at yesterday, comes after the colder one."""
    series = _known_to(farm(0), LATER)
    colder = _known_to(farm(1), LATER)
    unlooked = farm_day(a_farm("A"), said(colder, cards, today=LATER))
    assert unlooked.first is not None
    assert unlooked.first.looked_on is None
    assert unlooked.first.day < LATER
    clean = Sighting(PEST, "moths", YESTERDAY, kind="none", by="JK")
    looked = farm_day(a_farm("B"), said(series, cards, clean, today=LATER))
    assert looked.first is not None
    assert looked.first.looked_on == clean.seen_on
    every = looked.first.window.every_days
    assert every is not None
    assert looked.first.day == clean.seen_on + dt.timedelta(days=every)
    assert (looked.looked.day, looked.looked.by) == (clean.seen_on, "JK")  # type: ignore[union-attr]
    assert looked.days_since_look == 1
    board = board_of([looked, unlooked], LATER)
    assert [row.farm.name for row in board.farms] == ["A", "B"]


def test_a_find_is_looked_for_no_more_and_hearsay_is_no_look(cards: dict[str, Card]) -> None:
    series = _known_to(farm(0), LATER)
    find = Sighting(PEST, "moths", YESTERDAY)
    found = farm_day(a_farm("A"), said(series, cards, find, today=LATER))
    stages = {each.window.event.key for each in (*found.due, *filter(None, [found.later]))}
    assert "moths" not in stages
    heard = Sighting(PEST, "moths", YESTERDAY, kind="heard")
    assert farm_day(a_farm("A"), said(series, cards, heard, today=LATER)).looked is None


def test_a_stale_record_is_never_ranked_whatever_its_date(cards: dict[str, Card]) -> None:
    old = farm(0).before(dt.date(2026, 6, 1))
    stale = farm_day(a_farm("A"), said(old, cards))
    fresh = farm_day(a_farm("B"), said(farm(6), cards))
    board = board_of([stale, fresh], TODAY)
    assert [row.farm.name for _, row in board.ranked] == ["B"]
    assert [each.kind for each in stale.doubts] == ["stale"]
    assert stale.first is not None  # its date is not thrown away
    assert stale.weather is not None
    assert stale.weather.days_behind == 10


def test_a_short_record_needs_an_eye(cards: dict[str, Card]) -> None:
    short = farm_day(
        a_farm("A"), said(farm(0).between(dt.date(2026, 1, 1), dt.date(2026, 6, 10)), cards)
    )
    assert [each.kind for each in short.doubts] == ["short"]


def test_of_two_farms_with_the_same_readings_the_later_needs_an_eye_and_both_say_so(
    cards: dict[str, Card],
) -> None:
    one = farm_day(a_farm("A"), said(farm(0), cards))
    copy = farm_day(a_farm("B"), said(farm(0), cards))
    other = farm_day(a_farm("C"), said(farm(1), cards))
    board = board_of([one, copy, other], TODAY)
    assert _states(board) == {"A": "dated", "B": "eye", "C": "dated"}
    rows = {row.farm.name: row for row in board.farms}
    assert [each.farm for each in rows["A"].same_as] == ["B"]
    assert [each.farm for each in rows["B"].same_as] == ["A"]
    assert rows["B"].doubts[-1].other == "A"
    assert not rows["C"].same_as


def test_of_a_doubtful_record_and_its_sound_copy_the_sound_one_is_ranked(
    cards: dict[str, Card],
) -> None:
    """Though it comes later in the list; a second sound copy is in doubt again."""
    series = farm(0)
    stuck = series.tmax.copy()
    stuck[-10:] = stuck[-10]
    low = np.minimum(series.tmin, stuck - 1.0)
    shaky = farm_day(a_farm("A"), said(replace(series, tmin=low, tmax=stuck), cards))
    assert [each.kind for each in shaky.doubts] == ["record"]
    sound, again = (farm_day(a_farm(name), said(series, cards)) for name in "BC")
    board = board_of([shaky, sound, again], TODAY)
    assert _states(board) == {"A": "eye", "B": "dated", "C": "eye"}
    rows = {row.farm.name: row for row in board.farms}
    assert [(each.kind, each.other) for each in rows["A"].doubts] == [
        ("record", ""), ("same-readings", "B"),
    ]  # fmt: skip
    assert {each.farm for each in rows["B"].same_as} == {"A", "C"}


def test_two_farms_that_are_said_to_go_by_one_file_are_no_copies(cards: dict[str, Card]) -> None:
    rows = [farm_day(a_farm(name, "station.csv"), said(farm(0), cards)) for name in "AB"]
    assert set(_states(board_of(rows, TODAY)).values()) == {"dated"}


@pytest.mark.parametrize("fault", [ZeroDivisionError("of ours"), RecursionError(), MemoryError()])
def test_whatever_a_farm_raises_is_its_own(fault: Exception) -> None:
    def work() -> NoReturn:
        raise fault

    answer = attempt(a_farm("A"), work)
    assert isinstance(answer, Refusal)
    assert type(fault).__name__ in answer.problem
    board = board_of([refused_farm(a_farm("A"), answer)], TODAY)
    assert _states(board) == {"A": "refused"}


def test_a_person_who_interrupts_is_heard() -> None:
    def work() -> NoReturn:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt, match=r"^$"):
        attempt(a_farm("A"), work)


def test_what_the_list_itself_says_wrong_of_a_farm_is_its_refusal() -> None:
    fault = Refusal("farms.toml", "it has 1 fault", "a number", "Mend it.")
    assert attempt(replace(a_farm("A"), fault=fault), lambda: 1) is fault


def _states(board: Board) -> dict[str, str]:
    return {row.farm.name: row.state for row in board.farms}
