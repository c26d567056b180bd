"""The scouting sheet: what stands on it, how big, on how many sides, and nothing that runs."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from playwright.sync_api import sync_playwright

from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.pages.paper import Paper, fill
from gddcast.pages.sheet.page import rows_of, sheet_of
from gddcast.pages.sheet.rows import SheetRow
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.text import sentences
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.today.walk_week import WalkWeek
from gddcast.weather.series import DailySeries, Origin, Place
from gddcast.words import Status
from tests.browser import chromium, printed_pages
from tests.real_records import SAMPLES

TODAY = dt.date(2026, 6, 16)
CARDS = load_cards()
WATCH = (
    "squash-vine-borer", "squash-bug", "striped-cucumber-beetle", "colorado-potato-beetle",
    "japanese-beetle", "bean-leaf-beetle", "european-corn-borer", "imported-cabbageworm",
    "alfalfa-weevil", "apple-maggot",
)  # fmt: skip
BORER = ("squash-vine-borer",)
NASTY = '<script>alert("x")</script></style><b>&'
JOURNAL = Journal(
    sowings=(
        Sowing("cucumber", dt.date(2026, 4, 10), bed="row 4", name="early"),
        Sowing("summer-squash", dt.date(2026, 5, 21), bed="row 2", name="squash 1"),
    ),
    jobs=(
        Job("first-flower", dt.date(2026, 5, 20), sowing="early"),
        Job("first-pick", dt.date(2026, 5, 31), sowing="early"),
        Job("covered", dt.date(2026, 5, 21), sowing="squash 1"),
    ),
    sightings=(Sighting("squash-bug", "eggs", dt.date(2026, 6, 10)),),
)


@pytest.fixture(scope="module")
def series() -> DailySeries:
    place = Place("Larkhollow Patch", 41.2, -89.4, timezone="America/Chicago")
    return read_temperatures(
        SAMPLES / "larkhollow_2014_to_31aug2026_f.csv", place=place, today=TODAY
    ).series.before(TODAY)


def season(
    series: DailySeries, watch: tuple[str, ...] | None = WATCH, journal: Journal = JOURNAL,
    day: dt.date = TODAY, chores: Habits | None = None,
) -> Today:  # fmt: skip
    practice = Practice(watch=watch, habits=chores or Habits(every_days=2))
    return Today(Record(series.before(day), day), CARDS, journal, practice)


def made(
    today: Today, size: Paper = "a4", *, large: bool = False,
    moved: tuple[tuple[ScoutingWindow, str], ...] = (),
) -> str:  # fmt: skip
    week = WalkWeek.of(today.day)
    page = sheet_of(today, week, "F", size=size, large=large, changes=moved)
    return fill("sheet.html", page, paper=size)


def rows_now(today: Today) -> tuple[SheetRow, ...]:
    return rows_of(today, WalkWeek.of(today.day), "F")


@pytest.fixture(scope="module")
def today(series: DailySeries) -> Today:
    return season(series)


@pytest.fixture(scope="module")
def html(today: Today) -> str:
    return made(today)


def text_of(html: str) -> str:
    plain = re.sub(r"<style>.*?</style>|<title.*?</title>|<desc.*?</desc>", "", html, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", plain)).split())


def rows_of_page(html: str) -> list[str]:
    return re.findall(r'<article class="item.*?</article>', html, re.DOTALL)


def test_the_top_says_place_week_day_weather_and_trust(html: str) -> None:
    text = text_of(html)
    assert text.startswith(
        "Larkhollow Patch week Mon 15 – Sun 21 June 2026 scout Printed Tue 16 June 2026 · "
        "weather through 15 June · record sound"
    )


def test_each_row_says_which_bed_what_where_and_has_its_lines(today: Today, html: str) -> None:
    rows, printed = rows_now(today), rows_of_page(html)
    assert len(printed) == len(rows) >= 5
    for row, on_page in zip(rows, printed, strict=True):
        said = text_of(on_page)
        assert said.removeprefix("Row ").count(row.title)
        assert row.bed in said
        assert f"{row.number} {row.title}" in said
        for field in ("looked", "found", "none", "count"):
            assert field in said
        if row.first is None:
            assert row.words[0][0] in {each.status.word.capitalize() for each in row.windows}
            begins = [each for each in row.windows if row.words[0][1].find(each.event.words) >= 0]
            assert (row.words[0][0] == "Seen") == all(each.bracket for each in begins)
            for lead, text in row.words[:2]:
                assert f"{lead} {text}" in said


def test_rows_go_by_bed_then_from_the_ground_up_and_overdue_ones_last(today: Today) -> None:
    """The order of `today.by_bed_in`; a pest met again is one line that names its first row."""
    walk, rows = today.by_bed_in(WalkWeek.of(TODAY)), rows_now(today)
    beds = [*(bed.name for bed in walk.beds if bed.blocks or bed.again), ""]
    assert list(dict.fromkeys(row.where for row in rows)) == beds
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))
    for bed in beds:
        late = [row.status == "overdue" for row in rows if row.where == bed]
        assert late == sorted(late)
    again = [row for row in rows if row.first is not None]
    assert again
    for row in again:
        assert rows[(row.first or 0) - 1].pest == row.pest


def test_every_pest_of_the_walk_has_a_row(today: Today) -> None:
    """What the week's walk asks for and nothing more; none is left to another surface."""
    walk = today.by_bed_in(WalkWeek.of(TODAY))
    assert {row.pest for row in rows_now(today)} == {block.card.key for block in walk.blocks}
    assert {block.card.key for block in today.by_bed.blocks} <= {
        row.pest for row in rows_now(today)
    }


def test_words_are_never_cut_and_nobody_is_sent_to_a_terminal(html: str) -> None:
    assert "…" not in text_of(html)
    assert "gddcast walk" not in html
    assert "Also due" not in html


def test_a_stage_that_comes_up_stands_before_one_overdue(series: DailySeries) -> None:
    """Of one pest in one row: its most pressing stage is the one that heads it."""
    for day in (dt.date(2026, 6, 16), dt.date(2026, 7, 6), dt.date(2026, 8, 4)):
        for row in rows_now(season(series, WATCH, JOURNAL, day)):
            late = [each.status is Status.OVERDUE for each in row.windows]
            assert late == sorted(late)


def strips_of(html: str) -> list[ElementTree.Element]:
    strips = re.findall(r'<section class="ahead".*?</section>', html, re.DOTALL)
    found = re.findall(r"<svg.*?</svg>", strips[0], re.DOTALL)
    return [ElementTree.fromstring(each) for each in found]


def test_no_onset_is_a_bar_and_dots_are_of_one_size(html: str) -> None:
    """Dots are circles; no drawing of the strip holds an area but the day to start looking."""
    every = [each for root in strips_of(html) for each in root.iter()]
    tags = [each.tag.rpartition("}")[2] for each in every]
    assert tags.count("circle") >= 10
    assert not {"rect", "polygon", "line", "polyline"} & set(tags)
    assert len({each.get("r") for each in every if each.tag.endswith("circle")}) == 1
    for each in every:
        if each.tag.endswith("path"):
            assert (each.get("fill") == "none") is (each.get("class") != "look-from")


def test_each_dot_stands_over_its_day(html: str) -> None:
    """Measured against the labels of the weeks: a week is as wide from label to label."""
    head, *drawn = strips_of(html)
    labels = [each for each in head if each.text != "today"]
    assert [each.text for each in labels] == ["15 Jun", "22 Jun", "29 Jun"]
    at = [float(each.get("x", "")) for each in labels]
    step = (at[1] - at[0]) / 7
    monday, seen = dt.date(2026, 6, 15), 0
    for root in drawn:
        for mark in root.iter():
            if not mark.tag.endswith("circle"):
                continue
            day = (mark[0].text or "").partition(": ")[2]
            on = dt.datetime.strptime(f"{day} 2026", "%d %B %Y").date()
            from_monday = (float(mark.get("cx", "")) - at[0]) / step
            assert 0 <= from_monday - (on - monday).days <= 1, day
            seen += 1
    assert seen >= 10


def test_words_of_people_are_escaped(series: DailySeries) -> None:
    """Place, sowing and bed come out as words, in the page and in its style."""
    place = replace(series.place, name=NASTY)
    journal = Journal(
        sowings=(Sowing("cucumber", dt.date(2026, 5, 20), bed=NASTY, name=NASTY),),
        jobs=(Job("covered", dt.date(2026, 5, 21), sowing=NASTY),),
    )
    today = season(replace(series, place=place), WATCH, journal)
    said = ((rows_now(today)[0].windows[0], NASTY),)
    for large in (False, True):
        page = made(today, large=large, moved=said)
        assert "<script" not in page
        assert page.count("</style>") == 1
        assert "&lt;script&gt;" in page
        (foot,) = re.findall(r'counter\(pages\) " · (.*?)"; } }', page)
        assert foot.startswith("\\00003c script")
        assert not set(foot) & set('"}<')


def test_my_plants_tell_what_is_known_and_leave_the_rest(html: str) -> None:
    """Picked on 31 May: side-dress two weeks on, sow the next two to three weeks on."""
    (table,) = re.findall(r'<table class="plants">.*?</table>', html, re.DOTALL)
    rows = [[text_of(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)]
            for row in table.split("<tr>")[1:]]  # fmt: skip
    assert rows[0][:3] == ["My plants on 16 Jun", "sown", "days old"]
    assert rows[1] == ["Cucumber, row 4", "10 Apr", "67", "", "", "", "31 May", "14 Jun",
                       rows[1][-1]]  # fmt: skip
    assert rows[2] == ["Summer squash, row 2", "21 May", "26", "", "", "", "", "", ""]
    assert table.count('class="box"') == 2 * 3
    assert "<thead>" in table


def test_the_shape_says_what_the_first_word_says(series: DailySeries) -> None:
    """Of a pest seen whose next stage is to come, the shape is of what the row says first."""
    seen = Journal(sightings=(Sighting("squash-vine-borer", "moths", dt.date(2026, 6, 14)),))
    for day in (dt.date(2026, 5, 20), TODAY, dt.date(2026, 7, 20)):
        for journal in (JOURNAL, seen):
            for row in rows_now(season(series, WATCH, journal, day)):
                assert Status[row.status.upper()].word.capitalize() == row.words[0][0]


def test_that_a_row_is_overdue_is_said_once(series: DailySeries) -> None:
    rows = rows_now(season(series, WATCH, Journal(), dt.date(2026, 7, 20)))
    late = [row for row in rows if row.words[0][0] == "Overdue"]
    assert late
    for row in late:
        assert row.words[0][1].startswith("look ")
        assert "OVERDUE" not in row.words[0][1]


def test_without_sowings_rows_are_blank(series: DailySeries) -> None:
    page = made(season(series, WATCH, Journal()))
    (table,) = re.findall(r'<table class="plants">.*?</table>', page, re.DOTALL)
    assert table.count("<tr>") == 1 + 2
    assert '<th scope="row">' not in table


def test_chores_and_weather_have_their_boxes(html: str, series: DailySeries) -> None:
    (chores,) = re.findall(r'<section class="chores".*?</section>', html, re.DOTALL)
    said = text_of(chores)
    for word in ("Water Mon Tue Wed Thu Fri Sat Sun hand-picked", "Cover on off", "Dust again on",
                 "rained", "Dust: not on flowers · stem base, outer leaves · again after rain.",
                 "Covered: squash 1, row 2, sown 21 May (since 21 May)",
                 "In flower: early, row 4, sown 10 April."):  # fmt: skip
        assert word in said
    assert chores.count('class="box"') == 7 + 2 + 2
    ruled = made(season(series, chores=Habits(water_every_days=3)))
    (ruled,) = re.findall(r'<section class="chores".*?</section>', ruled, re.DOTALL)
    assert ruled.count('class="box"') < 7 + 2 + 2
    weather = html[html.index("Weather to copy in, °F") :]
    table = weather[: weather.index("</table>")]
    assert [f"{day} {n}" in text_of(table) for day, n in (("Mon", 15), ("Sun", 21))] == [True] * 2
    assert table.count("<tr>") == 1 + 3
    assert table.count('class="box"') == 7


def test_what_moved_is_told_by_the_number_of_its_row_or_by_name(today: Today) -> None:
    rows = rows_now(today)
    other = next(each for each in today.plan.windows if each.card.key not in {r.pest for r in rows})
    moved = ((rows[0].windows[0], "It moved."), (other, "So did that."))
    text = text_of(made(today, moved=moved))
    said = f"Moved since the last sheet 1: It moved. {sentences.title(other)}: So did that."
    assert said in text
    assert "Moved since" not in text_of(made(today))


def test_the_foot_says_dots_spans_sources_entry_and_cautions(html: str) -> None:
    text = text_of(html)
    for words in ("past years’ weather from here on, a dot a year", "Spans cover the weather only",
                  "Sources: ", "Enter later: gddcast saw", "the label is the law",
                  "local extension service"):  # fmt: skip
        assert text.count(words) == 1


def test_it_fetches_and_runs_nothing_and_is_the_same_again(today: Today, html: str) -> None:
    lowered = html.lower()
    for loads in ("<script", "<link", "<img", "<iframe", "@import", "url(", "src=", "onclick"):
        assert loads not in lowered
    assert not re.search(r'(?:href|src)="?\s*(?:https?:)?//', lowered)
    assert made(today) == html
    assert len(html.encode()) < 80_000


@pytest.mark.parametrize(("size", "rule"), [("a4", "A4"), ("letter", "letter")])
@pytest.mark.parametrize("large", [False, True])
def test_sizes_are_those_of_paper(today: Today, size: Paper, rule: str, *, large: bool) -> None:
    """12 mm margins, words of 10 pt and more, boxes of 5 mm and more, greys of 40 % ink."""
    page = made(today, size=size, large=large)
    style = page[page.index("<style>") : page.index("</style>")]
    assert f"@page {{ size: {rule}; margin: 12mm; }}" in style
    assert "--words: 12pt" in style
    boxes = re.findall(r"^\.box \{[^}]*width: ([\d.]+)mm; height: \1mm", style, re.MULTILINE)
    assert min(map(float, boxes)) >= 5
    style = style[style.index("--words: 12pt") :]  # what comes before is every page's
    greys = re.findall(r"#([0-9a-f]{3}(?:[0-9a-f]{3})?)\b", style.lower())
    assert all(
        1 - int(each[: len(each) // 3] * (6 // len(each)), 16) / 255 >= 0.4
        for each in greys if set(each) != {"f"}
    )  # fmt: skip


LONG = "The long kitchen garden behind the old mill at Larkhollow, upper terrace, north beds"


def many_sowings(count: int) -> Journal:
    return Journal(
        sowings=tuple(
            Sowing("cucumber", dt.date(2026, 5, 1) + dt.timedelta(days=at), bed=f"row {at}",
                   name=f"cucumber 2026-{at}")
            for at in range(count)
        )
    )  # fmt: skip


_FULL = """() => [...document.querySelectorAll('.side')].map(side => {
  const box = side.getBoundingClientRect();
  const parts = [...side.querySelectorAll('.item, .strip, table, .chores, .fill, footer, .rule')];
  const shown = parts.map(e => e.getBoundingClientRect());
  const whole = parts.filter(e => !e.classList.contains('rule'));
  const lowest = Math.max(...whole.map(e => e.getBoundingClientRect().bottom));
  const last = Math.max(...shown.map(e => Math.min(e.bottom, box.bottom)));
  return [lowest - box.bottom, box.bottom - last];
})"""


def sides_of_paper(page: str, folder: Path, size: Paper) -> list[tuple[float, float]]:
    """By how much each side runs over, and how much of it is blank at its foot. [mm]"""
    file = folder / "sheet.html"
    file.write_text(page, encoding="utf-8")
    wide, tall = {"a4": (703, 1032), "letter": (725, 965)}[size]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        opened = browser.new_page(viewport={"width": wide, "height": tall})
        opened.emulate_media(media="print")
        opened.goto(file.as_uri())
        found = opened.evaluate(_FULL)
        browser.close()
    return [(over * 25.4 / 96, blank * 25.4 / 96) for over, blank in found]


KINDS = ("a book", "a file", "every card", "a long name", "five sowings", "moved", "nothing")


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("kind", KINDS)
def test_one_side_or_two_and_each_is_full(
    series: DailySeries, size: Paper, kind: str, tmp_path: Path
) -> None:
    journal, watch, place = JOURNAL, WATCH, series.place
    if kind == "five sowings":
        journal = many_sowings(5)
    elif kind != "a book":
        journal = Journal()
    if kind == "every card":
        watch = None
    elif kind == "a long name":
        place = replace(place, name=LONG)
    elif kind == "nothing":
        watch = ("apple-maggot",)
    today = season(replace(series, place=place), watch, journal)
    said = "On 8 June it said 18–21 June, now 18–20 June: 8–10 June ran 4 °F cooler than usual."
    moved = [(row.windows[0], said) for row in rows_now(today)[:3]] if kind == "moved" else []
    page = made(today, size, moved=tuple(moved))
    sides = page.count('<div class="side')
    assert printed_pages(page, tmp_path) == sides
    assert sides == 1 if kind == "nothing" else sides <= 2 or kind == "every card"
    assert 'class="item"' in page  # rows with drawings stand wherever the sides have room
    for over, blank in sides_of_paper(page, tmp_path, size):
        assert over <= 0.3
        assert blank <= 12.0


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("large", [False, True])
def test_the_longest_words_of_all_cards_fit(
    series: DailySeries, size: Paper, tmp_path: Path, *, large: bool
) -> None:
    """Letters are counted with room to spare: no side runs over whatever the cards say."""
    today = season(series, None, many_sowings(3))
    rows = sorted(rows_now(today), key=lambda each: -len(" ".join(t for _, t in each.words)))[:8]
    watch = tuple(dict.fromkeys(row.pest for row in rows))
    today = season(series, watch, many_sowings(3))
    assert max(len(" ".join(t for _, t in row.words)) for row in rows_now(today)) > 350
    page = made(today, size, large=large)
    assert printed_pages(page, tmp_path) == page.count('<div class="side')
    assert all(over <= 0.3 for over, _ in sides_of_paper(page, tmp_path, size))


@pytest.mark.browser
def test_too_many_sowings_go_on_overleaf(series: DailySeries, tmp_path: Path) -> None:
    """Nothing is dropped, and the table's heading stands on each side."""
    page = made(season(series, WATCH, many_sowings(24)))
    assert all(f"row {at}<" in page for at in range(24))
    assert 2 <= printed_pages(page, tmp_path) <= 5


@pytest.mark.browser
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", ["garden_record_of_the_upper_terrace_2014_to_2026", LONG])
def test_a_long_name_does_not_make_the_print_smaller(
    series: DailySeries, name: str, tmp_path: Path, *, large: bool
) -> None:
    """A browser shrinks what is wider than the paper, and boxes and words with it."""
    new_year = dt.date(2026, 1, 2)
    place = replace(series.place, name=name)
    page = made(season(replace(series, place=place), WATCH, Journal(), new_year), large=large)
    assert "week Mon 29 December 2025 – Sun 4 January 2026" in text_of(page)
    assert "2026 2026" not in page
    file = tmp_path / "sheet.html"
    file.write_text(page, encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        opened = browser.new_page(viewport={"width": 703, "height": 1032})
        opened.emulate_media(media="print")
        opened.goto(file.as_uri())
        wide = opened.evaluate("document.documentElement.scrollWidth")
        browser.close()
    assert wide <= 703


def test_an_empty_sheet_says_what_comes_next_or_why_nothing_can_be_said(
    series: DailySeries,
) -> None:
    """Nothing on a list is no news of the insects."""
    early = dt.date(2026, 5, 4)
    text = text_of(made(season(series, BORER, Journal(), early)))
    assert re.search(
        r"Nothing on your list is due this week\. Next: Squash vine borer: first moths\. "
        r"Look from \w{3} \d+ June\.", text
    )  # fmt: skip
    young = series.between(dt.date(2026, 1, 1), series.last)
    text = text_of(made(season(young, BORER, Journal())))
    assert "? Squash vine borer: first moths. Can’t say: no past year on file" in text


def test_what_a_gap_hides_is_named_below_the_rows(series: DailySeries) -> None:
    """Cues need no sums and have their rows; the stage that needs them is not left out silently."""
    young = series.between(dt.date(2026, 1, 1), series.last)
    page = made(season(young, (*BORER, "striped-cucumber-beetle"), Journal()))
    assert rows_of_page(page)
    said = "Can’t say Squash vine borer: first moths. The weather is not known."
    assert said in text_of(page)


def test_a_date_across_a_gap_stands_below_the_rows_with_its_wider_days(series: DailySeries) -> None:
    low, high, origin = series.tmin.copy(), series.tmax.copy(), series.origin.copy()
    hole = slice(series.index(dt.date(2026, 5, 3)), series.index(dt.date(2026, 5, 17)))
    low[hole] = high[hole] = np.nan
    origin[hole] = Origin.UNKNOWN
    gappy = replace(series, tmin=low, tmax=high, origin=origin)
    text = text_of(made(season(gappy, (*BORER, "striped-cucumber-beetle"), Journal())))
    assert re.search(
        r"Can’t say Squash vine borer: first moths, any day [–\w ]+ Ju(ne|ly)\. ", text
    )
    assert "usual weather on days that are missing; they hold four times in five." in text


@pytest.mark.browser
@pytest.mark.parametrize("large", [False, True])
def test_sizes_as_printed(today: Today, tmp_path: Path, *, large: bool) -> None:
    """Measured in a browser, in print: boxes, words, and lines to write on."""
    file = tmp_path / "sheet.html"
    file.write_text(made(today, large=large), encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 703, "height": 1032})
        page.emulate_media(media="print")
        page.goto(file.as_uri())
        boxes = page.evaluate(
            "[...document.querySelectorAll('.box')].map(e => {"
            "const r = e.getBoundingClientRect(); return Math.min(r.width, r.height)})"
        )
        words = page.evaluate(
            "[...document.querySelectorAll('.walk *:not(svg, svg *)')]"
            ".filter(e => e.textContent.trim()).map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        drawn = page.evaluate(
            "[...document.querySelectorAll('.ahead svg text')].map(e => {"
            "const m = e.getScreenCTM(); return parseFloat(getComputedStyle(e).fontSize) * m.a})"
        )
        lines = page.evaluate(
            "[...document.querySelectorAll('.item')].map(item => "
            "[...new Set([...item.querySelectorAll('.line')].map("
            "e => Math.round(e.getBoundingClientRect().bottom * 10) / 10))])"
        )
        browser.close()
    millimetre, point = 96 / 25.4, 96 / 72
    assert min(boxes) >= 5 * millimetre - 0.05
    assert min(words) >= 12 * point - 0.01
    assert drawn
    assert min(drawn) >= 10 * point - 0.01
    for item in lines:
        apart = [
            below - above for above, below in zip(sorted(item), sorted(item)[1:], strict=False)
        ]
        assert min(apart, default=8 * millimetre) >= 8 * millimetre - 0.5
