"""The key of a class as a table, and the table its answers are typed into."""

from __future__ import annotations

from collections.abc import Sequence

from gddcast.lessons.card_sheet import CardSheet
from gddcast.lessons.class_sheets import StudentSheet
from gddcast.lessons.planted import ClassFile
from gddcast.lessons.slips import LETTERS
from gddcast.text.csv_table import table_csv

#: Columns of a key, of the answers to it, and of a key of planted faults.
KEY = ("student", "sheet", "form", "unit", "days", "lower", "upper", *LETTERS)
ANSWERS = ("student", "sheet", *LETTERS)
FAULTS_KEY = ("fault", "first line", "last line", "seed", "unit")


def class_key_csv(sheets: Sequence[StudentSheet]) -> str:
    """A line a sheet: whose, how it is made again, its answers."""
    return table_csv([KEY, *(_key_row(each) for each in sheets)])


def _key_row(student_sheet: StudentSheet) -> tuple[str, ...]:
    sheet, order = student_sheet.sheet, student_sheet.order
    answers = tuple(one.shown for one in student_sheet.items)
    begin = (student_sheet.student, str(order.seed), order.form, order.unit)
    if isinstance(sheet, CardSheet):
        return (*begin, "", "", "", *answers)
    upper = f"{sheet.upper:g}" if order.form == "upper" else ""
    return (*begin, str(len(sheet.days)), f"{sheet.line:g}", upper, *answers)


def answers_csv(sheets: Sequence[StudentSheet]) -> str:
    """A line a sheet, with A, B and C to be filled in."""
    rows = [(each.student, str(each.order.seed), "", "", "") for each in sheets]
    return table_csv([ANSWERS, *rows])


def faults_key_csv(planted: ClassFile) -> str:
    """A line a planted fault, with the seed and unit that plant them again."""
    rows = [
        (fault.kind, str(fault.first_line), str(fault.last_line), str(planted.seed), planted.unit)
        for fault in planted.faults
    ]
    return table_csv([FAULTS_KEY, *rows])
