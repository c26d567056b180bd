"""That nothing is due is said where it is known, and nowhere else."""

from __future__ import annotations

import datetime as dt
from html import unescape

import pytest

from gddcast.journal.entries import Journal
from gddcast.pages.report.page import report_page
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.windows import Habits
from gddcast.text.dates.ahead import ahead_text
from gddcast.text.dates.full_walk import full_walk_text
from gddcast.text.dates.nothing_due import nothing_is_due
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.words import Status
from tests.real_records import SAMPLES

CARDS = load_cards()
WHOLE = "larkhollow_2014_to_31aug2026_f.csv"
BORER = ("squash-vine-borer",)


def today_of(file: str, today: dt.date, watch: tuple[str, ...] = BORER) -> Today:
    series = read_temperatures(SAMPLES / file).series
    return Today(Record(series.before(today), today), CARDS, practice=Practice(watch=watch))


def surfaces(today: Today) -> dict[str, str]:
    """The walk, what is ahead and the report, each on one line."""
    plan = today.plan
    walk = full_walk_text(plan, Journal(), Habits(), (), (), (), "F")
    pages = {"walk": walk, "ahead": ahead_text(plan, "F"), "report": report_page(today, "F")}
    return {name: " ".join(unescape(text).split()) for name, text in pages.items()}


#: What a day is, and what stands where no stage is to be looked for.
DAYS = {
    "known": (today_of(WHOLE, dt.date(2026, 6, 11)), "nothing on your list is due"),
    "overdue": (today_of(WHOLE, dt.date(2026, 7, 6)), ""),
    "to look for": (today_of(WHOLE, dt.date(2026, 6, 22)), ""),
    "can't be said": (
        today_of("11_gap_14_days.csv", dt.date(2026, 6, 11)),
        "nothing is due, as far as can be told",
    ),
    "stale": (
        today_of("larkhollow_2014_2026_f.csv", dt.date(2026, 11, 15)), "",
    ),
}  # fmt: skip


@pytest.mark.parametrize("day", DAYS)
def test_it_is_said_only_where_it_is_known(day: str) -> None:
    today, said = DAYS[day]
    assert nothing_is_due(today.plan) == said
    for name, text in surfaces(today).items():
        for clear in ("nothing on your list is due", "nothing is due, as far as can be told"):
            assert (clear in text.lower()) is (clear == said), (day, name)


def test_the_days_are_what_they_are_called() -> None:
    """Else the cases above would prove nothing."""
    held = {day: {each.status for each in today.plan.windows} for day, (today, _) in DAYS.items()}
    assert Status.OVERDUE in held["overdue"]
    assert Status.LOOK_NOW not in held["overdue"]
    assert Status.LOOK_NOW in held["to look for"]
    assert Status.CANT_SAY in held["can't be said"]
    assert not held["known"] & {Status.LOOK_NOW, Status.OVERDUE, Status.CANT_SAY}
    assert DAYS["stale"][0].plan.is_stale
    assert not held["stale"] & {Status.LOOK_NOW, Status.OVERDUE}
