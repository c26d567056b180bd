"""Chores by the grower's own rules: looking again, dusting again, and rain in between."""

from __future__ import annotations

import datetime as dt

from gddcast.crops.standing import OwnChore, chores_again
from gddcast.journal.entries import Job, Journal, Sighting
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
