"""The farms in words: what stands on a line, what is said once, what is left to --full."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from gddcast.errors import Refusal
from gddcast.farms.board import Board, FarmDay, board_of, farm_day, refused_farm
from gddcast.farms.check import farm_record, with_neighbours
from gddcast.farms.farm import Farm
from gddcast.journal.entries import Journal, Sighting
from gddcast.readers.card_files import load_cards
from gddcast.text.farms.board_words import board_text
from gddcast.text.farms.check import check_text
from gddcast.text.farms.doubt_words import cure, why_refused
from gddcast.text.terminal import UNFOLDED, Terminal
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.toml.faults import Fault, FaultsRefusal
from gddcast.weather.series import DailySeries, Place
from tests.farms.twelve import PEST, TODAY, farm

CARDS = load_cards()
STAGE = "Squash vine borer: first moths"


def _row(
    name: str, series: DailySeries, *looks: Sighting, watch: tuple[str, ...] = (PEST,)
) -> FarmDay:
    practice = Practice(watch=watch)
    today = Today(Record(series, TODAY), CARDS, Journal(sightings=looks), practice)
    return farm_day(Farm(name, Place(name), f"{name}.csv"), today)


def _said(*rows: FarmDay, full: bool = False) -> list[str]:
    board = board_of(rows, TODAY)
    return board_text(board, "F", "farms", full=full, terminal=UNFOLDED).splitlines()


def test_one_stage_is_said_once_and_several_on_their_lines() -> None:
    alike = _said(_row("A", farm(0)), _row("B", farm(1)))
    assert f"{STAGE}. " in alike[1]
    assert not any(STAGE in line for line in alike[2:])
    mixed = _said(_row("A", farm(0)), _row("B", farm(1), watch=("european-corn-borer",)))
    assert STAGE not in mixed[1]
    assert any(STAGE in line for line in mixed[2:])


def test_a_farm_that_needs_an_eye_names_its_stage_where_nobody_else_does() -> None:
    old = farm(0).before(dt.date(2026, 6, 1))
    alone = _said(_row("A", old))
    assert alone[0] == "1 farm · 0 dated · 1 needs your eye"
    (line,) = (each for each in alone if each.startswith("  A: "))
    assert f"Not ranked: {STAGE}, any day" in line
    assert line.endswith("gddcast farms add farms --weather DIR")
    beside = _said(_row("A", old), _row("B", farm(1)))
    (line,) = (each for each in beside if each.startswith("  A: "))
    assert STAGE not in line


def test_a_farm_without_a_date_says_so_and_nothing_more() -> None:
    """Its pest waits for a find, perhaps: the season is not over by that."""
    bare = FarmDay(Farm("A", Place("A"), "A.csv"), "dated", TODAY, _row("B", farm(1)).weather)
    (line,) = (each for each in _said(bare) if each.startswith(" 1  A"))
    assert line.endswith("no stage has a day to look from · patched")


def test_last_looks_are_named_the_longest_ago_first() -> None:
    looks = [Sighting(PEST, "moths", dt.date(2026, 6, day), kind="none") for day in (2, 9)]
    said = _said(_row("A", farm(0), looks[1]), _row("B", farm(1), looks[0]), _row("C", farm(2)))
    assert (
        said[-1] == "Last look: B 2 June (9 days), A 9 June (2 days); no look logged at one other."
    )
    assert not _said(_row("A", farm(0)))[-1].startswith("Last look")


def test_more_farms_than_a_screen_takes_are_counted_and_full_has_them() -> None:
    row = _row("A", farm(0))
    rows = [FarmDay(Farm(f"F{n:02}", Place("x"), f"{n}.csv"), "dated", row.day, row.weather,
                    row.due, row.later) for n in range(14)]  # fmt: skip
    assert "    and 2 more:  --full, --json" in _said(*rows)
    full = _said(*rows, full=True)
    assert len(full) == len(_said(*rows)) + 1
    assert not any("more:" in line for line in full)


@pytest.mark.parametrize(
    ("flag", "said"),
    [(None, ""), ("--site B", "  gddcast weather patch farms/A.csv --site B -o NEW.csv")],
)  # fmt: skip
def test_a_refusal_is_one_line_and_its_flag_a_whole_command(flag: str | None, said: str) -> None:
    refusal = Refusal("A.csv", "it is empty", "a table", "Export it.", flag=flag)
    row = refused_farm(Farm("A", Place("A"), "A.csv"), refusal)
    said = f"It is empty. Export it.{said}"
    assert why_refused(row, "farms") == said
    board = Board(TODAY, 7, (row,))
    assert (
        board_text(board, "F", "farms", terminal=UNFOLDED).splitlines()[-1]
        == f"  A (A.csv): {said}"
    )


def test_a_reason_of_several_farms_is_said_once_with_their_names() -> None:
    rows = [refused_farm(Farm(name, Place(name), f"{name}.csv"),
                         Refusal(name, "nobody said what is watched", "", "Say it."))
            for name in "ABCDEF"]  # fmt: skip
    other = Refusal("G.csv", "it is empty", "", "Export it.")
    said = _said(*rows, refused_farm(Farm("G", Place("G"), "G.csv"), other))
    assert said[-2:] == [
        "  A, B, C, D and 2 more, each: Nobody said what is watched. Say it.",
        "  G (G.csv): It is empty. Export it.",
    ]


def test_a_copy_that_only_stands_in_the_folder_can_be_left_out() -> None:
    board = board_of([_row("A", farm(0)), _row("B", farm(0))], TODAY)
    (copy,) = board.of("eye")
    assert cure(copy, copy.doubts[0], "farms") == "gddcast farms check farms"
    found = replace(copy, farm=replace(copy.farm, is_listed=False))
    assert cure(found, found.doubts[0], "farms").endswith('leave_out = ["B.csv"]')
    notes = Refusal("B.csv", "no line names a date", "", "Write one.", slug="header-missing")
    for is_listed in (True, False):
        row = refused_farm(replace(copy.farm, is_listed=is_listed), notes)
        assert ("leave_out" in why_refused(row, "farms")) != is_listed


def test_a_near_copy_is_not_called_exact() -> None:
    series = farm(0)
    near = replace(series, tmin=np.round(series.tmin * 2) / 2, tmax=np.round(series.tmax * 2) / 2)
    said = " ".join(_said(_row("A", series), _row("B", near)))
    assert "days of the last year read almost exactly as at A: a copy?" in said
    said = " ".join(_said(_row("A", series), _row("B", series)))
    assert "days of the last year read exactly as at A: a copy?" in said


def test_on_a_narrow_screen_long_names_are_cut_and_no_line_of_the_check_is_broken() -> None:
    names = ("The Old Valley Orchard of the North", "The Old Valley Orchard of the South")
    records = with_neighbours(
        [farm_record(Farm(name, Place(name), "x.csv"), Record(farm(number), TODAY))
         for number, name in enumerate(names)]
    )  # fmt: skip
    for width in (80, 92):
        said = check_text(records, "F", terminal=Terminal(width)).splitlines()
        assert max(map(len, said)) <= width
        assert all("The Old" in line and "… " in line for line in said[2:4])
    wide = check_text(records, "F", terminal=UNFOLDED)
    assert "The Old Valley Orchard of t…  " in wide


def test_of_faults_in_a_list_or_a_book_the_first_is_said_in_the_line() -> None:
    faults = [Fault(("unit",), "'X'", "F or C", "", "farms.toml", 4)]
    row = refused_farm(Farm("A", Place("A"), "A.csv"), FaultsRefusal(faults, ".", "faults"))
    assert why_refused(row, "farms") == "It has 1 fault; line 4: 'X', expected F or C. Mend it."
