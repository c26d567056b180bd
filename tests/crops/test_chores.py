"""Jobs in beds: which sowing is meant, and what cannot have been."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast.cards.model import Card, Look
from gddcast.crops import chores
from gddcast.errors import Refusal
from gddcast.journal.entries import Job, Journal, Sowing
from gddcast.weather.series import season_of

TODAY = dt.date(2026, 8, 1)
SEASON = season_of(TODAY)


def on(month: int, day: int) -> dt.date:
    return dt.date(2026, month, day)


ONE = Sowing("cucumber", on(5, 20), "row 4", name="cucumber 2026-1", entry="2026-001")
TWO = Sowing("cucumber", on(6, 20), "row 5", name="cucumber 2026-2", entry="2026-002")
CORN = Sowing("sweet-corn", on(5, 5), "north end", name="early corn", entry="2026-003")
JOURNAL = Journal(sowings=(ONE, TWO, CORN))


def test_a_job_is_found_by_its_nearest_word() -> None:
    assert chores.job_named("First pick") == "first-pick"
    with pytest.raises(Refusal, match=r"Did you mean  gddcast did side-dressed\?"):
        chores.job_named("side-dress")


@pytest.mark.parametrize(
    ("word", "meant"),
    [("early corn", CORN), ("sweet corn", CORN), ("row 5", TWO), ("cucumber 2026-1", ONE)],
)
def test_a_sowing_is_meant_by_name_crop_or_bed(word: str, meant: Sowing) -> None:
    assert chores.sowing_meant(word, JOURNAL, {}, SEASON, TODAY) is meant


def test_where_several_fit_they_are_listed() -> None:
    with pytest.raises(Refusal, match="several sowings fit") as caught:
        chores.sowing_meant("cucumber", JOURNAL, {}, SEASON, TODAY)
    assert "cucumber 2026-1 (20 May) and cucumber 2026-2 (20 June)" in str(caught.value)
    pulled = Journal(JOURNAL.sightings, JOURNAL.sowings, (Job("pulled", on(7, 30), ONE.name),))
    assert chores.sowing_meant("cucumber", pulled, {}, SEASON, TODAY) is TWO
    with pytest.raises(Refusal, match="no sowing fits"):
        chores.sowing_meant("okra", JOURNAL, {}, SEASON, TODAY)


def test_plants_are_meant_by_sowing_crop_or_bed_and_never_stored_as_a_bed() -> None:
    """`did covered cucumber` covers both sowings of it; a bed is a bed; a slip is refused."""
    squash = Card("summer-squash", "summer squash", "x", "crop", Look(), (), {}, also=("zucchini",))
    mine = Sowing("summer-squash", on(5, 21), "row 2", name="summer-squash 2026-1")
    journal = Journal(sowings=(ONE, TWO, mine))

    def meant(word: str) -> tuple[Sowing, ...]:
        return chores.plants_meant(word, journal, {squash.key: squash}, SEASON, TODAY)

    assert meant("cucumber") == (ONE, TWO)
    assert meant("Zucchini") == meant("summer squash") == (mine,)
    assert meant("cucumber 2026-2") == (TWO,)
    assert meant("row 4") == meant("the far end") == ()
    with pytest.raises(Refusal, match="'cucumber' is near"):
        meant("cucumbr")
    with pytest.raises(Refusal, match="'row 2' is near"):
        meant("row2")
    gone = Journal(sowings=(mine,), jobs=(Job("pulled", on(7, 1), mine.name),))
    with pytest.raises(Refusal, match="no summer squash of this season stands"):
        chores.plants_meant("summer-squash", gone, {squash.key: squash}, SEASON, TODAY)


def test_a_name_is_made_once() -> None:
    assert chores.new_name("cucumber", JOURNAL, SEASON) == "cucumber 2026-3"
    assert chores.new_name("okra", JOURNAL, season_of(TODAY, (7, 1))) == "okra 2026/27-1"
    chores.refuse_impossible_sowing(Sowing("okra", TODAY, name="okra"), JOURNAL, TODAY)
    with pytest.raises(Refusal, match="another sowing has it"):
        chores.refuse_impossible_sowing(Sowing("okra", TODAY, name=ONE.name), JOURNAL, TODAY)
    with pytest.raises(Refusal, match="it is in the future"):
        chores.refuse_impossible_sowing(Sowing("okra", on(8, 2), name="x"), JOURNAL, TODAY)


def test_a_life_goes_forward_and_happens_once() -> None:
    flowered = Job("first-flower", on(6, 25), ONE.name, entry="2026-009")
    journal = Journal(sowings=(ONE,), jobs=(flowered,))

    def attempt(job: str, day: dt.date) -> None:
        chores.refuse_impossible_job(Job(job, day, ONE.name), ONE, journal, TODAY)

    attempt("up", on(5, 28))
    attempt("first-pick", on(6, 25))
    attempt("dusted", on(6, 20))
    for job, day, found in (
        ("up", on(5, 19), "it is before the sowing"),
        ("up", on(6, 26), "first-flower is on record before it"),
        ("first-pick", on(6, 24), "first-flower is on record after it"),
        ("first-flower", on(7, 1), "it is on record already"),
        ("pulled", on(8, 2), "it is in the future"),
    ):
        with pytest.raises(Refusal, match=found):
            attempt(job, day)


def test_side_dressing_may_come_again() -> None:
    journal = Journal(sowings=(ONE,), jobs=(Job("side-dressed", on(7, 10), ONE.name),))
    again = Job("side-dressed", on(7, 24), ONE.name)
    chores.refuse_impossible_job(again, ONE, journal, TODAY)
    with pytest.raises(Refusal, match="it is on record already"):
        chores.refuse_impossible_job(Job("side-dressed", on(7, 10), ONE.name), ONE, journal, TODAY)


def test_a_sowing_is_in_flower_from_its_first_flower_until_it_is_pulled() -> None:
    jobs = (Job("first-flower", on(6, 25), ONE.name), Job("pulled", on(7, 30), ONE.name))
    journal = Journal(sowings=(ONE,), jobs=jobs)
    flowers = [day for day in (24, 25, 30) if chores.in_flower(ONE, journal, on(6, day))]
    assert flowers == [25, 30]
    assert not chores.in_flower(ONE, journal, on(7, 31))


def test_a_sowing_of_that_day_is_asked_about_unless_its_bed_is_another() -> None:
    """Who leaves the bed out the second time has most likely logged it twice."""
    again = Sowing("cucumber", on(5, 20))
    assert chores.same_sowing(again, JOURNAL) is ONE
    assert chores.same_sowing(Sowing("cucumber", on(5, 20), "Row 4"), JOURNAL) is ONE
    assert chores.same_sowing(Sowing("cucumber", on(5, 20), "row 5"), JOURNAL) is None
    assert chores.same_sowing(Sowing("cucumber", on(5, 21)), JOURNAL) is None
