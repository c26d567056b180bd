"""A filled sheet is read whole, or every fault is named by its line."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from gddcast.day_words import day_meant
from gddcast.errors import Refusal
from gddcast.journal.entries import Sighting
from gddcast.journal.walk_rows import COLUMNS
from gddcast.readers.card_files import load_cards
from gddcast.readers.walk_sheet import WalkSheet, WalkSheetRefusal, read_walk_sheet

CARDS = load_cards()
TODAY = dt.date(2026, 7, 2)  # a Thursday
HEAD = ",".join(COLUMNS)


def sheet(tmp_path: Path, text: str, day: dt.date | None = None) -> WalkSheet:
    (tmp_path / "week.csv").write_text(text, encoding="utf-8")
    return read_walk_sheet(
        tmp_path / "week.csv", CARDS, lambda text: day_meant(text, TODAY), day
    )  # fmt: skip


def test_finds_clean_looks_and_rows_left_empty(tmp_path: Path) -> None:
    read = sheet(
        tmp_path,
        f"{HEAD}\n"
        "1,squash-bug,eggs,row 2,Thu,10,3,12,on the stems\n"
        "2,striped cucumber beetle,adults,row 2,1 July,12,0,,\n"
        "2,striped-cucumber-beetle,adults,row 4,2026-06-30,,x,,\n"
        "3,squash-vine-borer,moths,,yesterday,,,1,\n"
        "4,squash-bug,nymphs,'=row,Wed,,none,,\n"
        "5,squash-vine-borer,moths,row 2,,,,,forgot\n",
    )
    assert [(row.line, row.number) for row in read.rows] == [
        (2, "1"), (3, "2"), (4, "2"), (5, "3"), (6, "4"),
    ]  # fmt: skip
    assert [row.sighting for row in read.rows] == [
        Sighting("squash-bug", "eggs", TODAY, where="row 2", plants_looked=10, plants_with=3,
                 count=12, note="on the stems"),
        Sighting("striped-cucumber-beetle", "", dt.date(2026, 7, 1), "none", where="row 2",
                 plants_looked=12, plants_with=0),
        Sighting("striped-cucumber-beetle", "adults", dt.date(2026, 6, 30), where="row 4"),
        # One alone may be a stray, as of one logged alone.
        Sighting("squash-vine-borer", "moths", dt.date(2026, 7, 1), sure=False, count=1),
        Sighting("squash-bug", "", dt.date(2026, 7, 1), "none", where="=row"),
    ]  # fmt: skip
    assert read.empty == 1


def test_as_a_spreadsheet_saves_it_in_any_order(tmp_path: Path) -> None:
    read = sheet(tmp_path, "\ufeffSaw;Pest;Stage\r\nx;squash-bug;eggs\r\n;;\r\n", TODAY)
    assert [row.sighting for row in read.rows] == [Sighting("squash-bug", "eggs", TODAY)]
    assert (read.rows[0].line, read.empty) == (2, 0)


def test_every_fault_is_named_by_its_line(tmp_path: Path) -> None:
    faults = {
        "1,squash-bug,eggs,,,10,3,,": "found no day",
        "1,squash-bug,egg,,Thu,10,3,,": 'found stage "egg"; expected one of',
        "1,squash-bugg,eggs,,Thu,10,3,,": 'found pest "squash-bugg"',
        "1,squash-bug,eggs,,6/7,10,3,,": "'6/7' is 6 July 2025 or 7 June 2026",
        "1,squash-bug,eggs,,Thu,10,11,,": "found saw 11 of 10 looked at",
        "1,squash-bug,eggs,,Thu,1o,1,,": 'found looked "1o"; expected a whole number',
        "1,squash-bug,eggs,,Thu,10,few,,": "expected a whole number (or yes, or no)",
        "1,squash-bug,eggs,,Thu,10,,,": "found saw empty",
        "1,squash-bug,eggs,,Thu,,3,,": "found saw 3 and looked empty",
        "1,squash-bug,eggs,,Thu,10,0,4,": "found saw 0 and count 4",
        "1,squash-bug,eggs,,Thu,10,-1,,": 'found saw "-1"',
        "1,squash-bug,eggs,,Thu,10,٣,,": 'found saw "٣"',
        "1,squash-bug,eggs,,Thu,,x,99999999999999999999,": "found count",
        "7,cabbage-maggot,peak,,Thu,,x,,": 'found stage "peak"',
    }
    with pytest.raises(WalkSheetRefusal, match="its rows have 14 faults") as caught:
        sheet(tmp_path, "\n".join([HEAD, *faults]))
    for line, (told, found) in enumerate(zip(caught.value.faults, faults.values(), strict=True), 2):
        assert told.startswith(f"line {line} (row ")
        assert found in told


def test_many_faults_are_counted_not_shown(tmp_path: Path) -> None:
    with pytest.raises(WalkSheetRefusal, match="and 5 more") as caught:
        sheet(tmp_path, "\n".join([HEAD, *["1,gnome,,,Thu,,x,,"] * 25]))
    assert len(caught.value.faults) == 25


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "it is empty"),
        ("date,max_f,min_f\n2026-07-01,80,60\n", "it has no column pest"),
        ("pest,stage\nsquash-bug,eggs\n", "it has no column saw"),
        ("pest,pest,saw\na,b,1\n", "it has no column pest"),
    ],
)
def test_what_is_no_sheet_is_said(tmp_path: Path, text: str, found: str) -> None:
    with pytest.raises(Refusal, match=found):
        sheet(tmp_path, text)
