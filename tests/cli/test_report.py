"""``gddcast report``: writes one page, whole or not at all, from a file or from a season book."""

import json
import re
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from gddcast.cli import main
from gddcast.readers.opening import data_folder

LARKHOLLOW = Path(__file__).parents[1] / "samples" / "larkhollow_2014_to_31aug2026_f.csv"
ON = ("--on", "2026-06-11")
WATCH = ("--watch", "squash-vine-borer,squash-bug")


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["report", *words])


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, and we are in it."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("GDDCAST_BOOK", raising=False)
    return tmp_path


def test_of_a_file(here: Path) -> None:
    """Written beside us under its day; a second run makes the same bytes."""
    assert run(str(LARKHOLLOW), *ON, *WATCH).exit_code == 0
    page = (here / "report-2026-06-11.html").read_bytes()
    assert b"Squash vine borer" in page
    assert run(str(LARKHOLLOW), *ON, *WATCH, "-o", "again.html").exit_code == 0
    assert (here / "again.html").read_bytes() == page


def test_writes_over_nothing_unasked(here: Path) -> None:
    (here / "mine.html").write_text("mine")
    refused = run(str(LARKHOLLOW), *ON, *WATCH, "-o", "mine.html")
    assert refused.exit_code == 3
    assert "--force" in refused.stderr
    assert (here / "mine.html").read_text() == "mine"
    assert run(str(LARKHOLLOW), *ON, *WATCH, "-o", "mine.html", "--force").exit_code == 0
    assert (here / "mine.html").read_text().startswith("<!DOCTYPE html>")


def test_of_a_book() -> None:
    """Its name at the top, its own scale; without weather it is refused with a cure."""
    setup = [
        "setup", "--name", "Larkhollow Patch", "--at", "41.2,-89.4", "--timezone",
        "America/Chicago", "--show", "C", "--no-input",
    ]  # fmt: skip
    assert CliRunner().invoke(main, setup).exit_code == 0
    refused = run("--book", "larkhollow-patch", *ON)
    assert refused.exit_code == 3
    assert "gddcast weather add" in refused.stderr
    Path("garden.csv").write_text(
        "".join(
            row
            for row in LARKHOLLOW.read_text(encoding="utf-8").splitlines(keepends=True)
            if row < "2026-06-11" or not row[0].isdigit()
        )
    )
    book = ["--book", "larkhollow-patch"]
    added = CliRunner().invoke(main, ["weather", "add", "garden.csv", *book, *ON])
    assert added.exit_code == 0, added.stderr
    assert run(*book, *ON, *WATCH, "-o", "book.html").exit_code == 0
    page = Path("book.html").read_text(encoding="utf-8")
    assert "<h1>Thu 11 June 2026</h1>" in page
    assert "Larkhollow Patch · weather through" in page
    assert "°C-days, above 10 °C" in page


def test_without_file_or_book_it_says_how() -> None:
    refused = run(*ON)
    assert refused.exit_code == 3
    assert "gddcast setup" in refused.stderr


def svg(page: str) -> dict[str, ElementTree.Element]:
    """Every drawing of a page by its title."""
    found = [ElementTree.fromstring(each) for each in re.findall(r"<svg.*?</svg>", page, re.DOTALL)]
    return {each[0].text or "": each for each in found}


def tags(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [each for each in root.iter() if each.tag.rpartition("}")[2] == name]


def days_in_json(*words: str) -> dict[str, list[list[str]]]:
    """Days of the year dots that ``ahead --json`` gives, by stage; both ends where they differ."""
    answer = json.loads(CliRunner().invoke(main, ["ahead", *words, "--json"]).stdout)
    found: dict[str, list[list[str]]] = {}
    for item in answer["items"]:
        sums = item.get("sum_reached") or {}
        ends = [sums[end]["year_dots"] for end in ("low_end", "high_end") if sums.get(end)]
        if not ends or item["status"] == "seen" or not any(dot["day"] for dot in ends[-1]):
            continue
        dotted = [end for end in ends if any(dot["day"] for dot in end)]
        if len(dotted) == 2 and dotted[0] == dotted[1]:
            dotted = dotted[1:]
        for end in dotted:
            said = [
                f"{dot['season']}: {int(dot['day'][8:])} {MONTHS[int(dot['day'][5:7])]}"
                for dot in end
                if dot["day"]
            ]
            found.setdefault(item["words"], []).append(said)
    return found


MONTHS = (
    "", "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


@pytest.mark.parametrize(
    "words",
    [
        (str(LARKHOLLOW), *ON),
        (str(LARKHOLLOW), "--on", "2026-06-29", "--watch", "squash-vine-borer,apple-maggot"),
        (str(LARKHOLLOW), "--on", "2026-02-03", "--watch", "apple-maggot,onion-maggot"),
    ],
    ids=["all cards", "late June", "winter"],
)
def test_the_dots_drawn_are_the_days_in_json(words: tuple[str, ...]) -> None:
    """Every stage and every year, to the day; nothing more is drawn and nothing less."""
    assert run(*words, "-o", "page.html").exit_code == 0
    drawn: dict[str, list[list[str]]] = {}
    for title, root in svg(Path("page.html").read_text(encoding="utf-8")).items():
        stage, season, _ = title.rpartition(", over the season")
        if not season:
            continue
        rows = [each for each in tags(root, "g") if each.get("class") == "dots"]
        drawn.setdefault(stage, []).extend(
            [mark[0].text or "" for mark in tags(row, "circle")] for row in rows
        )
    in_json = days_in_json(*words)
    assert len(in_json) >= 1
    assert {stage: sorted(rows) for stage, rows in drawn.items()} == {
        stage: sorted(rows) for stage, rows in in_json.items()
    }


def demo_book(folder: Path) -> list[str]:
    """The book of the invented place with its weather."""
    demo, book = data_folder() / "demo", str(folder / "demo")
    for words in (
        ["import", str(demo), "--book", book],
        ["weather", "add", str(demo / "weather.csv"), "--book", book, *ON],
    ):
        done = CliRunner().invoke(main, words)
        assert done.exit_code == 0, done.stderr
    return ["--book", book]


def test_an_onset_is_a_bar_nowhere(here: Path) -> None:
    """Bars stand in the drawings of sowings and of the record's days; onsets are dots or words."""
    assert run(*demo_book(here), *ON, "-o", "page.html").exit_code == 0
    drawings = svg((here / "page.html").read_text(encoding="utf-8"))
    with_bars = {title for title, root in drawings.items() if tags(root, "rect")}
    assert with_bars == {
        "Sowings of sweet corn", "Sowings of summer squash", "Sowings of cucumber",
        "Days of the weather record",
    }  # fmt: skip
    strips = [root for title, root in drawings.items() if ", over the season" in title]
    assert len(strips) >= 5
    for root in strips:
        assert tags(root, "circle")
        assert not tags(root, "polygon")
        for line in tags(root, "polyline"):  # only that of today, which stands upright
            places = {point.split(",")[0] for point in line.get("points", "").split()}
            assert len(places) == 1
        for path in tags(root, "path"):  # lines of months, days, today; the day to start looking
            assert (path.get("class") == "look-from") is (path.get("fill") != "none")


def test_of_a_book_it_tells_sowings_moves_and_records(here: Path) -> None:
    """Everything the book and the past seasons know beside a date."""
    assert run(*demo_book(here), *ON, "-o", "page.html").exit_code == 0
    page = unescape((here / "page.html").read_text(encoding="utf-8"))
    for said in (
        "sweet corn, north end, sown 5 May", "Pests you watch that meet a sowing",
        "On Thu 4 June: any day", "Its record here: 8–14 days ahead", "The last sowing worth it",
        "Clocks restarted from your finds", "and your find of 10 June",
        "Counted as nothing, it would bring",
    ):  # fmt: skip
        assert said in page, said
    assert run(*demo_book(here / "b"), *ON, "--since", "2026-05-01", "-o", "b.html").exit_code == 0
    assert "On Fri 1 May: " in (here / "b.html").read_text(encoding="utf-8")


def test_a_book_without_sowings_says_how_to_write_one_down(here: Path) -> None:
    book = demo_book(here)
    assert run(*book, "--on", "2026-04-20", "-o", "page.html").exit_code == 0
    page = (here / "page.html").read_text(encoding="utf-8")
    assert "gddcast did sown CROP" in page


def test_what_is_only_heard_or_not_sure_is_kept_beside(here: Path) -> None:
    book = demo_book(here)
    for words in (
        ["heard", "squash-vine-borer", "moths", "--note", "over the fence"],
        ["saw", "cabbage-maggot", "second-adults", "--unsure", "--where", "kale"],
    ):
        done = CliRunner().invoke(main, [*words, *book, *ON])
        assert done.exit_code == 0, done.stderr
    assert run(*book, *ON, "-o", "page.html").exit_code == 0
    page = (here / "page.html").read_text(encoding="utf-8")
    assert "Squash vine borer: first moths: heard of, 11 June; over the fence." in page
    assert "seen, not sure, 11 June; kale." in page


def test_a_reminder_told_earlier_stands_beside_the_date(here: Path) -> None:
    """The calendar was written on 1 June; the days since have moved the start of looking."""
    book = demo_book(here)
    told = CliRunner().invoke(main, ["calendar", *book, "--on", "2026-06-01", "-o", "c.ics"])
    assert told.exit_code == 0, told.stderr
    assert run(*book, *ON, "-o", "page.html").exit_code == 0
    page = (here / "page.html").read_text(encoding="utf-8")
    assert re.search(r"Your calendar says \w+ \d+ June, told before", page)
