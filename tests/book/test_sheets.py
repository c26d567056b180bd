"""The cells of an export: what each column takes, and where that ends."""

from __future__ import annotations

import pytest

from gddcast.book.sheets import MOST, SheetColumn

DAY = SheetColumn("day", "day", "TEXT", may_be_empty=False)
MOMENT = SheetColumn("entered_at", "entered_at", "TEXT", may_be_empty=False)
COUNT = SheetColumn("count", "count", "INTEGER", may_be_empty=False)


@pytest.mark.parametrize("cell", ["1700-01-01", "2026-06-24", "2200-12-31"])
def test_a_day_of_five_centuries_is_a_day(cell: str) -> None:
    assert DAY.read(cell) == cell
    assert MOMENT.read(f"{cell}T18:30:00-05:00") == f"{cell}T18:30:00-05:00"


@pytest.mark.parametrize("cell", ["1699-12-31", "2201-01-01", "2026-02-30", "20260624", "June", ""])
def test_another_is_none(cell: str) -> None:
    with pytest.raises(ValueError, match="a day such as 2026-06-24"):
        DAY.read(cell)


def test_a_count_ends_where_nobody_counts() -> None:
    assert COUNT.read(str(MOST)) == MOST
    with pytest.raises(ValueError, match="no more than 15 digits"):
        COUNT.read(str(MOST + 1))
