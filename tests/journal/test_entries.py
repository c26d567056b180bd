"""What a journal answers: which find runs the clock, between which days, and what was closed."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast.journal.entries import Closing, Journal, OwnGoal, Sighting

FIRST, LAST = dt.date(2026, 1, 1), dt.date(2026, 12, 31)


def on(month: int, day: int) -> dt.date:
    return dt.date(2026, month, day)


def saw(month: int, day: int, **more: object) -> Sighting:
    return Sighting("bug", "eggs", on(month, day), **more)  # type: ignore[arg-type]


def looked(month: int, day: int, organism: str = "bug", event: str = "eggs") -> Sighting:
    return Sighting(organism, event, on(month, day), "none")


def ends(*sightings: Sighting) -> tuple[dt.date | None, dt.date] | None:
    """Clean look and find of the bracket of a season."""
    bracket = Journal(sightings).bracket("bug", ["eggs"], FIRST, LAST)
    return None if bracket is None else (bracket.clean_on, bracket.found_on)


def test_the_first_sure_find_of_the_season_whatever_the_order_of_writing() -> None:
    sure = (saw(7, 2), saw(6, 24))
    others = (saw(6, 10, sure=False), saw(6, 11, kind="heard"), Sighting("bug", "nymphs", on(6, 1)))
    last_year = Sighting("bug", "eggs", dt.date(2025, 12, 31))
    assert ends(*others, *sure, last_year) == (None, on(6, 24))
    assert ends(*others, last_year) is None
    assert ends(saw(1, 1)) == (None, FIRST)
    assert ends(saw(12, 31)) == (None, LAST)
    until = Journal(sure).bracket("bug", ["eggs"], FIRST, on(6, 23))
    assert until is None  # found after the day that is asked about


@pytest.mark.parametrize(
    ("looks", "told", "clean"),
    [
        ((looked(6, 20),), None, on(6, 20)),
        ((looked(6, 23), looked(6, 20)), None, on(6, 23)),
        ((looked(6, 24),), None, None),  # a look of the day itself tells nothing of the days before
        ((looked(6, 25),), None, None),
        ((looked(6, 20, event=""),), None, on(6, 20)),  # the whole plant
        ((looked(6, 20, organism="", event=""),), None, on(6, 20)),  # the whole garden
        ((looked(6, 20, organism="moth"),), None, None),
        ((looked(6, 20, event="nymphs"),), None, None),
        ((looked(6, 20),), on(6, 22), on(6, 22)),
        ((looked(6, 22),), on(6, 20), on(6, 22)),
        ((), dt.date(2025, 12, 31), None),  # of another season
        ((looked(1, 1),), None, FIRST),
    ],
)
def test_the_last_clean_look_before_a_find_opens_its_bracket(
    looks: tuple[Sighting, ...], told: dt.date | None, clean: dt.date | None
) -> None:
    assert ends(saw(6, 24, clean_on=told), *looks) == (clean, on(6, 24))


def test_it_may_have_happened_from_the_day_after_the_clean_look() -> None:
    bracket = Journal((saw(6, 24, clean_on=on(6, 20)),)).bracket("bug", ["eggs"], FIRST, LAST)
    assert bracket is not None
    assert bracket.earliest == on(6, 21)


def test_clean_looks_are_counted_on_both_end_days() -> None:
    looks = (looked(6, 1), looked(6, 2), looked(6, 9), looked(6, 10), saw(6, 5))
    assert Journal(looks).clean_looks("bug", ["eggs"], on(6, 2), on(6, 9)) == 2


@pytest.mark.parametrize(
    ("find", "closed"),
    [
        (None, True),
        (saw(6, 28), True),  # the find it was closed after, on the same day
        (saw(6, 29), False),
        (saw(7, 10), False),  # the day asked about
        (saw(7, 11), True),
        (saw(6, 29, sure=False), True),
        (saw(6, 29, kind="heard"), True),
        (Sighting("bug", "nymphs", on(6, 29)), True),
    ],
)
def test_a_closed_stage_stays_so_until_it_is_surely_found_again(
    find: Sighting | None, closed: bool
) -> None:
    closings = (Closing("bug", "eggs", on(6, 28)), Closing("bug", "", on(6, 3)))
    journal = Journal((find,) if find else (), closings=closings)
    answer = journal.closing("bug", "eggs", FIRST, on(7, 10))
    assert (answer is closings[0]) is closed
    assert closed or answer is None


def test_a_closing_is_of_its_season_its_stage_and_not_of_the_future() -> None:
    journal = Journal(closings=(Closing("bug", "eggs", on(6, 28)),))
    for since, until, holds in (
        (on(6, 28), on(6, 28), True), (on(6, 29), LAST, False), (FIRST, on(6, 27), False),
    ):  # fmt: skip
        assert (journal.closing("bug", "eggs", since, until) is not None) is holds
    assert journal.closing("bug", "nymphs", FIRST, LAST) is None
    assert journal.closing("moth", "eggs", FIRST, LAST) is None


def test_the_sum_kept_last_is_the_one_that_counts() -> None:
    first, last = (
        OwnGoal("bug", "eggs", goal, goal - 5, goal + 5, on(10, 3)) for goal in (500.0, 520.0)
    )
    other = OwnGoal("bug", "nymphs", 700.0, 690.0, 710.0, on(10, 4))
    journal = Journal(goals=(first, last, other))
    assert journal.own_goal("bug", "eggs") is last
    assert journal.own_goal("moth", "eggs") is None
