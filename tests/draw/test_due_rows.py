"""Stages in rows: an open dot a past year, the season's own marks apart from them."""

from __future__ import annotations

import datetime as dt
from xml.etree import ElementTree

import pytest

from gddcast.draw.due_rows import DueRow, described, due_rows

PAST = [("2023", dt.date(2026, 6, 10)), ("2024", dt.date(2026, 6, 20)),
        ("2025", dt.date(2026, 6, 20))]  # fmt: skip
ROWS = [
    DueRow("Squash bug: first egg masses of the year", PAST, dt.date(2026, 6, 15),
           dt.date(2026, 6, 15)),
    DueRow("Aphids", [], None, dt.date(2026, 7, 2)),
]  # fmt: skip


def drawn(rows: list[DueRow], season: str = "2026") -> ElementTree.Element:
    return ElementTree.fromstring(due_rows(rows, "Due", season))


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


def test_a_dot_a_past_year_stands_over_its_day() -> None:
    """Ten days apart twice as far as five: one scale; those of one day are stacked."""
    dots = [each for each in tags(drawn(ROWS), "circle") if each.get("cy") != "6"]
    places = [float(each.get("cx", "")) for each in dots if each.find("*") is not None]
    assert len(places) == len(PAST)
    assert places[1] == places[2] > places[0]
    marks = [each.get("d", "") for each in tags(drawn(ROWS), "path")]
    diamonds = [each for each in marks if each.endswith("l4 4l-4 4l-4 -4z")]
    x = float(diamonds[-1][1:].split()[0])
    assert x - places[0] == pytest.approx((places[1] - places[0]) / 2, rel=0, abs=0.11)


def test_due_and_seen_on_one_day_do_not_hide_each_other() -> None:
    marks = [each.get("d", "") for each in tags(drawn(ROWS[:1]), "path")]
    (diamond,) = [each for each in marks[2:] if each.endswith("l4 4l-4 4l-4 -4z")]
    (cross,) = [each for each in marks[2:] if each.endswith("l7 7m0 -7l-7 7")]
    assert float(cross.split()[1].split("l")[0]) - float(diamond.split()[1].split("l")[0]) > 8


def test_a_mark_that_is_not_drawn_is_not_in_the_key() -> None:
    past_only = [DueRow("Squash bug", PAST)]
    texts = [each.text for each in tags(drawn(past_only, ""), "text")]
    assert "due in a past year" in texts
    assert not {"first seen", "due in 2026", "due in "} & set(texts)


def test_read_aloud_it_says_what_its_dots_show() -> None:
    assert described(ROWS[0], "2026") == (
        "Squash bug: first egg masses of the year: 3 past years, any day 10–20 June, middle "
        "20 June; due in 2026 15 June; first seen 15 June"
    )
    assert described(DueRow("Aphids", []), "2026") == "Aphids: no year"
