"""Whatever cards and people write comes out as words: in HTML, in drawings, in calendars."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from icalendar import Calendar

from gddcast.cards.model import Card
from gddcast.crops.standing import OwnChore, sowings_today
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.pages.calendar_file import calendar_text, reminders, updated
from gddcast.pages.report import Beside, report_page
from gddcast.pages.sheet.page import SheetContents, scouting_sheet
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.sowing_courses import crop_courses
from gddcast.today.walk_week import WalkWeek, due_in_week
from tests.markup import Markup

FILE = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
TODAY = dt.date(2026, 6, 11)
WATCH = ("squash-vine-borer", "squash-bug", "striped-cucumber-beetle", "apple-maggot")
#: Free words of a card; its other strings are keys and fixed words.
FREE = {
    "name", "latin", "words", "looks_like", "where_on_plant", "time_of_day", "plants", "found_in",
    "reason", "note", "doubt", "author", "title", "publication", "overwinters", "second_brood",
    "comes_from_elsewhere", "notes", "cautions", "caution", "tell",
}  # fmt: skip


def nasty(field: str) -> str:
    """Markup that would end a title, a drawing, a style or an attribute, and run a script."""
    return f'<script>run("{field}")</script></title></svg></style>\'" onload=x &lt; {field}'


def spoiled(thing: Any, field: str = "") -> Any:
    """The same frozen thing with markup in every free word."""
    if isinstance(thing, str):
        return nasty(field) if field in FREE else thing
    if isinstance(thing, tuple):
        return tuple(spoiled(each, field) for each in thing)
    if isinstance(thing, Mapping):
        return {key: spoiled(each) for key, each in thing.items()}
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        each = {
            one.name: spoiled(getattr(thing, one.name), one.name)
            for one in dataclasses.fields(thing)
            if one.init
        }
        return dataclasses.replace(thing, **each)
    return thing


@pytest.fixture(scope="module")
def cards() -> dict[str, Card]:
    return {key: spoiled(card) for key, card in load_cards().items()}


@pytest.fixture(scope="module")
def journal() -> Journal:
    sowing = Sowing(
        "summer-squash", dt.date(2026, 5, 21), bed=nasty("bed"), variety=nasty("variety"),
        name=nasty("sowing"), note=nasty("sowing note"),
    )  # fmt: skip
    unnamed = dataclasses.replace(sowing, bed=None, sown_on=dt.date(2026, 6, 1))
    strange = Sowing(nasty("crop"), dt.date(2026, 5, 30), name="strange")
    sightings = (
        Sighting("squash-bug", "eggs", dt.date(2026, 6, 10), clean_on=dt.date(2026, 6, 8),
                 where=nasty("where"), note=nasty("find")),
        Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 9), kind="heard",
                 where=nasty("heard where"), note=nasty("heard")),
    )  # fmt: skip
    jobs = (Job("first-flower", dt.date(2026, 6, 9), sowing.name, note=nasty("job")),)
    return Journal(sightings, (sowing, unnamed, strange), jobs)


@pytest.fixture(scope="module")
def plan(cards: dict[str, Card], journal: Journal) -> SeasonPlan:
    series = read_temperatures(FILE).series
    place = dataclasses.replace(series.place, name=nasty("place"), latitude=41.2)
    series = dataclasses.replace(series, place=place, source=nasty("file"))
    return season_plan(series.before(TODAY), cards, TODAY, watch=WATCH, journal=journal)


@pytest.fixture(scope="module")
def html(plan: SeasonPlan, cards: dict[str, Card], journal: Journal) -> str:
    beside = Beside(
        has_book=True, journal=journal, sowings=crop_courses(plan, cards, journal),
        there=sowings_today(journal, cards, plan.season, TODAY),
    )  # fmt: skip
    return report_page(plan, "F", beside)


def test_every_free_word_of_a_report_is_text(html: str) -> None:
    """Each field that is shown is shown as it was written; none opens a tag or an attribute."""
    page = Markup(html)
    assert "script" not in page.tags
    assert not {name for name in page.attributes if name.startswith("on")}
    assert html.count("</style>") == 1
    assert html.count("</title>") == html.count("<title")
    shown = (
        "place", "file", "name", "words", "looks_like", "where_on_plant", "time_of_day", "bed",
        "variety", "sowing", "where", "find", "heard", "heard where", "found_in", "author",
        "title", "publication",
    )  # fmt: skip
    for field in shown:
        assert nasty(field) in page.text, field
    assert nasty("crop").replace("-", " ")[:30] in page.text


@pytest.mark.parametrize("large", [False, True])
def test_every_free_word_of_a_sheet_is_text(
    plan: SeasonPlan, cards: dict[str, Card], journal: Journal, *, large: bool
) -> None:
    """Rows, strip, plants, chores, foot and the line at the foot of each side."""
    there = sowings_today(journal, cards, plan.season, TODAY)
    week = WalkWeek.of(TODAY)
    due = due_in_week(plan, week, there, lead_days=3)
    chore = OwnChore(nasty("bed"), "dust again", nasty("rule"), TODAY, TODAY)
    few = there[:2]  # beside more, long words are cut, as in big print
    sheet = SheetContents(week, due, few, chores=(chore,), moved=((due[0], nasty("moved")),))
    html = scouting_sheet(plan, sheet, "F", large=large)
    page = Markup(html)
    assert "script" not in page.tags
    assert not {name for name in page.attributes if name.startswith("on")}
    assert html.count("</style>") == 1
    assert html.count("</title>") == html.count("<title")
    cut = () if large else ("looks_like", "where_on_plant", "plants")
    for field in ("place", "name", "words", "bed", "sowing", "author", "rule", "moved", *cut):
        assert nasty(field) in page.text, field


def test_every_drawing_holds_them_as_text(html: str) -> None:
    """Well-formed XML, with the words in it and no element of theirs."""
    drawings = re.findall(r"<svg.*?</svg>", html, re.DOTALL)
    assert len(drawings) > 5
    texts = []
    for each in drawings:
        root = ElementTree.fromstring(each)
        names = {part.tag.rpartition("}")[2] for part in root.iter()}
        assert names <= {
            "svg", "title", "desc", "text", "g", "path", "rect", "circle", "polyline", "defs",
            "pattern",
        }  # fmt: skip
        texts.append("".join(root.itertext()))
    for field in ("bed", "variety", "name", "words"):
        assert any(nasty(field) in text for text in texts), field


def test_a_calendar_holds_them_as_text(
    cards: dict[str, Card], journal: Journal, plan: SeasonPlan
) -> None:
    """Semicolons, commas, backslashes and line ends end no value and begin no property."""
    bad = "a;b,c\\d\nATTENDEE:mailto:x\r\nBEGIN:VALARM"
    spoiled_cards = {
        key: dataclasses.replace(
            card, name=bad,
            events=tuple(dataclasses.replace(event, words=bad) for event in card.events),
        )
        for key, card in cards.items()
    }  # fmt: skip
    place = dataclasses.replace(plan.place, name=bad)
    series = dataclasses.replace(plan.series, place=place)
    own = season_plan(series, spoiled_cards, TODAY, watch=WATCH, journal=journal)
    coming = updated(reminders(own, "F", kind="VEVENT"), {}, own, {})
    text = calendar_text(coming, place.name, dt.datetime(2026, 6, 11, tzinfo=dt.UTC))
    lines = text.replace("\r\n ", "").split("\r\n")
    assert not [line for line in lines if line.startswith("ATTENDEE")]
    known = re.compile(r"[A-Z-]+[;:]|$")
    assert all(known.match(line) for line in lines)
    items = Calendar.from_ical(text).walk("VEVENT")
    assert len(items) >= 3
    assert lines.count("BEGIN:VALARM") == len(
        [each for item in items for each in item.walk("VALARM")]
    )
    said = bad.replace("\r\n", "\n")
    assert all(said in str(item["SUMMARY"]) for item in items)
