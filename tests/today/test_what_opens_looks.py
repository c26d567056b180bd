"""Starts, layings, hatches and broods send a person out; pupae, peaks, ends and crops do not."""

from __future__ import annotations

import datetime as dt
import itertools
import re
from pathlib import Path

import pytest

from gddcast.journal.entries import Journal, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.windows import Habits
from gddcast.text import looks, sentences
from gddcast.text.dates.full_walk import full_walk_text
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.walk_week import WalkWeek, due_in_week
from gddcast.today.without_sum import stages_without_sum
from gddcast.words import Status

CARDS = load_cards()
FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
#: From the first flies of spring to the last sowing's harvest.
DAYS = [dt.date(2026, 3, 15) + dt.timedelta(days=12 * step) for step in range(15)]
SENT_OUT = (Status.LOOK_NOW, Status.OVERDUE)
JOURNAL = Journal(
    sowings=tuple(
        Sowing(crop, dt.date(2026, 5, day), name=crop)
        for crop, day in (("potato", 1), ("sweet-corn", 10), ("cantaloupe", 25), ("snap-bean", 20))
    )
)


@pytest.fixture(scope="module")
def season() -> list[SeasonPlan]:
    """Every card that there is, through one real season of an invented place."""
    series = read_temperatures(FILE).series
    return [season_plan(series, CARDS, day, journal=JOURNAL) for day in DAYS]


def test_a_peak_an_end_and_a_crops_stage_never_open_a_look(season: list[SeasonPlan]) -> None:
    met = set()
    for plan in season:
        for window in plan.windows:
            if window.event.opens_looks:
                continue
            assert window.status not in SENT_OUT, (plan.today, window)
            assert window.opens is None
            assert window.every_days is None
            assert window.every_words is None
            met.add((window.event.purpose, window.status))
        week = WalkWeek.of(plan.today)
        assert all(each.event.opens_looks for each in due_in_week(plan, week, (), lead_days=3))
    for purpose in ("hidden", "peak", "end", "crop stage"):
        for status in (Status.COMING_UP, Status.QUIET):
            assert (purpose, status) in met


def test_what_opens_looks_still_does(season: list[SeasonPlan]) -> None:
    """In a whole season every kind of them sends somebody out."""
    out = {
        window.event.purpose
        for plan in season
        for window in plan.windows
        if window.status in SENT_OUT and window.opens is not None
    }
    assert out == {"start", "laying", "hatch", "brood"}


def test_their_dates_are_still_told(season: list[SeasonPlan]) -> None:
    """Seedcorn maggot's peak, 360 °F-days: its days are there, and why it asks for no look."""
    plan = season[2]
    peak = next(
        each for each in plan.windows
        if (each.card.key, each.event.key) == ("seedcorn-maggot", "peak")
    )  # fmt: skip
    assert peak.fastest is not None
    assert "any day" in sentences.when(peak, "F")
    assert looks.look(peak, plan.today).endswith("no look of its own.")


def test_a_reached_sum_of_theirs_asks_for_no_clean_look(season: list[SeasonPlan]) -> None:
    for plan in season:
        for window in plan.windows:
            if window.late is not None and window.late.reached and window.bracket is None:
                said = sentences.when(window, "F")
                assert ("clean look" in said) is window.event.opens_looks


def test_crops_do_not_talk_like_insects(season: list[SeasonPlan]) -> None:
    """No egg time, no plants to turn over, nothing overdue: a potato is not a pest."""
    told = 0
    for plan in season:
        lines = full_walk_text(plan, JOURNAL, Habits(), (), (), (), "F").split("\n")
        for window in plan.windows:
            if window.card.group == "crop" and window.status is Status.COMING_UP:
                after = lines[lines.index(f"◑ {sentences.title(window)}") + 1 :]
                block = " ".join(itertools.takewhile(lambda line: line.startswith("  "), after))
                assert not re.search(r"\begg|\blook|\bplants:", block, re.IGNORECASE)
                told += 1
    assert told > 3


def test_days_of_a_crop_are_never_overdue(season: list[SeasonPlan]) -> None:
    """Potatoes are lifted 90 to 120 days after planting, by common practice."""
    met = set()
    for plan in season:
        for window in stages_without_sum(plan, CARDS["potato"], JOURNAL):
            assert window.status not in SENT_OUT
            met.add(window.status)
    assert {Status.COMING_UP, Status.QUIET} <= met


def test_pupae_are_looked_for_only_where_people_band_trunks_for_them() -> None:
    """Fed up and mostly in the soil; codling moth's are met under bands on trunks."""
    looked_for = {
        card.key
        for card in CARDS.values()
        for event in card.events
        if event.key in ("pupae", "prepupae") and event.opens_looks
    }
    assert looked_for == {"codling-moth"}
    beetle = CARDS["colorado-potato-beetle"]
    assert "pupae" in {each.key for each in beetle.finds}  # yet a find of them counts
