"""Entries: named in order, withdrawn and never gone."""

from __future__ import annotations

import datetime as dt
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gddcast.book.entries import DaysBrought
from gddcast.book.exchange import export_book, import_book
from gddcast.book.opening import Book, open_book
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


# --- redo -----------------------------------------------------------------------------------------


def _moment(hour: float) -> dt.datetime:
    return NOW + dt.timedelta(hours=hour)


def _at(book: Book, hour: int, verb: str, name: str | None = None) -> str:
    moment = _moment(hour)
    with book.writing(moment, TODAY) as pen:
        return (pen.restore(name) if verb == "redo" else pen.withdraw(name)).name


def test_redo_takes_back_undo_and_undo_redo(tmp_path: Path) -> None:
    """However often; and the name never changes."""
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(ITEMS[0])
        pen.add(ITEMS[1])
    whole = book.journal()
    for hour in range(10, 16, 2):
        assert _at(book, hour, "undo") == "2026-002"
        assert [each.entry for each in book.journal().sightings] == ["2026-001"]
        assert book.entries()[1].withdrawn_at == _moment(hour)
        assert _at(book, hour + 1, "redo") == "2026-002"
        assert book.journal() == whole
        assert book.entries()[1].withdrawn_at is None
    with pytest.raises(Refusal, match="no entry is withdrawn"):
        _at(book, 20, "redo")
    # The entry of the redo names what stands by it.
    assert _at(book, 21, "undo", book.entries()[-1].name) == "2026-002"
    with pytest.raises(Refusal, match="no entry of that name is withdrawn") as caught:
        _at(book, 22, "redo", "2026-001")
    assert "Withdrawn are 2026-002." in str(caught.value)


def test_redo_begins_with_what_was_withdrawn_last(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        for item in ITEMS[:3]:
            pen.add(item)
    # Two undos of one moment: the second took the earlier entry.
    assert [_at(book, 10, "undo") for _ in range(2)] == ["2026-003", "2026-002"]
    assert [_at(book, 11, "redo") for _ in range(2)] == ["2026-002", "2026-003"]


def test_weather_that_is_back_lies_where_it_lay(tmp_path: Path) -> None:
    """Under what came after it: a redo is not a new reading."""
    book = new_book(tmp_path)
    for low in (5.0, 6.0):
        with book.writing(NOW, TODAY) as pen:
            pen.weather(days("2026-05-01", [low, low], [18, 18]), FILE)
    assert _at(book, 10, "undo", "2026-001") == "2026-001"
    assert _at(book, 11, "redo") == "2026-001"
    record = book.series()
    assert record.tmin.tolist() == [6.0, 6.0]
    may = dt.date(2026, 5, 1)
    assert book.days_brought("2026-001") == DaysBrought(2, may, dt.date(2026, 5, 2))
    assert _at(book, 12, "undo", "2026-002") == "2026-002"
    assert book.series().tmin.tolist() == [5.0, 5.0]
    # What the book knew between undo and redo is still known: nothing of the first file.
    between = book.weather(as_of=_moment(10.5))
    assert between is not None
    assert between.tmin.tolist() == [6.0, 6.0]


def test_redo_makes_no_book_that_could_not_be(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(ITEMS[3])
        pen.add(ITEMS[4])
    assert [_at(book, hour, "undo") for hour in (10, 11)] == ["2026-002", "2026-001"]
    with pytest.raises(Refusal, match="its sowing cucumber 2026-1 is withdrawn"):
        _at(book, 12, "redo", "2026-002")
    with book.writing(_moment(13), TODAY) as pen:
        pen.add(ITEMS[3])
    with pytest.raises(Refusal, match="another sowing is called cucumber 2026-1 by now"):
        _at(book, 14, "redo", "2026-001")
    assert _at(book, 15, "undo") == "2026-003"
    for hour, name in ((16, "2026-001"), (17, "2026-002")):
        assert _at(book, hour, "redo", name) == name
    assert (len(book.journal().sowings), len(book.journal().jobs)) == (1, 1)


def test_what_was_damaged_is_not_brought_back(tmp_path: Path) -> None:
    book = new_book(tmp_path)
    with book.writing(NOW, TODAY) as pen:
        pen.add(ITEMS[0])
    with closing(sqlite3.connect(book.records)) as other, other:
        other.execute("DROP TRIGGER sighting_UPDATE")
        other.execute("UPDATE sighting SET seen_on = '2026-06-23'")
    damaged = open_book(tmp_path, even_damaged=True)
    assert _at(damaged, 10, "undo") == "2026-001"
    with pytest.raises(Refusal, match="it is not as it was written"):
        _at(open_book(tmp_path), 11, "redo")


@given(st.lists(st.tuples(st.sampled_from(["add", "undo", "redo"]), st.integers(1, 6)), max_size=9))
@settings(max_examples=30, deadline=None)
def test_a_book_stands_as_its_words_say(steps: list[tuple[str, int]]) -> None:
    """Against a set that entries are put into and taken out of; and an export brings it back."""
    with tempfile.TemporaryDirectory() as folder:
        book = new_book(Path(folder) / "a")
        standing: set[str] = set()
        gone: set[str] = set()
        for hour, (verb, number) in enumerate(steps):
            moment = _moment(hour)
            name = f"2026-{number:03d}"
            with book.writing(moment, TODAY) as pen:
                if verb == "add":
                    standing.add(pen.add(Job("rained", TODAY)))
                elif verb == "undo" and name in standing:
                    standing.remove(pen.withdraw(name).name)
                    gone.add(name)
                elif verb == "redo" and name in gone:
                    gone.remove(pen.restore(name).name)
                    standing.add(name)
        assert {each.entry for each in open_book(book.folder).journal().jobs} == standing
        export_book(book, Path(folder) / "out", NOW)
        again = import_book(Path(folder) / "out", Path(folder) / "b")
        assert again.entries() == book.entries()
        assert again.journal() == book.journal()
