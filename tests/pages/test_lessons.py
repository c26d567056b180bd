"""Lesson pages: words escaped, pictures that say themselves, one sheet of paper."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from jinja2 import UndefinedError

from gddcast.draw import svg
from gddcast.draw.day_curve import day_picture, g_picture
from gddcast.lessons.day_waves import takeaway
from gddcast.lessons.worked_day import Day
from gddcast.lessons.worksheet import FORMS, make_worksheet
from gddcast.pages.lessons.day import WorkedSteps, day_page
from gddcast.pages.lessons.jars import Jars
from gddcast.pages.lessons.sheet import key_page, sheet_page
from gddcast.pages.paper import Figure, PageTable, Paper, fill
from tests.browser import printed_pages
from tests.markup import Markup

DAYS = [
    Day(72, 46, 50, "F"), Day(95, 70, 50, "F", upper=86), Day(60, 60, 50, "F"),
    Day(40, 30, 50, "F"), Day(88, 52, 50, "F", upper=86),
    Day(20, 8, 10, "C", upper=30, next_low=12),
]  # fmt: skip


@pytest.mark.parametrize("day", DAYS, ids=lambda day: f"{day.high:g}-{day.low:g}")
def test_pictures_are_drawings_that_say_themselves(day: Day) -> None:
    """Well-formed, named, described, all strokes inside the frame and no two labels on one line."""
    root = ElementTree.fromstring(day_picture(day))
    tags = [each.tag.rpartition("}")[2] for each in root.iter()]
    assert root.get("role") == "img"
    assert tags.count("title") == tags.count("desc") == 1
    width, height = map(float, root.get("viewBox", "").split()[2:])
    for each in root.iter():
        for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", each.get("points", "")):
            assert 0 <= float(x) <= width
            assert 0 <= float(y) <= height
    labels = [float(each.get("y", 0)) for each in root.iter()
              if (each.text or "").startswith(("lower", "upper", "mean"))]  # fmt: skip
    assert all(abs(one - two) >= 14 for one in labels for two in labels if one is not two)


def test_the_takeaway_carries_the_numbers() -> None:
    """The sentence stands on its own without the picture."""
    assert takeaway(DAYS[0]).endswith("9.7 °F-days by the single sine.")
    assert takeaway(DAYS[1]).endswith("30.1 °F-days instead of 32.5.")


def test_words_are_escaped() -> None:
    """Nothing a person writes can become markup: in a title, a caption, a name, a cell, a note."""
    bad = '<b>&"'
    table = PageTable(bad, (bad, bad), [(bad, bad)], caption=bad, foot=(bad, bad))
    figure = Figure(bad, svg.picture(1, 1, bad, bad, [svg.words(0, 0, bad)]), bad)
    html = fill("rearing.html", Jars(bad, bad, figure, table, table, (bad,)))
    assert "<b>" not in html
    assert Markup(html).text.count(bad) == 8 + 2 * 7
    # And in the names of tables, of the drawing and of each cell of a list.
    assert html.count("&lt;b&gt;") == 8 + 2 * 7 + 7


def test_what_a_template_asks_for_and_nobody_gave_is_no_blank() -> None:
    with pytest.raises(UndefinedError, match="no attribute 'title'"):
        fill("rearing.html", WorkedSteps("a", ()))


def test_the_curve_is_drawn_through_its_table() -> None:
    """All 21 rows of the table are dots on the curve."""
    assert g_picture().count("<circle") == 21


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("unit", ["F", "C"])
def test_the_sheet_prints_on_one_page(size: Paper, unit, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """A week's sheet is one side of A4 and one side of Letter."""
    html = sheet_page(make_worksheet(7, 7, unit), size=size)
    assert printed_pages(html, tmp_path) == 1


@pytest.mark.browser
@pytest.mark.parametrize("form", [form for form in FORMS if form != "week"])
@pytest.mark.parametrize("unit", ["F", "C"])
def test_every_form_prints_on_one_side_of_letter(form: str, unit, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Ten days of a date or of a trap as well: a class is told that its sheets are a side each."""
    html = sheet_page(make_worksheet(7, unit=unit, form=form), size="letter")
    assert printed_pages(html, tmp_path) == 1


@pytest.mark.browser
def test_long_pages_break_between_days(tmp_path: Path) -> None:
    """A key and a worked day run over a few pages and lose none of it."""
    assert 2 <= printed_pages(key_page(make_worksheet(7)), tmp_path) <= 3
    assert 2 <= printed_pages(day_page(DAYS[1]), tmp_path) <= 4
