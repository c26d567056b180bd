"""Sowings in the ground, and chores by the grower's own rules: next sowing, water, dust, rain."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import pytest

from gddcast.crops.standing import (
    OwnChore,
    SowingToday,
    chores_again,
    not_put_away,
    rule_chores,
    sowings_today,
    water_days,
)
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.scouting.windows import Habits
from gddcast.weather.series import season_of

SEASON = season_of(dt.date(2026, 7, 1))


def on(date: int, month: int = 7) -> dt.date:
    return dt.date(2026, month, date)


def asked(today: dt.date, *jobs: Job, looks: tuple[dt.date, ...] = (),
          look: int | None = 2, dust: int | None = 7) -> list[OwnChore]:  # fmt: skip
    sightings = tuple(Sighting("", "", day, "none") for day in looks)
    habits = Habits(look_again_days=look, dust_again_days=dust)
    return list(chores_again(Journal(sightings, jobs=jobs), habits, SEASON, today))


def test_a_look_is_asked_for_from_its_day_until_it_is_on_record() -> None:
    scraped = Job("scraped", on(1), bed="row 2")
    assert asked(on(2), scraped) == []
    (one,) = asked(on(3), scraped)
    assert (one.where, one.words, one.first) == ("row 2", "look again", on(3))
    assert one.rule == "2 days after scraped 1 July"
    assert asked(on(4), scraped, looks=(on(2),)) == [one]  # before its day
    assert asked(on(4), scraped, looks=(on(3),)) == []
    assert asked(on(3), scraped, looks=(on(3),)) == []
    assert asked(on(9), scraped) == [one]
    assert asked(on(10), scraped) == []  # a week is enough
    assert asked(on(4), scraped, look=None) == []


def test_dust_is_due_after_its_days_or_after_rain() -> None:
    dusted, rained = Job("dusted", on(1), bed="row 2"), Job("rained", on(4))
    assert asked(on(7), dusted, look=None) == []
    (due,) = asked(on(8), dusted, look=None)
    assert (due.words, due.first, due.rule) == ("dust again", on(8), "7 days after dusted 1 July")
    (wet,) = asked(on(5), dusted, rained, look=None)
    assert (wet.first, wet.rule) == (on(4), "again after rain (dusted 1 July)")
    assert asked(on(3), dusted, rained, look=None) == []
    assert [each.first for each in asked(on(4), dusted, rained, look=None)] == [on(4)]
    assert asked(on(5), dusted, Job("rained", on(5)), rained, look=None) == [wet]
    # Rain on the day it is due anyway is the reason; rain of a later day is none.
    (both,) = asked(on(10), dusted, Job("rained", on(8)), look=None)
    assert (both.first, both.rule) == (on(8), "again after rain (dusted 1 July)")
    assert asked(on(10), dusted, Job("rained", on(9)), look=None) == [due]
    assert asked(on(5), dusted, rained, Job("dusted", on(5), bed="row 2"), look=None) == []
    # Rain of before the dusting, or of another season, washes nothing off.
    assert asked(on(5), dusted, Job("rained", on(1)), look=None) == []
    assert asked(on(5), Job("dusted", dt.date(2025, 7, 1), bed="row 2"), look=None) == []
    assert asked(on(8), dusted, look=None, dust=None) == []


def test_each_bed_has_its_own_last_time() -> None:
    jobs = (
        Job("dusted", on(1), bed="row 2"), Job("dusted", on(3), sowing="cucumber 2026-1"),
        Job("dusted", on(2)), Job("watered", on(3), bed="row 9"),
    )  # fmt: skip
    found = asked(on(10), *jobs, look=None)
    assert {(each.where, each.first) for each in found} == {
        ("row 2", on(8)), ("cucumber 2026-1", on(10)), ("every bed", on(9)),
    }  # fmt: skip


ONE = Sowing("cucumber", on(20, 5), "row 4", name="cucumber 2026-1")
TWO = Sowing("cucumber", on(20, 6), "row 4", name="cucumber 2026-2")


def standing_on(today: dt.date, *jobs: Job) -> tuple[SowingToday, ...]:
    journal = Journal(sowings=(TWO, ONE), jobs=jobs)
    return sowings_today(journal, {}, SEASON, today)


@pytest.mark.parametrize(
    ("today", "ages"),
    [(on(19, 5), []), (on(20, 5), [0]), (on(19, 6), [30]), (on(20, 6), [31, 0]), (on(1), [42, 11])],
)
def test_sowings_stand_from_their_day_on_oldest_first(today: dt.date, ages: list[int]) -> None:
    assert [each.age_days for each in standing_on(today)] == ages


def test_what_is_pulled_stands_on_its_last_day_and_no_longer() -> None:
    pulled = Job("pulled", on(3), sowing=ONE.name)
    assert len(standing_on(on(3), pulled)) == 2
    assert [each.sowing for each in standing_on(on(4), pulled)] == [TWO]


def test_a_job_is_of_a_sowing_by_its_name_or_its_bed_since_it_was_sown() -> None:
    of_one = Job("up", on(27, 5), sowing=ONE.name)
    of_bed, of_crop = (
        Job("dusted", on(25, 6), bed="row 4"),
        Job("dusted", on(26, 6), bed="cucumber"),
    )
    before = Job("dusted", on(19, 6), bed="row 4")
    on_its_day = Job("watered", on(20, 6), bed="row 4")
    elsewhere, coming = Job("dusted", on(28, 6), bed="row 9"), Job("dusted", on(2), bed="row 4")
    jobs = (coming, of_crop, of_bed, before, of_one, on_its_day, elsewhere)
    one, two = standing_on(on(1), *jobs)
    assert one.jobs == (of_one, before, on_its_day, of_bed, of_crop)
    assert two.jobs == (on_its_day, of_bed, of_crop)
    assert (one.done("dusted"), two.done("dusted")) == (on(26, 6), on(26, 6))
    assert (one.done("up"), two.done("up")) == (on(27, 5), None)
    assert standing_on(on(27, 5), of_one)[0].jobs == (of_one,)
    assert one.called == "cucumber, row 4, sown 20 May"


def test_a_cover_is_on_until_it_is_taken_off() -> None:
    covered = Job("covered", on(25, 6), bed="row 4")
    bare = Job("uncovered", on(28, 6), bed="row 4")
    again = Job("covered", on(30, 6), bed="row 4")
    for jobs, is_covered in (((), False), ((covered,), True), ((covered, bare), False),
                             ((bare, covered), False), ((covered, bare, again), True)):  # fmt: skip
        assert {each.covered for each in standing_on(on(1), *jobs)} == {is_covered}


#: Days on which a next sowing is worth it.
WORTH = {ONE.name: (on(15), on(22))}


def own(
    today: dt.date,
    *jobs: Job,
    sown: tuple[Sowing, ...] = (ONE,),
    worth: Mapping[str | None, tuple[dt.date, dt.date]] = WORTH,
) -> list[tuple[str, ...]]:
    """What is asked for, by which rule, from which day to which; first pick was on 1 July."""
    picked = Job("first-pick", on(1), sowing=ONE.name)
    there = sowings_today(Journal(sowings=(ONE,), jobs=(picked, *jobs)), {}, SEASON, today)
    chores = rule_chores(
        there, sown, today, side_dress_weeks=1, sow_next_weeks=(2, 3), sow_next=worth
    )
    return [(each.words, each.rule, f"{each.first:%m-%d}", f"{each.last:%m-%d}") for each in chores]


SIDE_DRESS = ("side-dress", "1 week after first pick", "07-08", "07-08")
SOW_NEXT = ("sow the next one", "2–3 weeks after first pick", "07-15", "07-22")


def test_own_weeks_run_from_the_first_pick_to_the_day() -> None:
    assert own(on(7)) == []
    assert own(on(8)) == [SIDE_DRESS]
    assert own(on(14)) == [SIDE_DRESS]
    assert own(on(15)) == [SIDE_DRESS, SOW_NEXT]
    assert own(on(22)) == [SIDE_DRESS, SOW_NEXT]  # two weeks after it was due, and a week
    assert own(on(29)) == [SOW_NEXT]
    assert own(on(30)) == []  # what nobody did lapses
    assert own(on(15), Job("side-dressed", on(9), sowing=ONE.name)) == [SOW_NEXT]


def test_a_next_one_is_asked_for_only_while_it_is_worth_it() -> None:
    assert own(on(15), worth={}) == [SIDE_DRESS]
    short = {ONE.name: (on(15), on(17))}
    assert own(on(15), worth=short) == [SIDE_DRESS, (*SOW_NEXT[:3], "07-17")]
    assert own(on(24), worth=short) == [(*SOW_NEXT[:3], "07-17")]
    assert own(on(25), worth=short) == []


@pytest.mark.parametrize(
    ("skipped", "is_left"),
    [
        (Job("skipped", on(9), sowing=ONE.name), False),
        (Job("skipped", on(9), bed="row 4"), False),
        (Job("skipped", on(9)), False),  # all there is, everywhere
        (Job("skipped", on(7), sowing=ONE.name), True),  # before it was due
        (Job("skipped", on(11), sowing=ONE.name), True),  # not yet
        (Job("skipped", on(9), sowing="corn"), True),
        (Job("skipped", on(9), bed="row 9"), True),
        (Job("watered", on(9), sowing=ONE.name), True),
    ],
)
def test_a_chore_is_put_away_by_its_sowing_its_bed_or_all(skipped: Job, is_left: bool) -> None:
    chore = OwnChore(str(ONE.name), "side-dress", "", on(8), on(8), on(22), "row 4")
    left = not_put_away([chore], Journal(jobs=(skipped,)), on(10))
    assert left == ((chore,) if is_left else ())


def test_the_next_one_is_sown_once_a_later_sowing_of_the_crop_is_on_record() -> None:
    corn = Sowing("sweet-corn", on(20, 6), name="corn")
    early = Sowing("cucumber", on(1, 5), name="cucumber 2026-0")
    same_day = Sowing("cucumber", ONE.sown_on, name="cucumber 2026-3")
    for other in (corn, early, same_day):
        assert own(on(15), sown=(ONE, other)) == [SIDE_DRESS, SOW_NEXT]
    assert own(on(15), sown=(ONE, TWO)) == [SIDE_DRESS]


def test_without_a_pick_nothing_is_asked_and_one_number_of_weeks_is_said_as_one() -> None:
    there = standing_on(on(31))
    asked = {"side_dress_weeks": 1, "sow_next_weeks": (2, 3), "sow_next": WORTH}
    assert rule_chores(there, (ONE, TWO), on(31), **asked) == ()  # type: ignore[arg-type]
    there = standing_on(on(31), Job("first-pick", on(1), sowing=TWO.name))
    chores = rule_chores(
        there, (ONE, TWO), on(16), side_dress_weeks=9, sow_next_weeks=(2, 2),
        sow_next={TWO.name: (on(15), on(15))},
    )  # fmt: skip
    assert [(each.where, each.rule) for each in chores] == [
        ("cucumber 2026-2", "2 weeks after first pick")
    ]


@pytest.mark.parametrize(
    ("every", "done", "asked_for"),
    [
        (None, [], [6, 7, 8, 9, 10, 11, 12]),
        (3, [], [6, 9, 12]),
        (3, [on(5)], [8, 11]),
        (3, [on(5), on(3)], [8, 11]),
        (3, [on(12)], [6, 9]),
        (3, [on(6)], [9, 12]),  # done today
        (3, [dt.date(2025, 7, 5)], [6, 9, 12]),
        (3, [on(13)], [6, 9, 12]),  # of a day behind the week
    ],
)
def test_water_is_asked_for_every_so_many_days_from_the_last_time(
    every: int | None, done: list[dt.date], asked_for: list[int]
) -> None:
    jobs = (*(Job("watered", each) for each in done), Job("dusted", on(7)))
    week = [on(date) for date in range(6, 13)]
    days = water_days(Journal(jobs=jobs), every, SEASON, week)
    assert [each.day for each in days] == asked_for
