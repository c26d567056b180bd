"""A line above the header that heads groups of its columns."""

from __future__ import annotations

import pytest

from gddcast.readers.headers import groups_above

NAMES = ("date", "Max", "Min", "Max", "Min")
GROUPS = ("", "Humidity", "Humidity", "Air", "Air")


@pytest.mark.parametrize(
    "line", [",Humidity,,Air,", ",Humidity,,Air", ",Humidity,Humidity,Air,Air"]
)
def test_a_merged_cell_heads_all_of_its_columns_to_the_last(line: str) -> None:
    """Also where the marks of its empty cells at the end were left off."""
    assert groups_above(["Larkhollow", line, ""], NAMES, ",") == GROUPS


@pytest.mark.parametrize(
    ("above", "names"),
    [
        ([], NAMES),
        (["Larkhollow"], NAMES),
        ([",Humidity,,Air,,Soil"], NAMES),
        ([",May 2026,,Air,"], NAMES),
        ([",Air"], ("date", "Max", "Min")),
    ],
    ids=["nothing", "one cell", "too many", "a date", "names that differ"],
)
def test_another_line_heads_no_groups(above: list[str], names: tuple[str, ...]) -> None:
    assert groups_above(above, names, ",") == ("",) * len(names)
