"""The season report: fetches nothing, runs nothing, escapes all words, draws what the plan says."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from gddcast import words
from gddcast.draw.shared_axis import SharedAxis
from gddcast.draw.year_dots import dot_rows, has_year_dots
from gddcast.journal.entries import Journal, Sighting, Sowing
from gddcast.pages.paper import Paper
from gddcast.pages.report import report_page
from gddcast.pages.report.page import curves_of
from gddcast.pages.report.seasons import month_rows, shown
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text import sentences
from gddcast.text.dates.bed_words import bed_title, to_do
from gddcast.text.dates.walk_by_bed import walk_by_bed_text
from gddcast.today.plan import SeasonPlan
from gddcast.today.practice import Practice
from gddcast.today.record import Record
from gddcast.today.today import Today
from gddcast.weather.series import DailySeries, Place
from tests.browser import printed_pages

SAMPLES = Path(__file__).parents[1] / "samples"
TODAY = dt.date(2026, 6, 11)
BORER = ("squash-vine-borer",)
NASTY = '<script>alert("x")</script></style><b>&'


@pytest.fixture(scope="module")
def series() -> DailySeries:
    place = Place("Larkhollow Patch", 41.2, -89.4, timezone="America/Chicago")
    return read_temperatures(
        SAMPLES / "larkhollow_2014_to_31aug2026_f.csv", place=place, today=TODAY
    ).series


def today_of(
    series: DailySeries, day: dt.date = TODAY, watch: tuple[str, ...] | None = None,
    journal: Journal | None = None,
) -> Today:  # fmt: skip
    practice = Practice(watch=watch)
    return Today(Record(series, day), load_cards(), journal or Journal(), practice)


@pytest.fixture(scope="module")
def today(series: DailySeries) -> Today:
    return today_of(series)


@pytest.fixture(scope="module")
def plan(today: Today) -> SeasonPlan:
    return today.plan


@pytest.fixture(scope="module")
def html(today: Today) -> str:
    return report_page(today, "F")


def drawings(html: str) -> list[ElementTree.Element]:
    return [ElementTree.fromstring(each) for each in re.findall(r"<svg.*?</svg>", html, re.DOTALL)]


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


class _Balance(HTMLParser):
    """Every tag that opens closes, in order; ids stand once; links inside the page lead there."""

    VOID = ("meta", "br")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self.ids += [said["id"] or ""] if "id" in said else []
        self.links += [said["href"] or ""] if "href" in said else []
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pass

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_markup_is_balanced_and_every_link_leads_somewhere(html: str) -> None:
    page = _Balance()
    page.feed(html)
    assert page.open == []
    assert len(page.ids) == len(set(page.ids))
    assert all(link.startswith("#") and link[1:] in page.ids for link in page.links)
    assert page.links[0] == "#first"  # the skip link comes first, and leads to the first item
    assert "first" in page.ids


def test_one_small_file_that_fetches_and_runs_nothing(plan: SeasonPlan, html: str) -> None:
    """12 past seasons and more than 20 stages drawn, each on two axes, in at most 300 kB."""
    assert len(plan.verdict.usable_seasons) == 12
    assert sum(has_year_dots(each) for each in plan.windows) >= 20
    assert len(html.encode()) <= 300_000
    lowered = html.lower()
    for loads in ("<script", "<link", "<img", "<iframe", "@import", "url(", "src=", "onclick"):
        assert loads not in lowered
    assert not re.search(r'(?:href|src)="?\s*(?:https?:)?//', lowered)
    assert '<html lang="en">' in html


def test_every_chart_says_itself_and_none_is_a_bar(html: str) -> None:
    charts = [each for each in drawings(html) if each.get("aria-hidden") != "true"]
    assert len(charts) > 20
    for root in charts:
        assert root.get("role") == "img"
        assert root[0].text
        assert root[1].text
        assert tags(root, "title")[0] is root[0]
        assert tags(root, "desc") == [root[1]]
        assert not tags(root, "rect")
    rows = html.count('<div class="axis-row">')
    captions = re.findall(r"<figcaption>(.+?)</figcaption>", html)
    assert len(captions) + rows == len(charts)


def axes(plan: SeasonPlan) -> tuple[SharedAxis, SharedAxis]:
    """The four weeks, and the season."""
    rows = [dot_rows(each) for each in plan.windows if has_year_dots(each)]
    return SharedAxis.of_weeks(TODAY, 4, TODAY, rows), SharedAxis.of_months(TODAY, rows)


@pytest.mark.parametrize("which", [0, 1], ids=["weeks", "season"])
def test_year_dots_drawn_are_the_days_of_the_plan(plan: SeasonPlan, which: int) -> None:
    """Each dot stands within its own day, measured against the labels of weeks or months."""
    axis = axes(plan)[which]
    labels = {
        text: float(x)
        for x, text in re.findall(r'<text x="([\d.]+)" y="12">(.*?)</text>', axis.head())
    }
    first, later = ("8 Jun", "15 Jun") if which == 0 else ("Jul", "Aug")
    begins = dt.date(2026, 6, 8) if which == 0 else dt.date(2026, 7, 1)
    step = (labels[later] - labels[first]) / (7 if which == 0 else 31)
    for window in filter(has_year_dots, plan.windows):
        root = ElementTree.fromstring(axis.row(dot_rows(window), "a strip", window.opens))
        wanted = [d for _, dots in dot_rows(window) for d in dots if d.day in axis]
        marks = tags(root, "circle")
        assert len(marks) == len(wanted)
        days = {(dot.season, dot.day) for dot in wanted}
        for mark in marks:
            season, _, said = (mark[0].text or "").partition(": ")
            (day,) = {
                day for year, day in days
                if year == season and day and f"{day.day} {day:%B}" == said
            }  # fmt: skip
            ahead = (float(mark.get("cx", "")) - labels[first]) / step
            assert 0 <= ahead - (day - begins).days <= 1, (season, said)
        opens = [each for each in tags(root, "path") if each.get("class") == "look-from"]
        assert len(opens) == (window.opens is not None and window.opens in axis)


def test_the_table_after_the_strips_holds_the_same_days(plan: SeasonPlan, html: str) -> None:
    tables = re.findall(
        r'aria-label="The day each past year would bring, part \d+" class="listed">.*?</table>',
        html, re.DOTALL,
    )  # fmt: skip
    columns: dict[str, dict[str, str]] = {}
    for table in tables:
        head, *rows = table.split('<tr role="row">')[1:]
        names = [unescape(each) for each in re.findall(r'<th [^>]*scope="col">(.*?)</th>', head)][
            1:
        ]
        assert 1 <= len(names) <= 5
        for row in rows:
            (year,) = re.findall(r'<th [^>]*scope="row">(\d{4})</th>', row)
            cells = re.findall(r"<td [^>]*>(.*?)</td>", row)
            for name, cell in zip(names, cells, strict=True):
                columns.setdefault(name, {})[year] = cell
    wanted = {
        sentences.title(window) + (f", {label}" if label else ""): {
            dot.season: f"{dot.day.day} {dot.day:%b}" if dot.day else "not" for dot in dots
        }
        for window in plan.windows
        if has_year_dots(window)
        for label, dots in dot_rows(window)
    }
    assert columns == wanted


@pytest.mark.parametrize("which", [0, 1], ids=["weeks", "season"])
def test_dots_never_cover_each_other_and_are_of_one_size(plan: SeasonPlan, which: int) -> None:
    axis, sizes = axes(plan)[which], set()
    for window in filter(has_year_dots, plan.windows):
        root = ElementTree.fromstring(axis.row(dot_rows(window), "a strip"))
        marks = tags(root, "circle")
        sizes |= {each.get("r") for each in marks}
        at = [[float(c.get(k, "")) for k in ("cx", "cy")] for c in marks]
        if len(at) < 2:
            continue
        apart = np.linalg.norm(np.array(at)[:, None] - np.array(at)[None], axis=2)
        assert apart[~np.eye(len(at), dtype=bool)].min(initial=99) >= 0.95 * axis.pitch
        width, height = map(float, root.get("viewBox", "").split()[2:])
        assert all(0 <= x <= width and 0 <= y <= height for x, y in at)
    assert len(sizes) == 1


def test_the_table_beside_the_curve_holds_its_sums(plan: SeasonPlan) -> None:
    """Cells recomputed from the days themselves."""
    curves = curves_of(plan)
    rows = list(month_rows(curves, plan, "F"))
    assert [row[0] for row in rows][:3] == ["31 January", "28 February", "31 March"]
    may = plan.series.between(dt.date(2026, 1, 1), dt.date(2026, 5, 31))
    by_hand = 1.8 * float(plan.season_sum.counting.daily(may).sum())
    assert float(rows[4][1].replace(",", "")) == pytest.approx(by_hand, abs=0.501, rel=0)
    assert rows[5][1] == "–"  # June is not over
    # Fastest and slowest by the day on which they had what this season has.
    assert curves.current is not None
    now = curves.current.heat[-1]
    days = {each.season.name: int((each.heat < now).sum()) for each in curves.past}
    assert curves.fastest is not None
    assert curves.slowest is not None
    assert days[curves.fastest.season.name] == min(days.values())
    assert days[curves.slowest.season.name] == max(days.values())
    assert rows[11][3] == shown(float(curves.fastest.heat[-1]), "F")


def test_a_name_with_markup_comes_out_as_words(series: DailySeries) -> None:
    place = dataclasses.replace(series.place, name=NASTY)
    nasty = today_of(dataclasses.replace(series, place=place), watch=BORER)
    html = report_page(nasty, "F")
    assert "<script" not in html
    assert html.count("</style>") == 1
    assert "&lt;script&gt;" in html
    (foot,) = re.findall(r'@bottom-left { content: "(.*?)"; font', html)
    assert foot.startswith("\\00003c script")
    assert not set(foot) & set('"}<')


def test_the_same_inputs_make_the_same_bytes(series: DailySeries, html: str) -> None:
    assert report_page(today_of(series), "F") == html


def test_first_comes_what_the_walk_says_by_bed(series: DailySeries) -> None:
    """Before the contents: the same sentence, beds and pests as on the terminal, in their order."""
    garden = Journal(
        sowings=(
            Sowing("cucumber", dt.date(2026, 5, 20), bed="row 4"),
            Sowing("summer-squash", dt.date(2026, 5, 10), bed="row 2"),
        )
    )  # fmt: skip
    today = today_of(series, watch=("squash-bug", "striped-cucumber-beetle"), journal=garden)
    html = report_page(today, "F")
    top = " ".join(unescape(re.sub(r"<[^>]+>", " ", html[: html.index("<nav")])).split())
    walk = " ".join(walk_by_bed_text(today, "F").split())
    assert to_do(today.plan, today.by_bed) in top
    assert "weather through Wed 10 June" in top
    places = []
    assert today.by_bed.beds
    for bed in today.by_bed.beds:
        assert bed_title(bed) in walk
        places.append(top.index(bed_title(bed)))
        for block in bed.blocks:
            name = words.capital(block.card.name)
            places.append(top.index(f"{block.status.shape} {name}", places[-1]))
    assert places == sorted(places)
    assert html.index("<h1>Thu 11 June 2026</h1>") < html.index('id="first"') < html.index("<nav")


def test_where_nothing_is_due_the_top_says_why(series: DailySeries) -> None:
    """What comes next; a stage that can't be said, with its reason; or that no date is left."""

    def top(first: dt.date, today: dt.date) -> str:
        known = series.between(first, today - dt.timedelta(days=1))
        html = report_page(today_of(known, today, BORER), "F")
        return unescape(re.sub(r"<[^>]+>", " ", html[html.index("<h1") : html.index("<nav")]))

    assert "Next: Squash vine borer: first moths. Look from" in top(
        series.first, TODAY.replace(month=5)
    )
    unsaid = top(dt.date(2026, 1, 1), TODAY)
    assert "? Squash vine borer: first moths. Can’t say: no past year on file" in unsaid
    assert "has a date still to come" not in unsaid
    left = top(series.first, dt.date(2026, 7, 30))
    assert "No stage on your list has a date still to come this season." in left


def test_a_find_is_told_and_drawn_between_its_two_looks(series: DailySeries) -> None:
    """None on the 7th, eggs on the 10th: they were laid on the 8th, 9th or 10th."""
    find = Sighting("squash-vine-borer", "eggs", dt.date(2026, 6, 10), clean_on=dt.date(2026, 6, 7))
    html = report_page(today_of(series, watch=BORER, journal=Journal(sightings=(find,))), "C")
    assert "What you’ve seen</h2>" in html
    both = (
        "counted from 8 June or 11 June, after your clean look of 7 June and your find of 10 June."
    )
    assert both in html
    # Of all that the bracket leaves open, not of its late end.
    assert re.search(r"<td [^>]*>\d+–\d+ June \(\d\d %\)</td>", html)
    (root,) = [each for each in drawings(html) if each[0].text == "What you have seen"]
    (labels,) = [each for each in tags(root, "g") if each.get("class") == "days"]
    place = {each.text: float(each.get("x", "")) for each in labels}
    (dot,) = tags(root, "circle")
    assert float(dot.get("cx", "")) == place["10"]
    first, second = tags(root, "polyline")[0].get("points", "").split()
    assert (float(first.split(",")[0]), float(second.split(",")[0])) == (place["8"], place["10"])
    assert "began 8–10 June, found 10 June" in (root[1].text or "")


@pytest.mark.parametrize("first", [dt.date(2026, 1, 1), dt.date(2023, 1, 1)])
def test_little_weather_still_makes_a_page(series: DailySeries, first: dt.date) -> None:
    """No past season, and three: no span is claimed and nothing falls over."""
    html = report_page(today_of(series.between(first, series.last), watch=BORER), "C")
    assert "most years" not in html or "too few to call" in html
    assert "nan" not in re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL).lower().split()


COLOURS = re.compile(r"--(\w+): (#[0-9a-f]{6})")


def luminance(colour: str) -> float:
    """Relative luminance of a colour (WCAG 2.2, "relative luminance")."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, "contrast ratio")."""
    low, high = sorted(map(luminance, (one, other)))
    return (high + 0.05) / (low + 0.05)


def test_colours_hold_their_contrast_by_day_by_night_and_in_print(html: str) -> None:
    """4.5:1 for words (WCAG 2.2, 1.4.3), 3:1 for the strokes of drawings (1.4.11)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, rel=0, abs=1e-9)
    schemes = [
        dict(COLOURS.findall(each)) for each in re.findall(r":root \{.*?\}", html, re.DOTALL)
    ]
    assert len(schemes) == 3
    for scheme in schemes:
        for name in ("ink", "soft", "accent", "warn", "good"):
            colour = scheme.get(name, schemes[0][name])
            assert contrast(colour, scheme["paper"]) >= 4.5, (name, colour)


@pytest.mark.browser
@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("day", ["2026-03-04", "2026-06-11", "2026-08-20"])
@pytest.mark.parametrize("watch", [None, (*BORER, "squash-bug", "corn-rootworms")])
def test_the_one_side_is_one_side(
    series: DailySeries, size: Paper, day: str, watch: tuple[str, ...] | None, tmp_path: Path
) -> None:
    """Whatever is watched, in spring, in June and in August."""
    on = dt.date.fromisoformat(day)
    page = report_page(today_of(series.before(on), on, watch), "F", size=size)
    assert printed_pages(page, tmp_path) == 1
