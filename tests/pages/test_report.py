"""The season report: fetches nothing, runs nothing, escapes all words, draws what the plan says."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from html import unescape
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from gddcast.draw.year_dots import dot_rows, has_year_dots, year_dot_strip
from gddcast.journal.entries import Journal, Sighting
from gddcast.pages.report import report_page
from gddcast.pages.report.page import curves_of
from gddcast.pages.report.seasons import month_rows, shown
from gddcast.readers.card_files import load_cards
from gddcast.readers.temperature_file import read_temperatures
from gddcast.text import sentences
from gddcast.today.plan import SeasonPlan, season_plan
from gddcast.weather.series import DailySeries, Place

SAMPLES = Path(__file__).parents[1] / "samples"
TODAY = dt.date(2026, 6, 11)
NASTY = '<script>alert("x")</script></style><b>&'


@pytest.fixture(scope="module")
def series() -> DailySeries:
    place = Place("Larkhollow Patch", 41.2, -89.4, timezone="America/Chicago")
    return read_temperatures(
        SAMPLES / "larkhollow_2014_to_31aug2026_f.csv", place=place, today=TODAY
    ).series


@pytest.fixture(scope="module")
def plan(series: DailySeries) -> SeasonPlan:
    return season_plan(series, load_cards(), TODAY)


@pytest.fixture(scope="module")
def html(plan: SeasonPlan) -> str:
    return report_page(plan, "F")


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
    assert page.links[0] == "#week"  # the skip link comes first


def test_one_small_file_that_fetches_and_runs_nothing(plan: SeasonPlan, html: str) -> None:
    """12 past seasons and more than 20 stages drawn, in at most 250 kB."""
    assert len(plan.verdict.usable_seasons) == 12
    assert sum(has_year_dots(each) for each in plan.windows) >= 20
    assert len(html.encode()) <= 250_000
    lowered = html.lower()
    for loads in ("<script", "<link", "<img", "<iframe", "@import", "url(", "src=", "onclick"):
        assert loads not in lowered
    assert not re.search(r'(?:href|src)="?\s*(?:https?:)?//', lowered)
    assert '<html lang="en">' in html


def test_every_chart_says_itself_and_none_is_a_bar(html: str) -> None:
    charts = drawings(html)
    assert len(charts) > 20
    for root in charts:
        assert root.get("role") == "img"
        assert root[0].text
        assert root[1].text
        assert tags(root, "title")[0] is root[0]
        assert tags(root, "desc") == [root[1]]
        assert not tags(root, "rect")
    captions = re.findall(r"<figcaption>(.+?)</figcaption>", html)
    assert len(captions) == len(charts)


def test_year_dots_drawn_are_the_days_of_the_plan(plan: SeasonPlan) -> None:
    """Each dot stands over its own day, measured against the axis' own labels."""
    windows = [each for each in plan.windows if has_year_dots(each)]
    for window in windows:
        root = ElementTree.fromstring(year_dot_strip(window, "a strip", TODAY))
        (labels,) = [each for each in tags(root, "g") if each.get("class") == "days"]
        places = [float(each.get("x", "")) for each in labels]
        wanted = [dot for _, dots in dot_rows(window) for dot in dots if dot.day]
        marks = tags(root, "circle")
        assert len(marks) == len(wanted)
        days = sorted(dot.day for dot in wanted if dot.day)
        step = (places[1] - places[0]) / _days_a_tick(labels)
        for mark, dot in zip(marks, wanted, strict=True):
            assert dot.day is not None
            said = f"{dot.season}: {dot.day.day} "
            assert (mark[0].text or "").startswith(said)
            first = next(m for m, d in zip(marks, wanted, strict=True) if d.day == days[0])
            ahead = (float(mark.get("cx", "")) - float(first.get("cx", ""))) / step
            assert ahead == pytest.approx((dot.day - days[0]).days, abs=0.25, rel=0)
        labelled = {float(each.get("x", "")): each.text for each in labels}
        on_a_tick = [
            (labelled[x], str(dot.day.day))
            for mark, dot in zip(marks, wanted, strict=True)
            if (x := float(mark.get("cx", ""))) in labelled and dot.day
        ]
        assert on_a_tick
        assert all(label == day for label, day in on_a_tick)


def test_the_table_after_the_strips_holds_the_same_days(plan: SeasonPlan, html: str) -> None:
    tables = re.findall(
        r'aria-label="The day each past year would bring, part \d+"><table>.*?</table>',
        html, re.DOTALL,
    )  # fmt: skip
    columns: dict[str, dict[str, str]] = {}
    for table in tables:
        head, *rows = table.split("<tr>")[1:]
        names = [unescape(each) for each in re.findall(r'<th scope="col">(.*?)</th>', head)][1:]
        assert 1 <= len(names) <= 5
        for row in rows:
            (year,) = re.findall(r'<th scope="row">(\d{4})</th>', row)
            cells = re.findall(r"<td>(.*?)</td>", row)
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


def _days_a_tick(labels: ElementTree.Element) -> int:
    """From the day numbers printed; a month's end between the first two falls back on the next."""
    numbers = [int(each.text or "") for each in labels]
    return next(b - a for a, b in pairwise(numbers) if b > a)


def test_dots_of_a_strip_never_cover_each_other(plan: SeasonPlan) -> None:
    for window in filter(has_year_dots, plan.windows):
        root = ElementTree.fromstring(year_dot_strip(window, "a strip", TODAY))
        at = [[float(c.get(k, "")) for k in ("cx", "cy")] for c in tags(root, "circle")]
        apart = np.linalg.norm(np.array(at)[:, None] - np.array(at)[None], axis=2)
        assert apart[~np.eye(len(at), dtype=bool)].min(initial=99) >= 9.5  # 8 px dots and a gap
        width, height = map(float, root.get("viewBox", "").split()[2:])
        assert all(4 <= x <= width - 4 and 4 <= y <= height for x, y in at)


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
    cards = load_cards()
    nasty = season_plan(
        dataclasses.replace(series, place=place), cards, TODAY, watch=["squash-vine-borer"]
    )
    html = report_page(nasty, "F")
    assert "<script" not in html
    assert html.count("</style>") == 1
    assert "&lt;script&gt;" in html
    (foot,) = re.findall(r'@bottom-left { content: "(.*?)"; font', html)
    assert foot.startswith("\\00003c script")
    assert not set(foot) & set('"}<')


def test_the_same_inputs_make_the_same_bytes(series: DailySeries, html: str) -> None:
    assert report_page(season_plan(series, load_cards(), TODAY), "F") == html


def test_first_comes_what_to_look_for_today(plan: SeasonPlan, html: str) -> None:
    """Before the contents: the most pressing stage with its sentence."""
    top = html[: html.index("<nav")]
    first = plan.windows[0]
    assert sentences.title(first) in unescape(top)
    assert "weather through Wed 10 June" in top
    assert html.index("<h1>") < html.index("This week</h2>")


def test_where_nothing_is_due_the_top_says_why(series: DailySeries) -> None:
    """What comes next; a stage that can't be said, with its reason; or that no date is left."""

    def top(first: dt.date, today: dt.date) -> str:
        plan = season_plan(
            series.between(first, today - dt.timedelta(days=1)), load_cards(), today,
            watch=["squash-vine-borer"],
        )  # fmt: skip
        html = report_page(plan, "F")
        return unescape(re.sub(r"<[^>]+>", " ", html[html.index("<h1") : html.index("<nav")]))

    assert "Next: Squash vine borer: first moths. Look from" in top(
        series.first, TODAY.replace(month=5)
    )
    unsaid = top(dt.date(2026, 1, 1), TODAY)
    assert "? Squash vine borer: first moths. Can't say: no past year on file" in unsaid
    assert "has a date still to come" not in unsaid
    left = top(series.first, dt.date(2026, 7, 30))
    assert "No stage on your list has a date still to come this season." in left


def test_a_find_is_told_and_drawn_between_its_two_looks(series: DailySeries) -> None:
    """None on the 7th, eggs on the 10th: they were laid on the 8th, 9th or 10th."""
    find = Sighting("squash-vine-borer", "eggs", dt.date(2026, 6, 10), clean_on=dt.date(2026, 6, 7))
    plan = season_plan(
        series, load_cards(), TODAY, watch=["squash-vine-borer"], journal=Journal(sightings=(find,))
    )
    html = report_page(plan, "C")
    assert "What you’ve seen</h2>" in html
    both = (
        "counted from 8 June or 11 June, after your clean look of 7 June and your find of 10 June."
    )
    assert both in html
    # Of all that the bracket leaves open, not of its late end.
    assert re.search(r"<td>\d+–\d+ June \(\d\d %\)</td>", html)
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
    short = season_plan(
        series.between(first, series.last), load_cards(), TODAY, watch=["squash-vine-borer"]
    )
    html = report_page(short, "C")
    assert "most years" not in html or "too few to call" in html
    assert "nan" not in re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL).lower().split()
