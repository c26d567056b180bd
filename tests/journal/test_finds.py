"""What a find may be, and what it says of the days before it."""

from __future__ import annotations

import datetime as dt

import pytest

from gddcast.errors import Refusal
from gddcast.journal import finds
from gddcast.journal.entries import Journal, Sighting, Sowing
from tests.journal.test_begun import CARD, SEASON, TODAY, on

FIND = Sighting("squash-bug", "eggs", on(6, 24))


def test_a_find_is_not_of_tomorrow_and_comes_after_its_clean_look() -> None:
    finds.refuse_impossible(Sighting("x", "y", TODAY, clean_on=on(7, 24)), TODAY)
    with pytest.raises(Refusal, match="2027-06-24: it is in the future"):
        finds.refuse_impossible(Sighting("x", "y", dt.date(2027, 6, 24)), TODAY)
    for clean in (on(6, 24), on(6, 25)):
        with pytest.raises(Refusal, match="it is not before the find of 2026-06-24"):
            finds.refuse_impossible(Sighting("x", "y", on(6, 24), clean_on=clean), TODAY)


def test_a_find_on_a_crop_that_was_not_sown_yet_is_refused() -> None:
    late = Sowing("summer-squash", on(6, 30), name="a", entry="2026-001")
    early = Sowing("pumpkin", on(5, 20), name="b", entry="2026-002")
    other = Sowing("cucumber", on(7, 1), name="c", entry="2026-003")
    last_year = Sowing("pumpkin", dt.date(2025, 5, 20), name="d", entry="2025-001")
    with pytest.raises(Refusal, match="its first summer squash was sown after it") as caught:
        finds.refuse_before_sowing(
            FIND, CARD, {}, Journal(sowings=(late, other, last_year)), SEASON
        )
    assert "Tue 30 June 2026 (entry 2026-001)" in str(caught.value)
    # Something of it stood, or nothing of it is on record: no reason to doubt.
    for sowings in ((late, early), (other,), ()):
        finds.refuse_before_sowing(FIND, CARD, {}, Journal(sowings=sowings), SEASON)


def test_the_same_find_is_of_the_same_day_stage_and_spot() -> None:
    journal = Journal(sightings=(FIND,))
    assert finds.same_find(FIND, journal) is FIND
    for other in (
        Sighting("squash-bug", "eggs", on(6, 25)),
        Sighting("squash-bug", "nymphs", on(6, 24)),
        Sighting("squash-bug", "eggs", on(6, 24), where="row 2"),
        Sighting("squash-bug", "eggs", on(6, 24), kind="heard"),
    ):
        assert finds.same_find(other, journal) is None


def test_the_first_sure_find_keeps_the_clock() -> None:
    unsure = Sighting("squash-bug", "eggs", on(6, 10), sure=False)
    hearsay = Sighting("squash-bug", "eggs", on(6, 11), kind="heard")
    journal = Journal(sightings=(unsure, hearsay, FIND))
    later = Sighting("squash-bug", "eggs", on(7, 2))
    assert finds.earlier_find(later, CARD, journal, SEASON) is FIND
    # A find that turns out to be earlier takes the clock over.
    assert (
        finds.earlier_find(Sighting("squash-bug", "eggs", on(6, 20)), CARD, journal, SEASON) is None
    )


def test_the_last_clean_look_is_ones_own_word_or_the_record() -> None:
    looks = (
        Sighting("", "", on(6, 18), "none"),
        Sighting("squash-bug", "eggs", on(6, 20), "none"),
        Sighting("squash-bug", "nymphs", on(6, 22), "none"),
        Sighting("leek-moth", "", on(6, 23), "none"),
        Sighting("squash-bug", "", on(6, 24), "none"),
    )
    journal = Journal(sightings=looks)
    assert finds.last_clean(FIND, CARD, journal, SEASON.first) == on(6, 20)
    told = Sighting("squash-bug", "eggs", on(6, 24), clean_on=on(6, 12))
    assert finds.last_clean(told, CARD, journal, SEASON.first) == on(6, 12)
    assert finds.last_clean(FIND, CARD, Journal(), SEASON.first) is None


def test_a_find_of_the_day_of_sowing_may_be() -> None:
    sown = Sowing("pumpkin", on(6, 24), name="a", entry="2026-001")
    finds.refuse_before_sowing(FIND, CARD, {}, Journal(sowings=(sown,)), SEASON)
    eve = Sowing("pumpkin", on(6, 25), name="a", entry="2026-001")
    with pytest.raises(Refusal, match="its first pumpkin was sown after it"):
        finds.refuse_before_sowing(FIND, CARD, {}, Journal(sowings=(eve,)), SEASON)
    heard = Sighting("squash-bug", "eggs", on(6, 24), "heard")
    finds.refuse_before_sowing(heard, CARD, {}, Journal(sowings=(eve,)), SEASON)


def test_both_end_days_of_a_season_are_of_it() -> None:
    find = Sighting("squash-bug", "eggs", SEASON.first)
    for sown_on, refused in ((SEASON.last, True), (SEASON.last + dt.timedelta(days=1), False)):
        journal = Journal(sowings=(Sowing("pumpkin", sown_on, name="a", entry="2026-001"),))
        if refused:
            with pytest.raises(Refusal, match="was sown after it"):
                finds.refuse_before_sowing(find, CARD, {}, journal, SEASON)
        else:
            finds.refuse_before_sowing(find, CARD, {}, journal, SEASON)
    first = Sowing("pumpkin", SEASON.first, name="a", entry="2026-001")
    late = Sowing("pumpkin", on(7, 1), name="b", entry="2026-002")
    finds.refuse_before_sowing(FIND, CARD, {}, Journal(sowings=(first, late)), SEASON)


def test_a_second_find_of_the_same_day_is_not_the_first() -> None:
    again = Sighting("squash-bug", "eggs", on(6, 24), where="row 2")
    assert finds.earlier_find(again, CARD, Journal((FIND,)), SEASON) is FIND


def test_a_clean_look_counts_from_the_season_s_first_day_to_the_eve_of_the_find() -> None:
    for seen_on, counts in (
        (SEASON.first, True), (SEASON.first - dt.timedelta(days=1), False),
        (on(6, 23), True), (on(6, 24), False),
    ):  # fmt: skip
        look = Sighting("squash-bug", "eggs", seen_on, "none")
        last = finds.last_clean(FIND, CARD, Journal((look,)), SEASON.first)
        assert last == (seen_on if counts else None)
