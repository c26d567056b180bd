"""Whatever cards and people write comes out as words: in HTML, in drawings, in calendars."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from icalendar import Calendar

from gddcast.cards.model import Card
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.outlook.forecast_archive import ForecastArchive
from gddcast.pages.calendar_file import calendar_text
from gddcast.pages.calendar_looks import reminders
from gddcast.pages.calendar_reminders import updated
from gddcast.pages.paper import fill
from gddcast.pages.report import report_page
from gddcast.pages.sheet.page import rows_of, sheet_of
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.today.announcements import Announcement
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.today.walk_week import WalkWeek
from gddcast.weather.series import DailySeries
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


class NoMemory:
    """A book that remembers nothing yet."""

    def announced(self, surface: str | None, season: str) -> Sequence[Announcement]:
        """Nothing was told."""
        assert season or surface
        return ()

    def weather(
        self, day: dt.date, announcement: Announcement | None = None
    ) -> tuple[DailySeries | None, ForecastArchive]:
        """As it reads today."""
        assert announcement is None or announcement.day == day
        return None, ForecastArchive.of([])


@pytest.fixture(scope="module")
def today(cards: dict[str, Card], journal: Journal) -> Today:
    series = read_temperatures(FILE).series
    place = dataclasses.replace(series.place, name=nasty("place"), latitude=41.2)
    series = dataclasses.replace(series, place=place, source=nasty("file"))
    practice = Practice(watch=WATCH)
    return Today(Record(series.before(TODAY), TODAY), cards, journal, practice, NoMemory())


@pytest.fixture(scope="module")
def plan(today: Today) -> SeasonPlan:
    return today.plan


@pytest.fixture(scope="module")
def html(today: Today) -> str:
    return report_page(today, "F")


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
def test_every_free_word_of_a_sheet_is_text(today: Today, *, large: bool) -> None:
    """Rows, strip, plants, foot and the line at the foot of each side."""
    week = WalkWeek.of(TODAY)
    moved = ((rows_of(today, week, "F")[0].windows[0], nasty("moved")),)
    html = fill("sheet.html", sheet_of(today, week, "F", large=large, changes=moved))
    page = Markup(html)
    assert "script" not in page.tags
    assert not {name for name in page.attributes if name.startswith("on")}
    assert html.count("</style>") == 1
    assert html.count("</title>") == html.count("<title")
    # So long words leave room for brief rows only, but in big print.
    whole = ("looks_like", "plants") if large else ()
    fields = ("place", "name", "words", "bed", "author", "moved", "where_on_plant", *whole)
    for field in fields:
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
