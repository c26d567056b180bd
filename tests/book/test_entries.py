"""Entries: named in order, withdrawn and never gone."""

from __future__ import annotations

import datetime as dt
import sqlite3
from pathlib import Path

import pytest

from gddcast.errors import Refusal
from gddcast.journal.entries import Closing, Job, Journal, OwnGoal, Sighting, Sowing
from tests.book.places import FILE, NOW, TODAY, days, new_book

ITEMS = (
    Sighting("squash-vine-borer", "moths", TODAY, clean_on=dt.date(2026, 6, 22), where="row 2",
             plants_looked=10, plants_with=2, note="at noon", count=4),
    Sighting("", "", TODAY, "none"),
    Sighting("squash-bug", "eggs", TODAY, "heard", sure=False),
    Sowing("cucumber", TODAY, "row 4", "long", True, "cucumber 2026-1", note="in rain"),
    Job("first-pick", TODAY, "cucumber 2026-1", "row 4", "two"),
    OwnGoal("squash-bug", "eggs", 580.0, 570.5, 590.0, TODAY, 12.5, 4, 10.0, None, "single sine",
            "none", "01-01", "three seasons"),
    Closing("squash-bug", "eggs", TODAY, "beds cleared"),
)  # fmt: skip


def test_what_is_added_is_read_as_it_was(tmp_path: Path) -> None:
    from dataclasses import replace

    book = new_book(tmp_path)
    kept = []
    for item in ITEMS:
        with book.writing(NOW, TODAY) as pen:
            kept.append(replace(item, entry=pen.add(item)))
    assert [item.entry for item in kept] == [f"2026-{number:03d}" for number in range(1, 8)]
    assert book.journal() == Journal(
        tuple(kept[:3]), (kept[3],), (kept[4],), (kept[5],), (kept[6],)
    )
    assert [entry.item for entry in book.entries()] == kept
    assert {entry.entered_at for entry in book.entries()} == {NOW}


def test_names_count_within_their_year(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    names = []
    for today in (dt.date(2025, 12, 31), TODAY, dt.date(2025, 12, 31)):
        with book.writing(NOW, today) as pen:
            names.append(pen.add(ITEMS[1]))
    assert names == ["2025-001", "2026-001", "2025-002"]


def test_undo_takes_back_the_last_then_the_one_before(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for item in ITEMS[:3]:
        with book.writing(NOW, TODAY) as pen:
            pen.add(item)
    gone = []
    for _ in range(2):
        with book.writing(NOW, TODAY) as pen:
            gone.append(pen.withdraw(note="was a stink bug").name)
    assert gone == ["2026-003", "2026-002"]
    assert [each.entry for each in book.journal().sightings] == ["2026-001"]
    last = book.entries()[-1]
    assert (last.withdrawn_at, last.note) == (NOW, "was a stink bug")
    # A name is never given twice.
    with book.writing(NOW, TODAY) as pen:
        assert pen.add(ITEMS[0]) == "2026-004"


def test_an_entry_can_be_named_and_only_one_that_stands(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with pytest.raises(Refusal, match="no entry to withdraw"), book.writing(NOW, TODAY) as pen:
        pen.withdraw()
    with book.writing(NOW, TODAY) as pen:
        pen.weather(days("2026-05-01", [5], [18]), FILE)
        pen.add(ITEMS[0])
    with book.writing(NOW, TODAY) as pen:
        assert pen.withdraw("2026-001").source == "garden.csv"
    with (
        pytest.raises(Refusal, match="no entry of that name stands") as caught,
        book.writing(NOW, TODAY) as pen,
    ):
        pen.withdraw("2026-001")
    assert "The last one is 2026-002." in str(caught.value)


def test_a_sowing_with_a_life_is_not_pulled_from_under_it(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    for item in ITEMS[3:5]:
        with book.writing(NOW, TODAY) as pen:
            pen.add(item)
    with (
        pytest.raises(Refusal, match="later entries are about that sowing: 2026-002"),
        book.writing(NOW, TODAY) as pen,
    ):
        pen.withdraw("2026-001")
    for _ in range(2):
        with book.writing(NOW, TODAY) as pen:
            pen.withdraw()
    assert book.journal() == Journal()


@pytest.mark.parametrize(
    "impossible",
    [
        Sighting("squash-bug", "eggs", TODAY, clean_on=TODAY),
        Sighting("squash-bug", "eggs", TODAY, plants_looked=3, plants_with=4),
        Sighting("squash-bug", "eggs", TODAY, plants_with=4, plants_looked=0),
        Sighting("squash-bug", "eggs", TODAY, kind="dreamt"),  # type: ignore[arg-type]
        Sighting("squash-bug", "eggs", TODAY, note=""),
        Sowing("cucumber", TODAY, name=""),
        OwnGoal("squash-bug", "eggs", 580.0, 590.0, 600.0, TODAY),
        OwnGoal("squash-bug", "eggs", 580.0, 570.0, 600.0, TODAY, lower=30.0, upper=10.0),
        OwnGoal("squash-bug", "eggs", 580.0, 570.0, 600.0, TODAY, starts="January"),
        Closing("", "eggs", TODAY),
    ],
)
def test_the_record_itself_refuses_what_cannot_be(tmp_path: Path, impossible: object) -> None:
    """Whatever a face lets through."""
    book = new_book(tmp_path)
    with (
        pytest.raises(sqlite3.IntegrityError, match="CHECK constraint failed"),
        book.writing(NOW, TODAY) as pen,
    ):
        pen.add(impossible)  # type: ignore[arg-type]
    assert book.entries() == []


def test_a_start_that_is_no_day_is_not_known(tmp_path: Path) -> None:
    """A sheet brought in before it was looked at could say 19-39; a walk must still go on."""
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(OwnGoal("squash-bug", "eggs", 5.0, 4.0, 6.0, TODAY, starts="19-39"))
        pen.add(OwnGoal("squash-bug", "eggs", 5.0, 4.0, 6.0, TODAY, starts="02-29"))
    assert [goal.starts for goal in book.journal().goals] == [None, "02-29"]
