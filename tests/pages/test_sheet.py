"""The scouting sheet: what stands on it, how big, on how many sides, and nothing that runs."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest
from playwright.sync_api import sync_playwright

from gddcast.crops.standing import OwnChore, sowings_today
from gddcast.journal.entries import Job, Journal, Sighting, Sowing
from gddcast.pages.paper import Paper
from gddcast.pages.sheet.page import LARGE_ROWS, ROWS, SheetContents, scouting_sheet
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.scouting.windows import Habits, ScoutingWindow
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.today.walk_week import WalkWeek, due_in_week
from gddcast.weather.series import DailySeries, Place
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
    series: DailySeries, watch: tuple[str, ...] | None = WATCH, journal: Journal = JOURNAL
) -> SeasonPlan:
    return season_plan(series, CARDS, TODAY, watch=watch, journal=journal)


def sheet_of(plan: SeasonPlan, journal: Journal = JOURNAL, **more: object) -> SheetContents:
    there = sowings_today(journal, CARDS, plan.season, plan.today)
    week = WalkWeek.of(plan.today)
    due = due_in_week(plan, week, there, lead_days=3)
    worth = {"early": (dt.date(2026, 6, 14), dt.date(2026, 6, 21))}
    return SheetContents(
        week, due, there, Habits(every_days=2), sow_next=worth, **more  # type: ignore[arg-type]
    )  # fmt: skip


def made(
    plan: SeasonPlan, journal: Journal = JOURNAL, size: Paper = "a4", *, large: bool = False,
    **more: object,
) -> str:  # fmt: skip
    return scouting_sheet(plan, sheet_of(plan, journal, **more), "F", size=size, large=large)


@pytest.fixture(scope="module")
def plan(series: DailySeries) -> SeasonPlan:
    return season(series)


@pytest.fixture(scope="module")
def html(plan: SeasonPlan) -> str:
    return made(plan)


def text_of(html: str) -> str:
    plain = re.sub(r"<style>.*?</style>|<title.*?</title>|<desc.*?</desc>", "", html, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", plain)).split())


def rows_of(html: str) -> list[str]:
    return re.findall(r'<article class="item">.*?</article>', html, re.DOTALL)


def test_the_top_says_place_week_day_weather_and_trust(html: str) -> None:
    text = text_of(html)
    assert text.startswith(
        "Larkhollow Patch week Mon 15 – Sun 21 June 2026 scout printed Tue 16 June 2026 · "
        "weather through Mon 15 June, nothing missing · record sound"
    )


def test_each_row_says_what_where_and_has_its_lines(plan: SeasonPlan, html: str) -> None:
    due = sheet_of(plan).due
    rows = rows_of(html)
    assert len(rows) == ROWS
    for number, (row, window) in enumerate(zip(rows, due, strict=False), 1):
        said = text_of(row)
        assert f"{number} {window.card.name[0].upper()}{window.card.name[1:]}" in said
        assert window.event.words in said
        assert window.status.word.capitalize() in said
        for lead in ("Look for", "Where", "How many"):
            assert lead in said
        for field in ("looked", "found", "none", "count", "cluster: 2–3 more", "neighbours",
                      "back on"):  # fmt: skip
            assert field in said
        assert 'role="img"' in row  # the drawing
        assert row.count('class="boxes"') == 1


def test_what_has_no_row_is_named_in_one_line(plan: SeasonPlan, html: str) -> None:
    """More is due than fits, and squash-bug eggs go on: both are told."""
    left = sheet_of(plan).due[len(rows_of(html)) :]
    (line,) = re.findall(r"<p>(Also due: [^<]*)</p>", html)
    assert left[0].card.name in line
    assert "still going: squash bug" in line
    assert line.endswith("see  gddcast walk.")


def test_an_ordinary_list_is_not_cut_where_it_fits(series: DailySeries) -> None:
    few = made(season(series, ("squash-vine-borer", "squash-bug")), Journal())
    assert "…" not in text_of(few)
    assert "Also due" not in text_of(few)


def test_no_onset_is_a_bar(html: str) -> None:
    """Dots are circles; no drawing of the strip holds an area, and dots have no thick line."""
    strips = re.findall(r'<section class="ahead".*?</section>', html, re.DOTALL)
    drawings = [ElementTree.fromstring(each)
                for each in re.findall(r"<svg.*?</svg>", strips[0], re.DOTALL)]  # fmt: skip
    tags = [each.tag.rpartition("}")[2] for root in drawings for each in root.iter()]
    assert tags.count("circle") >= 10
    assert not {"rect", "polygon", "line", "polyline"} & set(tags)
    for root in drawings:
        for each in root.iter():
            assert float(each.get("stroke-width", 0)) < 0.5
            if each.tag.endswith("path"):
                assert each.get("fill") == "none" or "stroke" in each.attrib


def test_each_dot_stands_over_its_day(html: str) -> None:
    """Measured against the labels of the weeks: a week is as wide from label to label."""
    head, *drawn = re.findall(
        r"<svg.*?</svg>", re.findall(r'<section class="ahead".*?</section>', html, re.DOTALL)[0],
        re.DOTALL,
    )  # fmt: skip
    labels = re.findall(r'<text x="([\d.]+)" y="[\d.]+">(\d+ \w+)</text>', head)
    assert [label for _, label in labels] == ["15 Jun", "22 Jun", "29 Jun"]
    at = [float(x) for x, _ in labels]
    step = (at[1] - at[0]) / 7
    monday = dt.date(2026, 6, 15)
    seen = 0
    for each in drawn:
        for x, year, day in re.findall(
            r'<circle cx="([\d.]+)"[^>]*><title>(\d{4}): (\d+ \w+)</title>', each
        ):
            on = dt.datetime.strptime(f"{day} 2026", "%d %B %Y").date()
            from_monday = (float(x) - at[0]) / step
            assert (on - monday).days <= from_monday < (on - monday).days + 1, (year, day)
            seen += 1
    assert seen >= 10


def test_words_of_people_are_escaped(series: DailySeries) -> None:
    """Place, sowing, bed and rule come out as words, in the page and in its style."""
    place = replace(series.place, name=NASTY)
    journal = Journal(
        sowings=(Sowing("cucumber", dt.date(2026, 5, 20), bed=NASTY, name=NASTY),),
        jobs=(Job("covered", dt.date(2026, 5, 21), sowing=NASTY),),
    )
    plan = season(replace(series, place=place), WATCH, journal)
    chore = OwnChore(NASTY, "dust again", NASTY, TODAY, TODAY)
    said = ((sheet_of(plan, journal).due[0], NASTY),)
    for large in (False, True):
        page = scouting_sheet(
            plan, replace(sheet_of(plan, journal), chores=(chore,), moved=said), "F", large=large
        )
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
    assert rows[1] == ["early, row 4", "10 Apr", "67", "", "", "", "31 May", "14 Jun",
                       "14 Jun – 21 Jun"]  # fmt: skip
    assert rows[2] == ["squash 1, row 2", "21 May", "26", "", "", "", "", "", ""]
    assert table.count('class="box"') == 2 * 3
    assert "<thead>" in table


def test_without_sowings_rows_are_blank(series: DailySeries) -> None:
    page = made(season(series, WATCH, Journal()), Journal())
    (table,) = re.findall(r'<table class="plants">.*?</table>', page, re.DOTALL)
    assert table.count("<tr>") == 1 + 2
    assert '<th scope="row">' not in table


def test_chores_and_weather_have_their_boxes(html: str, plan: SeasonPlan) -> None:
    (chores,) = re.findall(r'<section class="chores".*?</section>', html, re.DOTALL)
    said = text_of(chores)
    for word in ("Water Mon Tue Wed Thu Fri Sat Sun hand-picked", "Cover on off", "Dust again on",
                 "rained", "Dust: not on flowers · stem base, outer leaves · again after rain.",
                 "Covered: squash 1, row 2 since 21 May", "In flower: early, row 4."):  # fmt: skip
        assert word in said
    assert chores.count('class="box"') == 7 + 2 + 2
    wednesdays = (dt.date(2026, 6, 17),)
    (ruled,) = re.findall(
        r'<section class="chores".*?</section>', made(plan, water=wednesdays), re.DOTALL
    )
    assert ruled.count('class="box"') == 1 + 2 + 2
    weather = html[html.index("Weather to copy in, °F") :]
    table = weather[: weather.index("</table>")]
    assert [f"{day} {n}" in text_of(table) for day, n in (("Mon", 15), ("Sun", 21))] == [True] * 2
    assert table.count("<tr>") == 1 + 7


def test_what_moved_is_told_of_the_rows_only(plan: SeasonPlan) -> None:
    sheet = sheet_of(plan)
    moved = ((sheet.due[0], "It moved."), (sheet.due[-1], "So did that."))
    text = text_of(made(plan, moved=moved))
    assert "Moved since the last sheet 1: It moved." in text
    assert "So did that." not in text
    assert "Moved since" not in text_of(made(plan))


def test_the_foot_says_dots_spans_sources_entry_and_cautions(html: str) -> None:
    text = text_of(html)
    for words in ("past years' weather from here on, a dot a year", "Spans cover the weather only",
                  "Sources: ", "Enter later: gddcast saw", "the label is the law",
                  "local extension service"):  # fmt: skip
        assert text.count(words) == 1


def test_it_fetches_and_runs_nothing_and_is_the_same_again(plan: SeasonPlan, html: str) -> None:
    lowered = html.lower()
    for loads in ("<script", "<link", "<img", "<iframe", "@import", "url(", "src=", "onclick"):
        assert loads not in lowered
    assert not re.search(r'(?:href|src)="?\s*(?:https?:)?//', lowered)
    assert made(plan) == html
    assert len(html.encode()) < 80_000


@pytest.mark.parametrize(("size", "rule"), [("a4", "A4"), ("letter", "letter")])
@pytest.mark.parametrize("large", [False, True])
def test_sizes_are_those_of_paper(plan: SeasonPlan, size: Paper, rule: str, *, large: bool) -> None:
    """12 mm margins, words of 10 pt and more, boxes of 5 mm and more, greys of 40 % ink."""
    page = made(plan, size=size, large=large)
    style = page[page.index("<style>") : page.index("</style>")]
    assert f"@page {{ size: {rule}; margin: 12mm; }}" in style
    assert min(float(each) for each in re.findall(r"([\d.]+)pt", style)) >= 10
    boxes = re.findall(r"^\.box \{[^}]*width: ([\d.]+)mm; height: \1mm", style, re.MULTILINE)
    assert min(map(float, boxes)) >= 5
    greys = re.findall(r"#([0-9a-f]{3}(?:[0-9a-f]{3})?)\b", style.lower())
    assert all(1 - int(each[: len(each) // 3] * (6 // len(each)), 16) / 255 >= 0.4 or each == "fff"
               for each in greys if each != "0072b2")  # fmt: skip


LONG = "The long kitchen garden behind the old mill at Larkhollow, upper terrace, north beds"


def many_sowings(count: int) -> Journal:
    return Journal(
        sowings=tuple(
            Sowing("cucumber", dt.date(2026, 5, 1) + dt.timedelta(days=at), bed=f"row {at}",
                   name=f"cucumber 2026-{at}")
            for at in range(count)
        )
    )  # fmt: skip


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize(
    "kind", ["a book", "a file", "every card", "a long name", "five sowings", "moved", "nothing"]
)
def test_it_prints_on_one_side(series: DailySeries, size: Paper, kind: str, tmp_path: Path) -> None:
    more: dict[str, object] = {}
    journal, watch = JOURNAL, WATCH
    if kind == "five sowings":
        journal = many_sowings(5)
    elif kind != "a book":
        journal = Journal()
    if kind == "every card":
        plan = season(series, None, journal)
    elif kind == "a long name":
        plan = season(replace(series, place=replace(series.place, name=LONG)), watch, journal)
    elif kind == "nothing":
        plan = season(series, ("apple-maggot",), journal)
    else:
        plan = season(series, watch, journal)
    if kind == "moved":
        said = "On 8 June it said 18–21 June, now 18–20 June: 8–10 June ran 4 °F cooler than usual."
        more["moved"] = tuple((each, said) for each in sheet_of(plan, journal).due[:3])
    page = made(plan, journal, size, **more)
    assert len(rows_of(page)) >= 2 or kind == "nothing"
    assert printed_pages(page, tmp_path) == 1


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("sowings", [2, 5])
@pytest.mark.parametrize("large", [False, True])
def test_the_longest_words_of_all_cards_fit(
    series: DailySeries, size: Paper, sowings: int, tmp_path: Path, *, large: bool
) -> None:
    """The fixed numbers of rows and letters leave room for whatever the cards say."""
    plan = season(series, None, many_sowings(sowings))
    longest: dict[str, ScoutingWindow] = {}
    for each in sorted(plan.windows, key=_letters, reverse=True):
        longest.setdefault(each.card.key, replace(each, status=Status.LOOK_NOW))
    due = tuple(longest.values())[:LARGE_ROWS]
    assert _letters(due[2]) > 300
    sheet = replace(sheet_of(plan, many_sowings(sowings)), due=due)
    page = scouting_sheet(plan, sheet, "F", size=size, large=large)
    assert printed_pages(page, tmp_path) == (5 if large else 1)


def _letters(window: ScoutingWindow) -> int:
    look = window.look
    said = (look.looks_like, look.where_on_plant, look.time_of_day, look.plants)
    return sum(len(each or "") for each in said) if window.card.group == "pest" else 0


@pytest.mark.browser
def test_stages_without_a_row_are_drawn_whole_or_not_at_all(
    series: DailySeries, tmp_path: Path
) -> None:
    """Beside tall rows some fit; none is cut through, and none lies over the weather."""
    file = tmp_path / "sheet.html"
    watch = (
        "common-stalk-borer", "asparagus-beetle", "squash-vine-borer", "corn-rootworms",
        "european-corn-borer",
    )  # fmt: skip
    plan = season(series, watch)
    file.write_text(made(plan), encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 703, "height": 1032})
        page.emulate_media(media="print")
        page.goto(file.as_uri())
        box, stages = page.evaluate(
            "[document.querySelector('.more').getBoundingClientRect(),"
            " [...document.querySelectorAll('.more figure')].map(e => e.getBoundingClientRect())]"
        )
        browser.close()
    inside = [each for each in stages if each["left"] >= box["left"] - 0.5]
    assert len(inside) >= 1
    assert all(each["bottom"] <= box["bottom"] + 0.5 for each in inside)
    assert all(each["right"] <= box["left"] + 0.5 for each in stages if each not in inside)


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
def test_big_print_is_two_rows_a_side(series: DailySeries, size: Paper, tmp_path: Path) -> None:
    """Five rows on three sides, then the strip with the weather, then plants and chores."""
    page = made(season(series, None), size=size, large=True)
    assert len(rows_of(page)) == LARGE_ROWS
    assert printed_pages(page, tmp_path) == 5


@pytest.mark.browser
def test_too_many_sowings_go_on_overleaf(series: DailySeries, tmp_path: Path) -> None:
    """Nothing is dropped, and the table's heading stands on each side."""
    journal = many_sowings(24)
    plan = season(series, WATCH, journal)
    page = made(plan, journal)
    assert len(rows_of(page)) == ROWS
    assert all(f"cucumber 2026-{at}" in page for at in range(24))
    assert 2 <= printed_pages(page, tmp_path) <= 3


@pytest.mark.browser
@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("name", ["garden_record_of_the_upper_terrace_2014_to_2026", LONG])
def test_a_long_name_does_not_make_the_print_smaller(
    series: DailySeries, name: str, tmp_path: Path, *, large: bool
) -> None:
    """A browser shrinks what is wider than the paper, and boxes and words with it."""
    new_year = dt.date(2026, 1, 2)
    place = replace(series.place, name=name)
    plan = season_plan(replace(series.before(new_year), place=place), CARDS, new_year, watch=WATCH)
    page = made(plan, Journal(), large=large)
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
    ahead = season_plan(series.before(early), CARDS, early, watch=["squash-vine-borer"])
    text = text_of(made(ahead, Journal()))
    assert re.search(
        r"Nothing on your list is due this week\. Next: Squash vine borer: first moths\. "
        r"Look from \w{3} \d+ June\.", text
    )  # fmt: skip
    only = season_plan(
        series.between(dt.date(2026, 1, 1), series.last), CARDS, TODAY, watch=["squash-vine-borer"]
    )
    text = text_of(made(only, Journal()))
    assert "? Squash vine borer: first moths. Can't say: no past year on file" in text


def test_what_a_gap_hides_is_named_below_the_rows(series: DailySeries) -> None:
    """Cues need no sums and have their rows; the stage that needs them is not left out silently."""
    only = season_plan(
        series.between(dt.date(2026, 1, 1), series.last), CARDS, TODAY,
        watch=["squash-vine-borer", "striped-cucumber-beetle"],
    )  # fmt: skip
    page = made(only, Journal())
    assert rows_of(page)
    assert "Can't say of: squash vine borer; see gddcast walk." in text_of(page)


@pytest.mark.browser
@pytest.mark.parametrize("large", [False, True])
def test_sizes_as_printed(plan: SeasonPlan, tmp_path: Path, *, large: bool) -> None:
    """Measured in a browser, in print: boxes, words, and lines to write on."""
    file = tmp_path / "sheet.html"
    file.write_text(made(plan, large=large), encoding="utf-8")
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
            "[...document.querySelectorAll('main *:not(svg, svg *)')]"
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
    assert min(words) >= 10 * point - 0.01
    assert drawn
    assert min(drawn) >= 10 * point - 0.2
    for item in lines:
        apart = [
            below - above for above, below in zip(sorted(item), sorted(item)[1:], strict=False)
        ]
        assert apart
        assert min(apart) >= 8 * millimetre - 0.5
