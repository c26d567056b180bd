"""Sheets for a class: a seed of its own for every student and sheet, and the key of all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gddcast.cards.model import Card
from gddcast.lessons.card_sheet import CardSheet, card_items, make_card_sheet
from gddcast.lessons.slips import SheetItem, worksheet_items
from gddcast.lessons.worksheet import Worksheet, make_worksheet
from gddcast.units import Unit

#: The form of sheet that is made of cards.
CARD = "card"
#: A sheet of either kind.
AnySheet = Worksheet | CardSheet


@dataclass(frozen=True, slots=True)
class Order:
    """What it takes to make one sheet again.

    Parameters
    ----------
    form : str
    seed : int
    unit : {"F", "C"}
    days : int or None
    lower, upper : float or None
        None stands for those of every sheet. [°unit]
    """

    form: str
    seed: int
    unit: Unit = "F"
    days: int | None = None
    lower: float | None = None
    upper: float | None = None

    def make(self, cards: Mapping[str, Card]) -> AnySheet:
        """The sheet; only one of cards looks into ``cards``."""
        if self.form == CARD:
            return make_card_sheet(self.seed, cards)
        return make_worksheet(
            self.seed, self.days, self.unit, form=self.form, lower=self.lower, upper=self.upper
        )


@dataclass(frozen=True, slots=True)
class StudentSheet:
    """A sheet, whose it is, and what it asks."""

    student: str
    order: Order
    sheet: AnySheet

    @property
    def items(self) -> tuple[SheetItem, ...]:
        """A, B and C."""
        return sheet_items(self.sheet)


def sheet_items(sheet: AnySheet) -> tuple[SheetItem, ...]:
    """What a sheet of either kind asks, with the right answers."""
    return card_items(sheet) if isinstance(sheet, CardSheet) else worksheet_items(sheet)


def class_sheets(
    students: Sequence[str], orders: Sequence[Order], count: int, cards: Mapping[str, Card]
) -> tuple[StudentSheet, ...]:
    """So many sheets for each student, no two of the class alike.

    Parameters
    ----------
    students : sequence of str
    orders : sequence of Order
        The sheets of each student are made in turn by these; seeds count on from the first one's.
    count : int
        Sheets for each student.
    cards : mapping of str to Card
    """
    student_sheets = []
    for number in range(len(students) * count):
        like = orders[number % count % len(orders)]
        seed = orders[0].seed + number
        order = Order(like.form, seed, like.unit, like.days, like.lower, like.upper)
        student_sheets.append(StudentSheet(students[number // count], order, order.make(cards)))
    return tuple(student_sheets)
