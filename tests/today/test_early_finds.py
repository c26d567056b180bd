"""A find twenty days before the fastest past year is asked about, and only such a one."""

from __future__ import annotations

import datetime as dt

from gddcast.journal.entries import Sighting
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import demo_temperatures
from gddcast.today.early_finds import EARLY_DAYS, EarlyFind, early_find
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today

BORER = "squash-vine-borer"
PLAN = Today(
    Record(demo_temperatures().series, dt.date(2026, 6, 11)), load_cards(),
    practice=Practice(watch=(BORER,)),
).plan  # fmt: skip
FASTEST = min(
    each.fastest for each in PLAN.windows if each.event.key == "moths" and each.fastest is not None
)


def moths(days_early: int) -> Sighting:
    return Sighting(BORER, "moths", FASTEST - dt.timedelta(days=days_early))


def test_from_twenty_days_on() -> None:
    assert EARLY_DAYS == 20
    assert early_find(PLAN, moths(19)) is None
    assert early_find(PLAN, moths(-30)) is None
    assert early_find(PLAN, moths(20)) == EarlyFind(FASTEST, 20)


def test_not_where_no_date_says_so() -> None:
    """A clean look, another season, a stage whose clock waits for a find."""
    clean = Sighting(BORER, "moths", FASTEST - dt.timedelta(days=40), "none")
    assert early_find(PLAN, clean) is None
    assert early_find(PLAN, moths(365)) is None
    assert early_find(PLAN, Sighting(BORER, "egg-hatch", moths(40).seen_on)) is None
