"""What is due by bed: the order of walking, one block a pest, nothing lost on the way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gddcast.cards.values import PLACES
from gddcast.crops.standing import OwnChore
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.windows import without_repeats
from gddcast.today.beds import DUE, HINT_DAYS, BedWalk, first_of_week, walk_by_bed
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from tests.real_records import SAMPLES

CARDS = load_cards()
SERIES = read_temperatures(SAMPLES / "larkhollow_2014_to_31aug2026_f.csv").series
JULY = dt.date(2026, 7, 8)
WATCH = ("squash-vine-borer", "squash-bug", "striped-cucumber-beetle", "corn-rootworms")


def today_of(
    day: dt.date, journal: Journal, watch: Sequence[str] = WATCH, order: Sequence[str] = ()
) -> Today:
    record = Record(SERIES.before(day), day)
    return Today(record, CARDS, journal, Practice(watch=tuple(watch), beds=tuple(order)))


def sown(crop: str, bed: str | None, day: dt.date = dt.date(2026, 5, 10)) -> Sowing:
    return Sowing(crop, day, bed=bed, name=f"{crop} in {bed} {day:%d%m}")


GARDEN = Journal(
    sowings=(
        sown("sweet-corn", "north end"), sown("summer-squash", "row 2", dt.date(2026, 5, 18)),
        sown("cucumber", "Row 4", dt.date(2026, 5, 24)),
    ),
    sightings=(Sighting("striped-cucumber-beetle", "adults", dt.date(2026, 6, 2)),),
)  # fmt: skip


def beds(walk: BedWalk) -> dict[str, list[str]]:
    return {bed.name: [block.card.key for block in bed.blocks] for bed in walk.beds}


def test_beds_stand_in_the_order_people_walk_them_else_first_sown_first() -> None:
    assert list(beds(today_of(JULY, GARDEN).by_bed)) == ["north end", "row 2", "Row 4"]
    walk = today_of(JULY, GARDEN, order=["row 4", "row 2", "no such bed"]).by_bed
    assert list(beds(walk)) == ["Row 4", "row 2", "north end"]


def test_a_pest_has_one_block_and_is_met_again_further_on() -> None:
    walk = today_of(JULY, GARDEN).by_bed
    keys = [block.card.key for block in walk.blocks]
    assert len(keys) == len(set(keys))
    squash, cucumber = (next(bed for bed in walk.beds if bed.name == name)
                        for name in ("row 2", "Row 4"))  # fmt: skip
    assert "striped-cucumber-beetle" in [block.card.key for block in squash.blocks]
    assert [block.card.key for block in cucumber.again][-1] == "striped-cucumber-beetle"


def test_inside_a_bed_the_eye_goes_up_from_the_ground() -> None:
    for bed in today_of(JULY, GARDEN).by_bed.beds:
        places = [PLACES.index(block.place) for block in bed.blocks]
        assert places == sorted(places)


def test_without_a_host_on_record_it_is_anywhere() -> None:
    walk = today_of(JULY, Journal()).by_bed
    assert walk.beds == ()
    assert "squash-vine-borer" in [block.card.key for block in walk.anywhere]


def test_a_cue_by_age_waits_for_each_sowing() -> None:
    """Squash bug from day 22: 2 June for the older sowing, and not yet for the younger."""
    young = sown("summer-squash", "row 3", dt.date(2026, 6, 8))
    journal = replace(GARDEN, sowings=(*GARDEN.sowings, young))
    walk = today_of(dt.date(2026, 6, 11), journal, ["squash-bug"]).by_bed
    assert beds(walk) == {"row 2": ["squash-bug"]}
    assert walk.next is not None
    assert walk.next.day == dt.date(2026, 6, 30)  # 8 June and 22 days


def test_chores_stand_in_the_bed_they_are_done_in() -> None:
    plan = today_of(JULY, GARDEN)
    chores = [OwnChore(where, "look again", "rule", JULY, JULY)
              for where in ("ROW 4", "summer-squash in row 2 1805", "every bed")]  # fmt: skip
    walk = walk_by_bed(plan.plan, GARDEN, plan.sowings, plan.plants, chores)
    assert {bed.name: len(bed.chores) for bed in walk.beds}["Row 4"] == 1
    assert {bed.name: len(bed.chores) for bed in walk.beds}["row 2"] == 1
    assert [chore.where for chore in walk.chores] == ["every bed"]


def test_an_unsure_find_and_hearsay_speak_for_two_weeks_or_until_a_sure_one() -> None:
    heard = Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 1), "heard")
    unsure = Sighting(
        "squash-vine-borer", "moths", dt.date(2026, 6, 2), sure=False, clean_on=dt.date(2026, 5, 30)
    )
    journal = replace(GARDEN, sightings=(heard, unsure))
    (coming,) = today_of(dt.date(2026, 6, 3), journal, ["squash-vine-borer"]).by_bed.coming
    assert coming.hints.heard == heard.seen_on
    assert coming.hints.unsure == unsure.seen_on
    assert coming.hints.clean == dt.date(2026, 5, 30)
    late = heard.seen_on + dt.timedelta(days=HINT_DAYS + 2)
    hints = [each.hints for each in today_of(late, journal, ["squash-vine-borer"]).by_bed.coming]
    assert all(each.heard is each.unsure is None for each in hints)
    sure = Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 2))
    journal = replace(journal, sightings=(heard, unsure, sure))
    walk = today_of(dt.date(2026, 6, 3), journal, ["squash-vine-borer"]).by_bed
    assert all(block.hints.heard is None for block in walk.blocks)


@pytest.mark.parametrize(
    ("told_on", "first"),
    [([], True), ([dt.date(2026, 7, 5)], True), ([dt.date(2026, 7, 6)], False), ([JULY], True)],
)
def test_the_first_walk_of_an_iso_week(told_on: list[dt.date], first: bool) -> None:
    """8 July 2026 is a Wednesday: Sunday the 5th is another week, its own day is no walk before."""
    assert first_of_week(told_on, JULY) is first


CROPS = st.sampled_from(["sweet-corn", "summer-squash", "cucumber", "kale", "garlic"])
BEDS = st.sampled_from(["a", "b", "B", "c", None])
DAYS = st.dates(dt.date(2026, 4, 1), JULY)
BASE = today_of(JULY, Journal())


@given(st.lists(st.tuples(CROPS, BEDS, DAYS), max_size=6), st.lists(st.sampled_from("abc")))
def test_every_due_stage_stands_in_one_block(
    rows: list[tuple[str, str | None, dt.date]], order: list[str]
) -> None:
    """Whatever is sown where: nothing due is lost, nothing stands twice, nothing else is told."""
    journal = Journal(sowings=tuple(
        replace(sown(*row), name=f"{at}") for at, row in enumerate(rows)
    ), jobs=(Job("covered", JULY, bed="a"),))  # fmt: skip
    # The plan is that of an empty garden: what is due does not hang on what is sown here.
    walk = walk_by_bed(BASE.plan, journal, today_of(JULY, journal).sowings, (), (), order)
    due = [id(each) for each in without_repeats(BASE.plan.windows)
           if each.event.opens_looks and each.status in DUE]  # fmt: skip
    placed = [id(window) for block in walk.blocks for window in block.windows]
    assert sorted(due) == sorted(placed)
    assert due
    names = [bed.name.casefold() for bed in walk.beds]
    assert len(names) == len(set(names))
    said = [name for name in dict.fromkeys(order) if name in names]
    assert [name for name in names if name in order] == said
