"""Slips: each is named when it is made, and the right answer is never called one."""

from __future__ import annotations

import pytest

from gddcast.lessons.card_sheet import card_items, make_card_sheet
from gddcast.lessons.class_sheets import Order, class_sheets
from gddcast.lessons.marking import mark, mark_faults
from gddcast.lessons.planted import plant_faults
from gddcast.lessons.slips import worksheet_items
from gddcast.lessons.worksheet import FORMS, make_worksheet
from gddcast.readers.card_files import load_cards

CARDS = load_cards()


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("seed", range(15))
def test_what_the_key_prints_is_right(seed: int, form: str) -> None:
    for each in worksheet_items(make_worksheet(seed, form=form)):
        printed = float(each.shown.removeprefix("day "))
        assert mark(each, printed, 0.1).verdict == "right"
        assert mark(each, None, 0.1).verdict == "empty"


def slip_named(of: float, letter: str, form: str = "week", unit: str = "F") -> str:
    """The slip that sheet 7 gives a number."""
    sheet = make_worksheet(7, form=form, unit=unit)  # type: ignore[arg-type]
    (answer,) = (each for each in worksheet_items(sheet) if each.letter == letter)
    return str(mark(answer, of, 0.1).slip)


def test_the_slips_a_class_makes_are_named() -> None:
    """Each worked out here by hand from the seven days of sheet 7."""
    sheet = make_worksheet(7)
    readings, mean, sine = sheet.answers
    means = [day.mean - 50 for day in sheet.days]
    assert slip_named(mean, "A") == "other method: floor the mean"
    assert slip_named(sine - 32, "C") == "minus 32: a heat sum has none"
    assert slip_named((sine - 32) * 5 / 9, "C") == "minus 32: a heat sum has none"
    assert slip_named(sum(means), "B") == "cold days subtracted"
    assert (
        slip_named(sum(day.mean - 10 for day in sheet.days), "B") == "threshold in the other scale"
    )
    early = sum(int(day.heat(sheet.methods[0][0]) + 0.5) for day in sheet.days)
    assert slip_named(early, "A") == "rounded early: each day"
    assert slip_named(readings - sheet.days[0].heat(sheet.methods[0][0]), "A").startswith(
        "a day left out: Mon 4 May"
    )
    # Highs taken for lows: nothing is raised but what is above the line already.
    swapped = sum((max(day.high, 50) + day.low) / 2 - 50 for day in sheet.days)
    assert slip_named(swapped, "A") == "high and low swapped"
    assert mark(worksheet_items(sheet)[0], 1234.5, 0.1).verdict == "wrong"


def test_digits_thrown_away_at_the_end_are_named() -> None:
    """41.5 for 41.46 lacks a digit that the sheet asked for; 81 for 80.8 as well."""
    celsius = worksheet_items(make_worksheet(6, unit="C"))[2]
    fahrenheit = worksheet_items(make_worksheet(5))[2]
    assert (celsius.shown, fahrenheit.shown) == ("41.46", "80.8")
    assert str(mark(celsius, 41.5, 0.01).slip) == "rounded too far: 1 decimal"
    assert str(mark(celsius, 41.0, 0.01).slip) == "rounded too far: a whole number"
    assert str(mark(fahrenheit, 81.0, 0.1).slip) == "rounded too far: a whole number"
    assert str(mark(fahrenheit, 11.5, 0.1).slip) == "a day’s mean, not the sum"


def test_a_date_written_for_a_row_is_named() -> None:
    """Row 1 is 4 May: whoever writes the 4th for row 1 read the date and not the row."""
    sheet = make_worksheet(7, form="date")
    first = worksheet_items(sheet)[0]
    slip = mark(first, first.right + 3, 0.1).slip
    assert str(slip) == "the day of the month, not the row"


def test_a_clock_started_at_the_lone_catch_is_named() -> None:
    sheet = make_worksheet(7, form="biofix")
    first = next(row for row, count in enumerate(sheet.catches) if count)
    early = sum(day.heat(sheet.methods[2][0]) for day in sheet.days[first:])
    assert slip_named(early, "C", "biofix") == "clock started wrongly: from the first lone catch"


@pytest.mark.parametrize("seed", range(10))
def test_cards_leave_out_what_their_files_leave_out(seed: int) -> None:
    """Held against the cards' own fields; the three differ."""
    sheet = make_card_sheet(seed, CARDS)
    answers = card_items(sheet)
    for each, answer in zip(sheet.numbers, answers, strict=True):
        stated = {"1": each.number.lower, "2": each.number.upper, "4": each.number.shape,
                  "5": each.number.starts_from}  # fmt: skip
        for figure, value in stated.items():
            assert (figure in answer.shown) == (value is None)
        assert mark(answer, answer.right, 0.1).verdict == "right"
        assert mark(answer, answer.right + 0.05, 0.1).verdict == "wrong"
    assert len({each.right for each in answers}) == 3


def test_no_two_sheets_of_a_class_are_alike() -> None:
    """Sixty sheets of thirty students, forms in turn, each with a number of its own."""
    students = [f"student {number}" for number in range(30)]
    sheets = class_sheets(students, [Order("week", 1), Order("cold", 1)], 2, {})
    assert [each.student for each in sheets[:3]] == ["student 0", "student 0", "student 1"]
    assert [each.order.form for each in sheets[:3]] == ["week", "cold", "week"]
    assert len({each.order.seed for each in sheets}) == 60
    assert len({each.sheet.days for each in sheets}) == 60  # type: ignore[union-attr]


def test_planted_faults_are_marked_by_line_and_kind() -> None:
    faults = plant_faults(3).faults
    gap = next(fault for fault in faults if fault.kind == "gap")
    spike = next(fault for fault in faults if fault.kind == "spike")
    found = mark_faults(
        "Ada", faults, [(gap.first_line + 1, ""), (spike.first_line, "gap"), (2, "")]
    )
    assert set(found.planted_faults) == {gap, spike}
    assert found.otherwise == (spike,)
    assert found.sound == (2,)
    assert len(found.missed) == 5
